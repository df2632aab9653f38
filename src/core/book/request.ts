import type { Slot } from '../model/booking.ts';
import type { BookingRequest, RequestState } from '../model/owner.ts';
import type { Shop } from '../model/shop.ts';
import type { Instant } from '../model/time.ts';
import { calendarOf } from './calendar.ts';
import { minuteOfIso } from './wall-clock.ts';

/**
 * What happens to a request. Staff actions on a request are among them as they stand; `take-time` and `choose-time`
 * are the owner's, `escalate` the clock's. `revision` is the one that the actor saw; absent, the present one is meant.
 */
export type RequestAction = { revision?: number } & (
  | { do: 'accept' }
  | { do: 'decline'; because: string }
  /** The shop answers with another time. */
  | { do: 'offer-time'; slot: Slot }
  /** The owner takes the other time that the shop offered. */
  | { do: 'take-time' }
  /** The owner asks for another time; the shop answers anew. */
  | { do: 'choose-time'; slot: Slot }
  /** The shop moves or lengthens the work. */
  | { do: 'move'; slot: Slot }
  | { do: 'cancel'; because?: string }
  | { do: 'arrive' | 'start-work' | 'no-show' }
  /** More work was found: `what` is to be approved before it is done. */
  | { do: 'ask-approval'; what: string }
  | { do: 'approval'; answer: 'yes' | 'no' | 'in-part'; note: string }
  | { do: 'close'; note?: string }
  /** Nobody has answered in time. */
  | { do: 'escalate' }
  | { do: 'note'; note: string }
);

/** What the owner's calendar must be told. */
export type CalendarChange = 'created' | 'moved' | 'cancelled';

/** Why an action was refused: a text of flows/texts with its values. */
export interface Refusal {
  text: 'request-already' | 'request-not-now' | 'request-no-time' | 'request-time-past' | 'request-not-due';
  values: Record<string, string>;
}

export type ChangeResult =
  { ok: true; request: BookingRequest; calendar?: CalendarChange } | { ok: false; because: Refusal };

type ActionName = RequestAction['do'];

/** In which states an action makes sense, and where it leads; `same` leaves the state as it is. */
const LIFE: Record<ActionName, { from: readonly RequestState[]; to: RequestState | 'same' }> = {
  accept: { from: ['requested'], to: 'accepted' },
  decline: { from: ['requested', 'other-time'], to: 'declined' },
  'offer-time': { from: ['requested', 'other-time'], to: 'other-time' },
  'take-time': { from: ['other-time'], to: 'accepted' },
  'choose-time': { from: ['requested', 'other-time', 'accepted'], to: 'requested' },
  move: { from: ['requested', 'other-time', 'accepted', 'arrived', 'in-work', 'awaiting-approval'], to: 'same' },
  cancel: { from: ['requested', 'other-time', 'accepted', 'arrived'], to: 'cancelled' },
  arrive: { from: ['accepted', 'no-show'], to: 'arrived' },
  'no-show': { from: ['accepted'], to: 'no-show' },
  'start-work': { from: ['accepted', 'arrived'], to: 'in-work' },
  'ask-approval': { from: ['arrived', 'in-work', 'awaiting-approval'], to: 'awaiting-approval' },
  approval: { from: ['awaiting-approval'], to: 'in-work' },
  close: { from: ['accepted', 'arrived', 'in-work', 'awaiting-approval'], to: 'closed' },
  escalate: { from: ['requested'], to: 'same' },
  note: {
    from: ['requested', 'other-time', 'accepted', 'arrived', 'no-show', 'in-work', 'awaiting-approval'],
    to: 'same',
  },
};

/** States in which the appointment stands in the owner's calendar. */
const IN_CALENDAR: readonly RequestState[] = ['accepted', 'arrived', 'in-work', 'awaiting-approval'];

/**
 * One change of a request, or why it is refused. `by` is who acts, by name, as it stands in the history afterwards.
 * Changes of state or time raise the revision; an action on an older revision is told who was first. Notes and
 * escalation raise nothing, so that they cannot come between a person and the request.
 */
