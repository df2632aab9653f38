import Holidays from 'date-holidays';
import { describe, expect, it } from 'vitest';
import { holidayIn } from '../../src/core/understand/values/holidays.ts';
import { isoOf } from '../../src/core/understand/values/calendar.ts';
import { valuesLexicon } from '../core/understand/values/lexicon.ts';

/** The holidays that owners name days by, against the rules of the date-holidays package for the United States. */
const YEARS = Array.from({ length: 80 }, (_, index) => 2021 + index);

/** Our holiday, its name in the package, and the state that keeps it where not all do. */
const HOLIDAYS: readonly [holiday: string, name: string, state?: string][] = [
  ['newYearsDay', "New Year's Day"],
  ['presidentsDay', "Presidents' Day", 'TX'],
  ['goodFriday', 'Good Friday', 'TX'],
  ['easter', 'Easter Sunday'],
  ['mothersDay', "Mother's Day"],
  ['memorialDay', 'Memorial Day'],
  ['juneteenth', 'Juneteenth'],
  ['fathersDay', "Father's Day"],
  ['independenceDay', 'Independence Day'],
  ['laborDay', 'Labour Day'],
  ['indigenousPeoplesDay', "Indigenous Peoples' Day", 'NM'],
  ['halloween', 'Halloween'],
  ['veteransDay', 'Veterans Day'],
  ['thanksgiving', 'Thanksgiving Day'],
  ['dayAfterThanksgiving', 'Day after Thanksgiving Day'],
  ['christmasEve', 'Christmas Eve'],
  ['christmas', 'Christmas Day'],
  ['newYearsEve', "New Year's Eve"],
];

const { holidays: rules } = valuesLexicon().trucks;

describe('the days of holidays', () => {
  it('are all looked up', () => {
    expect(HOLIDAYS.map(([holiday]) => holiday).sort()).toEqual(Object.keys(rules).sort());
  });

  it.each(HOLIDAYS)('%s is the %s of the package in each of 80 years', (holiday, name, state) => {
    const theirs = new Holidays('US', state ?? '', { timezone: 'America/Denver' });
    const rule = rules[holiday];
    if (!rule) throw new Error(`no rule for ${holiday}`);
    for (const year of YEARS) {
      const days = theirs
        .getHolidays(year, 'en')
        .filter((one) => one.name === name && !one.substitute)
        .map(({ date }) => date.slice(0, 10));
      expect(days, `${name} in ${year}`).toEqual([isoOf(holidayIn(year, rule))]);
    }
  });
});
