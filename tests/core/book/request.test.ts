import { describe, expect, it } from 'vitest';
import { answerBy, changeRequest, type RequestAction } from '../../../src/core/book/mod.ts';
import {
  REQUEST_STATES,
  type BookingRequest,
  type RequestState,
  type WorkItem,
} from '../../../src/core/model/owner.ts';
import { shop, shopWith, texts } from './fixtures.ts';
import { requestWith, slotAt } from './requests.ts';

const AT = '2026-11-03T16:00:00.000Z';
const later = slotAt('2026-11-06T09:00:00-07:00', '2026-11-06T11:00:00-07:00', 'bay-2');

const change = (request: BookingRequest, action: RequestAction, by = 'Perrin Tockley', at = AT) =>
  changeRequest(request, action, by, at, shop);

function changed(request: BookingRequest, action: RequestAction, by?: string, at?: string) {
  const result = change(request, action, by, at);
  if (!result.ok) throw new Error(`refused: ${result.because.text}`);
  return result;
}

function refusal(request: BookingRequest, action: RequestAction, at?: string): string {
  const result = change(request, action, 'Juna Fenwhistle', at);
  if (result.ok) throw new Error(`became ${result.request.state}`);
  return texts.say('en', result.because.text, result.because.values);
}

const cooler: WorkItem = {
  what: 'the EGR cooler leaks',
  service: 'egr-cooler-inspection',
  dollars: { low: 700, high: 900 },
};
const hoses: WorkItem = { what: 'two coolant hoses are soft', dollars: { low: 120, high: 160 } };

const ACTIONS: Record<string, RequestAction> = {
  accept: { do: 'accept' },
  decline: { do: 'decline', because: 'no parts' },
  'offer-time': { do: 'offer-time', slot: later },
  'take-time': { do: 'take-time' },
  'choose-time': { do: 'choose-time', slot: later },
  move: { do: 'move', slot: later },
  cancel: { do: 'cancel' },
  arrive: { do: 'arrive' },
  'no-show': { do: 'no-show' },
  'start-work': { do: 'start-work' },
  lengthen: { do: 'lengthen', hours: 2 },
  'record-arrival': { do: 'record-arrival', arrival: { keys: 'hook 4' } },
  'ask-approval': { do: 'ask-approval', items: [cooler, hoses] },
  approval: { do: 'approval', answer: 'in-part', items: [0], who: 'Rosalind Oakshott', how: 'phone' },
  close: { do: 'close' },
  phoned: { do: 'phoned' },
  escalate: { do: 'escalate' },
  note: { do: 'note', note: 'asked for a loan car' },
};

/** The life of a request: for each state the actions that make sense in it, and where they lead. */
const LIFE: Record<RequestState, Partial<Record<keyof typeof ACTIONS, RequestState>>> = {
  requested: {
    accept: 'accepted',
    decline: 'declined',
    'offer-time': 'other-time',
    'choose-time': 'requested',
    move: 'requested',
    cancel: 'cancelled',
    escalate: 'requested',
    note: 'requested',
  },
  'other-time': {
    'take-time': 'accepted',
    'offer-time': 'other-time',
    decline: 'declined',
    'choose-time': 'requested',
    move: 'other-time',
    cancel: 'cancelled',
    note: 'other-time',
  },
  accepted: {
    'offer-time': 'other-time',
    'choose-time': 'requested',
    move: 'accepted',
    lengthen: 'accepted',
    cancel: 'cancelled',
    arrive: 'arrived',
    'no-show': 'no-show',
    'start-work': 'in-work',
    close: 'closed',
    note: 'accepted',
  },
  arrived: {
    move: 'arrived',
    lengthen: 'arrived',
    'record-arrival': 'arrived',
    cancel: 'cancelled',
    'start-work': 'in-work',
    'ask-approval': 'awaiting-approval',
    close: 'closed',
    note: 'arrived',
  },
  'no-show': { arrive: 'arrived', note: 'no-show' },
  'in-work': {
    move: 'in-work',
    lengthen: 'in-work',
    'record-arrival': 'in-work',
    'ask-approval': 'awaiting-approval',
    close: 'closed',
    note: 'in-work',
  },
  'awaiting-approval': {
    move: 'awaiting-approval',
    lengthen: 'awaiting-approval',
    'record-arrival': 'awaiting-approval',
    approval: 'in-work',
    note: 'awaiting-approval',
  },
  declined: {},
  cancelled: {},
  closed: { phoned: 'closed' },
};

