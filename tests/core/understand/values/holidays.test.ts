import { describe, expect, it } from 'vitest';
import { facts } from './lexicon.ts';

// 2026-11-02 is a Monday. Thanksgiving is Thursday 26 November, Christmas a Friday.
const NOVEMBER = '2026-11-02';
const read = (text: string, today: string) => {
  const said = facts(text, { asked: 'wantedTime', today });
  return said['wantedTime?'] ? { ...(said['wantedTime?'] as object), unsure: true } : said['wantedTime'];
};
const day = (date: string, part = 'any'): object => ({ date, part });
const span = (from: string, to: string): object => ({ from, to, part: 'any' });
const unsure = (wanted: object): object => ({ ...wanted, unsure: true });

describe('a day that is told by a holiday', () => {
  it.each([
    ['thanksgiving', day('2026-11-26'), 'the holiday itself; whether the shop is open is not asked here'],
    ['Christmas Eve', day('2026-12-24'), 'the "eve" in a name is no part of the day'],
    ['christmas eve afternoon', day('2026-12-24', 'afternoon'), 'the part is said beside the name'],
    ['new year’s eve', day('2026-12-31'), 'an apostrophe changes nothing'],
    ['black friday', day('2026-11-27'), 'not the next Friday'],
    ['good friday morning', day('2027-03-26', 'morning'), 'a day that moves with Easter'],
    ['thanksgivng', day('2026-11-26'), 'a letter that is missing'],
    ['july 4', day('2027-07-04'), 'a date that is a holiday too'],
    ['july 4 2028', day('2028-07-04'), 'the year belongs to the date'],
    ['friday after thanksgiving', day('2026-11-27'), 'the first such weekday after it'],
    ['the tuesday before christmas in the morning', day('2026-12-22', 'morning'), 'the last one before it'],
    ['friday before christmas', day('2026-12-18'), 'on a Friday Christmas itself is not before it'],
    ['day after labor day', day('2027-09-07'), 'this year’s is over'],
    ['the day before thanksgiving', day('2026-11-25'), 'the day before'],
    ['two days after christmas', day('2026-12-27'), 'days that are counted'],
    ['a week after thanksgiving', unsure(day('2026-12-03')), 'so many weeks are vague, as "in two weeks" is'],
    ['week of thanksgiving', span('2026-11-23', '2026-11-29'), 'Monday to Sunday'],
    ['thanksgiving week', span('2026-11-23', '2026-11-29'), 'the same'],
    ['the week after thanksgiving', span('2026-11-30', '2026-12-06'), 'the calendar week'],
    ['the week after labor day', unsure(span('2027-09-13', '2027-09-19')), 'after a Monday its own week may be meant'],
    [
      'the week before christmas',
      unsure(span('2026-12-14', '2026-12-20')),
      'before a Friday its own week may be meant',
    ],
    ['labor day weekend', span('2027-09-04', '2027-09-06'), 'the holiday belongs to it'],
    ['thanksgiving weekend', span('2026-11-26', '2026-11-29'), 'and the days between'],
    ['weekend after thanksgiving', span('2026-11-28', '2026-11-29'), 'Saturday and Sunday alone'],
    ['weekend before christmas', span('2026-12-19', '2026-12-20'), 'the last one that is over before it'],
    ['the week between christmas and new years', span('2026-12-25', '2027-01-01'), 'from the one to the other'],
    ['after christmas', unsure(span('2026-12-26', '2026-12-31')), 'a bound, as after any date'],
    ['before thanksgiving', unsure(span('2026-11-02', '2026-11-25')), 'a bound, as before any date'],
    ['next week except veterans day', unsure(span('2026-11-09', '2026-11-10')), 'a holiday that is ruled out'],
    ['thanksgiving thursday', day('2026-11-26'), 'the weekday only says it again'],
    ['not thanksgiving, the monday after', day('2026-11-30'), 'after the holiday that was named before'],
    ['el viernes después de acción de gracias', day('2026-11-27'), 'Spanish'],
    ['el viernes despues de thanksgiving', day('2026-11-27'), 'the English name in a Spanish message'],
    ['un día antes de navidad', day('2026-12-24'), 'one day, counted'],
    ['al día siguiente de navidad', day('2026-12-26'), 'the following day'],
    ['la semana de navidad', span('2026-12-21', '2026-12-27'), 'the week it lies in'],
    ['la semana después de navidad', span('2026-12-28', '2027-01-03'), 'the calendar week'],
    ['el fin de semana de pascua', span('2027-03-27', '2027-03-28'), 'the weekend of Easter Sunday'],
    ['fin de año', day('2026-12-31'), 'the last day of the year, and no weekend'],
    ['nochebuena en la mañana', day('2026-12-24', 'morning'), 'the "noche" in a name is no part of the day'],
    ['noche buena', day('2026-12-24'), 'nor in two words'],
    ['entre navidad y año nuevo', span('2026-12-25', '2027-01-01'), 'from the one to the other'],
  ])('%j is %j: %s', (text, expected) => {
    expect(read(text, NOVEMBER)).toEqual(expected);
  });

  it.each([
    ['2026-11-26', 'the day after thanksgiving', day('2026-11-27'), 'said on the holiday'],
    ['2026-11-27', 'friday after thanksgiving', day('2026-11-27'), 'said on that day, which is still to come'],
    ['2026-11-28', 'friday after thanksgiving', day('2027-11-26'), 'said when it is over: next year’s'],
    [
      '2026-12-26',
      'the week after christmas',
      span('2026-12-28', '2027-01-03'),
      'the holiday is over, its week is not',
    ],
    ['2026-12-26', 'between christmas and new years', span('2026-12-26', '2027-01-01'), 'what is left of it'],
    ['2028-02-10', 'presidents day', day('2028-02-21'), 'the third Monday, in a leap year'],
  ])('on %s %j is %j: %s', (today, text, expected) => {
    expect(read(text, today)).toEqual(expected);
  });

  it.each([
    ['thanksgiving wont work, monday after 3', unsure(day('2026-11-09', 'afternoon')), 'an hour follows, no holiday'],
    ['monday after work', unsure(day('2026-11-09', 'afternoon')), 'a part of the day follows'],
    ['the day after tomorrow', day('2026-11-04'), 'a day counted from today'],
  ])('%j is told by none: %j, since %s', (text, expected) => {
    expect(read(text, NOVEMBER)).toEqual(expected);
  });
});
