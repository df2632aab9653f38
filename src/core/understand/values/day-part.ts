import { cueAt, cueBefore, cueEnding, isOneOf, type Scan } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import type { ValuesLexicon } from './lexicon.ts';

export type Part = 'morning' | 'afternoon' | 'any';

/** The part of the day, from words ("first thing", "en la tarde") and from hours ("at 9", "after 2", "14:00"). */
export function partOf(
  scan: Scan,
  days: readonly DayMention[],
  lexicon: ValuesLexicon,
): { part: Part; unsure: boolean } {
  const found = new Set<Part>();
  const hours = new Set<Part>();
  const inDay = (at: number): boolean => days.some((day) => day.first <= at && at <= day.last && !day.partInside);
  for (let at = 0; at < scan.pieces.length; at++) {
    const holiday = days.find((day) => day.isHoliday && day.first === at);
    if (holiday) {
      at = holiday.last;
      continue;
    }
    const any = cueAt(scan, at, 'anyPart');
    // "Anytime after one" is not any time.
    const bound = any && cueAt(scan, any.last + 1, 'after', 'before');
    if (bound && (hourAt(scan, bound.last + 1) ?? spokenHour(scan, bound.last + 1, lexicon))) {
      at = any.last;
      continue;
    }
    if (any) {
      // "Morning, or whenever": what is said last of the two counts.
      found.clear();
      found.add('any');
      at = any.last;
      continue;
    }
    // "Early december" is a part of the month.
    if (days.some((day) => day.kind === 'month' && day.first === at && isOneOf(scan, at, 'earlyWord'))) continue;
    const word = partWord(scan, at);
    if (word) {
      // "Tuesday but not before noon" says what is left.
      const holdsNot = (cueAt(scan, at, 'cannot', 'except')?.last ?? at - 1) >= at;
      if (holdsNot || !cueBefore(scan, at, 'cannot', 'except')) {
        // "Any time on Tuesday, mornings if you can".
        found.delete('any');
        found.add(word.part);
      }
      at = word.last;
      continue;
    }
    if (inDay(at)) continue;
    const hour =
      hourAt(scan, at) ?? spokenHour(scan, at, lexicon) ?? hourOfFour(scan, at, days) ?? hourOfDay(scan, at, days);
    if (hour) {
      const part = partOfHour(scan, at, hour);
      if (part) hours.add(part);
      if (part && isChoice(scan, at)) for (const one of hours) found.add(one);
      at = hour.last;
    }
  }
  // "First thing in the morning, I am up at 4 anyhow": the words say it, an hour beside them may be of something else.
  if (found.size === 0) for (const part of hours) found.add(part);
  if (found.has('any') || found.size !== 1) return { part: 'any', unsure: false };
  return { part: [...found][0] as Part, unsure: false };
}

/** "morning or 2pm", "9am to 3pm": the hour is one of two. */
function isChoice(scan: Scan, at: number): boolean {
  for (let before = at - 1; before >= at - 2 && before >= 0; before--) {
    if (isOneOf(scan, before, 'eitherHour') || scan.words[before] === '-') return true;
  }
  return false;
}

function partWord(scan: Scan, at: number): { part: Part; last: number } | undefined {
  const morning = cueAt(scan, at, 'morning');
  const afternoon = cueAt(scan, at, 'afternoon');
  const isAm = isOneOf(scan, at, 'amWord');
  if (isAm || isOneOf(scan, at, 'pmWord')) {
    // "i am free": only after a number, a day, or at an end.
    if (at === 0 || isOneOf(scan, at - 1, 'amIsAVerb')) return undefined;
    return { part: isAm ? 'morning' : 'afternoon', last: at };
  }
  const best = morning && afternoon ? (afternoon.last > morning.last ? afternoon : morning) : (morning ?? afternoon);
  if (!best) return undefined;
  // "early next week" is a part of the week, not of the day.
  const isEarly = isOneOf(scan, at, 'earlyWord');
  if (isEarly && best.last === at && cueAt(scan, at + 1, 'next', 'this', 'week', 'month')) return undefined;
  if (isEarly && isOneOf(scan, at + 1, 'earlyIn') && cueAt(scan, at + 2, 'week', 'month')) return undefined;
  return { part: best.cue === 'morning' ? 'morning' : 'afternoon', last: best.last };
}

interface Hour {
  hour: number;
  half?: 'am' | 'pm' | undefined;
  last: number;
}

