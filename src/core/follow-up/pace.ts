import { decimalYear } from './days.ts';
import type { Parameters } from './parameters.ts';
import { seasonClock } from './season.ts';

/** What is believed about one truck's pace after some readings. */
export interface Pace {
  parameters: Parameters;
  /** Certainty and scale of the prior. */
  k0: number;
  r0: number;
  /** Weighted days and miles that the readings have added. */
  weight: number;
  miles: number;
  /** The last reading: day number and odometer. */
  day: number;
  odometer: number;
}

/** What intake tells about a truck before a second reading shows its pace. */
export interface Intake {
  modelYear?: number | undefined;
  milesPerYear?: number | undefined;
}

/** Miles a day over a truck's life below which the odometer is taken to say nothing: a new truck or instrument. */
export const LEAST_LIFETIME_PACE = 2;

/** Years that are assumed where the model year is not known. */
const USUAL_AGE = 8;

/** Age in years at a day; at least half a year. */
export function ageAt(day: number, intake: Intake): number {
  return intake.modelYear === undefined ? USUAL_AGE : Math.max(0.5, decimalYear(day) - intake.modelYear);
}

/** The prior's median-like pace in miles a day, and its certainty, from the first reading and what the owner stated. */
export function priorPace(odometer: number, age: number, intake: Intake, parameters: Parameters) {
  const lifetime = Math.max(LEAST_LIFETIME_PACE, odometer / (365.25 * age));
  const stated = intake.milesPerYear;
  const prior = stated === undefined ? parameters.prior.withoutStated : parameters.prior.withStated;
  const logarithm =
    prior.constant +
    prior.lifetime * Math.log(lifetime) +
    prior.age * Math.log(age) +
    (stated === undefined ? 0 : prior.stated * Math.log(stated / 365));
  return { milesPerDay: Math.exp(logarithm), k0: prior.k0 };
}

/** Belief at a first reading. */
export function paceAt(day: number, odometer: number, intake: Intake, parameters: Parameters): Pace {
  const { milesPerDay, k0 } = priorPace(odometer, ageAt(day, intake), intake, parameters);
  return paceFrom({ day, odometer, milesPerDay, k0 }, parameters);
}

/** Belief with a given prior pace in miles a day. */
export function paceFrom(
  start: { day: number; odometer: number; milesPerDay: number; k0: number },
  parameters: Parameters,
): Pace {
  const r0 = ((start.k0 - 1) * start.milesPerDay) / parameters.a;
  return { parameters, k0: start.k0, r0, weight: 0, miles: 0, day: start.day, odometer: start.odometer };
}

/** Days on the season clock from the last reading to a day. */
export const seasonDaysTo = (pace: Pace, day: number): number =>
  seasonClock(day, pace.parameters) - seasonClock(pace.day, pace.parameters);

function kept(pace: Pace, miles: number): number {
  // A correction downwards may lower the pace, never below half of what the prior holds.
  return Math.max(-0.5 * pace.r0, miles);
}

/** Belief after one more reading, which is not before the last one. */
export function afterReading(pace: Pace, day: number, odometer: number): Pace {
  const dt = seasonDaysTo(pace, day);
  const dx = odometer - pace.odometer;
  if (dt <= 0) return { ...pace, day, odometer, miles: kept(pace, pace.miles + dx) };
  const { halfLifeDays } = pace.parameters;
  const remaining = 2 ** (-dt / halfLifeDays);
  const added = ((1 - remaining) * halfLifeDays) / Math.LN2;
  return {
    ...pace,
    day,
    odometer,
    weight: remaining * pace.weight + added,
    miles: kept(pace, remaining * pace.miles + (dx * added) / dt),
  };
}

/** Belief after the instrument cluster was changed: the pace stays and ages, the odometer begins anew. */
export function afterNewCluster(pace: Pace, day: number, odometer: number): Pace {
  const remaining = 2 ** (-Math.max(0, seasonDaysTo(pace, day)) / pace.parameters.halfLifeDays);
  return { ...pace, day, odometer, weight: remaining * pace.weight, miles: kept(pace, remaining * pace.miles) };
}

/** Expected miles a day now. */
export function milesPerDay(pace: Pace): number {
  const k = pace.k0 + pace.parameters.a * pace.weight;
  return (pace.parameters.a * (pace.r0 + pace.miles)) / (k - 1);
}
