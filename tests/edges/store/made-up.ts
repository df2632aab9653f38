import type {
  BookingRequest,
  FollowUp,
  InboxEvent,
  Instant,
  Known,
  OwnerFile,
  Reply,
  TurnResult,
  Vehicle,
} from '../../../src/core/mod.ts';
import type { Incoming, Log } from '../../../src/edges/store/types.ts';

export const silent: Log = { info: () => {}, warn: () => {}, error: () => {} };
export const OPT_OUT_KEY = 'a key for tests only';
export const NOW = '2026-11-02T16:00:00.000Z';
export const ZONE = 'America/Denver';

/** A moment so many minutes after the tests' now. */
export const after = (minutes: number): Instant => new Date(Date.parse(NOW) + minutes * 60_000).toISOString();

export const says = (text: string, address = 'a1', externalId = `${address}:${text}`): Incoming => ({
  channel: 'web',
  address,
  externalId,
  event: { kind: 'message', channel: 'web', at: NOW, messageRef: externalId, text },
});

export const truck = (id: string, more: Partial<Vehicle> = {}): Vehicle => ({
  id,
  state: 'active',
  facts: [],
  unknowable: [],
  readings: [],
  records: [],
  createdAt: NOW,
  ...more,
});

export const request = (id: string, vehicleId: string, more: Partial<BookingRequest> = {}): BookingRequest => ({
  id,
  vehicleId,
  state: 'requested',
  revision: 1,
  createdAt: NOW,
  answerBy: after(240),
  services: ['scan-diagnosis'],
  slot: { bay: 'bay-1', start: '2026-11-05T09:00:00-07:00', end: '2026-11-05T10:30:00-07:00' },
  complaint: ['it stalls at idle'],
  facts: [{ key: 'modelYear', value: 2015, words: "a '15", source: 'owner', sure: true, at: NOW }],
  advice: {
    urgency: 'prompt',
    services: [
      { id: 'scan-diagnosis', because: ['It stalls.'], rules: ['stalls'], labourHours: { low: 1, high: 1.5 } },
    ],
    bundle: { labourHours: { low: 1, high: 1.5 }, savedHours: { low: 0, high: 0 } },
    cautions: [{ id: 'sudden-power-loss', text: 'The engine may stop while you drive.' }],
    stillUnknown: [],
    notAdvised: [],
    doNow: [],
    notes: [],
    shopNotes: [],
    dueAt: [],
    dangers: [],
    families: [],
  },
  estimate: {
    labourHours: { low: 1, high: 1.5 },
    parts: { low: 0, high: 0 },
    total: { low: 150, high: 225 },
    currency: 'USD',
    lines: [],
    leftOut: ['tax'],
  },
  photos: [],
  history: [{ at: NOW, by: 'owner', what: 'requested' }],
  calendarSequence: 0,
  ...more,
});

export const followUp = (id: string, dueAt: Instant, more: Partial<FollowUp> = {}): FollowUp => ({
  id,
  kind: 'odometer-check',
  dueAt,
  state: 'waiting',
  services: [],
  attempts: 0,
  log: [],
  ...more,
});

const toOwner = (text: string, more: Partial<Reply> = {}): Reply => ({ to: 'owner', text, buttons: [], ...more });

/**
 * A turn that does what its message says, for tests of everything around the turn:
 * `odometer N`, `book BAY START END`, `remind MINUTES`, `forget`, `fail`, `tell the shop`; anything else is echoed.
 */
export function madeUpTurn(
  { file, diary, token }: Known,
  event: InboxEvent,
  _flows: unknown,
  now: Instant,
): TurnResult {
  const done = (
    next: OwnerFile,
    replies: Reply[],
    effects: (TurnResult & { done: true })['effects'] = [],
  ): TurnResult => ({
    done: true,
    next,
    replies,
    effects,
    trace: [],
  });
  const heard: OwnerFile = { ...file, conversation: { ...file.conversation, lastHeardAt: event.at } };
  switch (event.kind) {
    case 'message':
      return onMessage(event.text);
    case 'time': {
      const followUps = file.followUps.map((one) =>
        one.id === event.followUpId ? { ...one, state: 'sent' as const, attempts: one.attempts + 1 } : one,
      );
      return done({ ...file, followUps }, [toOwner('What does the odometer say?', { unasked: true })]);
    }
    case 'staff':
      return done(
        { ...file, requests: file.requests.map((one) => ({ ...one, state: 'accepted', revision: one.revision + 1 })) },
        [toOwner('The shop accepted.')],
        [{ do: 'answer-staff', text: `done by ${event.by.name}` }],
      );
    case 'unreachable':
      return done({ ...file, owner: { ...file.owner, unreachableSince: now } }, []);
    default:
      return done(heard, [toOwner(`seen: ${event.kind}`)]);
  }

  function onMessage(text: string): TurnResult {
    const [word = '', ...rest] = text.split(' ');
    const vehicle = file.vehicles[0] ?? truck(`${event.id}-v`);
    switch (word) {
      case 'odometer': {
        const reading = {
          id: `${event.id}-r`,
          miles: Number(rest[0]),
          date: now.slice(0, 10),
          source: 'owner' as const,
        };
        const grown = { ...vehicle, readings: [...vehicle.readings, reading] };
        return done({ ...heard, vehicles: [grown, ...file.vehicles.slice(1)] }, [toOwner(`noted ${rest[0]}`)]);
      }
      case 'book': {
        const [bay = '', start = '', end = ''] = rest;
        if (!diary) return { done: false, need: { need: 'diary', from: start.slice(0, 10), to: end.slice(0, 10) } };
        const clash = diary.taken.some(
          (taken) =>
            taken.bay === bay && Date.parse(taken.start) < Date.parse(end) && Date.parse(taken.end) > Date.parse(start),
        );
        if (clash) return done(heard, [toOwner('That time is gone.')]);
        const booked = request(`${event.id}-q`, vehicle.id, { slot: { bay, start, end } });
        const vehicles = file.vehicles.length > 0 ? file.vehicles : [vehicle];
        return done({ ...heard, vehicles, requests: [...file.requests, booked] }, [toOwner('Requested.')]);
      }
      case 'remind': {
        const due = new Date(Date.parse(now) + Number(rest[0]) * 60_000).toISOString();
        return done({ ...heard, followUps: [...file.followUps, followUp(`${event.id}-f`, due)] }, [
          toOwner('Will do.'),
        ]);
      }
      case 'forget':
        return done(heard, [toOwner('Forgotten.')], [{ do: 'forget-owner' }]);
      case 'fail':
        throw new Error(`cannot read ${text}`);
      case 'link':
        return done(heard, [toOwner(`Your code: ${token}`)], [{ do: 'offer-link', code: token ?? '' }]);
      case 'tell':
        return done(heard, [{ to: 'staff', text, buttons: [] }]);
      default:
        return done(heard, [toOwner(`you said: ${text}`)]);
    }
  }
}
