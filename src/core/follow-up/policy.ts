import { z } from 'zod';
import type { IsoDate } from '../model/time.ts';
import { dateOfDay, dayNumber } from './days.ts';
import { acceptReadings, onPresentScale, type HistoryReading } from './history.ts';
import type { Intake, Pace } from './pace.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import { daysQuantile, probabilityAtMost } from './predict.ts';
import { dayAfterSeasonDays } from './season.ts';

const probability = z.number().gt(0).lt(1);
const days = z.number().min(0).max(3650);

/** When to ask for the odometer and when to offer the service. */
export const FollowUpPolicy = z
  .strictObject({
    /** Days between an offer and the work, from the shop's backlog. */
    leadDays: days,
    /** Miles about the due mark within which a service counts as on time. */
    marginMiles: z.number().positive(),
    /** Probability of lying within the margin from which on no further question is worth its trouble. */
    sureEnough: probability,
    /** Days before the median due date within which the offer follows in the same conversation. */
    sameConversationDays: days,
    /** The due date's quantile for an offer in the same conversation, for a planned offer, and after silence. */
    sameConversationQuantile: probability,
    offerQuantile: probability,
    silentQuantile: probability,
    /** A question comes so many days before this quantile of the due date, … */
    askQuantile: probability,
    askLeadDays: days,
    /** … at least and at most so many days after the last message. */
    askAfterDays: z.strictObject({ minimum: days, maximum: days }),
    /** How often, and at which distance in days, an unanswered question is repeated. */
    repeats: z.number().int().min(0),
    repeatAfterDays: days,
  })
  .refine((policy) => policy.askAfterDays.minimum <= policy.askAfterDays.maximum, {
    message: 'the minimum must not be above the maximum',
    path: ['askAfterDays'],
  });
export type FollowUpPolicy = z.infer<typeof FollowUpPolicy>;

export const CLOSER_TO_DUE: FollowUpPolicy = {
  leadDays: 10,
  marginMiles: 1000,
  sureEnough: 0.88,
  sameConversationDays: 45,
  sameConversationQuantile: 0.45,
  offerQuantile: 0.3,
  silentQuantile: 0.4,
  askQuantile: 0.12,
  askLeadDays: 20,
  askAfterDays: { minimum: 21, maximum: 300 },
  repeats: 2,
  repeatAfterDays: 4,
};

/** What the plan for one truck is made from. */
export interface VehicleState extends Intake {
  readings: readonly HistoryReading[];
  /** Odometer at which the next service is due. */
  dueMiles: number;
  /** The day on which it is due by time, whatever the mileage. */
  dueBy?: IsoDate | undefined;
  /** The day of the last message about it in either direction; the last reading's day where absent. */
  lastMessage?: IsoDate | undefined;
  /** Questions sent since the owner last answered. */
  unanswered?: number | undefined;
}

export type PlanReason =
  | 'no-reading'
  | 'due-within-lead'
  | 'sure-and-near'
  | 'sure-enough'
  | 'due-before-an-answer-helps'
  | 'not-sure-enough'
  | 'unanswered'
  | 'silent';

export interface Plan {
  /** The day to ask for the odometer on, in the owner's zone; null where the next step is an offer. */
  ask: IsoDate | null;
  /** The day to offer the service on; null where the next step is a question. */
  offer: IsoDate | null;
  because: PlanReason;
  /** The day that the offer is for. */
  dueOn: IsoDate | null;
}

/** The next step for one truck: when to ask, or when to offer. Dates are in the owner's zone and never before today. */
export function planNext(
  state: VehicleState,
  policy: FollowUpPolicy,
  today: IsoDate,
  parameters: Parameters = PARAMETERS,
): Plan {
  const history = acceptReadings(state.readings, today, state, parameters);
  if (!history.pace) return { ask: today, offer: null, because: 'no-reading', dueOn: state.dueBy ?? null };
  const dueMiles = onPresentScale(state.dueMiles, history.rebases);
  return planFromPace(history.pace, { ...state, dueMiles }, policy, today);
}

const TEN_YEARS = 3653;

/** The same, where the belief about the pace is at hand and the due mark is on the present odometer's scale. */
export function planFromPace(
  pace: Pace,
  state: Omit<VehicleState, 'readings'>,
  policy: FollowUpPolicy,
  today: IsoDate,
): Plan {
  const now = dayNumber(today);
  const miles = state.dueMiles - pace.odometer;
  const horizon = Math.max(0, now - pace.day) + TEN_YEARS;
  const byTime = state.dueBy === undefined ? Infinity : dayNumber(state.dueBy);
  const dueDay = (quantile: number): number => {
    const seasonDays = daysQuantile(pace, miles, quantile, horizon);
    return Math.min(byTime, seasonDays === null ? Infinity : dayAfterSeasonDays(pace.day, seasonDays, pace.parameters));
  };
  const offer = (day: number, due: number, because: PlanReason): Plan => ({
    ask: null,
    offer: dateOfDay(Math.max(now, day)),
    because,
    dueOn: dateOfDay(Math.max(now, due)),
  });
  const ask = (day: number, because: PlanReason): Plan => ({
    ask: dateOfDay(Math.max(now, day)),
    offer: null,
    because,
    dueOn: null,
  });
  const last = dayNumber(state.lastMessage ?? dateOfDay(pace.day));
  const unanswered = state.unanswered ?? 0;
  const earliest = last + policy.askAfterDays.minimum;

  if (unanswered > 0 && unanswered <= policy.repeats) return ask(last + policy.repeatAfterDays, 'unanswered');
  if (unanswered > policy.repeats) {
    const due = dueDay(policy.silentQuantile);
    const offerDay = due - policy.leadDays;
    const half = last + Math.floor(Math.min(offerDay - last, policy.askAfterDays.maximum * 2) / 2);
    const askDay = Math.max(half, earliest);
    return offerDay <= askDay ? offer(offerDay, due, 'silent') : ask(askDay, 'silent');
  }

  const due = dueDay(policy.offerQuantile);
  const offerDay = due - policy.leadDays;
  if (offerDay <= now) return offer(now, due, 'due-within-lead');
  const median = daysQuantile(pace, miles, 0.5, horizon);
  const sure = median !== null && withinMargin(pace, median, miles, policy.marginMiles) >= policy.sureEnough;
  if (sure || byTime === due) {
    const near = dueDay(0.5) <= now + policy.sameConversationDays;
    return near
      ? offer(now, dueDay(policy.sameConversationQuantile), 'sure-and-near')
      : offer(offerDay, due, 'sure-enough');
  }
  const wanted = dueDay(policy.askQuantile) - policy.askLeadDays;
  const askDay = Math.min(Math.max(wanted, earliest), last + policy.askAfterDays.maximum);
  return offerDay <= askDay ? offer(offerDay, due, 'due-before-an-answer-helps') : ask(askDay, 'not-sure-enough');
}

/** The probability that the odometer lies within the margin about the due mark so many days after the last reading. */
function withinMargin(pace: Pace, seasonDays: number, miles: number, margin: number): number {
  return probabilityAtMost(pace, seasonDays, miles + margin) - probabilityAtMost(pace, seasonDays, miles - margin);
}

/** The same policy with the lead time that the shop's diary shows at present. */
export const withLead = (policy: FollowUpPolicy, leadDays: number): FollowUpPolicy => ({ ...policy, leadDays });
