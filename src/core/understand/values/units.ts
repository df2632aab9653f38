import type { Cue } from './cue-names.ts';
import { cueAt, cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';
import type { NumberMention } from './numbers.ts';

export type Unit =
  'miles' | 'kilometres' | 'litres' | 'cubicCentimetres' | 'cylinders' | 'money' | 'timeSpan' | 'otherUnit';

const UNITS: readonly Unit[] = [
  'miles',
  'kilometres',
  'litres',
  'cubicCentimetres',
  'cylinders',
  'money',
  'timeSpan',
  'otherUnit',
];
const CURRENCY = new Set(['$', '€', '£']);

/** A number with what follows it: its unit, and the last piece of that. */
export interface Measured {
  mention: NumberMention;
  unit?: Unit;
  /** Last piece of number and unit together. */
  end: number;
}

/** Miles in a kilometre's worth: 1 mi = 1.609344 km exactly (NIST SP 811, appendix B.8). */
export const KILOMETRES_PER_MILE = 1.609344;

/** Kilometres as miles, rounded to the mile. */
export const milesFromKilometres = (kilometres: number): number => Math.round(kilometres / KILOMETRES_PER_MILE);

/** The unit that stands right after a number, or the currency sign right before it. */
export function measure(scan: Scan, mention: NumberMention, isNumber: (at: number) => boolean): Measured {
  const after = mention.last + 1;
  const unit = unitAt(scan, mention, after, isNumber);
  if (unit) return { mention, unit: unit.cue as Unit, end: unit.last };
  if (CURRENCY.has(scan.words[mention.first - 1] ?? '')) return { mention, unit: 'money', end: mention.last };
  return { mention, end: mention.last };
}

function unitAt(
  scan: Scan,
  mention: NumberMention,
  after: number,
  isNumber: (at: number) => boolean,
): { cue: Cue; last: number } | undefined {
  const { pieces, words, sentence } = scan;
  const here = pieces[after];
  if (!here) return undefined;
  let at = after;
  // "5.9l", "34-foot", "80,000-mile"
  if (words[at] === '-' && !here.spaced && pieces[at + 1]?.kind === 'word') at++;
  if (sentence[at] !== sentence[mention.last]) return undefined;
  const said = cueAt(scan, at, ...UNITS, 'clicks');
  if (!said) return undefined;
  const found = said.cue === 'clicks' ? { ...said, cue: 'kilometres' as const } : said;
  // In "6.7 v8" and "2 i6" the letter belongs to the next number.
  const next = pieces[found.last + 1];
  if (pieces[found.last]?.text.length === 1 && found.first === found.last && next?.kind === 'number' && !next.spaced) {
    return undefined;
  }
  // "six point seven V eight": no volts, but the letter of the next number.
  if (words[found.last] === 'v' && found.first === found.last && isNumber(found.last + 1)) return undefined;
  // "6.7 v-8"
  if (words[found.last] === 'v' && found.first === found.last && words[found.last + 1] === '-') return undefined;
  return found;
}

/** A small whole number above one, in digits or as a word. */
function countOf({ words, little: { counts } }: Scan, at: number): number | undefined {
  const word = words[at] ?? '';
  const count = counts.get(word) ?? (/^\d{1,2}$/.test(word) ? Number(word) : undefined);
  return count !== undefined && count > 1 ? count : undefined;
}

const PERIODS = { perYear: 'year', perMonth: 'month', perWeek: 'week', perDay: 'day' } as const;
export type Period = (typeof PERIODS)[keyof typeof PERIODS];

/** The period that a number is told for: "a year", "per month", "/ week", "100 a day". */
export function periodAfter(scan: Scan, end: number): { period: Period; last: number; every?: number } | undefined {
  const sentence = scan.sentence[end];
  for (let at = end + 1; at <= end + 3 && scan.sentence[at] === sentence; at++) {
    const found = cueAt(scan, at, 'perYear', 'perMonth', 'perWeek', 'perDay');
    if (found) {
      return { period: PERIODS[found.cue as keyof typeof PERIODS], last: found.last };
    }
    // "800 miles every 2 weeks", "every other week"
    const every = isOneOf(scan, at, 'every') ? countOf(scan, at + 1) : undefined;
    const unit = every === undefined ? undefined : cueAt(scan, at + 2, 'week', 'month', 'day');
    if (every !== undefined && unit) return { period: unit.cue as 'week', last: unit.last, every };
    // Only a little word or a unit may stand between: "15k miles easy a year".
    const skip = cueAt(scan, at, 'filler', 'miles', 'kilometres');
    if (!skip) return undefined;
    at = skip.last;
  }
  return undefined;
}

/** The period told before a number: "yearly about 15k", "al mes hago mil". */
/** "Annual distance is about 14,500 mi", "miles per year: 16,000": the pace by its name, right before its number. */
export function periodNamed(scan: Scan, first: number): Period | undefined {
  const sentence = scan.sentence[first];
  for (let at = first - 1; at >= 0 && at > first - FARTHEST_NAME && scan.sentence[at] === sentence;) {
    const name = cueEnding(scan, at, 'paceName');
    if (name) {
      // "40k miles a year, 3 states": said of the number before it.
      if (scan.pieces[name.first - 1]?.kind === 'number' || scan.pieces[name.first - 2]?.kind === 'number')
        return undefined;
      const found = cueWithin(scan, name.first, name.last, 'perYear', 'perMonth', 'perWeek');
      return found && PERIODS[found.cue as keyof typeof PERIODS];
    }
    const filler = cueEnding(scan, at, 'filler', 'maybe', 'hedge', 'miles', 'kilometres');
    if (!filler && scan.pieces[at]?.kind !== 'mark') return undefined;
    at = (filler?.first ?? at) - 1;
  }
  return undefined;
}
const FARTHEST_NAME = 9;

export const periodBefore = (scan: Scan, first: number): Period | undefined => {
  const clause = scan.clause[first];
  for (let at = first - 1; at >= 0 && at > first - 6 && scan.clause[at] === clause; at--) {
    const found = cueEnding(scan, at, 'perYear', 'perMonth', 'perWeek', 'perDay');
    if (found) {
      return PERIODS[found.cue as keyof typeof PERIODS];
    }
  }
  return undefined;
};
