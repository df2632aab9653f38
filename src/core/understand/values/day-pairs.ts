import { mondayOf, weekdayOf, type Day } from './calendar.ts';
import { cueBefore, isOneOf, type Scan } from './cues.ts';

/** A day or a span of days that the text names. */
export interface DayMention {
  kind: 'weekday' | 'date' | 'week' | 'month' | 'other';
  from: Day;
  to: Day;
  unsure: boolean;
  first: number;
  last: number;
  /** "asap": any other day in the text is what counts. */
  openEnd?: boolean;
  /** The words hold a part of the day too: "tonight". */
  partInside?: boolean;
  /** The words name a holiday: an "eve" in them is no part of the day. */
  isHoliday?: boolean;
}

/** "tuesday the 30th" is one day: the date, to be confirmed where the weekday is another. */
export function withDates(scan: Scan, found: readonly DayMention[]): DayMention[] {
  const kept: DayMention[] = [];
  for (const here of found) {
    const before = kept[kept.length - 1];
    const pair = before && before.last < here.first && onlyFillers(scan, before.last + 1, here.first - 1);
    const weekday = pair && before.kind === 'weekday' ? before : pair && here.kind === 'weekday' ? here : undefined;
    const date = pair && here.kind === 'date' ? here : pair && before.kind === 'date' ? before : undefined;
    const fits = weekday && date && weekdayOf(date.from) === weekdayOf(weekday.from);
    // "Thanksgiving, the monday after" names two days.
    if (before && weekday && date && weekday !== date && (fits || !date.isHoliday)) {
      kept[kept.length - 1] = { ...date, first: before.first, last: here.last, unsure: !fits };
    } else kept.push(here);
  }
  return kept;
}

function onlyFillers(scan: Scan, from: number, to: number): boolean {
  for (let at = from; at <= to; at++) {
    if (!isOneOf(scan, at, 'betweenDayAndDate') && scan.words[at] !== ',' && scan.words[at] !== '(') return false;
  }
  return true;
}

/** "mon thru wed of next week": the weekdays before "next week" lie in it. */
export function weekdaysOfNextWeek(scan: Scan, found: readonly DayMention[], now: Day): DayMention[] {
  const kept: DayMention[] = [];
  const nextMonday = mondayOf(now) + 7;
  for (const here of found) {
    const isNextWeek = here.kind === 'week' && here.from === nextMonday && here.to === nextMonday + 6;
    const weekdays = kept.filter(
      (day) => day.kind === 'weekday' && scan.sentence[day.first] === scan.sentence[here.first],
    );
    if (isNextWeek && weekdays.length > 0 && !weekdays.some((day) => cueBefore(scan, day.first, 'except', 'cannot'))) {
      for (const day of weekdays) {
        const moved = nextMonday + weekdayOf(day.from) - 1;
        kept[kept.indexOf(day)] = {
          ...day,
          from: moved,
          to: moved,
          unsure: false,
          ...(day === kept[kept.length - 1] ? { last: here.last } : {}),
        };
      }
    } else if (isNextWeek || here.kind !== 'weekday') kept.push(here);
    else {
      // "next week on tuesday"
      const week = kept[kept.length - 1];
      const inWeek = week?.kind === 'week' && week.from === nextMonday && week.to === nextMonday + 6;
      // "Later this week, Friday say"
      const within = week?.kind === 'week' && !inWeek && here.from >= week.from && here.from <= week.to;
      const excluded = cueBefore(scan, here.first, 'except', 'cannot') !== undefined;
      if (inWeek && !excluded && scan.sentence[week.first] === scan.sentence[here.first]) {
        const moved = nextMonday + weekdayOf(here.from) - 1;
        kept[kept.length - 1] = { ...here, from: moved, to: moved, unsure: false, first: week.first };
      } else if (within && !excluded && scan.sentence[week.first] === scan.sentence[here.first]) {
        kept[kept.length - 1] = { ...here, first: week.first };
      } else kept.push(here);
    }
  }
  return kept;
}
