import { describe, expect, it } from 'vitest';
import { publicHolidays } from '../../src/core/book/holidays.ts';

/*
 * Legal public holidays of the United States, 5 U.S.C. 6103(a), with (b)(1) for those that fall on a Saturday
 * (the Friday before) and Executive Order 11582 for those on a Sunday (the Monday after).
 * The rules below are the statute's own, worked out here by counting weekdays.
 */
const day = (year: number, month: number, date: number) => new Date(Date.UTC(year, month - 1, date));
const iso = (date: Date) => date.toISOString().slice(0, 10);

function nth(year: number, month: number, weekday: number, count: number): Date {
  const first = day(year, month, 1);
  return day(year, month, 1 + ((weekday - first.getUTCDay() + 7) % 7) + 7 * (count - 1));
}

function lastMonday(year: number, month: number): Date {
  const end = day(year, month + 1, 0);
  return day(year, month, end.getUTCDate() - ((end.getUTCDay() + 6) % 7));
}

function observed(date: Date): Date {
  const shift = date.getUTCDay() === 6 ? -1 : date.getUTCDay() === 0 ? 1 : 0;
  return new Date(date.getTime() + shift * 86_400_000);
}

const statute = (year: number): [string, Date][] => [
  ["New Year's Day, January 1", day(year, 1, 1)],
  ['Birthday of Martin Luther King, Jr., the third Monday in January', nth(year, 1, 1, 3)],
  ["Washington's Birthday, the third Monday in February", nth(year, 2, 1, 3)],
  ['Memorial Day, the last Monday in May', lastMonday(year, 5)],
  ['Juneteenth National Independence Day, June 19', day(year, 6, 19)],
  ['Independence Day, July 4', day(year, 7, 4)],
  ['Labor Day, the first Monday in September', nth(year, 9, 1, 1)],
  ['Columbus Day, the second Monday in October', nth(year, 10, 1, 2)],
  ['Veterans Day, November 11', day(year, 11, 11)],
  ['Thanksgiving Day, the fourth Thursday in November', nth(year, 11, 4, 4)],
  ['Christmas Day, December 25', day(year, 12, 25)],
];

const YEARS = [2024, 2025, 2026, 2027, 2028, 2029, 2030, 2031, 2032, 2033];

describe('public holidays of the United States', () => {
  const holidays = publicHolidays({ country: 'US' }, 'America/Denver');

  describe.each(YEARS)('in %i', (year) => {
    it.each(statute(year))('include %s', (_name, date) => {
      const kept = observed(date);
      expect([...holidays(kept.getUTCFullYear()).keys()]).toContain(iso(kept));
    });

    it('name no other weekday', () => {
      const legal = new Set(
        [year, year + 1].flatMap((of) => statute(of).flatMap(([, date]) => [iso(date), iso(observed(date))])),
      );
      const others = [...holidays(year).keys()].filter((date) => !legal.has(date));
      expect(others.filter((date) => ![0, 6].includes(new Date(date).getUTCDay()))).toEqual([]);
    });
  });

  it('have the plain name of the holiday also on the day on which it is observed', () => {
    expect(holidays(2026).get('2026-07-03')).toBe('Independence Day');
    expect(holidays(2028).get('2028-11-10')).toBe('Veterans Day');
  });

  it('do not depend on the zone of the machine or of the shop', () => {
    const dates = (zone: string) => [...publicHolidays({ country: 'US' }, zone)(2027).keys()];
    expect(dates('Pacific/Honolulu')).toEqual(dates('America/New_York'));
  });
});
