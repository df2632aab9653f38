import { dayOfYear } from './days.ts';
import type { Parameters } from './parameters.ts';

/**
 * The season clock: days that count more in summer, when trucks drive more.
 * τ(t) = t + s (365 / 2π) sin(2π (day of year − 200) / 365), so that its speed is 1 + s cos(…), highest on day 200.
 */
export function seasonClock(day: number, parameters: Parameters): number {
  const angle = (2 * Math.PI * (dayOfYear(day) - 200)) / 365;
  return day + parameters.season * (365 / (2 * Math.PI)) * Math.sin(angle);
}

/** The first calendar day on which the season clock has run on by so many of its days since `from`. */
export function dayAfterSeasonDays(from: number, seasonDays: number, parameters: Parameters): number {
  const target = seasonClock(from, parameters) + seasonDays - 1e-9;
  let day = from + Math.max(0, Math.floor(seasonDays - 0.16 * 60));
  while (day > from && seasonClock(day, parameters) >= target) day -= 1;
  while (seasonClock(day, parameters) < target) day += 1;
  return day;
}
