import Holidays from 'date-holidays';
import type { Shop } from '../model/shop.ts';
import type { IsoDate } from '../model/time.ts';
import { addDays, dayNumber } from './wall-clock.ts';

/** Public holidays by day, with their name. */
export type HolidaysOfYear = ReadonlyMap<IsoDate, string>;

/**
 * The public holidays of the shop's region, by year, from the rules of the date-holidays package. Where a holiday is
 * moved from a weekend to a weekday, both days are in: the door is shut on the one, and most offices on the other.
 */
export function publicHolidays(region: Shop['region'], zone: string): (year: number) => HolidaysOfYear {
  const rules = new Holidays(region.country, region.state ?? '', { timezone: zone, types: ['public'] });
  const years = new Map<number, HolidaysOfYear>();
  const listed = (year: number): [IsoDate, string][] =>
    rules.getHolidays(year, 'en').map((holiday) => [holiday.date.slice(0, 10), plainName(holiday.name)]);
  return (year) => {
    let days = years.get(year);
    if (!days) {
      const found = new Map(listed(year));
      if (region.country === 'US') {
        for (const [date, name] of [...found, ...listed(year + 1).slice(0, 1)]) addObserved(found, year, date, name);
      }
      days = found;
      years.set(year, days);
    }
    return days;
  };
}

/**
 * The weekday on which a holiday of the United States is observed that falls on a weekend: the Friday before a
 * Saturday by 5 U.S.C. 6103(b)(1), the Monday after a Sunday by Executive Order 11582. The package's rules leave
 * Veterans Day where it is. New Year's Day can be observed in the year before.
 */
function addObserved(days: Map<IsoDate, string>, year: number, date: IsoDate, name: string): void {
  // 1970-01-01, day 0, was a Thursday.
  const weekday = (dayNumber(date) + 4) % 7;
  const observed = weekday === 6 ? addDays(date, -1) : weekday === 0 ? addDays(date, 1) : undefined;
  if (observed?.startsWith(`${year}-`) && !days.has(observed)) days.set(observed, name);
}

/** The package marks the day on which a moved holiday is kept; who reads why the shop is closed needs its name only. */
const plainName = (name: string): string => name.replace(/ \(substitute day\)$/, '');

/** Whether the package knows the region. */
export function isRegion(region: Shop['region']): boolean {
  const known = new Holidays();
  if (!(region.country in known.getCountries())) return false;
  return region.state === undefined || region.state in (known.getStates(region.country) ?? {});
}
