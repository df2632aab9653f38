import { hedged, type Candidate } from './choose.ts';
import { cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';
import { numbersIn, type NumberField } from './field.ts';
import { afterApostrophe, type NumberMention } from './numbers.ts';
import type { Measured } from './units.ts';
import { fullYear, type YearBounds } from './years.ts';

/**
 * The year where it was asked for: a bare "16", "20 14", or a slip such as "20017" and "2071", which is mended and
 * unsure. Undefined where the message gives nothing beyond what it says of itself.
 */
export function yearAnswer(
  scan: Scan,
  field: NumberField,
  used: ReadonlySet<NumberMention>,
  bounds: YearBounds,
  stated: readonly Candidate<number>[],
): Candidate<number>[] | undefined {
  const found: Candidate<number>[] = [...stated];
  const free = field.all.filter((m) => !used.has(m.mention));
  const taken = new Set(stated.flatMap((c) => numbersIn(field, c.first, c.last)));
  for (const m of free) {
    const { mention } = m;
    const spelled = mention.scaled && !mention.digits && isYear(mention.value, bounds);
    if (m.unit !== undefined || (mention.scaled && !spelled) || mention.decimals > 0 || taken.has(mention)) continue;
    // "2,013": typed as a number is.
    const grouped = mention.grouped === 'mark' && isYear(mention.value, bounds);
    if (mention.grouped !== 'no' && !grouped) continue;
    if (isOrdinal(scan, mention.last) || isAge(scan, mention.first)) continue;
    const dated = cueEnding(scan, mention.first - 1, 'dateWord') !== undefined;
    if (dated && !isOneOf(scan, mention.first - 1, 'aroundAYear')) continue;
    const doubt = hedged(scan, field, mention.first, mention.last) ? { unsure: 'hedged' as const } : {};
    const place = {
      first: afterApostrophe(scan, mention) ? mention.first - 1 : mention.first,
      last: mention.last,
    };
    const short = mention.value < 100 && (mention.length <= 2 || !mention.digits);
    const value = mention.pair ? mention.pair.whole * 10 + mention.pair.tenth : mention.value;
    if (short) {
      const year = fullYear(value, bounds);
      // A single digit is a year only as "07", or alone and in digits: "the last one before …" names none.
      const single = mention.value < 10 && !mention.leadingZero && (free.length > 1 || !mention.digits);
      if (year !== undefined && !single) found.push({ ...place, value: year, strength: 2, ...doubt });
      continue;
    }
    if (grouped || spelled) {
      found.push({ ...place, value: mention.value, strength: 2, ...doubt });
      continue;
    }
    const mended = mention.digits ? mendedYear(String(mention.value), bounds) : undefined;
    if (mended !== undefined) found.push({ ...place, value: mended, strength: 1, unsure: 'digits' });
  }
  // "07 and a half", "spring of 19, so either that or an 18": between two years.
  if (cueWithin(scan, 0, scan.pieces.length - 1, 'betweenYears')) for (const year of found) year.unsure ??= 'hedged';
  // "first year of the new body so 2017?": asked back.
  for (const year of found) if (scan.words[year.last + 1] === '?') year.unsure ??= 'hedged';
  const joined = inTwoParts(free, bounds);
  if (joined) return [joined];
  return found.length > stated.length || stated.length > 0 ? found : undefined;
}

const isYear = (value: number, { earliest, latest }: YearBounds): boolean => value >= earliest && value <= latest;

/** "it's older than me and i'm 19" */
const isAge = (scan: Scan, first: number): boolean => isOneOf(scan, first - 1, 'age');

/** "10th digit": a place in a row, not a year. */
const isOrdinal = (scan: Scan, last: number): boolean =>
  isOneOf(scan, last + 1, 'ordinalEndings') && !scan.pieces[last + 1]?.spaced;

/** "20 14": spoken in two parts and written in digits. */
function inTwoParts(measured: readonly Measured[], bounds: YearBounds): Candidate<number> | undefined {
  const [a, b] = measured;
  if (measured.length !== 2 || !a || !b || b.mention.first !== a.mention.last + 1) return undefined;
  if (
    ![19, 20].includes(a.mention.value) ||
    b.mention.value > 99 ||
    (b.mention.digits && b.mention.length !== 2) ||
    b.mention.value < 10
  )
    return undefined;
  const year = a.mention.value * 100 + b.mention.value;
  if (year < bounds.earliest || year > bounds.latest) return undefined;
  return { value: year, first: a.mention.first, last: b.mention.last, strength: 2 };
}

/** The one possible year that a digit too many, missing or swapped can have come from, the latest where there are more. */
function mendedYear(typed: string, bounds: YearBounds): number | undefined {
  const options = new Set<number>();
  const digits = [...typed];
  const add = (text: string): void => {
    const year = Number(text);
    if (text.length === 4 && year >= bounds.earliest && year <= bounds.latest && year >= 1990) options.add(year);
  };
  if (typed.length === 5) digits.forEach((_, at) => add(typed.slice(0, at) + typed.slice(at + 1)));
  if (typed.length === 4) {
    for (let at = 0; at < 3; at++) {
      add(typed.slice(0, at) + (typed[at + 1] ?? '') + (typed[at] ?? '') + typed.slice(at + 2));
    }
  }
  if (typed.length === 3) {
    for (let at = 0; at <= 3; at++) add(typed.slice(0, at) + '0' + typed.slice(at));
  }
  return options.size > 0 ? Math.max(...options) : undefined;
}
