import {
  dayFrom,
  endOfMonth,
  mondayOf,
  nextDate,
  nextMonthDate,
  nextWeekday,
  partsOf,
  weekdayOf,
  type Day,
} from './calendar.ts';
import { cueAt, cueBefore, cueEnding, type Scan } from './cues.ts';
import { weekdaysOfNextWeek, withDates, type DayMention } from './day-pairs.ts';
import type { ValuesLexicon } from './lexicon.ts';
import { findNumbers, type NumberMention } from './numbers.ts';

/** Finds the days of a text from left to right, resolved against `now`. */
export function findDays(scan: Scan, lexicon: ValuesLexicon, now: Day): DayMention[] {
  const finder = new DayFinder(scan, lexicon, now);
  const found: DayMention[] = [];
  for (let at = 0; at < scan.pieces.length && found.length < MOST_DAYS;) {
    const day = finder.at(at, found[found.length - 1]);
    if (day) found.push(day);
    at = day ? Math.max(day.last, at) + 1 : at + 1;
  }
  return weekdaysOfNextWeek(scan, withDates(scan, found), now);
}

/** A message that names more days than this is not an answer to the question when to come. */
const MOST_DAYS = 40;

const SUFFIXES = new Set(['st', 'nd', 'rd', 'th']);
const DATE_ARTICLES = new Set(['the', 'el', 'del', 'al', 'dia']);

class DayFinder {
  readonly #scan: Scan;
  readonly #lexicon: ValuesLexicon;
  readonly #now: Day;
  readonly #numbers: Map<number, NumberMention>;

  constructor(scan: Scan, lexicon: ValuesLexicon, now: Day) {
    this.#scan = scan;
    this.#lexicon = lexicon;
    this.#now = now;
    this.#numbers = new Map(findNumbers(scan, lexicon, new Set()).map((mention) => [mention.first, mention]));
  }

  at(index: number, previous: DayMention | undefined): DayMention | undefined {
    return (
      this.#relativeDay(index) ??
      this.#ahead(index) ??
      this.#week(index) ??
      this.#weekday(index) ??
      this.#numeric(index) ??
      this.#monthAndDate(index) ??
      this.#dateAlone(index, previous) ??
      this.#month(index) ??
      this.#soon(index)
    );
  }

