import type { IsoDate } from '../model/time.ts';
import { dayNumber } from './days.ts';
import { afterNewCluster, afterReading, paceAt, seasonDaysTo, type Intake, type Pace } from './pace.ts';
import type { Parameters } from './parameters.ts';
import { objectionTo, type Objection } from './plausible.ts';
import { milesQuantile } from './predict.ts';

/** A reading as the forecast takes it: a day in the owner's zone, miles on the odometer. */
export interface HistoryReading {
  date: IsoDate;
  miles: number;
  /** The first reading of a new instrument cluster: earlier odometer values are on another scale. */
  clusterReset?: boolean | undefined;
}

export type Rejection = Objection | 'after-today' | 'does-not-fit-the-others';

/** A change of the odometer's scale: what the old instrument would have shown, and what the new one showed. */
export interface Rebase {
  /** The day of the new instrument's first reading. */
  date: IsoDate;
  lastOld: number;
  oldScale: number;
  newScale: number;
}

export interface AcceptedHistory {
  /** Belief after the accepted readings; null where there is none. */
  pace: Pace | null;
  kept: HistoryReading[];
  rejected: { reading: HistoryReading; because: Rejection }[];
  rebases: Rebase[];
}

/** What it costs to say that a reading was wrong, and that the instrument was changed where nobody said so. */
const WRONG = 1;
const NEW_CLUSTER = 1.6;
/** How many readings in a row can be wrong. */
const LOOK_BACK = 6;

interface Path {
  cost: number;
  pace: Pace;
  previous: Path | null;
  index: number;
  rebase: Rebase | null;
}

/**
 * Sorts readings, drops those after today, and finds the reading of the history that needs the fewest wrong numbers:
 * a lone value that does not fit is rejected, two that agree with each other on another scale are a new instrument.
 * A last value that does not fit stays rejected until a further one, or the owner, confirms it.
 */
export function acceptReadings(
  readings: readonly HistoryReading[],
  today: IsoDate,
  intake: Intake,
  parameters: Parameters,
): AcceptedHistory {
  const rejected: AcceptedHistory['rejected'] = [];
  const sorted = readings
    .map((reading, order) => ({ reading, order }))
    .sort((one, other) => one.reading.date.localeCompare(other.reading.date) || one.order - other.order)
    .map(({ reading }) => reading);
  const usable: HistoryReading[] = [];
  for (const reading of sorted) {
    const last = usable.at(-1);
    if (reading.date > today) rejected.push({ reading, because: 'after-today' });
    else if (last?.date !== reading.date || last.miles !== reading.miles) usable.push(reading);
  }
  const end = cheapestPath(usable, intake, parameters);
  if (!end) return { pace: null, kept: [], rejected, rebases: [] };

  const chain: Path[] = [];
  for (let path: Path | null = end; path; path = path.previous) chain.unshift(path);
  const keptIndices = new Set(chain.map((path) => path.index));
  usable.forEach((reading, index) => {
    if (!keptIndices.has(index)) rejected.push({ reading, because: reasonAgainst(reading, chain, index) });
  });
  return {
    pace: end.pace,
    kept: chain.map((path) => usable[path.index] as HistoryReading),
    rejected,
    rebases: chain.flatMap((path) => (path.rebase ? [path.rebase] : [])),
  };
}

function cheapestPath(readings: readonly HistoryReading[], intake: Intake, parameters: Parameters): Path | null {
  const paths: Path[] = [];
  readings.forEach((reading, index) => {
    const day = dayNumber(reading.date);
    const pace = paceAt(day, reading.miles, intake, parameters);
    let best: Path = { cost: index * WRONG, pace, previous: null, index, rebase: null };
    for (let from = index - 1; from >= Math.max(0, index - LOOK_BACK); from--) {
      const path = step(paths[from] as Path, reading, index);
      if (path.cost < best.cost) best = path;
      if (best.cost === 0) break;
    }
    paths.push(best);
  });
  let end: Path | null = null;
  for (const path of paths) {
    const trailing = (readings.length - 1 - path.index) * WRONG;
    if (!end || path.cost + trailing < end.cost + (readings.length - 1 - end.index) * WRONG) end = path;
  }
  return end;
}

function step(previous: Path, reading: HistoryReading, index: number): Path {
  const day = dayNumber(reading.date);
  const cost = previous.cost + (index - previous.index - 1) * WRONG;
  const { pace } = previous;
  const fits = objectionTo(pace, day, reading.miles) === undefined;
  if (fits && !reading.clusterReset) {
    return { cost, pace: afterReading(pace, day, reading.miles), previous, index, rebase: null };
  }
  const driven = milesQuantile(pace, seasonDaysTo(pace, day), 0.5);
  return {
    cost: cost + (reading.clusterReset ? 0 : NEW_CLUSTER),
    pace: afterNewCluster(pace, day, reading.miles),
    previous,
    index,
    rebase: { date: reading.date, lastOld: pace.odometer, oldScale: pace.odometer + driven, newScale: reading.miles },
  };
}

function reasonAgainst(reading: HistoryReading, chain: readonly Path[], index: number): Rejection {
  const before = chain.filter((path) => path.index < index).at(-1);
  const objection = before && objectionTo(before.pace, dayNumber(reading.date), reading.miles);
  return objection ?? 'does-not-fit-the-others';
}

/**
 * Brings an odometer value at which a service is due to the scale of the present instrument. Where the day on which the
 * mark was set is known, the instruments that came after it count; else a value that lies nearer to the old
 * instrument's last reading than to the new one's first is taken to be on the old scale.
 */
export function onPresentScale(miles: number, rebases: readonly Rebase[], setOn?: IsoDate): number {
  return rebases.reduce((value, { date, lastOld, oldScale, newScale }) => {
    const onOldScale = setOn === undefined ? Math.abs(value - lastOld) < Math.abs(value - newScale) : setOn < date;
    return onOldScale ? value - oldScale + newScale : value;
  }, miles);
}