describe('the life of a request', () => {
  // Noon of the appointment's own day, so that a no-show can be seen and the time has not passed by for good.
  const day = slotAt('2026-11-05T12:00:00-07:00', '2026-11-05T14:00:00-07:00');
  const cases = REQUEST_STATES.flatMap((state) =>
    Object.keys(ACTIONS).map((name) => [state, name, LIFE[state][name]] as const),
  );

  it.each(cases)('%s, then %s: %s', (state, name, next) => {
    const action = ACTIONS[name];
    if (!action) throw new Error(name);
    const result = change(requestWith({ state, slot: day }), action, 'Perrin Tockley', '2026-11-05T19:00:00.000Z');
    expect(result.ok ? result.request.state : undefined).toBe(next);
  });

  it('keeps who did what, when and why', () => {
    const { request } = changed(requestWith(), { do: 'decline', because: 'no bay is high enough' });
    expect(request.history.at(-1)).toEqual({
      at: AT,
      by: 'Perrin Tockley',
      what: 'declined',
      note: 'no bay is high enough',
    });
  });

  it('adds what is taken down later to what was taken down at arrival', () => {
    const here = changed(requestWith({ state: 'accepted' }), {
      do: 'arrive',
      arrival: { odometerMiles: 97_400 },
    }).request;
    const { request } = changed(here, { do: 'record-arrival', arrival: { damage: '', oldPartsWanted: true } });
    expect(request.arrival).toMatchObject({ odometerMiles: 97_400, damage: '', oldPartsWanted: true });
  });

  it('leaves the request that it was given as it is', () => {
    const before = requestWith();
    const copy = structuredClone(before);
    changed(before, { do: 'accept' });
    expect(before).toEqual(copy);
  });

  it('asks the shop anew, with a new time to answer by, when the owner wants another time', () => {
    const { request } = changed(requestWith(), { do: 'choose-time', slot: later }, 'owner');
    expect(request).toMatchObject({ state: 'requested', slot: later, answerBy: answerBy(AT, shop) });
  });
});

describe('more work that was found', () => {
  const asked = (items: WorkItem[] = [cooler, hoses]) =>
    changed(requestWith({ state: 'in-work' }), { do: 'ask-approval', items, because: 'seen with the manifold off' })
      .request;
  const answer = (said: 'yes' | 'no' | 'in-part', items: number[]): RequestAction => ({
    do: 'approval',
    answer: said,
    items,
    who: 'Rosalind Oakshott',
    how: 'phone',
    recordedBy: 'Perrin Tockley',
  });

  it('stands with what, how much, who asked and when', () => {
    expect(asked().moreWork).toEqual([
      {
        id: 'r-1-w1',
        askedAt: AT,
        askedBy: 'Perrin Tockley',
        because: 'seen with the manifold off',
        items: [cooler, hoses],
      },
    ]);
  });

  it.each<[string, 'yes' | 'no' | 'in-part', number[], 'yes' | 'no' | 'in-part', number[]]>([
    ['yes is to all of it', 'yes', [], 'yes', [0, 1]],
    ['no is to none of it', 'no', [0], 'no', []],
    ['in part is to what was named', 'in-part', [1], 'in-part', [1]],
    ['naming all of it is a yes', 'in-part', [0, 1], 'yes', [0, 1]],
    ['naming what was not asked is a no', 'in-part', [7], 'no', []],
  ])('%s', (_why, said, items, kept, may) => {
    const { request } = changed(asked(), answer(said, items));
    expect(request.moreWork?.[0]?.answer).toEqual({
      answer: kept,
      items: may,
      who: 'Rosalind Oakshott',
      how: 'phone',
      at: AT,
      recordedBy: 'Perrin Tockley',
    });
  });

  it('keeps the work waiting: it cannot be closed before the answer', () => {
    expect(refusal(asked(), { do: 'close', services: ['oil-service'] })).toMatch(/waiting for approval/);
  });

  it.each<[string, 'yes' | 'no' | 'in-part', number[], boolean]>([
    ['a yes lets it be done', 'yes', [], true],
    ['a no does not', 'no', [], false],
    ['a yes to the other item does not', 'in-part', [1], false],
  ])('%s', (_why, said, items, may) => {
    const { request } = changed(asked(), answer(said, items));
    const result = change(request, { do: 'close', services: ['oil-service', 'egr-cooler-inspection'] });
    expect(result.ok).toBe(may);
    if (!result.ok) expect(result.because.services).toEqual(['egr-cooler-inspection']);
  });

  it('is not done when it was never asked', () => {
    expect(refusal(requestWith({ state: 'in-work' }), { do: 'close', services: ['intake-cleaning'] })).toMatch(
      /neither booked nor approved: intake-cleaning/,
    );
  });

  it('may be asked a second time after the first answer', () => {
    const first = changed(asked([cooler]), answer('no', [])).request;
    const second = changed(first, { do: 'ask-approval', items: [hoses] }).request;
    expect(second.moreWork?.map(({ id }) => id)).toEqual(['r-1-w1', 'r-1-w2']);
    expect(change(second, { do: 'ask-approval', items: [cooler] }).ok).toBe(false);
  });

  it('must name something', () => {
    expect(refusal(requestWith({ state: 'in-work' }), { do: 'ask-approval', items: [] })).toMatch(/what is to be/);
  });
});

