import {
  compileFlows,
  turn,
  type FollowUp,
  type InboxEvent,
  type OwnerFile,
  type Vehicle,
} from '../../src/core/mod.ts';
import { readFlowsFolder } from '../../src/flows-folder.ts';

const checked = compileFlows(readFlowsFolder());
if (!checked.ok) throw new Error('flows/ is not sound');
export const flows = checked.value;

/** Ten in the morning of a Tuesday in the demo shop's zone. */
export const NOW = '2027-02-02T17:00:00.000Z';
const CREATED = '2026-09-01T17:00:00.000Z';

export const inDays = (days: number, from = NOW): string =>
  new Date(Date.parse(from) + days * 86_400_000).toISOString();

/** A diesel pickup with two readings, a protection kit, and a filter that was changed at so many miles. */
export function pickup(id: string, miles: number, filterAt: number, unit?: string): Vehicle {
  const facts = {
    modelYear: 2018,
    engineLitres: 6.7,
    cylinders: 8,
    layout: 'V',
    fuel: 'diesel',
    pumpProtected: true,
    odometerMiles: miles,
    lastFuelFilterMiles: filterAt,
  };
  return {
    id,
    state: 'active',
    unknowable: [],
    records: [],
    createdAt: CREATED,
    ...(unit !== undefined && { papers: { unit } }),
    readings: [
      { id: `${id}-1`, miles: miles - 5_000, date: '2026-09-01', source: 'owner' },
      { id: `${id}-2`, miles, date: '2026-12-20', source: 'owner' },
    ],
    facts: Object.entries(facts).map(([key, value]) => ({
      key,
      value,
      sure: true,
      source: 'owner',
      at: CREATED,
    })) as Vehicle['facts'],
  };
}

export const waiting = (id: string, kind: FollowUp['kind'], vehicleId: string, dueAt = NOW): FollowUp => ({
  id,
  kind,
  vehicleId,
  dueAt,
  state: 'waiting',
  services: ['fuel-filter-service'],
  attempts: 0,
  log: [{ at: CREATED, what: 'planned' }],
});

/** An owner on Telegram who agreed to be reminded. */
export function ownerFile(
  vehicles: Vehicle[],
  followUps: FollowUp[],
  owner: Partial<OwnerFile['owner']> = {},
): OwnerFile {
  return {
    owner: {
      id: 'o1',
      language: 'en',
      zone: 'America/Denver',
      name: 'Wren Holt',
      phone: '303-555-0111',
      channel: 'telegram',
      createdAt: CREATED,
      consent: { at: CREATED, wording: 'yes' },
      ...owner,
    },
    conversation: {
      position: null,
      vehicleId: vehicles[0]?.id ?? null,
      question: null,
      answered: [],
      matter: null,
      offered: [],
      offersPassed: 0,
      chosen: null,
      services: [],
      pending: [],
      warned: [],
      hints: [],
      notUnderstood: 0,
      greeted: true,
      lastHeardAt: CREATED,
    },
    vehicles,
    requests: [],
    followUps,
    unaskedAt: [],
  };
}

type Bare<T> = T extends unknown ? Omit<T, 'id' | 'at'> : never;

/** One owner's talk, turn by turn, under a clock that the test moves. */
export function talkOf(first: OwnerFile) {
  let file = first;
  let now = NOW;
  let ordinal = 0;
  const happens = (event: Bare<InboxEvent>) => {
    ordinal += 1;
    const whole = { ...event, id: `i${ordinal}`, at: now } as InboxEvent;
    const known = { file, diary: { taken: [], from: '2020-01-01', to: '2030-01-01' } } as unknown as Parameters<
      typeof turn
    >[0];
    const result = turn(known, whole, flows, now);
    if (!result.done) throw new Error('a diary was there, and it was wanted all the same');
    file = result.next;
    return result;
  };
  return {
    get file() {
      return file;
    },
    at(instant: string) {
      now = instant;
    },
    clock: (followUpId: string) => happens({ kind: 'time', followUpId }),
    says: (text: string) => happens({ kind: 'message', channel: 'telegram', text, messageRef: `m${ordinal}` }),
    taps(label: string) {
      const { question } = file.conversation;
      const option = question?.options.find((one) => one.label === label);
      if (!question || !option)
        throw new Error(`no button says "${label}": ${question?.options.map((o) => o.label).join(', ')}`);
      return happens({ kind: 'button', channel: 'telegram', data: `q:${question.id}:${option.id}` });
    },
    happens,
  };
}
