import { regularisedBeta } from './beta.ts';
import { milesPerDay, type Pace } from './pace.ts';
import { rootBetween } from './root.ts';

/**
 * The probability that the truck drives at most so many miles within so many days (of the season clock) after its last
 * reading. A gamma process whose pace is gamma distributed gives a beta distribution of the second kind.
 */
export function probabilityAtMost(pace: Pace, days: number, miles: number): number {
  if (miles < 0) return 0;
  if (days <= 0) return 1;
  if (miles === 0) return 0;
  const { a, af, halfLifeDays, c, changeDays, kj } = pace.parameters;
  const remaining = 2 ** ((-c * days) / halfLifeDays);
  const shape = af * days;
  const scale = (a / af) * (pace.r0 + pace.miles * remaining);
  const same = secondKind(miles, scale, shape, pace.k0 + a * pace.weight * remaining);
  const changed = -Math.expm1(-days / changeDays);
  const changedScale = ((kj - 1) * milesPerDay(pace)) / af;
  return (1 - changed) * same + changed * secondKind(miles, changedScale, shape, kj);
}

const secondKind = (miles: number, scale: number, shape: number, certainty: number): number =>
  regularisedBeta(miles / (miles + scale), shape, certainty, scale / (miles + scale));

/** The probability that the truck drives more than so many miles within so many days. */
export const probabilityOver = (pace: Pace, days: number, miles: number): number =>
  1 - probabilityAtMost(pace, days, miles);

/** Miles that are not exceeded within so many days with a given probability. */
export function milesQuantile(pace: Pace, days: number, probability: number): number {
  if (days <= 0) return 0;
  const off = (miles: number) => probabilityAtMost(pace, days, miles) - probability;
  let high = Math.max(1, milesPerDay(pace) * days);
  while (off(high) < 0) high *= 2;
  return rootBetween(off, 0, high, 1e-6 * high);
}

/**
 * Days by which so many miles are driven with a given probability; null beyond the horizon. The probability rises with
 * the days (belief that ages can let it sag by less than 0.0003, for a truck at sixteen times the pace its intake
 * promised), so that any crossing is the crossing.
 */
export function daysQuantile(pace: Pace, miles: number, probability: number, horizonDays: number): number | null {
  if (miles <= 0) return 0;
  const off = (days: number) => probabilityOver(pace, days, miles) - probability;
  let high = Math.min(horizonDays, Math.max(1, miles / milesPerDay(pace)));
  let low = high;
  while (off(high) < 0) {
    if (high >= horizonDays) return null;
    low = high;
    high = Math.min(horizonDays, high * 1.6);
  }
  while (low > 0 && off(low) >= 0) {
    high = low;
    low = low > 1e-3 ? low / 1.6 : 0;
  }
  return rootBetween(off, low, high, 1e-6);
}
