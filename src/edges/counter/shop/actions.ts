import { z } from 'zod';
import { SERVICES, type BookingRequest, type Finding, type ServiceId, type StaffAction } from '../../../core/mod.ts';
import type { Means } from '../means.ts';
import { ownTime } from './own-time.ts';

const SlotShape = z.strictObject({
  bay: z.string(),
  start: z.iso.datetime({ offset: true }),
  end: z.iso.datetime({ offset: true }),
  person: z.string().optional(),
});
const words = z.string().trim().min(1).max(1000);
const asList = z
  .union([z.string(), z.array(z.string())])
  .optional()
  .transform((value) => (value === undefined ? [] : [value].flat()));

/** A form as a staff action; undefined where something in it is missing or wrong. */
export function actionOf(
  name: string,
  request: BookingRequest,
  body: Record<string, unknown>,
  means: Means,
): StaffAction | undefined {
  const revision = z.coerce.number().int().safeParse(body['revision']);
  if (!revision.success) return undefined;
  const head = { requestId: request.id, revision: revision.data };
  switch (name) {
    case 'accept':
    case 'arrive':
    case 'start-work':
    case 'no-show':
      return { do: name, ...head };
    case 'call':
      return { do: 'call', ...head };
    case 'decline':
    case 'cancel': {
      const because = words.safeParse(body['because']);
      return because.success ? { do: name, because: because.data, ...head } : undefined;
    }
    case 'say': {
      const text = words.safeParse(body['text']);
      return text.success ? { do: 'say', text: text.data } : undefined;
    }
    case 'other-time':
    case 'own-time': {
      const slot = name === 'own-time' ? ownTime(body, means) : SlotShape.safeParse(safeJson(body['slot'])).data;
      return slot && { do: request.state === 'accepted' ? 'move' : 'offer-time', slot, ...head };
    }
    case 'close':
      return closing(head, body);
    default:
      return undefined;
  }
}

function closing(
  head: { requestId: string; revision: number },
  body: Record<string, unknown>,
): StaffAction | undefined {
  const form = z
    .object({
      date: z.iso.date(),
      odometerMiles: z
        .string()
        .transform((text) => Number(text.replace(/[,\s]/g, '')))
        .pipe(z.number().int().min(0).max(5_000_000)),
      service: asList.pipe(z.array(z.enum(SERVICES)).min(1)),
      putOff: z.union([z.literal(''), z.enum(SERVICES)]).optional(),
      putOffBecause: z.string().max(200).optional(),
      note: z.string().max(1000).optional(),
    })
    .safeParse(body);
  if (!form.success) return undefined;
  const { date, odometerMiles, service, putOff, putOffBecause, note } = form.data;
  const findings = Object.entries(body).flatMap(([key, value]): Finding[] => {
    const id = key.startsWith('finding-') ? z.enum(SERVICES).safeParse(key.slice(8)) : undefined;
    return id?.success && typeof value === 'string' && service.includes(id.data)
      ? [{ service: id.data, finding: value.slice(0, 20) }]
      : [];
  });
  const later: { service: ServiceId; because: string }[] = putOff
    ? [{ service: putOff, because: putOffBecause ?? '' }]
    : [];
  return {
    do: 'close',
    ...head,
    report: { date, odometerMiles, services: service, findings, putOff: later, ...(note && { note }) },
  };
}

function safeJson(text: unknown): unknown {
  try {
    return typeof text === 'string' ? JSON.parse(text) : undefined;
  } catch {
    return undefined;
  }
}
