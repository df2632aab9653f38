import { z } from 'zod';
import { dayFrom, endOfMonth, nextWeekday, weekdayOf, type Day } from './calendar.ts';

const month = z.int().min(1).max(12);
/** Days after the day that the rest of the rule gives. */
const plus = z.int().min(-60).max(60).default(0);

/**
 * On which day of a year a holiday lies: a date, a weekday of a month (1 is Monday) by its number, where -1 is the
 * last, or Easter Sunday, each with so many days added.
 */
export const HolidayRule = z.union([
  z.strictObject({ month, day: z.int().min(1).max(31), plus }),
  z.strictObject({ month, weekday: z.int().min(1).max(7), nth: z.union([z.int().min(1).max(4), z.literal(-1)]), plus }),
  z.strictObject({ easter: z.literal(true), plus }),
]);
export type HolidayRule = z.infer<typeof HolidayRule>;

/** The day of a holiday in a year. */
export function holidayIn(year: number, rule: HolidayRule): Day {
  return firstDay(year, rule) + rule.plus;
}

function firstDay(year: number, rule: HolidayRule): Day {
  if ('easter' in rule) return easterSunday(year);
  if ('day' in rule) return dayFrom(year, rule.month, rule.day) ?? endOfMonth(dayFrom(year, rule.month, 1) as Day);
  const first = dayFrom(year, rule.month, 1) as Day;
  if (rule.nth > 0) return nextWeekday(rule.weekday, first - 1) + 7 * (rule.nth - 1);
  const last = endOfMonth(first);
  return last - ((weekdayOf(last) - rule.weekday + 7) % 7);
}

/** Easter Sunday of the Gregorian calendar: the Sunday after the church's full moon on or after 21 March. */
function easterSunday(year: number): Day {
  // The place of the year in the moon's course of 19 years, and the centuries' corrections of leap years and moon.
  const golden = year % 19;
  const century = Math.floor(year / 100);
  const leapsLeftOut = century - Math.floor(century / 4);
  const moonLate = Math.floor((8 * century + 13) / 25);
  const age = (19 * golden + leapsLeftOut - moonLate + 15) % 30;
  // The full moon falls at the latest on 18 April, and never twice on one day within 19 years.
  const afterMarch21 = age - (age === 29 || (age === 28 && golden > 10) ? 1 : 0);
  return nextWeekday(7, (dayFrom(year, 3, 21) as Day) + afterMarch21);
}
