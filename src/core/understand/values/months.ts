import { dayFrom, endOfMonth, nextWeekday, partsOf, weekdayOf, type Day } from './calendar.ts';
import { cueAt, cueBefore, isOneOf } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import { oneDay, type DayText } from './day-text.ts';

/** A month that the text names, by its first day; `last` is the last piece of its name. */
interface NamedMonth {
  first: Day;
  last: number;
}

/** "The second week of may", "last friday of june", "the 5th of next month". */
export const withinAMonth = (text: DayText, index: number, previous: DayMention | undefined): DayMention | undefined =>
  weekdayOfMonth(text, index, previous) ?? weekOfMonth(text, index) ?? dateOfNextMonth(text, index);

/** "April sometime", "next month", "end of the month": the whole month, or the part of it that the words tell. */
export function month(text: DayText, index: number): DayMention | undefined {
  const { scan } = text;
  const part = cueBefore(scan, index, 'early', 'middle', 'late');
  // "The month" is told of many things; with a part before it, it is a time.
  const isThis = part !== undefined || cueAt(scan, index, 'this') !== undefined;
  const named = nameAt(text, index) ?? (isThis ? thisMonth(text, index) : undefined);
  if (!named) return undefined;
  const isName = text.month(index) !== undefined;
  if (isName && ((!part && isAVerb(text, index, named.last)) || hasItsDay(text, index))) return undefined;
  const [from, to] = partOf(named.first, part?.cue);
  if (to < text.now) return undefined;
  return {
    kind: 'month',
    from: Math.max(from, text.now),
    to,
    unsure: part !== undefined,
    first: part?.first ?? index,
    last: named.last,
  };
}

/** The first and the last ten days, or those between; the end of a month is its last seven days. */
function partOf(first: Day, part: string | undefined): [Day, Day] {
  const end = endOfMonth(first);
  if (part === 'early') return [first, first + 9];
  if (part === 'middle') return [first + 10, first + 19];
  return part === 'late' ? [end - 6, end] : [first, end];
}

/** "Next month", "june", "this june", "el mes que viene". */
function nameAt(text: DayText, index: number): NamedMonth | undefined {
  const { scan, now } = text;
  const { year, month: current } = partsOf(now);
  const next = cueAt(scan, index, 'next');
  const after = next && cueAt(scan, next.last + 1, 'month');
  const word = cueAt(scan, index, 'month');
  const nextBehind = word && cueAt(scan, word.last + 1, 'next');
  if (after ?? nextBehind) {
    return { first: firstOf(year, current + 1), last: (after ?? nextBehind)?.last ?? index };
  }
  const named = text.month(index);
  return named === undefined ? undefined : { first: firstOf(named < current ? year + 1 : year, named), last: index };
}

/** "This month", and "the month" where a part of it is spoken of. */
function thisMonth(text: DayText, index: number): NamedMonth | undefined {
  const { scan, now } = text;
  const before = cueAt(scan, index, 'this');
  const found = cueAt(scan, before ? before.last + 1 : index, 'month');
  if (!found) return undefined;
  const { year, month: current } = partsOf(now);
  return { first: firstOf(year, current), last: found.last };
}

const firstDayOf = (day: Day): Day => day - partsOf(day).date + 1;

const firstOf = (year: number, number: number): Day =>
  dayFrom(year + Math.floor((number - 1) / 12), ((number - 1) % 12) + 1, 1) as Day;

/** "June 31", "the 31st of june": with a day beside it, which there may not be, it is not the whole month. */
function hasItsDay({ scan }: DayText, index: number): boolean {
  const next = isOneOf(scan, index + 1, 'theDay') || scan.words[index + 1] === '.' ? index + 2 : index + 1;
  const after = scan.pieces[next];
  if (after?.kind === 'number' && after.text.length <= 2) return true;
  const of = isOneOf(scan, index - 1, 'ofWhat') ? index - 2 : index - 1;
  const before = isOneOf(scan, of, 'ordinalEndings') ? of - 1 : of;
  return scan.pieces[before]?.kind === 'number';
}

