import { z } from 'zod';
import type { PlanReason } from '../model/follow-up-log.ts';
import type { IsoDate } from '../model/time.ts';
import { dateOfDay, dayNumber } from './days.ts';
import { acceptReadings, onPresentScale, type HistoryReading } from './history.ts';
import { milesPerDay, seasonDaysTo, type Intake, type Pace } from './pace.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import { daysQuantile, probabilityAtMost } from './predict.ts';
import { dayAfterSeasonDays } from './season.ts';

const probability = z.number().gt(0).lt(1);
const days = z.number().min(0).max(3650);

/** When to ask for the odometer and when to offer the service. */
export const FollowUpPolicy = z
  .strictObject({
    /** Days between an offer and the work that are planned for: the owner's answer and the shop's backlog. */
    leadDays: days,
    /** Days from the owner's yes until the shop can do the work at the soonest; its diary decides within that. */
    noticeDays: days,
    /** Miles about the due mark within which a service counts as on time. */
    marginMiles: z.number().positive(),
    /** Probability of lying within the margin from which on no further question is worth its trouble. */
    sureEnough: probability,
    /** Days before the median due date within which the offer follows in the same conversation. */
    sameConversationDays: days,
    /** The due date's quantile that an offer is planned for, and the one that serves after silence. */
    offerQuantile: probability,
    silentQuantile: probability,
    /** A question comes so many days before this quantile of the due date, … */
    askQuantile: probability,
    askLeadDays: days,
    /**
     * … but after the last message not before the truck can be expected to have driven so many miles, which is taken to
     * be at least `soonestDays` and at most `laterDays`, and not after `latestDays`.
     */
    askAfter: z.strictObject({ miles: z.number().min(0), soonestDays: days, laterDays: days, latestDays: days }),
    /** How often, and at which distance in days, an unanswered question is repeated. */
    repeats: z.number().int().min(0),
    repeatAfterDays: days,
    /** A repetition waits at least this share of the time that is left until the offer: early questions can wait. */
    repeatAfterShare: z.number().min(0).max(1),
    /** The share of questions that an owner answers below which an unanswered one is not repeated at all. */
    repeatFromShare: z.number().min(0).max(1),
    /** How often it is repeated where the lead time alone is more than the margin in miles: the offer is near anyway. */
    heavyRepeats: z.number().int().min(0),
    /** A question to a truck that is due with this chance within so many days is an offer: its answer brings a reading too. */
    offerInstead: z.strictObject({ quantile: probability, withinDays: days }),
    /** The chance of being on time from which a day is booked when a reading comes with the answer to an offer. */
    bookFromChance: probability,
    /** How often an unanswered offer is repeated; the distance in days doubles each time. Then the shop phones. */
    offerRepeats: z.number().int().min(0),
    offerRepeatAfterDays: days,
  })
  .refine(({ askAfter }) => askAfter.soonestDays <= askAfter.laterDays && askAfter.laterDays <= askAfter.latestDays, {
    message: 'soonestDays, laterDays and latestDays must not fall',
    path: ['askAfter'],
  });
export type FollowUpPolicy = z.infer<typeof FollowUpPolicy>;

/** The plain rule, which the `forecast` command answers by: one distance between messages, whatever the truck drives. */
export const PLAIN_POLICY: FollowUpPolicy = {
  leadDays: 10,
  noticeDays: 10,
  marginMiles: 1000,
  sureEnough: 0.88,
  sameConversationDays: 45,
  offerQuantile: 0.3,
  silentQuantile: 0.4,
  askQuantile: 0.12,
  askLeadDays: 20,
  askAfter: { miles: 0, soonestDays: 21, laterDays: 21, latestDays: 300 },
  repeats: 2,
  repeatAfterDays: 4,
  repeatAfterShare: 0,
  repeatFromShare: 0,
  heavyRepeats: 2,
  offerInstead: { quantile: 0.5, withinDays: 0 },
  bookFromChance: 0.8,
  offerRepeats: 2,
  offerRepeatAfterDays: 7,
};

/**
 * The setting that keeps services near their mark at no more than four messages a vehicle-year, found by search over
 * simulated owners: distances between messages go by miles, so that slow trucks are left in peace and fast ones are not
 * missed.
 */
