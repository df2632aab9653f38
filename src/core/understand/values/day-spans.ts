import { dayFrom, endOfMonth, mondayOf, partsOf, weekdayOf, type Day } from './calendar.ts';
import { cueAt, cueBefore, isOneOf } from './cues.ts';
import { dateAlone, monthAndDate, numeric } from './dates.ts';
import type { DayMention } from './day-pairs.ts';
import type { DayText } from './day-text.ts';

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
  const weekend = cueAt(scan, at, 'weekend');
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
  if (early === 'late') return span(start + 3, start + 4, index, last, true);
  return span(start, start + 6, index, last);
}

function partOfSpan(text: DayText, index: number): 'early' | 'late' | undefined {
  const found = cueBefore(text.scan, index, 'early', 'late');
  return found?.cue as 'early' | 'late' | undefined;
}

/** "in june", "next month": a span that must be narrowed. */
export function month(text: DayText, index: number): DayMention | undefined {
  const scan = text.scan;
  const next = cueAt(scan, index, 'next');
  const afterWord = cueAt(scan, index, 'month');
  const { year, month } = partsOf(text.now);
  if (next && cueAt(scan, next.last + 1, 'month')) {
    const first = dayFrom(month === 12 ? year + 1 : year, (month % 12) + 1, 1) as Day;
    const last = cueAt(scan, next.last + 1, 'month')?.last ?? next.last;
    return { kind: 'other', from: first, to: endOfMonth(first), unsure: true, first: index, last };
  }
  const nextAfter = afterWord && cueAt(scan, afterWord.last + 1, 'next');
  if (afterWord && nextAfter) {
    const first = dayFrom(month === 12 ? year + 1 : year, (month % 12) + 1, 1) as Day;
    return { kind: 'other', from: first, to: endOfMonth(first), unsure: true, first: index, last: nextAfter.last };
  }
  const named = text.month(index);
  if (named === undefined || !isOneOf(scan, index - 1, 'inAMonth')) return undefined;
  const first = dayFrom(named < month ? year + 1 : year, named, 1) as Day;
  const from = Math.max(first, text.now);
  return { kind: 'other', from, to: endOfMonth(first), unsure: true, first: index, last: index };
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
