import type { Instant, IsoDate } from '../model/time.ts';
import { daysBetween, addDays } from './days.ts';

/** One forecast as it was made, with what it was made from. */
export interface LoggedForecast {
  vehicleId: string;
  at: Instant;
  /** The last reading that it was made from. */
  from: { date: IsoDate; miles: number };
  /** How many readings were known. */
  readings: number;
  dueMiles: number;
  /** The due date at 10, 50 and 90 %; null where it lay more than ten years out. */
  p10: IsoDate | null;
  p50: IsoDate | null;
  p90: IsoDate | null;
}

/** What later readings say about a logged forecast. */
export type ForecastOutcome =
  /** Reached on a day; the truck's last reading on the same instrument is of the day `until`. */
  | { outcome: 'reached'; on: IsoDate; until: IsoDate }
  /** Not reached by the day of the last reading. */
  | { outcome: 'not-yet'; by: IsoDate }
  /** No later reading on the same instrument. */
  | { outcome: 'unknown' };

/** The longest gap between the two readings about the mark from which the day is still told, in days. */
const LONGEST_GAP = 120;

/**
 * The day on which the due mark was reached, on the straight line between the two readings about it. Readings on
 * another instrument than the forecast's, or too far apart to tell the day, leave it unknown.
 */
export function outcomeOf(
  forecast: LoggedForecast,
  readings: readonly { date: IsoDate; miles: number; clusterReset?: boolean | undefined }[],
): ForecastOutcome {
  const later = readings
    .filter(({ date }) => date > forecast.from.date)
    .sort((one, other) => one.date.localeCompare(other.date) || one.miles - other.miles);
  let before: { date: IsoDate; miles: number } = forecast.from;
  for (const reading of later) {
    if (reading.clusterReset) break;
    if (reading.miles >= forecast.dueMiles) {
      const gap = daysBetween(before.date, reading.date);
      if (gap > LONGEST_GAP) return { outcome: 'unknown' };
      const share = (forecast.dueMiles - before.miles) / Math.max(1, reading.miles - before.miles);
      const on = addDays(before.date, Math.round(Math.max(0, share) * gap));
      return { outcome: 'reached', on, until: lastOnInstrument(later) };
    }
    before = reading;
  }
  return before === forecast.from ? { outcome: 'unknown' } : { outcome: 'not-yet', by: before.date };
}

/** The day of the last reading before the instrument was changed. */
function lastOnInstrument(later: readonly { date: IsoDate; clusterReset?: boolean | undefined }[]): IsoDate {
  const reset = later.findIndex(({ clusterReset }) => clusterReset);
  return (reset < 0 ? later : later.slice(0, reset)).at(-1)?.date ?? '';
}

/** The loss of a quantile forecast: each unit above costs the quantile, each below the rest of one. */
export const pinballLoss = (forecast: number, truth: number, quantile: number): number =>
  truth >= forecast ? quantile * (truth - forecast) : (1 - quantile) * (forecast - truth);

export interface CalibrationRow {
  /** Which forecasts: all of them, or by the number of readings they were made from. */
  group: string;
  /** Forecasts whose truth is known, and those that still wait. */
  answered: number;
  waiting: number;
  /** Shares of the answered ones: before the range, within it, after it. Absent with none answered. */
  early?: number;
  within?: number;
  late?: number;
  /** The standard error of `within`. */
  standardError?: number;
  /** Mean pinball loss of the logarithm of days at 10, 50 and 90 %. */
  loss?: number;
}

const GROUPS: readonly (readonly [string, (readings: number) => boolean])[] = [
  ['all', () => true],
  ['1', (readings) => readings === 1],
  ['2', (readings) => readings === 2],
  ['3-4', (readings) => readings === 3 || readings === 4],
  ['5+', (readings) => readings >= 5],
];

/** Ten years, the most that a forecast tells. */
const FAR = 3653;

/**
 * How the logged forecasts met what came: a well calibrated 80 % range holds eight of ten. A forecast is judged when its
 * truck's readings go beyond the end of its range: judged sooner, those that come early would be counted and those that
 * come late would still be waited for. One whose mark was not reached by then counts as late.
 */
export function calibration(log: readonly { forecast: LoggedForecast; outcome: ForecastOutcome }[]): CalibrationRow[] {
  return GROUPS.map(([group, belongs]) => {
    const rows = log.filter(({ forecast }) => belongs(forecast.readings));
    const judged = rows.flatMap((row) => judge(row.forecast, row.outcome) ?? []);
    const answered = judged.length;
    const counts = { group, answered, waiting: rows.length - answered };
    if (answered === 0) return counts;
    const share = (place: Judgement['place']) => judged.filter((one) => one.place === place).length / answered;
    const within = share('within');
    const losses = judged.flatMap(({ loss }) => loss ?? []);
    return {
      ...counts,
      early: share('early'),
      within,
      late: share('late'),
      standardError: Math.sqrt((within * (1 - within)) / answered),
      ...(losses.length > 0 && { loss: losses.reduce((sum, loss) => sum + loss, 0) / losses.length }),
    };
  });
}

interface Judgement {
  place: 'early' | 'within' | 'late';
  loss: number | null;
}

function judge(forecast: LoggedForecast, outcome: ForecastOutcome): Judgement | null {
  switch (outcome.outcome) {
    case 'unknown':
      return null;
    case 'not-yet':
      return forecast.p90 !== null && outcome.by > forecast.p90 ? { place: 'late', loss: null } : null;
    case 'reached': {
      if (forecast.p90 === null || outcome.until < forecast.p90) return null;
      const days = (date: IsoDate | null) =>
        Math.log(Math.max(1, date === null ? FAR : daysBetween(forecast.from.date, date)));
      const truth = days(outcome.on);
      const loss =
        pinballLoss(days(forecast.p10), truth, 0.1) +
        pinballLoss(days(forecast.p50), truth, 0.5) +
        pinballLoss(days(forecast.p90), truth, 0.9);
      const early = forecast.p10 === null || outcome.on < forecast.p10;
      const late = forecast.p90 !== null && outcome.on > forecast.p90;
      return { place: early ? 'early' : late ? 'late' : 'within', loss: loss / 3 };
    }
    default:
      return outcome satisfies never;
  }
}