export const CLOSER_TO_DUE: FollowUpPolicy = {
  ...PLAIN_POLICY,
  leadDays: 8,
  noticeDays: 2,
  sureEnough: 0.85,
  sameConversationDays: 54,
  offerQuantile: 0.23,
  silentQuantile: 0.34,
  askQuantile: 0.095,
  askLeadDays: 19,
  askAfter: { miles: 1000, soonestDays: 11, laterDays: 40, latestDays: 700 },
  repeatAfterShare: 0.03,
  heavyRepeats: 0,
};

/** What the plan for one truck is made from. */
export interface VehicleState extends Intake {
  readings: readonly HistoryReading[];
  /** Odometer at which the next service is due. */
  dueMiles: number;
  /** The day of the service or the reading that the mark was set from; tells on which instrument it counts. */
  dueSetOn?: IsoDate | undefined;
  /** The day on which it is due by time, whatever the mileage. */
  dueBy?: IsoDate | undefined;
  /** The day of the last message about it in either direction; the last reading's day where absent. */
  lastMessage?: IsoDate | undefined;
  /** Questions sent since the owner last answered. */
  unanswered?: number | undefined;
  /** Questions put to this owner in all, and how many of them were answered. */
  asked?: number | undefined;
  answered?: number | undefined;
  /** Offers sent since the owner last answered, and the day of the last one. */
  offers?: { unanswered: number; last: IsoDate } | undefined;
}

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
  const dueMiles = onPresentScale(state.dueMiles, history.rebases, state.dueSetOn);
  return planFromPace(history.pace, { ...state, dueMiles }, policy, today);
}

/**
 * What to do when an owner takes up an offer and tells the odometer with it: the day to look for a time on, or null
 * where the truck turns out to be too far from its mark for any day to be likely enough; the plan goes on then.
 */
export function dayToBook(
  state: VehicleState,
  policy: FollowUpPolicy,
  today: IsoDate,
  parameters: Parameters = PARAMETERS,
): { day: IsoDate; onTime: number } | null {
  const history = acceptReadings(state.readings, today, state, parameters);
  if (!history.pace) return null;
  const dueMiles = onPresentScale(state.dueMiles, history.rebases, state.dueSetOn);
  const dueBy = state.dueBy === undefined ? Infinity : dayNumber(state.dueBy);
  const best = bestDay(history.pace, dueMiles, dueBy, policy, today);
  if (best.onTime >= policy.bookFromChance) return best;
  const plan = planFromPace(history.pace, { ...state, dueMiles, unanswered: 0 }, policy, today);
  return plan.because === 'due-within-lead' ? best : null;
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
  const offer = (day: number, because: PlanReason): Plan => {
    const date = dateOfDay(Math.max(now, day));
    return { ask: null, offer: date, because, dueOn: bestDay(pace, state.dueMiles, byTime, policy, date).day };
  };
  const ask = (day: number, because: PlanReason): Plan => ({
    ask: dateOfDay(Math.max(now, day)),
    offer: null,
    because,
    dueOn: null,
  });
  if (state.offers && state.offers.unanswered > 0) {
    const { unanswered: times, last: offered } = state.offers;
    if (times > policy.offerRepeats) return { ask: null, offer: null, because: 'phone', dueOn: null };
    return offer(dayNumber(offered) + policy.offerRepeatAfterDays * 2 ** (times - 1), 'offer-unanswered');
  }

  const last = dayNumber(state.lastMessage ?? dateOfDay(pace.day));
  const unanswered = state.unanswered ?? 0;
  const { askAfter } = policy;
  const milesGap = Math.ceil(askAfter.miles / milesPerDay(pace));
  const earliest = last + Math.max(askAfter.soonestDays, Math.min(askAfter.laterDays, milesGap));

  if (unanswered > 0) {
    const due = dueDay(policy.silentQuantile);
    const offerDay = due - policy.leadDays;
    const left = Math.min(Math.max(0, offerDay - last), 2 * askAfter.latestDays);
    if (unanswered <= repeatsOf(state, pace, policy)) {
      return ask(last + Math.max(policy.repeatAfterDays, Math.floor(policy.repeatAfterShare * left)), 'unanswered');
    }
    const askDay = Math.max(last + Math.floor(left / 2), earliest);
    return offerDay <= askDay ? offer(offerDay, 'silent') : ask(askDay, 'silent');
  }

  const due = dueDay(policy.offerQuantile);
  const offerDay = due - policy.leadDays;
  if (offerDay <= now) return offer(now, 'due-within-lead');
  const median = daysQuantile(pace, miles, 0.5, horizon);
  const sure = median !== null && withinMargin(pace, median, miles, policy.marginMiles) >= policy.sureEnough;
  const timeDecides = Number.isFinite(byTime) && dueDay(policy.askQuantile) === byTime;
  if (sure || timeDecides) {
    const near = dueDay(0.5) <= now + policy.sameConversationDays;
    return near ? offer(now, 'sure-and-near') : offer(offerDay, 'sure-enough');
  }
  const wanted = dueDay(policy.askQuantile) - policy.askLeadDays;
  const askDay = Math.min(Math.max(wanted, earliest), last + askAfter.latestDays);
  if (offerDay <= askDay) return offer(offerDay, 'due-before-an-answer-helps');
  const near = dueDay(policy.offerInstead.quantile) - policy.offerInstead.withinDays <= askDay;
  return near ? offer(askDay, 'near-enough-to-offer') : ask(askDay, 'not-sure-enough');
}