/** "9", "8:30", "830", "2pm", "14h": an hour of the day, where a word or a mark says that it is one. */
function hourAt(scan: Scan, at: number): Hour | undefined {
  const { pieces, words } = scan;
  const noon = cueAt(scan, at, 'noon');
  if (noon) return { hour: 12, half: 'pm', last: noon.last };
  const piece = pieces[at];
  if (piece?.kind !== 'number') return undefined;
  let last = at;
  let hour = Number(piece.text);
  const withMinutes = words[at + 1] === ':' && pieces[at + 2]?.kind === 'number' && !pieces[at + 2]?.spaced;
  if (withMinutes) last = at + 2;
  else if (piece.text.length >= 3) {
    if (piece.text.length > 4 || Number(piece.text.slice(-2)) > 59) return undefined;
    hour = Math.floor(hour / 100);
  }
  if (hour > 24) return undefined;
  const am = cueAt(scan, last + 1, 'am');
  const pm = cueAt(scan, last + 1, 'pm');
  const half = am ?? pm;
  const oneLetter =
    half && half.first === half.last && (words[half.first]?.length ?? 0) === 1 && pieces[half.first]?.spaced;
  if (half && !oneLetter) return { hour, half: am ? 'am' : 'pm', last: half.last };
  const said =
    withMinutes ||
    cueAt(scan, last + 1, 'oclock') !== undefined ||
    cueEnding(scan, at - 1, 'clockAt') !== undefined ||
    cueBefore(scan, at, 'clockAt') !== undefined;
  return said ? { hour, last } : undefined;
}

/** "At nine", "half nine", "quarter past eight": an hour in words, where a word says that it is one. */
function spokenHour(scan: Scan, at: number, { numerals }: ValuesLexicon): Hour | undefined {
  const numeral = numerals[scan.language].get(scan.words[at] ?? '');
  if (!numeral || (numeral.is !== 'unit' && numeral.is !== 'teen') || numeral.value < 1 || numeral.value > 12)
    return undefined;
  const next = at + 1;
  const half = cueAt(scan, next, 'am', 'pm');
  if (half && (scan.words[next]?.length ?? 0) > 1) {
    return { hour: numeral.value, half: half.cue === 'am' ? 'am' : 'pm', last: half.last };
  }
  const clock = cueAt(scan, next, 'oclock') ?? cueEnding(scan, at - 1, 'partOfHour', 'atTheHour');
  const counts = cueAt(scan, next, 'week', 'day', 'timeSpan', 'month') !== undefined && !cueAt(scan, next, 'oclock');
  return clock && !counts ? { hour: numeral.value, last: at } : undefined;
}

/** "0900", and "1300" beside a day: the hour in four digits. */
function hourOfFour(scan: Scan, at: number, days: readonly DayMention[]): Hour | undefined {
  const text = scan.pieces[at]?.kind === 'number' ? (scan.pieces[at]?.text ?? '') : '';
  if (!/^(0[5-9]|1[0-9])(00|15|30|45)$/.test(text)) return undefined;
  const beside = days.some((day) => day.first === at + 1 || day.last === at - 1);
  return text.startsWith('0') || beside ? { hour: Number(text.slice(0, 2)), half: undefined, last: at } : undefined;
}

/** "Friday 10", "friday 8 to 10": a small number right behind an English weekday. */
function hourOfDay(scan: Scan, at: number, days: readonly DayMention[]): Hour | undefined {
  const text = scan.pieces[at]?.kind === 'number' ? (scan.pieces[at]?.text ?? '') : '';
  if (!/^([1-9]|1[0-2])$/.test(text)) return undefined;
  // "El viernes de 9 a 11".
  const begins = isOneOf(scan, at - 1, 'hoursFrom') && isOneOf(scan, at + 1, 'hoursTo') ? at - 1 : at;
  if (scan.language !== 'en' && begins === at) return undefined;
  if (!days.some((day) => (day.kind === 'weekday' || begins < at) && day.last === begins - 1)) return undefined;
  const next = cueAt(scan, at + 1, 'timeSpan', 'otherUnit', 'day', 'week', 'month', 'miles');
  return next && !cueAt(scan, at + 1, 'oclock') ? undefined : { hour: Number(text), last: at };
}

/** Shop hours decide what a bare hour means: 7 to 11 is before noon, 12 and 1 to 6 is after. */
function partOfHour(scan: Scan, at: number, { hour, half }: Hour): Part | undefined {
  const clock =
    half === 'pm' && hour < 12 ? hour + 12 : half === 'am' && hour === 12 ? 0 : half || hour >= 7 ? hour : hour + 12;
  const after = cueBefore(scan, at, 'after');
  const before = cueBefore(scan, at, 'before');
  if (after) return clock >= 12 ? 'afternoon' : undefined;
  if (before) return clock <= 12 ? 'morning' : undefined;
  return clock < 12 ? 'morning' : 'afternoon';
}