describe('a job that takes longer', () => {
  it.each<[string, string, number, string]>([
    ['ends later on the same day', '2026-11-05T11:00:00-07:00', 2, '2026-11-05T13:00:00-07:00'],
    ['goes on the next morning, after the night', '2026-11-05T16:30:00-07:00', 2, '2026-11-06T08:30:00-07:00'],
    ['pauses over Sunday', '2026-11-07T11:30:00-07:00', 1, '2026-11-09T08:00:00-07:00'],
    ['ends earlier where it takes less', '2026-11-05T13:00:00-07:00', -2, '2026-11-05T11:00:00-07:00'],
  ])('%s', (_why, end, hours, until) => {
    const slot = slotAt(end.startsWith('2026-11-07') ? '2026-11-07T09:00:00-07:00' : '2026-11-05T09:00:00-07:00', end);
    const { request } = changed(requestWith({ state: 'in-work', slot }), { do: 'lengthen', hours });
    expect(request.slot).toEqual({ ...slot, end: until });
  });
});

describe('two people on one request', () => {
  it('tells the second who was first', () => {
    const { request } = changed(requestWith(), { do: 'accept', revision: 1 });
    expect(refusal(request, { do: 'decline', because: 'full', revision: 1 })).toBe(
      'This request is already accepted by Perrin Tockley.',
    );
  });

  it('tells a second press of the same button the same', () => {
    const { request } = changed(requestWith(), { do: 'accept', revision: 1 });
    expect(refusal(request, { do: 'accept' })).toBe('This request is already accepted by Perrin Tockley.');
  });

  it('tells of a move as well as of a state', () => {
    const { request } = changed(requestWith({ state: 'accepted' }), { do: 'move', slot: later, revision: 1 });
    expect(refusal(request, { do: 'arrive', revision: 1 })).toBe('This request is already moved by Perrin Tockley.');
  });

  it('lets neither a note nor the clock come between', () => {
    const noted = changed(requestWith(), { do: 'note', note: 'call before noon' }).request;
    const escalated = changed(noted, { do: 'escalate' }, 'clock').request;
    expect(changed(escalated, { do: 'accept', revision: 1 }).request.state).toBe('accepted');
  });

  it('says in both languages what cannot be done, in every state', () => {
    for (const state of REQUEST_STATES) {
      for (const action of Object.values(ACTIONS)) {
        const result = change(requestWith({ state }), { ...action, revision: 1 });
        if (result.ok) continue;
        for (const language of ['en', 'es'] as const) {
          expect(texts.say(language, result.because.text, result.because.values)).toMatch(/\.$/);
        }
      }
    }
  });
});

