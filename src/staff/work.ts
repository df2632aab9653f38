import { DateTime } from 'luxon';
import {
  factsOf,
  slotNamed,
  slotStarting,
  SERVICES,
  workMinutesOf,
  type ApprovalWay,
  type BookingRequest,
  type ServiceId,
  type StaffAction,
  type Taken,
  type WorkItem,
} from '../core/mod.ts';
import { headOf, words, type CommandMeans, type StaffCommand } from './means.ts';
import { clockOn, dayFrom, isoOf } from './when.ts';

type OfRequest = Extract<StaffAction, { requestId: string }>;
type Bare = OfRequest extends infer A ? (A extends OfRequest ? Omit<A, 'requestId' | 'revision'> : never) : never;

/** An action on the request that the first word names, at the revision it has now. */
export async function onRequest(
  rest: string,
  means: CommandMeans,
  how: (said: string, request: BookingRequest) => Bare | string | Promise<Bare | string>,
): Promise<StaffCommand> {
  const [id, said] = headOf(rest);
  const view = await means.store.views.request(id);
  if (!view) return words('staff-no-request', means);
  const action = await how(said, view.request);
  if (typeof action === 'string') return words(action, means, { id });
  const { revision } = view.request;
  return { kind: 'action', ownerId: view.owner.id, action: { ...action, requestId: id, revision } as OfRequest };
}

const METAL = ['none', 'doubtful', 'metal'];

/** "92400 none": the odometer and what was seen of metal, and further services that were done. */
export function closing(said: string, request: BookingRequest, means: CommandMeans): Bare | string {
  const [milesText = '', ...more] = said.split(/\s+/).filter(Boolean);
  const miles = Number(milesText.replace(/,/g, ''));
  const metal = METAL.find((word) => more.includes(word));
  const named = servicesIn(more.filter((word) => word !== metal).join(' '));
  const services = named.length > 0 ? named : request.services;
  const fuelWork = services.some((id) => id === 'fuel-contamination-check' || id === 'pump-protection-kit');
  if (!Number.isInteger(miles) || miles <= 0 || (fuelWork && metal === undefined)) return 'staff-close-how';
  const findings = metal !== undefined ? [{ service: 'fuel-contamination-check' as const, finding: metal }] : [];
  const date = DateTime.fromISO(means.now(), { zone: means.flows.shop.zone }).toISODate() ?? '';
  return { do: 'close', report: { date, odometerMiles: miles, services, findings, putOff: [] } };
}

/** The services that a text names by their ids. */
export const servicesIn = (text: string): ServiceId[] => {
  const said = new Set(text.toLowerCase().split(/[\s,;]+/));
  return SERVICES.filter((id) => said.has(id));
};

/** "thu 9:00" or "2026-11-05 9:00 bay-2": the same work at another time, in its own bay unless one is named. */
export async function moving(said: string, request: BookingRequest, means: CommandMeans): Promise<Bare | string> {
  const [dayText = '', clockText = '', bayText] = said.split(/\s+/);
  const { shop } = means.flows;
  const day = dayFrom(dayText, means.now(), shop.zone);
  const start = day && clockOn(day, clockText);
  const bay = bayText ?? request.slot?.bay;
  if (!start || (bay !== undefined && !shop.bays.some(({ id }) => id === bay))) return 'staff-move-how';
  const from = isoOf(start);
  const facts = factsOf(request.facts);
  const found = slotNamed(
    { start: from, services: request.services, facts, ...(bayText !== undefined && { bay: bayText }) },
    await diaryOf(means, request.id),
    means.flows,
    means.now(),
  );
  if (found && request.slot) {
    const { bay: there, person } = found;
    const named = { bay: bayText ?? there, start: from, ...(person !== undefined && { person }) };
    return { do: 'move', slot: slotStarting(named, workMinutesOf(request.slot, shop), shop) };
  }
  return found ? { do: 'move', slot: found } : 'staff-move-not-free';
}

/** What stands in the diary, without one request's own entry. */
export async function diaryOf(means: CommandMeans, without?: string): Promise<Taken[]> {
  const now = means.now();
  const days = means.flows.shop.booking.horizonDays + 14;
  const to = new Date(Date.parse(now) + days * 86_400_000).toISOString().slice(0, 10);
  const from = new Date(Date.parse(now) - 86_400_000).toISOString().slice(0, 10);
  const diary = await means.store.transaction((tx) => tx.loadDiary(from, to, means.flows.shop.zone, now));
  return diary.taken.filter(({ holder }) => holder !== without);
}

