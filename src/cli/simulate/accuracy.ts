import type { SimulatedOwner } from './people.ts';
import { randomFor } from './random.ts';
import { dateAfter, dayAfter, type Method, type TruckSeen } from './reminders.ts';
import { pinball, ratioOf, sampleQuantile, type Measured } from './statistics.ts';

export const QUANTILES = [0.1, 0.5, 0.9] as const;

/** A forecaster gives the days from the last reading until so many miles more, at 10, 50 and 90 %. */
export interface Forecaster {
  name: string;
  days(seen: TruckSeen, miles: number): readonly [number, number, number];
  /** The odometer at 10, 50 and 90 % on a day; absent where the method has no spread. */
  odometer?(seen: TruckSeen, today: string): readonly [number, number, number];
}

/** One forecast with what truly came. */
export interface Case {
  truck: number;
  readings: number;
  /** True days from the last reading until the mark. */
  truth: number;
  /** For each forecaster, days at 10, 50 and 90 %. */
  days: (readonly [number, number, number])[];
  /** Whether today's true odometer lay in the forecaster's 80 % range; null where it has none. */
  odometerHeld: (boolean | null)[];
}

const HORIZON_DAYS = 15 * 365;
const YEARS = 3;

/**
 * Forecasts at random times: readings come at random gaps (median 60 days) over three years, told as owners tell them;
 * at three random times a truck each forecaster says when a mark is reached that lies 500 to 22,000 miles beyond the
 * last reading. The times and the marks know nothing of the forecasts.
 */
export function casesOf(
  owner: SimulatedOwner,
  truck: number,
  start: string,
  judge: Pick<Method, 'suspicious' | 'confirmed'>,
  forecasters: readonly Forecaster[],
): Case[] {
  const random = randomFor(owner.id, 'accuracy');
  const times = [0, 1, 2].map(() => Math.floor(random.uniform() * YEARS * 365)).sort((one, other) => one - other);
  const marks = times.map(() => random.between(500, 22_000));
  const seen: TruckSeen = {
    readings: [],
    modelYear: owner.modelYear,
    milesPerYear: owner.statedMilesPerYear,
    dueMiles: 0,
    lastService: start,
    lastMessage: start,
    unanswered: 0,
    asked: 0,
    answered: 0,
  };
  const cases: Case[] = [];
  let day = 0;
  let ordinal = 1000;
  for (const [index, time] of times.entries()) {
    while (day <= time) {
      hear(owner, seen, day, start, ordinal++, judge);
      day += Math.max(1, Math.round(60 * Math.exp(0.8 * random.normal())));
    }
    const last = seen.readings.at(-1);
    const mark = marks[index] ?? 0;
    if (!last) continue;
    const lastDay = dayAfter(start, last.date);
    const miles = mark;
    const target = last.miles + mark;
    // A new instrument between the reading and the mark leaves no truth on this scale.
    if (owner.swapDay > lastDay - 400 && owner.swapDay < HORIZON_DAYS) continue;
    const reached = owner.driving.dayReaching(target, HORIZON_DAYS);
    const truth = Math.max(1, (reached ?? HORIZON_DAYS) - lastDay);
    const shown = owner.shownOn(time);
    const today = dateAfter(start, time);
    cases.push({
      truck,
      readings: seen.readings.length,
      truth,
      days: forecasters.map((forecaster) => forecaster.days(seen, miles)),
      odometerHeld: forecasters.map((forecaster) => {
        if (!forecaster.odometer || time === lastDay) return null;
        const [low, , high] = forecaster.odometer(seen, today);
        return shown >= low && shown <= high;
      }),
    });
  }
  return cases;
}

function hear(
  owner: SimulatedOwner,
  seen: TruckSeen,
  day: number,
  start: string,
  ordinal: number,
  judge: Pick<Method, 'suspicious' | 'confirmed'>,
): void {
  let told = owner.tellReading(day, ordinal);
  const date = dateAfter(start, day);
  if (!judge.suspicious(seen, { date, miles: told.miles })) {
    seen.readings = [...seen.readings, { date, miles: told.miles }];
    return;
  }
  told = owner.lookAgain(day, ordinal, told);
  const reading = { date, miles: told.miles };
  seen.readings = judge.suspicious(seen, reading) ? judge.confirmed(seen, reading) : [...seen.readings, reading];
}