describe('a time', () => {
  it.each<[string, BookingRequest, RequestAction, string, RegExp]>([
    ['that has passed cannot be accepted', requestWith(), { do: 'accept' }, '2026-11-05T16:00:01.000Z', /has passed/],
    [
      'that has passed cannot be offered',
      requestWith(),
      { do: 'offer-time', slot: later },
      '2026-11-07T00:00:00.000Z',
      /has passed/,
    ],
    ['must be there to be accepted', requestWith({ slot: null }), { do: 'accept' }, AT, /no time yet/],
    [
      'must have come before nobody has shown',
      requestWith({ state: 'accepted' }),
      { do: 'no-show' },
      AT,
      /not come yet/,
    ],
  ])('%s', (_why, request, action, at, message) => {
    const text = refusal(request, action, at === '2026-11-05T16:00:01.000Z' ? '2026-11-05T16:01:00.000Z' : at);
    expect(text).toMatch(message);
  });

  it('may be lengthened while the work is under way', () => {
    const longer = slotAt('2026-11-05T09:00:00-07:00', '2026-11-05T15:00:00-07:00');
    const { request } = changed(
      requestWith({ state: 'in-work' }),
      { do: 'move', slot: longer },
      undefined,
      '2026-11-05T17:00:00.000Z',
    );
    expect(request.slot).toEqual(longer);
  });
});

describe("what the owner's calendar is told", () => {
  it.each<[string, Partial<BookingRequest>, RequestAction, string | undefined]>([
    ['a new appointment', {}, { do: 'accept' }, 'created'],
    ['another time that the owner took', { state: 'other-time' }, { do: 'take-time' }, 'created'],
    ['a move', { state: 'accepted', calendarSequence: 1 }, { do: 'move', slot: later }, 'moved'],
    ['a cancellation', { state: 'accepted', calendarSequence: 1 }, { do: 'cancel' }, 'cancelled'],
    [
      'a wish for another time takes the old one out',
      { state: 'accepted' },
      { do: 'choose-time', slot: later },
      'cancelled',
    ],
    [
      'another time that the shop offers takes the old one out',
      { state: 'accepted' },
      { do: 'offer-time', slot: later },
      'cancelled',
    ],
    ['a longer job', { state: 'accepted', calendarSequence: 1 }, { do: 'lengthen', hours: 1 }, 'moved'],
    ['nothing of a request that never stood there', {}, { do: 'cancel' }, undefined],
    ['nothing of arrival', { state: 'accepted' }, { do: 'arrive' }, undefined],
  ])('%s', (_why, state, action, calendar) => {
    const before = requestWith(state);
    const result = changed(before, action);
    expect(result.calendar).toBe(calendar);
    expect(result.request.calendarSequence - before.calendarSequence).toBe(calendar === undefined ? 0 : 1);
  });
});

describe('by when the shop answers', () => {
  it.each([
    ['within the day', '2026-11-02T16:00:00.000Z', '2026-11-02T20:00:00.000Z'],
    ['over night: 16:30 and four working hours', '2026-11-02T23:30:00.000Z', '2026-11-03T17:30:00.000Z'],
    ['over Sunday: Saturday 11:00', '2026-11-07T18:00:00.000Z', '2026-11-09T17:30:00.000Z'],
    ['over a holiday', '2026-11-25T23:30:00.000Z', '2026-11-27T17:30:00.000Z'],
    [
      'over the end of summer time: Saturday 11:00 to Monday 10:30',
      '2026-10-31T17:00:00.000Z',
      '2026-11-02T17:30:00.000Z',
    ],
  ])('%s', (_why, now, by) => {
    expect(answerBy(now, shop)).toBe(by);
  });

  it('is a day later where the shop is closed for over a year', () => {
    const days = Array.from({ length: 420 }, (_, day) =>
      new Date(Date.UTC(2026, 10, 1 + day)).toISOString().slice(0, 10),
    );
    const shut = shopWith({ closed: days.map((date) => ({ date, why: 'away' })) });
    expect(answerBy('2026-11-02T16:00:00.000Z', shut)).toBe('2026-11-03T16:00:00.000Z');
  });
});
