import { z } from 'zod';
import {
  approvedServices,
  FINDING_PLACES,
  SERVICES,
  type BookingRequest,
  type CloseReport,
  type Finding,
  type ServiceId,
} from '../../../core/mod.ts';
import { milesField } from './words.ts';

const METAL = ['none', 'doubtful', 'metal'] as const;
/** Work at which metal is always looked for. */
const METAL_WORK: readonly ServiceId[] = ['fuel-contamination-check', 'pump-protection-kit', 'fuel-system-replacement'];

/** What is found at other work, by service. */
export const FINDINGS: Partial<Record<ServiceId, readonly string[]>> = {
  'egr-cooler-inspection': ['clear', 'sooted', 'blocked'],
  'intake-inspection': ['clear', 'sooted', 'blocked'],
  'crankcase-breather-filter': ['replaced', 'not-replaced'],
};
export const METAL_FINDINGS: readonly string[] = METAL;
export const metalService = (services: readonly ServiceId[]): ServiceId | undefined =>
  METAL_WORK.find((id) => services.includes(id));

/** How many rows the form has of what may come more than once. */
export const ROWS = { parts: 4, torques: 2, putOff: 3 };

const text = (most: number) => z.string().trim().max(most);
const asServices = z
  .union([z.string(), z.array(z.string())])
  .optional()
  .transform((value) => (value === undefined ? [] : [value].flat()))
  .pipe(z.array(z.enum(SERVICES)));

/** What is wrong with a form: texts with their values. */
export type Problem = { text: string; values?: Record<string, string> };
export type Closing = { ok: true; report: CloseReport } | { ok: false; problems: Problem[] };

/** Photos that are kept already, by the field of the form that they belong to. */
export type KeptPhotos = Partial<Record<string, string[]>>;

/** The closing form as a report, or everything that is wrong with it. */
export function readClosing(body: Record<string, unknown>, photos: KeptPhotos): Closing {
  const problems: Problem[] = [];
  const date = z.iso.date().safeParse(body['date']);
  if (!date.success) problems.push({ text: 'close-wrong-date' });
  const miles = milesField.safeParse(body['odometerMiles']);
  if (!miles.success || miles.data === undefined) problems.push({ text: 'close-wrong-odometer' });
  const services = asServices.safeParse(body['service']);
  const done = services.success ? services.data : [];
  if (done.length === 0) problems.push({ text: 'close-wrong-services' });

  const findings: Finding[] = [];
  const metalAt = metalService(done);
  if (metalAt) {
    for (const place of FINDING_PLACES) {
      const found = z.enum(METAL).safeParse(body[`metal-${place}`]);
      if (!found.success) problems.push({ text: `close-wrong-metal-${place}` });
      else {
        const pictures = photos[`photo-${place}`];
        findings.push({ service: metalAt, finding: found.data, place, ...(pictures && { photos: pictures }) });
      }
    }
  }
  if (done.includes('pump-protection-kit') && findings.some(({ finding }) => finding === 'metal')) {
    problems.push({ text: 'close-wrong-kit-on-metal' });
  }
  for (const id of done) {
    const known = FINDINGS[id];
    if (!known) continue;
    const found = body[`finding-${id}`];
    if (typeof found === 'string' && known.includes(found)) findings.push({ service: id, finding: found });
    else problems.push({ text: 'close-wrong-finding', values: { service: id } });
  }

  const rows = (count: number) => Array.from({ length: count }, (_, index) => index);
  const parts = rows(ROWS.parts).flatMap((index) => {
    const name = text(120).safeParse(body[`part${index}`] ?? '');
    const lot = text(60).safeParse(body[`lot${index}`] ?? '');
    if (!name.success || !lot.success) problems.push({ text: 'close-wrong-part' });
    if (lot.data && !name.data) problems.push({ text: 'close-wrong-lot', values: { lot: lot.data } });
    return name.data ? [{ name: name.data, ...(lot.data && { lot: lot.data }) }] : [];
  });
  const torques = rows(ROWS.torques).flatMap((index) => {
    const given = body[`torque${index}`];
    if (given === undefined || given === '') return [];
    const poundInches = z.coerce.number().positive().max(20_000).safeParse(given);
    const place = text(80).min(1).safeParse(body[`torqueAt${index}`]);
    if (!poundInches.success || !place.success) {
      problems.push({ text: 'close-wrong-torque' });
      return [];
    }
    return [{ place: place.data, poundInches: poundInches.data }];
  });
  const putOff = rows(ROWS.putOff).flatMap((index) => {
    const service = body[`putOff${index}`];
    if (service === undefined || service === '') return [];
    const id = z.enum(SERVICES).safeParse(service);
    const because = text(200).min(1).safeParse(body[`putOffBecause${index}`]);
    if (!id.success || !because.success) {
      problems.push({ text: 'close-wrong-put-off' });
      return [];
    }
    return [{ service: id.data, because: because.data }];
  });
  const note = text(1000).safeParse(body['note'] ?? '');
  if (!note.success) problems.push({ text: 'close-wrong-note' });
  if (problems.length > 0 || !date.success || miles.data === undefined) return { ok: false, problems };
  return {
    ok: true,
    report: {
      date: date.data,
      odometerMiles: miles.data,
      services: done,
      findings,
      putOff,
      ...(note.data && { note: note.data }),
      ...(parts.length > 0 && { parts }),
      ...(torques.length > 0 && { torques }),
      ...(photos['photo'] && { photos: photos['photo'] }),
    },
  };
}

/** What may be ticked as done: what was booked, and what was approved since. */
export const mayBeDone = (request: BookingRequest): ServiceId[] => [...new Set(approvedServices(request))];
