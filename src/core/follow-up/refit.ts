import type { IsoDate } from '../model/time.ts';
import { dayNumber } from './days.ts';
import { ageAt, LEAST_LIFETIME_PACE, type Intake } from './pace.ts';
import type { Parameters, PriorCoefficients } from './parameters.ts';
import { seasonClock } from './season.ts';

/** What it takes before a shop's own trucks replace the prior. */
export interface ForecastLimits {
  /** Trucks with a long enough history, for each of the two priors on its own. */
  minimumTrucks: number;
  /** Days between a truck's first and last reading. */
  minimumDays: number;
  /** By how much the error on trucks that were left out of the fit must fall, as a share. */
  mustImproveBy: number;
}

/** One truck of the shop: what intake told, and its accepted readings on one instrument, oldest first. */
export interface TruckHistory extends Intake {
  readings: readonly { date: IsoDate; miles: number }[];
}

export type RefitOutcome =
  | { fitted: false; because: 'too-few-trucks' | 'no-better'; trucks: number }
  | { fitted: true; trucks: number; errorBefore: number; errorAfter: number; coefficients: PriorCoefficients };

export interface Refit {
  /** The parameters to use from now on: the present ones where neither prior was fitted. */
  parameters: Parameters;
  /** The parameters before, to go back to. */
  before: Parameters;
  withStated: RefitOutcome;
  withoutStated: RefitOutcome;
}

/** How many trucks' worth of evidence the present coefficients keep: few trucks move them little. */
const WEIGHT_OF_PRESENT = 30;
const FOLDS = 5;

/**
 * Fits the prior's coefficients to the shop's own trucks: a regression of the logarithm of the observed miles a day on
 * what intake told, drawn towards the present coefficients. Each prior is replaced only where there are enough trucks
 * and where it foretells trucks that were left out of the fit better than the present one does.
 */
export function refitPrior(trucks: readonly TruckHistory[], parameters: Parameters, limits: ForecastLimits): Refit {
  const samples = trucks.flatMap((truck) => sampleOf(truck, parameters, limits.minimumDays) ?? []);
  const refit = (stated: boolean): RefitOutcome => {
    const own = samples.filter((sample) => sample.stated === stated);
    const present = stated ? parameters.prior.withStated : parameters.prior.withoutStated;
    return fitOne(own, present, limits, parameters.a);
  };
  const withStated = refit(true);
  const withoutStated = refit(false);
  return {
    parameters: {
      ...parameters,
      prior: {
        withStated: withStated.fitted ? withStated.coefficients : parameters.prior.withStated,
        withoutStated: withoutStated.fitted ? withoutStated.coefficients : parameters.prior.withoutStated,
      },
    },
    before: parameters,
    withStated,
    withoutStated,
  };
}

interface Sample {
  stated: boolean;
  /** 1, ln lifetime pace, ln age, ln stated pace (or 0). */
  features: readonly [number, number, number, number];
  /** ln of the observed miles a day. */
  observed: number;
  /** Days of the season clock that it was observed for. */
  days: number;
}

function sampleOf(truck: TruckHistory, parameters: Parameters, minimumDays: number): Sample | null {
  const first = truck.readings[0];
  const last = truck.readings.at(-1);
  if (!first || !last) return null;
  const from = dayNumber(first.date);
  const to = dayNumber(last.date);
  const driven = last.miles - first.miles;
  if (to - from < minimumDays || driven <= 0) return null;
  const age = ageAt(from, truck);
  const lifetime = Math.max(LEAST_LIFETIME_PACE, first.miles / (365.25 * age));
  const days = seasonClock(to, parameters) - seasonClock(from, parameters);
  const stated = truck.milesPerYear;
  return {
    stated: stated !== undefined,
    features: [1, Math.log(lifetime), Math.log(age), stated === undefined ? 0 : Math.log(stated / 365)],
    observed: Math.log(driven / days),
    days,
  };
}

