import type { Slot } from '../model/booking.ts';
import type { ServiceId } from '../model/ids.ts';
import type { ArrivalNote, BookingRequest, RequestState, WorkItem } from '../model/owner.ts';
import type { Shop } from '../model/shop.ts';
import type { Instant } from '../model/time.ts';
import { approvedServices, withAnswer, withMoreWork, type ApprovalAnswer } from './approval.ts';
import { calendarOf } from './calendar.ts';
import { lengthened } from './own-slot.ts';
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
  /** The work takes so many working hours more, or fewer. */
  | { do: 'lengthen'; hours: number }
  | { do: 'cancel'; because?: string }
  | { do: 'arrive'; arrival?: ArrivalNote }
  | { do: 'record-arrival'; arrival: ArrivalNote }
  | { do: 'start-work' | 'no-show' }
  /** More work was found: it is to be approved before it is done. */
  | { do: 'ask-approval'; items: WorkItem[]; because?: string }
  | ({ do: 'approval' } & ApprovalAnswer)
  /** `services` are what was done: nothing that was neither booked nor approved. */
  | { do: 'close'; services?: readonly ServiceId[]; note?: string }
  /** The owner was phoned about what must not come in writing first. */
  | { do: 'phoned' }
  /** Nobody has answered in time. */
  | { do: 'escalate' }
  | { do: 'note'; note: string }
);

/** What the owner's calendar must be told. */
export type CalendarChange = 'created' | 'moved' | 'cancelled';

/** Why an action was refused: a text of flows/texts with its values. */
export interface Refusal {
  text:
    | 'request-already'
    | 'request-not-now'
    | 'request-no-time'
    | 'request-time-past'
    | 'request-not-due'
    | 'request-nothing-asked'
    | 'request-not-approved';
  values: Record<string, string>;
  /** The services that the refusal is about, for whoever names them. */
  services?: ServiceId[];
}

export type ChangeResult =
  { ok: true; request: BookingRequest; calendar?: CalendarChange } | { ok: false; because: Refusal };

type ActionName = RequestAction['do'];

/** In which states an action makes sense, and where it leads; `same` leaves the state as it is. */
const LIFE: Record<ActionName, { from: readonly RequestState[]; to: RequestState | 'same' }> = {
  accept: { from: ['requested'], to: 'accepted' },
  decline: { from: ['requested', 'other-time'], to: 'declined' },
  'offer-time': { from: ['requested', 'other-time', 'accepted'], to: 'other-time' },
  'take-time': { from: ['other-time'], to: 'accepted' },
  'choose-time': { from: ['requested', 'other-time', 'accepted'], to: 'requested' },
  move: { from: ['requested', 'other-time', 'accepted', 'arrived', 'in-work', 'awaiting-approval'], to: 'same' },
  cancel: { from: ['requested', 'other-time', 'accepted', 'arrived'], to: 'cancelled' },
  arrive: { from: ['accepted', 'no-show'], to: 'arrived' },
  'no-show': { from: ['accepted'], to: 'no-show' },
  'start-work': { from: ['accepted', 'arrived'], to: 'in-work' },
  lengthen: { from: ['accepted', 'arrived', 'in-work', 'awaiting-approval'], to: 'same' },
  'record-arrival': { from: ['arrived', 'in-work', 'awaiting-approval'], to: 'same' },
  'ask-approval': { from: ['arrived', 'in-work'], to: 'awaiting-approval' },
  approval: { from: ['awaiting-approval'], to: 'in-work' },
  close: { from: ['accepted', 'arrived', 'in-work'], to: 'closed' },
  phoned: { from: ['closed'], to: 'same' },
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
  const slot = slotAfter(request, action, shop);
  const silent = SILENT.includes(action.do);
  const note = noteOf(action);
  const what = historyWord(action.do, state);
  const next: BookingRequest = {
    ...withPapers(request, action, by, at),
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

/** What raises no revision: it cannot come between a person and the request. */
const SILENT: readonly ActionName[] = ['note', 'escalate', 'phoned'];

function slotAfter(request: BookingRequest, action: RequestAction, shop: Shop): Slot | null {
  if ('slot' in action) return action.slot;
  if (action.do === 'lengthen' && request.slot) return lengthened(request.slot, action.hours, shop);
  return request.slot;
}

function historyWord(action: ActionName, state: RequestState): BookingRequest['history'][number]['what'] {
  if (action === 'escalate') return 'escalated';
  if (action === 'lengthen') return 'lengthened';
  if (action === 'move') return 'moved';
  if (action === 'approval') return 'approval';
  return LIFE[action].to === 'same' ? 'note' : state;
}

/** What of the request beside its state and time an action changes. */
function withPapers(request: BookingRequest, action: RequestAction, by: string, at: Instant): BookingRequest {
  switch (action.do) {
    case 'arrive':
    case 'record-arrival':
      return action.arrival ? { ...request, arrival: { ...request.arrival, ...action.arrival, at, by } } : request;
    case 'ask-approval':
      return withMoreWork(request, action, by, at);
    case 'approval':
      return withAnswer(request, action, at);
    default:
      return request;
  }
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
  if (action.do === 'lengthen' && request.slot === null) return { text: 'request-no-time', values: {} };
  if (action.do === 'ask-approval' && action.items.length === 0) return { text: 'request-nothing-asked', values: {} };
  if (action.do === 'close') {
    const may = approvedServices(request);
    const services = (action.services ?? []).filter((id) => !may.includes(id));
    if (services.length > 0) {
      return { text: 'request-not-approved', values: { services: services.join(', ') }, services };
    }
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
      return action.items.map(({ what }) => what).join('; ');
    case 'approval':
      return `${action.answer}: ${action.who}, ${action.how}`;
    case 'lengthen':
      return `${action.hours} h`;
    case 'record-arrival':
      return 'arrival';
    case 'phoned':
      return 'phoned';
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
  if (stood && ['cancelled', 'requested', 'other-time'].includes(after.state)) return 'cancelled';
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
