import { dayFrom, nextDate, nextMonthDate, weekdayOf, type Day } from './calendar.ts';
import { cueAt, isOneOf } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import { oneDay, type DayText } from './day-text.ts';

/** 5/28, 5/28/26, 2026-05-28; month first, unless only the other order gives a date. */
export function numeric(text: DayText, index: number, previous?: DayMention): DayMention | undefined {
  const { pieces, words } = text.scan;
  const number = (at: number): number | undefined =>
    pieces[at]?.kind === 'number' && (at === index || !pieces[at]?.spaced) ? Number(pieces[at]?.text) : undefined;
  const mark = words[index + 1];
  if (mark !== '/' && mark !== '-' && mark !== '.') return undefined;
  const [a, b] = [number(index), number(index + 2)];
  if (a === undefined || b === undefined || pieces[index + 1]?.spaced) return undefined;
  const c = words[index + 3] === mark ? number(index + 4) : undefined;
  if (pieces[index]?.text.length === 4 && c !== undefined) {
    const day = dayFrom(a, b, c);
    return day === undefined ? undefined : oneDay('date', day, index, index + 4);
  }
  if (mark === '.' && c === undefined) return undefined;
  if (mark === '-' && c === undefined && a > 12) return undefined;
  const last = c === undefined ? index + 2 : index + 4;
  const year = c === undefined ? undefined : c < 100 ? 2000 + c : c;
  const resolve = (month: number, date: number): Day | undefined =>
    year === undefined ? nextMonthDate(month, date, text.now) : dayFrom(year, month, date);
  const day = (a <= 12 ? resolve(a, b) : undefined) ?? (b <= 12 ? resolve(b, a) : undefined);
  if (day === undefined) return undefined;
  // "Friday 9-11": hours, where that day is no friday.
  const behindWeekday = mark === '-' && c === undefined && previous?.kind === 'weekday' && previous.last === index - 1;
  if (behindWeekday && a < b && b <= 12 && weekdayOf(day) !== weekdayOf(previous.from)) return undefined;
  const either = text.scan.language === 'es' && a <= 12 && b <= 12 && a !== b;
  return oneDay('date', day, index, last, either);
}

/** "june 9th", "9 de junio", "the 9th of june", "june the 9th". */
export function monthAndDate(text: DayText, index: number): DayMention | undefined {
  const { words } = text.scan;
  const month = text.month(index);
  if (month !== undefined) {
    const at = isOneOf(text.scan, index + 1, 'theDay') || words[index + 1] === '.' ? index + 2 : index + 1;
    const date = text.date(at);
    return date ? ofMonth(text, month, date.value, index, date.last) : undefined;
  }
  const first = text.date(index);
  if (!first) return undefined;
  const at = isOneOf(text.scan, first.last + 1, 'ofWhat') ? first.last + 2 : first.last + 1;
  const named = text.month(at) ?? monthOfSpan(text, first.last + 1);
  if (named !== undefined && text.month(at) === undefined) return ofMonth(text, named, first.value, index, first.last);
  return named === undefined ? undefined : ofMonth(text, named, first.value, index, at);
}

/** "between 14 and 18 september", "del 3 al 5 de mayo": the month is told with the second day. */
function monthOfSpan(text: DayText, from: number): number | undefined {
  const through =
    cueAt(text.scan, from, 'through') ?? (isOneOf(text.scan, from, 'upToADate') ? { last: from } : undefined);
  if (!through) return undefined;
  const next = isOneOf(text.scan, through.last + 1, 'dateArticles') ? through.last + 2 : through.last + 1;
  const second = text.date(next);
  if (!second) return undefined;
  const at = isOneOf(text.scan, second.last + 1, 'ofWhat') ? second.last + 2 : second.last + 1;
  return text.month(at);
}

function ofMonth(text: DayText, month: number, date: number, first: number, last: number): DayMention | undefined {
  const { words, pieces } = text.scan;
  const comma = words[last + 1] === ',' || isOneOf(text.scan, last + 1, 'ofAYear') ? 1 : 0;
  const yearPiece = pieces[last + 1 + comma];
  const year = yearPiece?.kind === 'number' && /^20\d\d$/.test(yearPiece.text) ? Number(yearPiece.text) : undefined;
  const day = year === undefined ? nextMonthDate(month, date, text.now) : dayFrom(year, month, date);
  if (day === undefined) return undefined;
  return oneDay('date', day, first, year === undefined ? last : last + 1 + comma);
}

/** "the 12th", "el 12", "12th", and the second of "the 10th to the 14th". */
export function dateAlone(
  text: DayText,
  index: number,
  previous: DayMention | undefined,
  named = false,
): DayMention | undefined {
  const { words } = text.scan;
  const date = text.date(index);
  if (!date) return undefined;
  const article = isOneOf(text.scan, index - 1, 'dateArticles');
  const word = (words[index] ?? '').length > 2 && text.scan.pieces[index]?.kind === 'word';
  if (word && date.ordinal && !article) return undefined;
  if (inMonth(text, index, date.last)) return undefined;
  // "the first available", "the second week"
  if (word && cueAt(text.scan, index, 'soon', 'morning')) return undefined;
  const continued =
    previous !== undefined &&
    previous.kind === 'date' &&
    index - previous.last <= 2 &&
    cueAt(text.scan, previous.last + 1, 'through') !== undefined;
  const clock = cueAt(text.scan, date.last + 1, 'am', 'pm', 'oclock', 'week', 'day', 'timeSpan', 'otherUnit');
  if (clock && !date.ordinal) return undefined;
  // "Friday 13:30"
  if (words[date.last + 1] === ':' && text.scan.pieces[date.last + 2]?.kind === 'number') return undefined;
  if (!date.ordinal && !article && !continued && !named && !afterWeekday(text, index, date.value, previous))
    return undefined;
  // "Next month, the 5th".
  const inNamed = previous?.kind === 'month' && index - previous.last <= 3;
  const from = continued || inNamed ? previous.from : text.now;
  const day = nextDate(date.value, from);
  return day === undefined ? undefined : oneDay('date', day, index, date.last);
}

/** "lunes 19", "monday 19": the day of the month; in English a small number after a weekday is an hour. */
function afterWeekday(text: DayText, index: number, value: number, previous: DayMention | undefined): boolean {
  if (previous?.kind !== 'weekday' || index !== previous.last + 1) return false;
  return text.scan.language === 'es' || value > 12;
}

/** "feb 30th", "the 31st of june": with its month beside it the number is no day of another month. */
function inMonth(text: DayText, first: number, last: number): boolean {
  const { words } = text.scan;
  const before = isOneOf(text.scan, first - 1, 'theDay') || words[first - 1] === '.' ? first - 2 : first - 1;
  const after = isOneOf(text.scan, last + 1, 'ofWhat') ? last + 2 : last + 1;
  return text.month(before) !== undefined || text.month(after) !== undefined;
}
