import { mondayOf, weekdayOf, type Day } from './calendar.ts';
import { cueAt, cueBefore, isOneOf, type Found } from './cues.ts';
import { dateAlone, monthAndDate, numeric } from './dates.ts';
import type { DayMention } from './day-pairs.ts';
import { oneDay, type DayText } from './day-text.ts';

/** "next week", "la semana que viene", "week of the 14th", "this weekend", "end of the week". */
export function week(text: DayText, index: number): DayMention | undefined {
  const scan = text.scan;
  const monday = mondayOf(text.now);
  const span = (from: Day, to: Day, first: number, last: number, unsure = false): DayMention => ({
    kind: 'week',
    from: Math.max(from, text.now),
    to: Math.max(to, text.now),
    unsure,
    first,
    last,
  });
  const afterNext = cueAt(scan, index, 'weekAfterNext');
  if (afterNext) return span(monday + 14, monday + 20, index, afterNext.last);
  const weekOf = cueAt(scan, index, 'weekOf');
  if (weekOf) {
    for (let at = weekOf.last + 1; at <= weekOf.last + 2; at++) {
      const date = numeric(text, at) ?? monthAndDate(text, at) ?? dateAlone(text, at, undefined, true);
      if (date) return span(mondayOf(date.from), mondayOf(date.from) + 6, index, date.last);
    }
  }
  const before = cueAt(scan, index, 'next', 'this');
  const at = before ? before.last + 1 : index;
  const weekend = weekendAt(text, at);
  const week = weekend ?? cueAt(scan, at, 'week');
  if (!week) return undefined;
  const after = cueAt(scan, week.last + 1, 'next');
  const last = after ? after.last : week.last;
  const next = before?.cue === 'next' || after !== undefined;
  if (weekend) {
    const saturday = monday + 5 + (next && weekdayOf(text.now) < 6 ? 7 : 0);
    return { ...span(saturday, saturday + 1, index, last, next && weekdayOf(text.now) < 6), kind: 'other' };
  }
  const article = isOneOf(scan, index - 1, 'weekArticles') || before?.cue === 'this';
  if (!next && !article) return undefined;
  const start = next ? monday + 7 : monday;
  const early = partOfSpan(text, index);
  if (early === 'early') return span(start, start + 2, index, last, true);
  if (early === 'middle') return span(start + 1, start + 3, index, last, true);
  if (early === 'late') return span(start + 3, start + 4, index, last, true);
  return span(start, start + 6, index, last);
}

/** "Not this week but the next", "esta semana no, la que viene": the week after the one that was named before. */
export function weekAfter(text: DayText, index: number, previous: DayMention | undefined): DayMention | undefined {
  const { scan } = text;
  // "Not this friday but the next one".
  const ofWeekday = previous?.kind === 'weekday' && cueBefore(scan, previous.first, 'cannot') !== undefined;
  if (!previous || !(previous.kind === 'week' || ofWeekday) || index - previous.last > LONGEST_TURN) return undefined;
  const found = cueAt(scan, index, 'next');
  if (!found || cueAt(scan, found.last + 1, 'week', 'weekend', 'month', 'day')) return undefined;
  if (text.weekday(found.last + 1) !== undefined || text.month(found.last + 1) !== undefined) return undefined;
  if (ofWeekday) return oneDay('weekday', previous.from + 7, index, found.last);
  const from = mondayOf(previous.from) + 7;
  return { kind: 'week', from, to: from + 6, unsure: false, first: index, last: found.last };
}

/** At most so many pieces lie between a week and the one after it: "no, pero la". */
const LONGEST_TURN = 5;

/** "El fin" is the weekend, "fin de mes" the end of the month. */
function weekendAt({ scan }: DayText, at: number): Found | undefined {
  const found = cueAt(scan, at, 'weekend');
  return found && (cueAt(scan, at, 'late')?.last ?? -1) > found.last ? undefined : found;
}

function partOfSpan(text: DayText, index: number): 'early' | 'middle' | 'late' | undefined {
  const found = cueBefore(text.scan, index, 'early', 'middle', 'late');
  return found?.cue as 'early' | 'middle' | 'late' | undefined;
}

/** "asap", "whenever": an open end, for which the seven days from today stand, to be confirmed. */
export function soon(text: DayText, index: number): DayMention | undefined {
  const found = cueAt(text.scan, index, 'soon');
  if (!found || isCondition(text, found.last) || isOneOf(text.scan, index - 1, 'tooSoon')) return undefined;
  return {
    kind: 'other',
    from: text.now,
    to: text.now + 6,
    unsure: true,
    first: index,
    last: found.last,
    openEnd: true,
  };
}

/** "whenever you get the parts in" waits for something; "whenever you can" names any day. */
function isCondition(text: DayText, last: number): boolean {
  const scan = text.scan;
  if (!isOneOf(scan, last, 'wheneverWord') || !isOneOf(scan, last + 1, 'wheneverSubjects')) return false;
  return last + 2 < scan.words.length && !isOneOf(scan, last + 2, 'wheneverVerbs');
}
