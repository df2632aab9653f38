import type { ForecastAnswer, ForecastRequest } from '../model/forecast.ts';
import type { IsoDate } from '../model/time.ts';
import { dateOfDay, dayNumber } from './days.ts';
import { acceptReadings, onPresentScale, type AcceptedHistory, type Rejection } from './history.ts';
import { ageAt, paceFrom, priorPace, seasonDaysTo, type Intake, type Pace } from './pace.ts';
import { PARAMETERS, type Parameters } from './parameters.ts';
import { planFromPace, planNext, PLAIN_POLICY, type FollowUpPolicy, type Plan, type VehicleState } from './policy.ts';
import { daysQuantile, milesQuantile, probabilityOver } from './predict.ts';
import { dayAfterSeasonDays } from './season.ts';

const TEN_YEARS = 3653;

/** Miles a year of an ordinary work truck, where nothing at all is known. */
const USUAL_MILES_PER_YEAR = 12_500;

const WORDS: Record<Rejection, string> = {
  'lower-than-last': 'lower than the reading before it by more than rounding explains',
  'too-fast': 'more miles than this truck can be believed to have driven since the reading before it',
  'too-slow': 'fewer miles than this truck can be believed to have driven since the reading before it',
  'after-today': 'dated after today',
  'does-not-fit-the-others': 'does not fit the other readings',
};

/**
 * Where the odometer stands today and when the truck is due, with what is not sure about it.
 *
 * Readings may come in any order, twice, or wrong: those that cannot be true are named in `rejected`. Without any
 * reading a broad prior from the model year and the stated miles a year serves. Miles are on the present instrument's
 * scale; dates are days in the owner's zone.
 */
export function forecast(
  request: ForecastRequest,
  policy: FollowUpPolicy = PLAIN_POLICY,
  parameters: Parameters = PARAMETERS,
): ForecastAnswer {
  const { today } = request;
  const history = acceptReadings(request.readings, today, request, parameters);
  const pace = history.pace ?? withoutReading(dayNumber(today), request, parameters);
  const dueMiles = onPresentScale(request.dueMiles, history.rebases);
  const plan = history.pace ? planFromPace(pace, { dueMiles }, policy, today) : { ask: today, offer: null };
  return {
    ...seenFrom(pace, dueMiles, today),
    next: { ask: plan.ask, offer: plan.offer },
    rejected: rejections(history),
  };
}

/** What is seen of one truck and what comes next, from its readings on whatever instruments it has had. */
export function foresee(
  state: VehicleState,
  policy: FollowUpPolicy,
  today: IsoDate,
  parameters: Parameters = PARAMETERS,
): Omit<ForecastAnswer, 'next' | 'rejected'> & { plan: Plan } {
  const history = acceptReadings(state.readings, today, state, parameters);
  const pace = history.pace ?? withoutReading(dayNumber(today), state, parameters);
  const dueMiles = onPresentScale(state.dueMiles, history.rebases, state.dueSetOn);
  const plan = history.pace
    ? planFromPace(pace, { ...state, dueMiles }, policy, today)
    : planNext(state, policy, today, parameters);
  return { ...seenFrom(pace, dueMiles, today), plan };
}

/** Where the odometer stands, and when so many miles are on it. */
function seenFrom(pace: Pace, dueMiles: number, today: IsoDate) {
  const elapsed = Math.max(0, seasonDaysTo(pace, dayNumber(today)));
  const milesAt = (probability: number) => Math.round(pace.odometer + milesQuantile(pace, elapsed, probability));
  const left = dueMiles - pace.odometer;
  return {
    milesToday: { p10: milesAt(0.1), p50: milesAt(0.5), p90: milesAt(0.9) },
    dueDate: {
      p10: dueDate(pace, left, 0.1, today),
      p50: dueDate(pace, left, 0.5, today),
      p90: dueDate(pace, left, 0.9, today),
    },
    probabilityDue: left <= 0 ? 1 : probabilityOver(pace, elapsed, left),
  };
}

/** What a request's readings come to: the belief after them, those that were kept, and the mark on the present scale. */
export function believed(
  request: ForecastRequest,
  parameters: Parameters,
): { pace: Pace | null; kept: { date: IsoDate; miles: number }[]; dueMiles: number } {
  const history = acceptReadings(request.readings, request.today, request, parameters);
  const since = history.rebases.at(-1)?.date ?? '';
  return {
    pace: history.pace,
    kept: history.kept.filter(({ date }) => date >= since).map(({ date, miles }) => ({ date, miles })),
    dueMiles: onPresentScale(request.dueMiles, history.rebases),
  };
}

/** The first day by which so many miles are driven with a given probability; today where it has passed. */
function dueDate(pace: Pace, miles: number, probability: number, today: IsoDate): IsoDate | null {
  const now = dayNumber(today);
  const seasonDays = daysQuantile(pace, miles, probability, Math.max(0, now - pace.day) + TEN_YEARS + 30);
  if (seasonDays === null) return null;
  const day = dayAfterSeasonDays(pace.day, seasonDays, pace.parameters);
  return day > now + TEN_YEARS ? null : dateOfDay(Math.max(now, day));
}

function rejections(history: AcceptedHistory): ForecastAnswer['rejected'] {
  return history.rejected
    .map(({ reading, because }) => ({ date: reading.date, miles: reading.miles, because: WORDS[because] }))
    .sort((one, other) => one.date.localeCompare(other.date));
}

/** Belief about a truck whose odometer nobody has told: driven since it was new at a pace that is hardly known. */
function withoutReading(today: number, intake: Intake, parameters: Parameters): Pace {
  const age = ageAt(today, intake);
  const usual = intake.milesPerYear ?? USUAL_MILES_PER_YEAR;
  const prior = priorPace(usual * age, age, intake, parameters);
  const start = { day: Math.round(today - 365.25 * age), odometer: 0, ...prior };
  return paceFrom(start, parameters);
}