/** "I may be able to": a month's name that is a verb here. */
function isAVerb(text: DayText, first: number, last: number): boolean {
  const { scan } = text;
  if (!isOneOf(scan, first, 'monthOrVerb')) return false;
  if (isOneOf(scan, first - 1, 'inAMonth')) return false;
  return isOneOf(scan, first - 1, 'verbSubjects') || isOneOf(scan, last + 1, 'afterMay');
}

/** "First week of december", "la ultima semana de mayo": seven days of the month, counted from its ends. */
function weekOfMonth(text: DayText, index: number): DayMention | undefined {
  const { scan } = text;
  const nth = nthAt(text, index);
  const week = nth && cueAt(scan, nth.last + 1, 'week');
  const named = week && ofMonth(text, week.last + 1);
  if (!nth || !named) return undefined;
  const end = endOfMonth(named.first);
  const from = nth.value < 0 ? end - 6 : named.first + 7 * (nth.value - 1);
  const to = Math.min(end, from + 6);
  if (from > end || to < text.now) return undefined;
  return { kind: 'month', from: Math.max(from, text.now), to, unsure: true, first: index, last: named.last };
}

/** "First monday in december", "last friday of the month", "el primer lunes de mayo". */
function weekdayOfMonth(text: DayText, index: number, previous: DayMention | undefined): DayMention | undefined {
  const nth = nthAt(text, index);
  const weekday = nth && text.weekday(nth.last + 1);
  if (!nth || weekday === undefined) return undefined;
  // "Next month, first monday".
  const before = previous?.kind === 'month' ? { first: firstDayOf(previous.from), last: nth.last + 1 } : undefined;
  const named = ofMonth(text, nth.last + 2) ?? before;
  if (!named) return undefined;
  const end = endOfMonth(named.first);
  const day =
    nth.value < 0
      ? end - ((weekdayOf(end) - weekday + 7) % 7)
      : nextWeekday(weekday, named.first - 1) + 7 * (nth.value - 1);
  return day < text.now || day > end ? undefined : oneDay('date', day, index, named.last);
}

/** "First", "second", "1st", "last" before a week or a weekday of a month; -1 is the last one. */
function nthAt(text: DayText, index: number): { value: number; last: number } | undefined {
  if (isOneOf(text.scan, index, 'lastOfMonth')) return { value: -1, last: index };
  if (isOneOf(text.scan, index, 'secondOfMonth')) return { value: 2, last: index };
  const date = text.date(index);
  return date?.ordinal && date.value <= 5 ? { value: date.value, last: date.last } : undefined;
}

/** The month that a week or a weekday belongs to: "of december", "in the month", "del mes que viene". */
function ofMonth(text: DayText, from: number): NamedMonth | undefined {
  const { scan } = text;
  if (!isOneOf(scan, from, 'ofAMonth')) return undefined;
  const at = isOneOf(scan, from + 1, 'monthArticles') ? from + 2 : from + 1;
  return nameAt(text, at) ?? thisMonth(text, at);
}

/** "The 5th of next month", "el 5 del mes que viene", "the first of the month". */
function dateOfNextMonth(text: DayText, index: number): DayMention | undefined {
  const date = text.date(index);
  const named = date && ofMonth(text, date.last + 1);
  if (!date || !named || text.month(named.last) !== undefined) return undefined;
  const day = dateWithin(named.first, date.value);
  // "The first of the month" that is over is the next one's.
  const meant = day !== undefined && day < text.now ? dateWithin(endOfMonth(named.first) + 1, date.value) : day;
  return meant === undefined ? undefined : oneDay('date', meant, index, named.last);
}

function dateWithin(first: Day, date: number): Day | undefined {
  const { year, month: number } = partsOf(first);
  return dayFrom(year, number, date);
}