/** "EGR cooler leaks $700-900; two hoses $140": each with what it costs, in whole dollars, and a service where one fits. */
export function moreWork(said: string): Bare | string {
  const parts = said
    .split(';')
    .map((part) => part.trim())
    .filter(Boolean);
  const items = parts.map(itemOf);
  if (items.length === 0 || items.some((item) => item === undefined)) return 'staff-more-how';
  return { do: 'ask-approval', items: items.filter((item) => item !== undefined) };
}

function itemOf(part: string): WorkItem | undefined {
  const [whole, lowText, highText] = /\$\s*([\d,]+)(?:\s*(?:-|–|to)\s*\$?\s*([\d,]+))?/.exec(part) ?? [];
  const money = (text: string) => Number(text.replace(/,/g, ''));
  if (whole === undefined || lowText === undefined) return undefined;
  const low = money(lowText);
  const high = highText === undefined ? low : money(highText);
  const [service] = servicesIn(part);
  const what = part
    .replace(whole, '')
    .replace(service ?? '', '')
    .replace(/[\s,]+/g, ' ')
    .trim();
  if (high < low || (what === '' && !service)) return undefined;
  return { what: what === '' ? String(service) : what, ...(service && { service }), dollars: { low, high } };
}

const WAYS: [RegExp, Exclude<ApprovalWay, 'chat'>][] = [
  [/\b(?:by )?phone\b|\bcall(?:ed)?\b/i, 'phone'],
  [/\bin person\b|\bat the counter\b/i, 'in-person'],
  [/\bin writing\b|\bsigned\b|\bletter\b|\bmail\b/i, 'in-writing'],
];

/** "yes by phone Rosalind Oakshott", "1 3 in person …", "no signed …": what was said, how, and who said it. */
export function approved(said: string): Bare | string {
  const [, answerText = '', rest = ''] = /^(yes|no|\d[\d\s,]*(?=\D|$))\s*([\s\S]*)$/i.exec(said.trim()) ?? [];
  const way = WAYS.find(([pattern]) => pattern.test(rest));
  const who = way
    ? rest
        .replace(way[0], '')
        .replace(/[\s,]+/g, ' ')
        .trim()
    : '';
  if (answerText === '' || !way || who === '') return 'staff-approved-how';
  const items = (answerText.match(/\d+/g) ?? []).map((number) => Number(number) - 1);
  const answer = /^yes$/i.test(answerText) ? 'yes' : /^no$/i.test(answerText) ? 'no' : 'in-part';
  return { do: 'record-approval', answer, items, who, how: way[1] };
}

/** "97,420; keys on hook 4; scratch on the left door; limit $300 Ann Lee; old parts yes": in any order, all optional. */
export function arrivalOf(said: string): Extract<Bare, { do: 'arrive' }> | string {
  const arrival: NonNullable<Extract<Bare, { do: 'arrive' }>['arrival']> = {};
  for (const part of said
    .split(';')
    .map((text) => text.trim())
    .filter(Boolean)) {
    const miles = /^([\d,]+)(?:\s*mi(?:les)?)?$/i.exec(part)?.[1];
    const keys = /^keys?\s+(.+)$/i.exec(part)?.[1];
    const damage = /^damage\s+(.+)$/i.exec(part)?.[1];
    const limit = /^limit\s+\$?\s*([\d,]+)\s+(.+)$/i.exec(part);
    const parts = /^old parts\s+(yes|no)$/i.exec(part)?.[1];
    if (miles) arrival.odometerMiles = Number(miles.replace(/,/g, ''));
    else if (keys) arrival.keys = keys;
    else if (damage) arrival.damage = /^none$/i.test(damage) ? '' : damage;
    else if (limit?.[1] && limit[2])
      arrival.diagnosisLimit = { dollars: Number(limit[1].replace(/,/g, '')), signedBy: limit[2] };
    else if (parts) arrival.oldPartsWanted = /^yes$/i.test(parts);
    else return 'staff-here-how';
  }
  return { do: 'arrive', ...(Object.keys(arrival).length > 0 && { arrival }) };
}
