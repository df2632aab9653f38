import { cueAt, cueEnding, isWithinAHedge, type Scan } from './cues.ts';
import type { NumberMention } from './numbers.ts';
import type { Measured } from './units.ts';

/** Marks that end what is said, where a number of two digits before them counts nothing any more. */
const ENDS = new Set([',', '.', ';', '!', '?', '\n', ')', '…']);

const FEWEST_OF_A_SPEED = 28;
const FASTEST = 87;

/** Two digits that may well be miles an hour. */
export const isLikeASpeed = (value: number): boolean => value > FEWEST_OF_A_SPEED && value <= FASTEST;

/**
 * "6.0 v8 diesel 07. open weds?": two digits right behind the engine, told at the end of what is said, are the truck's
 * year; with a nought or from the last decade of a century also where the complaint follows ("7.3 diesel 99 smokes").
 */
export function isRightBehindAnEngine(
  scan: Scan,
  mention: NumberMention,
  previous: Measured | undefined,
  used: ReadonlySet<NumberMention>,
  alternative: Alternative,
): boolean {
  if (!mention.digits || !previous || !used.has(previous.mention) || isLikeASpeed(mention.value)) return false;
  const plainly = mention.leadingZero || mention.value > FASTEST;
  for (let at = previous.end + 1; at < mention.first;) {
    const named = cueAt(
      scan,
      at,
      'diesel',
      'gasoline',
      'gasWord',
      'engineNoun',
      'inlineLayout',
      'vLayout',
      'truckNoun',
    );
    if (named && named.last < mention.first && scan.pieces[named.last]?.kind === 'word') at = named.last + 1;
    else if (plainly && scan.words[at] === ',') at++;
    else return false;
  }
  if (alternative === 'year') return true;
  const next = mention.last + 1;
  if (scan.sentence[next] !== scan.sentence[mention.last] || ENDS.has(scan.words[next] ?? '')) return true;
  return plainly && scan.pieces[next]?.kind === 'word';
}

/** Farther apart than this nobody is in doubt between two years of one truck. */
const MOST_YEARS_APART = 4;

const BETWEEN_TWO = new Set([',', '\n']);

/** What the number behind an "or" makes of the one before it: another year, something counted, or nothing. */
export type Alternative = 'year' | 'counted' | 'none';

/**
 * "A 14 or a 15, i forget", "a 14 or 15 hour drive": whether the next number is joined by an "or", and what it is.
 * `yearOf` is the year that a number of two or four digits stands for.
 */
export function alternativeBehind(
  scan: Scan,
  { mention }: Measured,
  next: Measured | undefined,
  yearOf: (mention: NumberMention) => number | undefined,
): Alternative {
  const year = yearOf(mention);
  if (!next || year === undefined) return 'none';
  let joined = false;
  let perhapsOnly = false;
  for (let at = mention.last + 1; at < next.mention.first;) {
    // "Its an 09, maybe 10": as good as an "or", right before the other one.
    const perhaps = cueAt(scan, at, 'maybe');
    const or = cueAt(scan, at, 'or') ?? (perhaps?.last === next.mention.first - 1 ? perhaps : undefined);
    if (BETWEEN_TWO.has(scan.words[at] ?? '') && at > mention.last) {
      at++;
      continue;
    }
    const quiet = or ?? cueAt(scan, at, 'yearArticle', 'hedge', 'maybe', 'filler');
    // "A '15 w/ 118k": a stroke that belongs to the word before it joins nothing.
    const stroke = scan.words[at] === '/' && at > mention.last + 1;
    if (!quiet || quiet.last >= next.mention.first || stroke) return 'none';
    joined ||= or !== undefined;
    perhapsOnly ||= or !== undefined && or.last === perhaps?.last;
    at = quiet.last + 1;
  }
  if (!joined) return 'none';
  if (next.unit !== undefined || next.mention.scaled) return perhapsOnly ? 'none' : 'counted';
  const other = yearOf(next.mention);
  return other !== undefined && other !== year && Math.abs(other - year) <= MOST_YEARS_APART ? 'year' : 'none';
}

/** "A price on a 2012": an article right before the year takes it out of the price; "i want to say 2012" names none. */
export function isOfNoPrice(scan: Scan, first: number, price: { first: number; last: number }): boolean {
  return cueEnding(scan, first - 1, 'yearArticle') !== undefined || isWithinAHedge(scan, price);
}