export function changeRequest(
  request: BookingRequest,
  action: RequestAction,
  by: string,
  at: Instant,
  shop: Shop,
): ChangeResult {
  const refusal = objectionTo(request, action, at);
  if (refusal) return { ok: false, because: refusal };
  const { to } = LIFE[action.do];
  const state = to === 'same' ? request.state : to;
  const slot = 'slot' in action ? action.slot : request.slot;
  const silent = action.do === 'note' || action.do === 'escalate';
  const note = noteOf(action);
  const what = action.do === 'escalate' ? 'escalated' : action.do === 'note' ? 'note' : to === 'same' ? 'moved' : to;
  const next: BookingRequest = {
    ...request,
    state,
    slot,
    revision: request.revision + (silent ? 0 : 1),
    history: [...request.history, { at, by, what, ...(note === undefined ? {} : { note }) }],
  };
  if (action.do === 'choose-time') next.answerBy = answerBy(at, shop);
  const calendar = calendarChange(request, next);
  if (calendar === undefined) return { ok: true, request: next };
  return { ok: true, request: { ...next, calendarSequence: request.calendarSequence + 1 }, calendar };
}

function objectionTo(request: BookingRequest, action: RequestAction, at: Instant): Refusal | undefined {
  const known = LIFE[action.do].from.includes(request.state);
  const stale = action.revision !== undefined && action.revision !== request.revision;
  if (stale || (!known && repeats(action, request.state))) {
    const last = request.history.findLast(({ what }) => what !== 'note' && what !== 'escalated');
    return { text: 'request-already', values: { state: last?.what ?? request.state, name: last?.by ?? '' } };
  }
  if (!known) return { text: 'request-not-now', values: { state: request.state } };
  const needsTime = action.do === 'accept' || action.do === 'take-time';
  if (needsTime && request.slot === null) return { text: 'request-no-time', values: {} };
  const slot = 'slot' in action ? action.slot : needsTime ? request.slot : null;
  const underWay = request.state === 'arrived' || request.state === 'in-work' || request.state === 'awaiting-approval';
  if (slot && minuteOfIso(underWay ? slot.end : slot.start) < minuteOfIso(at)) {
    return { text: 'request-time-past', values: {} };
  }
  if (action.do === 'no-show' && request.slot && minuteOfIso(request.slot.start) > minuteOfIso(at)) {
    return { text: 'request-not-due', values: {} };
  }
  return undefined;
}

/** Whether the action asks for what the request already is, as a second press of a button does. */
const repeats = (action: RequestAction, state: RequestState): boolean => LIFE[action.do].to === state;

function noteOf(action: RequestAction): string | undefined {
  switch (action.do) {
    case 'decline':
    case 'cancel':
      return action.because;
    case 'ask-approval':
      return action.what;
    case 'approval':
      return `${action.answer}: ${action.note}`;
    case 'close':
    case 'note':
      return action.note;
    case 'offer-time':
    case 'choose-time':
    case 'move':
      return `${action.slot.bay} ${action.slot.start}`;
    case 'accept':
    case 'take-time':
    case 'arrive':
    case 'start-work':
    case 'no-show':
    case 'escalate':
      return undefined;
    default:
      return action satisfies never;
  }
}

function calendarChange(before: BookingRequest, after: BookingRequest): CalendarChange | undefined {
  const stood = IN_CALENDAR.includes(before.state);
  const stands = IN_CALENDAR.includes(after.state);
  if (stands && !stood) return before.state === 'no-show' ? undefined : 'created';
  if (stood && (after.state === 'cancelled' || after.state === 'requested')) return 'cancelled';
  const moved = before.slot?.start !== after.slot?.start || before.slot?.end !== after.slot?.end;
  return stood && stands && moved ? 'moved' : undefined;
}

/**
 * By when the shop answers a request that came at `now`: so many of its working hours later, as an instant in UTC.
 * Where the shop does not work for over a year, a day later.
 */
export function answerBy(now: Instant, shop: Shop): Instant {
  const minute = Math.ceil(Date.parse(now) / 60_000);
  const due = calendarOf(shop).afterWork(minute, shop.booking.answerWithinHours * 60) ?? minute + 1440;
  return new Date(due * 60_000).toISOString();
}
