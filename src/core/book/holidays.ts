import Holidays from 'date-holidays';
import type { Shop } from '../model/shop.ts';
import type { IsoDate } from '../model/time.ts';

/** Public holidays by day, with their name. */
export type HolidaysOfYear = ReadonlyMap<IsoDate, string>;

/**
 * The public holidays of the shop's region, by year, from the rules of the date-holidays package. Where the rules
 * move a holiday from a weekend to a weekday, both days are in: most states keep the moved one, the door is shut on
 * the other anyway.
 */
export function publicHolidays(region: Shop['region'], zone: string): (year: number) => HolidaysOfYear {
  const rules = new Holidays(region.country, region.state ?? '', { timezone: zone, types: ['public'] });
  const years = new Map<number, HolidaysOfYear>();
  return (year) => {
    let days = years.get(year);
    if (!days) {
      days = new Map(rules.getHolidays(year, 'en').map((holiday) => [holiday.date.slice(0, 10), holiday.name]));
      years.set(year, days);
    }
    return days;
  };
}

/** Whether the package knows the region. */
export function isRegion(region: Shop['region']): boolean {
  const known = new Holidays();
  if (!(region.country in known.getCountries())) return false;
  return region.state === undefined || region.state in (known.getStates(region.country) ?? {});
}
