import { z } from 'zod';
import type { BookingRequest, StaffAction } from '../../../core/mod.ts';
import type { Means } from '../means.ts';
import { answerOf, workOf } from './approval.ts';
import { arrivalOf } from './arrival.ts';
import { ownTime } from './own-time.ts';

const SlotShape = z.strictObject({
  bay: z.string(),
  start: z.iso.datetime({ offset: true }),
  end: z.iso.datetime({ offset: true }),
  person: z.string().optional(),
});
const words = z.string().trim().min(1).max(1000);

/**
 * A form as a staff action; undefined where something in it is missing or wrong. `photo` is the picture that came with
 * it. A closing has its own reading, since it says what is wrong.
 */
export function actionOf(
  name: string,
  request: BookingRequest,
  body: Record<string, unknown>,
  means: Means,
  photo?: string,
): StaffAction | undefined {
  const revision = z.coerce.number().int().safeParse(body['revision']);
  if (!revision.success) return undefined;
  const head = { requestId: request.id, revision: revision.data };
  switch (name) {
    case 'accept':
    case 'start-work':
    case 'no-show':
    case 'phoned':
    case 'call':
      return { do: name, ...head };
    case 'arrive':
    case 'record-arrival': {
      const arrival = arrivalOf(body, photo);
      return arrival && { do: name, arrival, ...head };
    }
    case 'lengthen': {
      const hours = z.coerce.number().min(-80).max(80).multipleOf(0.25).safeParse(body['hours']);
      return hours.success && hours.data !== 0 ? { do: name, hours: hours.data, ...head } : undefined;
    }
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
      const asked = request.state === 'requested' || request.state === 'other-time';
      return slot && { do: asked ? 'offer-time' : 'move', slot, ...head };
    }
    case 'ask-approval': {
      const work = workOf(body);
      return work && { do: name, ...work, ...head };
    }
    case 'record-approval': {
      const answer = answerOf(body, request);
      return answer && { do: name, ...answer, ...head };
    }
    default:
      return undefined;
  }
}

function safeJson(text: unknown): unknown {
  try {
    return typeof text === 'string' ? JSON.parse(text) : undefined;
  } catch {
    return undefined;
  }
}
