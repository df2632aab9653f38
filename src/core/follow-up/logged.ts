import type { Instant, IsoDate } from '../model/time.ts';
import { outcomeOf, type ForecastOutcome, type LoggedForecast } from './calibration.ts';

/** A logged forecast with all readings of its truck, those of later days too. */
export interface ForecastAndReadings {
  vehicleId: string;
  at: Instant;
  dueMiles: number;
  p10: IsoDate | null;
  p50: IsoDate | null;
  p90: IsoDate | null;
  readings: readonly { date: IsoDate; miles: number; clusterReset?: boolean | undefined }[];
}

/**
 * Each logged forecast held against what came. Those of the same truck, made from the same reading for the same mark, say
 * the same thing: the first of them counts. Without a reading before it a forecast cannot be judged.
 */
export function judged(
  logged: readonly ForecastAndReadings[],
): { forecast: LoggedForecast; outcome: ForecastOutcome }[] {
  const seen = new Set<string>();
  const oldestFirst = [...logged].sort((one, other) => one.at.localeCompare(other.at));
  return oldestFirst.flatMap(({ readings, ...forecast }) => {
    const day = forecast.at.slice(0, 10);
    const before = readings.filter(({ date }) => date <= day).sort((one, other) => one.date.localeCompare(other.date));
    const from = before.at(-1);
    if (!from) return [];
    const key = `${forecast.vehicleId} ${from.date} ${from.miles} ${forecast.dueMiles}`;
    if (seen.has(key)) return [];
    seen.add(key);
    const made: LoggedForecast = {
      ...forecast,
      from: { date: from.date, miles: from.miles },
      readings: before.length,
    };
    return [{ forecast: made, outcome: outcomeOf(made, readings) }];
  });
}
