import { describe, expect, it } from 'vitest';
import { answerBy, changeRequest, type RequestAction } from '../../../src/core/book/mod.ts';
import { REQUEST_STATES, type BookingRequest, type RequestState } from '../../../src/core/model/owner.ts';
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
  'ask-approval': { do: 'ask-approval', what: 'the EGR cooler leaks' },
  approval: { do: 'approval', answer: 'in-part', note: 'the cooler, not the hoses; by phone' },
  close: { do: 'close' },
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
    'choose-time': 'requested',
    move: 'accepted',
    cancel: 'cancelled',
    arrive: 'arrived',
    'no-show': 'no-show',
    'start-work': 'in-work',
    close: 'closed',
    note: 'accepted',
  },
  arrived: {
    move: 'arrived',
    cancel: 'cancelled',
    'start-work': 'in-work',
    'ask-approval': 'awaiting-approval',
    close: 'closed',
    note: 'arrived',
  },
  'no-show': { arrive: 'arrived', note: 'no-show' },
  'in-work': { move: 'in-work', 'ask-approval': 'awaiting-approval', close: 'closed', note: 'in-work' },
  'awaiting-approval': {
    move: 'awaiting-approval',
    'ask-approval': 'awaiting-approval',
    approval: 'in-work',
    close: 'closed',
    note: 'awaiting-approval',
  },
  declined: {},
  cancelled: {},
  closed: {},
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

  it('keeps the answer about more work with its words', () => {
    const waiting = requestWith({ state: 'awaiting-approval' });
    const { request } = changed(waiting, { do: 'approval', answer: 'in-part', note: 'cooler yes, hoses no' }, 'owner');
    expect(request.history.at(-1)).toMatchObject({
      by: 'owner',
      what: 'in-work',
      note: 'in-part: cooler yes, hoses no',
    });
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
