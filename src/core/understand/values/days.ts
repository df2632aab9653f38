import type { Day } from './calendar.ts';
import type { Scan } from './cues.ts';
import { dateAlone, monthAndDate, numeric } from './dates.ts';
import { weekdaysOfNextWeek, withDates, type DayMention } from './day-pairs.ts';
import { soon, week, weekAfter } from './day-spans.ts';
import { DayText } from './day-text.ts';
import { beforeOrAfterHoliday, betweenHolidays, holiday } from './holiday-days.ts';
import type { ValuesLexicon } from './lexicon.ts';
import { month, withinAMonth } from './months.ts';
import { ahead, dayAfter, relativeDay, weekday } from './near-days.ts';

/** Finds the days of a text from left to right, resolved against `now`. */
export function findDays(scan: Scan, lexicon: ValuesLexicon, now: Day): DayMention[] {
  const text = new DayText(scan, lexicon, now);
  const found: DayMention[] = [];
  for (let at = 0; at < scan.pieces.length && found.length < MOST_DAYS;) {
    const day = dayAt(text, at, found[found.length - 1]);
    if (day) found.push(day);
    at = day ? Math.max(day.last, at) + 1 : at + 1;
  }
  return weekdaysOfNextWeek(scan, withDates(scan, found), now);
}

/** A message that names more days than this is not an answer to the question when to come. */
const MOST_DAYS = 40;

/** The day that is named from a piece on; `previous` is the one that was named last. */
const dayAt = (text: DayText, index: number, previous: DayMention | undefined): DayMention | undefined =>
  beforeOrAfterHoliday(text, index, previous) ??
  betweenHolidays(text, index) ??
  holidayOrDate(text, index) ??
  relativeDay(text, index) ??
  dayAfter(text, index, previous) ??
  ahead(text, index) ??
  withinAMonth(text, index, previous) ??
  weekAfter(text, index, previous) ??
  week(text, index) ??
  weekday(text, index) ??
  numeric(text, index, previous) ??
  monthAndDate(text, index) ??
  dateAlone(text, index, previous) ??
  month(text, index) ??
  soon(text, index);

/** "July 4 2027": where the words of a holiday are a date as well, the year may stand with it. */
function holidayOrDate(text: DayText, index: number): DayMention | undefined {
  const named = holiday(text, index);
  const date = named && monthAndDate(text, index);
  return named && (!date || named.kind === 'week' || named.last > date.last) ? named : undefined;
}