/** How often an unanswered question comes again: not to those who hardly ever answer, nor where the offer is near anyway. */
function repeatsOf(state: Omit<VehicleState, 'readings'>, pace: Pace, policy: FollowUpPolicy): number {
  const { asked = 0, answered = 0 } = state;
  // Two of three answers are taken for granted until the owner's own say more.
  if ((answered + 2) / (asked + 3) < policy.repeatFromShare) return 0;
  return milesPerDay(pace) * policy.leadDays > policy.marginMiles ? policy.heavyRepeats : policy.repeats;
}

/** The best day for the work that is not before the shop can have it, and the chance that it lies within the margin. */
export function bestDay(
  pace: Pace,
  dueMiles: number,
  dueBy: number,
  policy: FollowUpPolicy,
  today: IsoDate,
): { day: IsoDate; onTime: number } {
  const miles = dueMiles - pace.odometer;
  const first = dayNumber(today) + policy.noticeDays;
  const chance = (day: number) => withinMargin(pace, seasonDaysTo(pace, day), miles, policy.marginMiles);
  const median = daysQuantile(pace, miles, 0.5, Math.max(0, first - pace.day) + TEN_YEARS) ?? TEN_YEARS;
  const middle = dayAfterSeasonDays(pace.day, median, pace.parameters);
  if (middle <= first || dueBy <= first) return { day: dateOfDay(first), onTime: chance(first) };
  const candidates = [first];
  for (let share = 0.6; share <= 1.2; share += 0.05) {
    candidates.push(Math.max(first, Math.round(pace.day + share * Math.max(1, middle - pace.day))));
  }
  // Of days that are equally good the first: a service a little early costs less than one that comes late.
  const best = candidates
    .map((day) => ({ day, onTime: chance(day) }))
    .reduce((one, other) => (other.onTime > one.onTime ? other : one));
  // What is due by time is due, whatever the odometer says.
  return best.day > dueBy
    ? { day: dateOfDay(Math.max(first, dueBy)), onTime: 1 }
    : { day: dateOfDay(best.day), onTime: best.onTime };
}

/** The probability that the odometer lies within the margin about the due mark so many days after the last reading. */
function withinMargin(pace: Pace, seasonDays: number, miles: number, margin: number): number {
  return probabilityAtMost(pace, seasonDays, miles + margin) - probabilityAtMost(pace, seasonDays, miles - margin);
}

/**
 * The same policy where the shop's diary is fuller than the policy takes for granted: work can be done so many days after
 * a yes at the soonest, and questions and offers go out as many days earlier.
 */
export function withBacklog(policy: FollowUpPolicy, backlogDays: number): FollowUpPolicy {
  const more = Math.max(0, backlogDays - policy.noticeDays);
  return {
    ...policy,
    noticeDays: policy.noticeDays + more,
    leadDays: policy.leadDays + more,
    askLeadDays: policy.askLeadDays + more,
  };
}

/** The same policy with the lead time that the shop has set. */
export const withLead = (policy: FollowUpPolicy, leadDays: number): FollowUpPolicy => ({ ...policy, leadDays });