  #one(kind: DayMention['kind'], day: Day, first: number, last: number, unsure = false): DayMention {
    return { kind, from: day, to: day, unsure, first, last };
  }

  #relativeDay(index: number): DayMention | undefined {
    const scan = this.#scan;
    const partFirst = cueAt(scan, index, 'morning', 'afternoon');
    const found = cueAt(scan, index, 'dayAfterTomorrow', 'tomorrow', 'today');
    if (!found || (partFirst && partFirst.last > found.last)) return undefined;
    // "en la mañana" is a part of the day, whatever word starts it.
    if (found.cue === 'tomorrow' && cueEnding(scan, found.last, 'morning')) {
      const part = cueEnding(scan, found.last, 'morning');
      if (part && part.first < index) return undefined;
    }
    // "de hoy en ocho días" counts from today.
    if (found.cue === 'today' && this.#scan.words[found.last + 1] === 'en' && this.#count(found.last + 2))
      return undefined;
    const ahead = { today: 0, tomorrow: 1, dayAfterTomorrow: 2 }[found.cue as 'today'];
    const inside = cueAt(scan, found.last, 'morning', 'afternoon') !== undefined;
    return { ...this.#one('other', this.#now + ahead, found.first, found.last), partInside: inside };
  }

  /** "two weeks from monday", "a week from friday", "in 3 days", "dentro de dos semanas". */
  #ahead(index: number): DayMention | undefined {
    const scan = this.#scan;
    const count = this.#count(index);
    if (!count) return undefined;
    const unit = cueAt(scan, count.next, 'week', 'day');
    if (!unit) return undefined;
    const days = count.value * (unit.cue === 'week' ? 7 : 1);
    const from = unit.last + 1;
    const word = scan.words[from];
    // "A week on Thursday", as the British say it, "a week from Friday".
    if (word === 'on' || word === 'from' || word === 'after' || word === 'de' || word === 'del' || word === 'despues') {
      for (let at = from + 1; at <= from + 3; at++) {
        const start = this.#weekday(at) ?? this.#relativeDay(at);
        if (start) return this.#one('date', start.from + days, index, start.last, start.unsure);
      }
    }
    const fromNow = cueAt(scan, from, 'fromNow');
    const inside = ['in', 'en', 'dentro'].includes(scan.words[index - 1] ?? '') || scan.words[index - 2] === 'dentro';
    if (!fromNow && !inside) return undefined;
    // Spanish counts today: ocho días is a week, quince días two.
    const spanish = scan.language === 'es' && unit.cue === 'day' ? ({ 8: 7, 15: 14 }[count.value] ?? days) : days;
    const vague = unit.cue === 'week' || count.vague;
    return this.#one('date', this.#now + spanish, index, fromNow?.last ?? unit.last, vague);
  }

  #count(index: number): { value: number; next: number; vague: boolean } | undefined {
    const { words } = this.#scan;
    if (['couple', 'par'].includes(words[index] ?? '')) {
      const of = ['of', 'de'].includes(words[index + 1] ?? '') ? 1 : 0;
      return { value: 2, next: index + 1 + of, vague: true };
    }
    if (words[index] === 'a' && cueAt(this.#scan, index + 1, 'week'))
      return { value: 1, next: index + 1, vague: false };
    const number = this.#numbers.get(index);
    if (!number || number.value < 1 || number.value > 60 || !Number.isInteger(number.value)) return undefined;
    return { value: number.value, next: number.last + 1, vague: false };
  }

  /** "next week", "la semana que viene", "week of the 14th", "this weekend", "end of the week". */
  #week(index: number): DayMention | undefined {
    const scan = this.#scan;
    const monday = mondayOf(this.#now);
    const span = (from: Day, to: Day, first: number, last: number, unsure = false): DayMention => ({
      kind: 'week',
      from: Math.max(from, this.#now),
      to: Math.max(to, this.#now),
      unsure,
      first,
      last,
    });
    const afterNext = cueAt(scan, index, 'weekAfterNext');
    if (afterNext) return span(monday + 14, monday + 20, index, afterNext.last);
    const weekOf = cueAt(scan, index, 'weekOf');
    if (weekOf) {
      for (let at = weekOf.last + 1; at <= weekOf.last + 2; at++) {
        const date = this.#numeric(at) ?? this.#monthAndDate(at) ?? this.#dateAlone(at, undefined, true);
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
      const saturday = monday + 5 + (next && weekdayOf(this.#now) < 6 ? 7 : 0);
      return { ...span(saturday, saturday + 1, index, last, next && weekdayOf(this.#now) < 6), kind: 'other' };
    }
    const article = ['the', 'la', 'esta', 'this'].includes(scan.words[index - 1] ?? '') || before?.cue === 'this';
    if (!next && !article) return undefined;
    const start = next ? monday + 7 : monday;
    const early = this.#partOfSpan(index);
    if (early === 'early') return span(start, start + 2, index, last, true);
    if (early === 'late') return span(start + 3, start + 4, index, last, true);
    return span(start, start + 6, index, last);
  }

  #partOfSpan(index: number): 'early' | 'late' | undefined {
    const found = cueBefore(this.#scan, index, 'early', 'late');
    return found?.cue as 'early' | 'late' | undefined;
  }

  #weekdayNumber(index: number): number | undefined {
    const word = this.#scan.words[index] ?? '';
    const { language } = this.#scan;
    const own = this.#lexicon.words[language].weekdays.get(word);
    return own ?? this.#lexicon.words[language === 'en' ? 'es' : 'en'].weekdays.get(word);
  }

  #weekday(index: number): DayMention | undefined {
    const scan = this.#scan;
    const before = cueAt(scan, index, 'next', 'this');
    const at = before ? before.last + 1 : index;
    const weekday = this.#weekdayNumber(at);
    if (weekday === undefined) return undefined;
    const after = cueAt(scan, at + 1, 'next');
    const afterIsWeek = after !== undefined && cueAt(scan, after.last + 1, 'week') !== undefined;
    const last = after && !afterIsWeek ? after.last : at;
    const nearest = nextWeekday(weekday, this.#now);
    // "Thursday week": the one after the next.
    if (!before && scan.language === 'en' && ['week', 'wk'].includes(scan.words[at + 1] ?? ''))
      return this.#one('weekday', nearest + 7, index, at + 1);
    const todayIsIt = weekdayOf(this.#now) === weekday;
    const next = before?.cue === 'next' || (after !== undefined && !afterIsWeek);
    if (next && scan.words[before?.last ?? after?.first ?? -1] !== 'coming') {
      const inNextWeek = mondayOf(this.#now) + 7 + weekday - 1;
      return this.#one('weekday', inNextWeek, index, last, nearest !== inNextWeek);
    }
    if (before?.cue === 'this') {
      const inThisWeek = mondayOf(this.#now) + weekday - 1;
      const past = inThisWeek < this.#now;
      return this.#one('weekday', past ? nearest : inThisWeek, index, last, past);
    }
    return this.#one('weekday', nearest, index, last, todayIsIt);
  }

  /** 5/28, 5/28/26, 2026-05-28; month first, unless only the other order gives a date. */
  #numeric(index: number): DayMention | undefined {
    const { pieces, words } = this.#scan;
    const number = (at: number): number | undefined =>
      pieces[at]?.kind === 'number' && (at === index || !pieces[at]?.spaced) ? Number(pieces[at]?.text) : undefined;
    const mark = words[index + 1];
    if (mark !== '/' && mark !== '-' && mark !== '.') return undefined;
    const [a, b] = [number(index), number(index + 2)];
    if (a === undefined || b === undefined || pieces[index + 1]?.spaced) return undefined;
    const c = words[index + 3] === mark ? number(index + 4) : undefined;
    if (pieces[index]?.text.length === 4 && c !== undefined) {
      const day = dayFrom(a, b, c);
      return day === undefined ? undefined : this.#one('date', day, index, index + 4);
    }
    if (mark === '.' && c === undefined) return undefined;
    if (mark === '-' && c === undefined && a > 12) return undefined;
    const last = c === undefined ? index + 2 : index + 4;
    const year = c === undefined ? undefined : c < 100 ? 2000 + c : c;
    const resolve = (month: number, date: number): Day | undefined =>
      year === undefined ? nextMonthDate(month, date, this.#now) : dayFrom(year, month, date);
    const day = (a <= 12 ? resolve(a, b) : undefined) ?? (b <= 12 ? resolve(b, a) : undefined);
    if (day === undefined) return undefined;
    const either = this.#scan.language === 'es' && a <= 12 && b <= 12 && a !== b;
    return this.#one('date', day, index, last, either);
  }

  #monthNumber(index: number): number | undefined {
    const word = this.#scan.words[index] ?? '';
    return this.#lexicon.words.en.months.get(word) ?? this.#lexicon.words.es.months.get(word);
  }

  /** "june 9th", "9 de junio", "the 9th of june", "june the 9th". */
  #monthAndDate(index: number): DayMention | undefined {
    const { words } = this.#scan;
    const month = this.#monthNumber(index);
    if (month !== undefined) {
      const at = words[index + 1] === 'the' || words[index + 1] === '.' ? index + 2 : index + 1;
      const date = this.#dateNumber(at);
      return date ? this.#ofMonth(month, date.value, index, date.last) : undefined;
    }
    const first = this.#dateNumber(index);
    if (!first) return undefined;
    const at = ['of', 'de'].includes(words[first.last + 1] ?? '') ? first.last + 2 : first.last + 1;
    const named = this.#monthNumber(at) ?? this.#monthOfSpan(first.last + 1);
    if (named !== undefined && this.#monthNumber(at) === undefined)
      return this.#ofMonth(named, first.value, index, first.last);
    return named === undefined ? undefined : this.#ofMonth(named, first.value, index, at);
  }

  /** "between 14 and 18 september", "del 3 al 5 de mayo": the month is told with the second day. */
  #monthOfSpan(from: number): number | undefined {
    const { words } = this.#scan;
    const through = cueAt(this.#scan, from, 'through') ?? (words[from] === 'al' ? { last: from } : undefined);
    if (!through) return undefined;
    const next = DATE_ARTICLES.has(words[through.last + 1] ?? '') ? through.last + 2 : through.last + 1;
    const second = this.#dateNumber(next);
    if (!second) return undefined;
    const at = ['of', 'de'].includes(words[second.last + 1] ?? '') ? second.last + 2 : second.last + 1;
    return this.#monthNumber(at);
  }

  #ofMonth(month: number, date: number, first: number, last: number): DayMention | undefined {
    const { words, pieces } = this.#scan;
    const comma = words[last + 1] === ',' || words[last + 1] === 'de' || words[last + 1] === 'del' ? 1 : 0;
    const yearPiece = pieces[last + 1 + comma];
    const year = yearPiece?.kind === 'number' && /^20\d\d$/.test(yearPiece.text) ? Number(yearPiece.text) : undefined;
    const day = year === undefined ? nextMonthDate(month, date, this.#now) : dayFrom(year, month, date);
    if (day === undefined) return undefined;
    return this.#one('date', day, first, year === undefined ? last : last + 1 + comma);
  }

  /** A number from 1 to 31, or its ordinal word, with its suffix. */
  #dateNumber(index: number): { value: number; last: number; ordinal: boolean } | undefined {
    const { words, pieces, language } = this.#scan;
    const word = words[index] ?? '';
    const ordinals = this.#lexicon.words[language].ordinals;
    const ordinal = ordinals.get(word);
    if (ordinal !== undefined) return { value: ordinal, last: index, ordinal: true };
    const number = this.#numbers.get(index);
    if (number && !number.digits && [20, 30].includes(number.value)) {
      // "twenty first"
      const at = words[number.last + 1] === '-' ? number.last + 2 : number.last + 1;
      const unit = ordinals.get(words[at] ?? '');
      if (unit !== undefined && unit < 10) return { value: number.value + unit, last: at, ordinal: true };
    }
    const piece = pieces[index];
    const typed = piece?.kind === 'number' && piece.text.length <= 2 ? Number(piece.text) : undefined;
    const value = typed ?? (number && !number.digits && !number.scaled ? number.value : undefined);
    if (value === undefined || value < 1 || value > 31 || !Number.isInteger(value)) return undefined;
    const end = typed === undefined ? (number as NumberMention).last : index;
    const suffix = pieces[end + 1];
    if (suffix && !suffix.spaced && SUFFIXES.has(suffix.text)) return { value, last: end + 1, ordinal: true };
    return { value, last: end, ordinal: false };
  }

  /** "the 12th", "el 12", "12th", and the second of "the 10th to the 14th". */
  #dateAlone(index: number, previous: DayMention | undefined, named = false): DayMention | undefined {
    const { words } = this.#scan;
    const date = this.#dateNumber(index);
    if (!date) return undefined;
    const article = DATE_ARTICLES.has(words[index - 1] ?? '');
    const word = (words[index] ?? '').length > 2 && this.#scan.pieces[index]?.kind === 'word';
    if (word && date.ordinal && !article) return undefined;
    if (this.#inMonth(index, date.last)) return undefined;
    // "the first available", "the second week"
    if (word && cueAt(this.#scan, index, 'soon', 'morning')) return undefined;
    const continued =
      previous !== undefined &&
      previous.kind === 'date' &&
      index - previous.last <= 2 &&
      cueAt(this.#scan, previous.last + 1, 'through') !== undefined;
    const clock = cueAt(this.#scan, date.last + 1, 'am', 'pm', 'oclock', 'week', 'day', 'timeSpan', 'otherUnit');
    if (clock && !date.ordinal) return undefined;
    // "Friday 13:30"
    if (words[date.last + 1] === ':' && this.#scan.pieces[date.last + 2]?.kind === 'number') return undefined;
    if (!date.ordinal && !article && !continued && !named && !this.#afterWeekday(index, date.value, previous))
      return undefined;
    const from = continued ? (previous as DayMention).from : this.#now;
    const day = nextDate(date.value, from);
    return day === undefined ? undefined : this.#one('date', day, index, date.last);
  }

  /** "lunes 19", "monday 19": the day of the month; in English a small number after a weekday is an hour. */
  #afterWeekday(index: number, value: number, previous: DayMention | undefined): boolean {
    if (previous?.kind !== 'weekday' || index !== previous.last + 1) return false;
    return this.#scan.language === 'es' || value > 12;
  }

  /** "feb 30th", "the 31st of june": with its month beside it the number is no day of another month. */
  #inMonth(first: number, last: number): boolean {
    const { words } = this.#scan;
    const before = ['the', '.', 'el'].includes(words[first - 1] ?? '') ? first - 2 : first - 1;
    const after = ['of', 'de'].includes(words[last + 1] ?? '') ? last + 2 : last + 1;
    return this.#monthNumber(before) !== undefined || this.#monthNumber(after) !== undefined;
  }

  /** "in june", "next month": a span that must be narrowed. */
  #month(index: number): DayMention | undefined {
    const scan = this.#scan;
    const next = cueAt(scan, index, 'next');
    const afterWord = cueAt(scan, index, 'month');
    const { year, month } = partsOf(this.#now);
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
    const named = this.#monthNumber(index);
    if (named === undefined || !['in', 'en', 'of', 'de', 'for'].includes(scan.words[index - 1] ?? '')) return undefined;
    const first = dayFrom(named < month ? year + 1 : year, named, 1) as Day;
    const from = Math.max(first, this.#now);
    return { kind: 'other', from, to: endOfMonth(first), unsure: true, first: index, last: index };
  }

  /** "asap", "whenever": an open end, for which the seven days from today stand, to be confirmed. */
  #soon(index: number): DayMention | undefined {
    const found = cueAt(this.#scan, index, 'soon');
    if (!found || this.#isCondition(found.last) || this.#scan.words[index - 1] === 'too') return undefined;
    return {
      kind: 'other',
      from: this.#now,
      to: this.#now + 6,
      unsure: true,
      first: index,
      last: found.last,
      openEnd: true,
    };
  }

  /** "whenever you get the parts in" waits for something; "whenever you can" names any day. */
  #isCondition(last: number): boolean {
    const { words } = this.#scan;
    if (words[last] !== 'whenever' || !SUBJECTS.has(words[last + 1] ?? '')) return false;
    return !PLAIN_VERBS.has(words[last + 2] ?? 'can');
  }
}

const PLAIN_VERBS = new Set([
  'can',
  'could',
  'want',
  'like',
  'have',
  'has',
  'got',
  'are',
  'is',
  'works',
  'work',
  'fits',
  'guys',
  'say',
  'need',
  'prefer',
  'open',
]);
const SUBJECTS = new Set(['you', 'yall', 'u', 'they', 'it', 'i', 'we', 'the', 'my']);