function fitOne(
  samples: readonly Sample[],
  present: PriorCoefficients,
  limits: ForecastLimits,
  a: number,
): RefitOutcome {
  const trucks = samples.length;
  if (trucks < limits.minimumTrucks) return { fitted: false, because: 'too-few-trucks', trucks };
  const start = vectorOf(present);
  let errorBefore = 0;
  let errorAfter = 0;
  for (let fold = 0; fold < FOLDS; fold++) {
    const others = samples.filter((_sample, index) => index % FOLDS !== fold);
    const left = samples.filter((_sample, index) => index % FOLDS === fold);
    errorBefore += squares(left, start);
    errorAfter += squares(left, regress(others, start));
  }
  errorBefore /= trucks;
  errorAfter /= trucks;
  if (errorAfter > (1 - limits.mustImproveBy) * errorBefore) return { fitted: false, because: 'no-better', trucks };
  const fitted = regress(samples, start);
  return {
    fitted: true,
    trucks,
    errorBefore,
    errorAfter,
    coefficients: coefficientsOf(fitted, certaintyFrom(samples, fitted, a)),
  };
}

type Vector = readonly [number, number, number, number];

/**
 * The coefficients foretell the mean pace, the regression the mean of its logarithm. For a pace with a gamma prior of
 * certainty k the two differ by ψ(k) − ln(k − 1), with ψ(k) = ln(k − ½) to within a hundredth for k above 2.
 */
const meanOverLog = (k0: number): number => Math.log(k0 - 0.5) - Math.log(k0 - 1);

function vectorOf(present: PriorCoefficients): Vector {
  return [present.constant - meanOverLog(present.k0), present.lifetime, present.age, present.stated];
}

function coefficientsOf([constant, lifetime, age, stated]: Vector, k0: number): PriorCoefficients {
  return { constant: constant + meanOverLog(k0), lifetime, age, stated, k0 };
}

/** Certainty from the spread that is left, less what the driving itself scatters: ψ′(k) = 1 / (k − ½) to a few per cent. */
function certaintyFrom(samples: readonly Sample[], fitted: Vector, a: number): number {
  const spread = squares(samples, fitted) / Math.max(1, samples.length - 4);
  const scatter = samples.reduce((sum, { days }) => sum + 1 / (a * days), 0) / samples.length;
  return Math.min(25, Math.max(2.5, 0.5 + 1 / Math.max(0.02, spread - scatter)));
}

const predicted = (sample: Sample, vector: Vector): number =>
  sample.features.reduce((sum, feature, index) => sum + feature * (vector[index] ?? 0), 0);

const squares = (samples: readonly Sample[], vector: Vector): number =>
  samples.reduce((sum, sample) => sum + (sample.observed - predicted(sample, vector)) ** 2, 0);

/** Least squares drawn towards the start: each feature of the start counts as so many trucks of average size. */
function regress(samples: readonly Sample[], start: Vector): Vector {
  const size = start.length;
  const matrix = Array.from({ length: size }, () => new Array<number>(size + 1).fill(0));
  for (const { features, ...sample } of samples) {
    const residual = sample.observed - predicted({ features, ...sample }, start);
    features.forEach((one, row) => {
      const line = matrix[row] as number[];
      features.forEach((other, column) => (line[column] = (line[column] ?? 0) + one * other));
      line[size] = (line[size] ?? 0) + one * residual;
    });
  }
  matrix.forEach((line, row) => {
    const mean = (line[row] ?? 0) / Math.max(1, samples.length);
    line[row] = (line[row] ?? 0) + WEIGHT_OF_PRESENT * (mean || 1);
  });
  const change = solve(matrix);
  return start.map((value, index) => value + (change[index] ?? 0)) as unknown as Vector;
}

/** Gauss's elimination with row exchange. */
function solve(matrix: number[][]): number[] {
  const size = matrix.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++) {
      if (Math.abs(matrix[row]?.[column] ?? 0) > Math.abs(matrix[pivot]?.[column] ?? 0)) pivot = row;
    }
    [matrix[column], matrix[pivot]] = [matrix[pivot] as number[], matrix[column] as number[]];
    const line = matrix[column] as number[];
    for (let row = 0; row < size; row++) {
      if (row === column) continue;
      const other = matrix[row] as number[];
      const factor = (other[column] ?? 0) / (line[column] || 1);
      for (let at = column; at <= size; at++) other[at] = (other[at] ?? 0) - factor * (line[at] ?? 0);
    }
  }
  return matrix.map((line, row) => (line[size] ?? 0) / (line[row] || 1));
}