export interface Accuracy {
  name: string;
  cases: number;
  /** Share of true due days within the 10 to 90 % range. */
  coverage: Measured;
  below: Measured;
  above: Measured;
  /** Share of true odometers within today's range. */
  odometerCoverage: Measured | null;
  coverageByReadings: Record<string, Measured>;
  /** Pinball loss of the logarithm of time, mean over the three quantiles. */
  loss: Measured;
  /** The loss where the method's own quantiles are replaced by its median with the best constant spread for this sample. */
  lossWithBestSpread: Measured;
}

const GROUPS: readonly (readonly [string, (readings: number) => boolean])[] = [
  ['1', (count) => count === 1],
  ['2', (count) => count === 2],
  ['3-4', (count) => count >= 3 && count <= 4],
  ['5-8', (count) => count >= 5 && count <= 8],
  ['9+', (count) => count >= 9],
];

function perTruck<T extends { truck: number }>(
  items: readonly T[],
  value: (item: T) => number,
): (readonly [number, number])[] {
  const sums = new Map<number, [number, number]>();
  for (const item of items) {
    const sum = sums.get(item.truck) ?? [0, 0];
    sum[0] += value(item);
    sum[1] += 1;
    sums.set(item.truck, sum);
  }
  return [...sums.values()];
}

/** The mean loss of a case over the three quantiles. */
export function lossOf(days: readonly [number, number, number], truth: number): number {
  return (
    QUANTILES.reduce((sum, quantile, index) => sum + pinball(logDays(days[index] ?? 1), Math.log(truth), quantile), 0) /
    3
  );
}

const logDays = (days: number): number => Math.log(Math.min(HORIZON_DAYS, Math.max(1, days)));

/** The measures of each forecaster over the same cases. */
export function accuracyOf(cases: readonly Case[], forecasters: readonly Forecaster[]): Accuracy[] {
  return forecasters.map((forecaster, at) => {
    const range = (item: Case) => item.days[at] ?? ([0, 0, 0] as const);
    const share = (some: readonly Case[], holds: (item: Case) => boolean) =>
      ratioOf(perTruck(some, (item) => (holds(item) ? 1 : 0)));
    const within = (item: Case) => item.truth >= range(item)[0] && item.truth <= range(item)[2];
    const errors = cases.map((item) => Math.log(item.truth) - logDays(range(item)[1]));
    const spread = QUANTILES.map((quantile) => Math.exp(sampleQuantile(errors, quantile))) as [number, number, number];
    const withSpread = (item: Case) => spread.map((factor) => factor * range(item)[1]) as [number, number, number];
    const odometers = cases.filter((item) => item.odometerHeld[at] !== null);
    return {
      name: forecaster.name,
      cases: cases.length,
      coverage: share(cases, within),
      below: share(cases, (item) => item.truth < range(item)[0]),
      above: share(cases, (item) => item.truth > range(item)[2]),
      odometerCoverage: odometers.length > 0 ? share(odometers, (item) => item.odometerHeld[at] === true) : null,
      coverageByReadings: Object.fromEntries(
        GROUPS.map(([name, belongs]) => [
          name,
          share(
            cases.filter((item) => belongs(item.readings)),
            within,
          ),
        ]),
      ),
      loss: ratioOf(perTruck(cases, (item) => lossOf(range(item), item.truth))),
      lossWithBestSpread: ratioOf(perTruck(cases, (item) => lossOf(withSpread(item), item.truth))),
    };
  });
}

/** The ratio of two forecasters' losses over the same cases; the standard error is that of the paired ratio. */
export function lossRatio(
  cases: readonly Case[],
  one: (item: Case) => readonly [number, number, number],
  other: (item: Case) => readonly [number, number, number],
): Measured {
  const sums = new Map<number, [number, number]>();
  for (const item of cases) {
    const sum = sums.get(item.truck) ?? [0, 0];
    sum[0] += lossOf(one(item), item.truth);
    sum[1] += lossOf(other(item), item.truth);
    sums.set(item.truck, sum);
  }
  return ratioOf([...sums.values()]);
}

/** A case's forecast with the best constant spread about the method's median, found on these very cases. */
export function withBestSpread(cases: readonly Case[], at: number): (item: Case) => readonly [number, number, number] {
  const middle = (item: Case) => item.days[at]?.[1] ?? 1;
  const errors = cases.map((item) => Math.log(item.truth) - logDays(middle(item)));
  const spread = QUANTILES.map((quantile) => Math.exp(sampleQuantile(errors, quantile)));
  return (item) => spread.map((factor) => factor * middle(item)) as [number, number, number];
}
