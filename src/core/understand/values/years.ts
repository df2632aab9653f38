import type { Candidate } from './choose.ts';
import { hedged } from './choose.ts';
import { cueAt, cueBefore, cueEnding, isOneOf, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import type { ValuesLexicon } from './lexicon.ts';
import { afterApostrophe, type NumberMention } from './numbers.ts';
import { periodAfter, type Measured } from './units.ts';
import {
  alternativeBehind,
  isLikeASpeed,
  isOfNoPrice,
  isRightBehindAnEngine,
  type Alternative,
} from './year-beside.ts';

/** Model years that are possible on a day: from `earliest` to one year after it. */
export interface YearBounds {
  earliest: number;
  latest: number;
}

export function yearBounds(lexicon: ValuesLexicon, today: string | undefined): YearBounds {
  const { earliest, latest } = lexicon.trucks.modelYears;
  return { earliest, latest: today ? Number(today.slice(0, 4)) + 1 : latest };
}

/** "16" is 2016 and "99" is 1999: the last year with these two digits that is possible. */
export function fullYear(twoDigits: number, bounds: YearBounds): number | undefined {
  const recent = 2000 + twoDigits;
  const year = recent <= bounds.latest ? recent : recent - 100;
  return year >= bounds.earliest ? year : undefined;
}

/** Model years that a message gives of itself. */
export function yearCandidates(
  scan: Scan,
  field: NumberField,
  used: ReadonlySet<NumberMention>,
  bounds: YearBounds,
  lexicon: ValuesLexicon,
): Candidate<number>[] {
  const found: Candidate<number>[] = [];
  const measured = field.all;
  measured.forEach((m, index) => {
    const { mention } = m;
    if (used.has(mention) || m.unit !== undefined || periodAfter(scan, mention.last)) return;
    const next = measured[index + 1];
    const alternative = alternativeBehind(scan, m, next, (other) => anyYear(other, bounds));
    if (alternative === 'counted' && mention.length < 4) return;
    const said = {
      alternative,
      behindEngine: isRightBehindAnEngine(scan, mention, measured[index - 1], used, alternative),
    };
    const read = fourDigits(scan, mention, next, bounds, lexicon) ?? twoDigits(scan, m, next, said, bounds, lexicon);
    if (!read) return;
    const unsure =
      alternative === 'year' ||
      hedged(scan, field, mention.first, mention.last) ||
      mention.change ||
      mention.letters === 'other';
    found.push({
      value: read.year,
      first: read.first ?? mention.first,
      last: mention.last,
      strength: read.strength + (ownTruck(scan, mention.first) ? 1 : 0) - (ofAPart(scan, mention.last) ? 1 : 0),
      ...(unsure ? { unsure: 'hedged' as const } : {}),
    });
  });
  return found;
}

/** The year that a number of two or four digits stands for, whatever it is said of. */
function anyYear({ value, digits, length, decimals, scaled }: NumberMention, bounds: YearBounds): number | undefined {
  if (!digits || decimals > 0 || scaled) return undefined;
  if (length === 2) return fullYear(value, bounds);
  return length === 4 && value >= bounds.earliest && value <= bounds.latest ? value : undefined;
}

interface YearRead {
  year: number;
  strength: number;
  first?: number;
}

function fourDigits(
  scan: Scan,
  mention: NumberMention,
  next: Measured | undefined,
  bounds: YearBounds,
  lexicon: ValuesLexicon,
): YearRead | undefined {
  const year = mention.year ?? mention.value;
  const typed = mention.digits && mention.length === 4 && mention.grouped === 'no' && mention.decimals === 0;
  const spoken = mention.year !== undefined || (!mention.digits && mention.scaled && year >= 1950 && year % 1000 < 100);
  if ((!typed && !spoken) || !Number.isInteger(year)) return undefined;
  if (year < bounds.earliest || year > bounds.latest) return undefined;
  if (mention.something || mention.loose) return undefined;
  const model = isOneOf(scan, mention.last + 1, 'modelWord');
  // "Never did that before 2015 6.7 diesel": the word ends what is said, and the truck follows.
  const ended = isOneOf(scan, mention.first - 1, 'endsOrDates') && isRightBefore(mention, next, lexicon);
  const dated = (!ended && isDate(scan, mention)) || isOfMonth(scan, mention.first, lexicon);
  if (isPartOfAddress(scan, mention) || (dated && !model)) return undefined;
  const named = model || cueBefore(scan, mention.first, 'yearNoun') || cueEnding(scan, mention.first - 1, 'yearNoun');
  const before = cueBefore(scan, mention.first, 'identifier', 'price', 'pressure', 'phoneNoun');
  // "On the interstate 2020 6.7 diesel": a road has no engine.
  const road = before?.cue === 'identifier' && !isOneOf(scan, before.last, 'numberedThing');
  const ofTheTruck = road && before.last > 0 && isRightBefore(mention, next, lexicon);
  const priced = before?.cue !== 'price' || !isOfNoPrice(scan, mention.first, before);
  if (before && priced && !named && !ofTheTruck) return undefined;
  return { year, strength: named ? 3 : 2 };
}

function twoDigits(
  scan: Scan,
  { mention }: Measured,
  next: Measured | undefined,
  said: { alternative: Alternative; behindEngine: boolean },
  bounds: YearBounds,
  lexicon: ValuesLexicon,
): YearRead | undefined {
  const plain =
    mention.decimals === 0 &&
    !mention.scaled &&
    !mention.change &&
    mention.pair === undefined &&
    mention.value < 100 &&
    (mention.digits ? mention.length === 2 : true);
  if (!plain) return undefined;
  const year = fullYear(mention.value, bounds);
  if (year === undefined) return undefined;
  if (afterApostrophe(scan, mention)) {
    const early =
      cueEnding(scan, mention.first - 2, 'dateWord') !== undefined || monthBefore(scan, mention.first - 1, lexicon);
    return early ? undefined : { year, strength: 2, first: mention.first - 1 };
  }
  const named = cueEnding(scan, mention.first - 1, 'yearNoun');
  // "model year eighteen": the name alone carries a year in words.
  const spoken = named !== undefined && named.last > named.first;
  const inWords = !mention.digits && !mention.leadingZero && !spoken;
  if (inWords && mention.value < 10) return undefined;
  const after = mention.last + 1;
  const sameClause = scan.clause[after] === scan.clause[mention.last] && after < scan.pieces.length;
  const model = sameClause ? cueAt(scan, after, 'truckNoun', 'yearNoun') : undefined;
  const article = isLimit(scan, mention.first) ? undefined : cueEnding(scan, mention.first - 1, 'yearArticle');
  const word = scan.pieces[after];
  const closed = !sameClause || word?.kind === 'mark' || word?.kind === 'emoji' || said.alternative === 'year';
  const beforeEngine = isRightBefore(mention, next, lexicon);
  // "A ninety nine", "del noventa y nueve": in words only the last decades, but right before an engine any.
  const isOld = mention.value >= OLDEST_IN_WORDS;
  if (inWords && !isOld && !(beforeEngine && article)) return undefined;
  // "The temp is a ninety"
  if (inWords && !beforeEngine && cueBefore(scan, article?.first ?? mention.first, 'pressure')) return undefined;
  const start = mention.first === 0 || scan.clause[mention.first - 1] !== scan.clause[mention.first];
  if (isDate(scan, mention)) return undefined;
  // "04's", "a 12 valve": a unit or a noun that is not the truck
  if (named && named.cue === 'yearNoun' && !isOneOf(scan, named.last, 'modelYearShort')) return { year, strength: 2 };
  if (model && isOneOf(scan, after, 'modelWord')) return { year, strength: 2 };
  // "my 07 wont start": no other number begins with a nought.
  if (article && mention.leadingZero && mention.digits && word?.kind === 'word') return { year, strength: 1.5 };
  if (article && !mention.digits && mention.leadingZero) return { year, strength: 1.5 };
  if (article && (closed || model || beforeEngine)) return { year, strength: mention.leadingZero ? 2 : 1.5 };
  if (beforeEngine && (start || standsFree(scan, mention))) return { year, strength: 1.5 };
  if (mention.leadingZero && model && start) return { year, strength: 1.5 };
  if (said.behindEngine) return { year, strength: 1.5 };
  return undefined;
}

/**
 * "You can hear it from the house 06 6.0 diesel": right before an engine two digits at the end of a complaint are its
 * year, unless they are counted, numbered or a speed ("at 20", "unit 12", "doing 65").
 */
function standsFree(scan: Scan, { digits, leadingZero, value, first }: NumberMention): boolean {
  if (!digits) return false;
  if (leadingZero) return true;
  if (isLikeASpeed(value) || isOneOf(scan, first - 1, 'numberedThing')) return false;
  return !cueEnding(scan, first - 1, 'identifier', 'filler', 'pressure', 'distance', 'to');
}

const OLDEST_IN_WORDS = 80;

/** "no pasa de 11", "más de 14": how far something goes. */
const isLimit = (scan: Scan, first: number): boolean =>
  isOneOf(scan, first - 1, 'limitOf') && isOneOf(scan, first - 2, 'limits');

/** Whether the next number stands right behind and is an engine: "06 6.0". */
const isRightBefore = (mention: NumberMention, next: Measured | undefined, lexicon: ValuesLexicon): boolean =>
  next !== undefined &&
  next.mention.first === mention.last + 1 &&
  next.mention.decimals === 1 &&
  isDisplacement(next, lexicon);

const isDisplacement = (m: Measured, lexicon: ValuesLexicon): boolean =>
  (m.unit === undefined || m.unit === 'litres') && lexicon.trucks.displacements.includes(m.mention.value);

/** "in 2018", "back in 19", "march 2019": when something happened. */
function isDate(scan: Scan, mention: NumberMention): boolean {
  const before = cueEnding(scan, mention.first - 1, 'dateWord');
  const named = cueEnding(scan, mention.first - 1, 'yearNoun', 'yearArticle');
  if (before && !(named && named.first <= before.first)) return true;
  // "injectors replaced 2019"
  const worked = cueEnding(scan, mention.first - 1, 'done');
  const next = scan.pieces[mention.last + 1];
  return worked !== undefined && !isOneOf(scan, worked.last, 'noDeed') && next?.kind !== 'number';
}

export function monthBefore(scan: Scan, index: number, lexicon: ValuesLexicon): boolean {
  const word = scan.words[index - 1];
  return word !== undefined && (lexicon.words.en.months.has(word) || lexicon.words.es.months.has(word));
}

/** "November 2018", "November of 2018", "the 3rd of May, 2019": when something happened. */
function isOfMonth(scan: Scan, first: number, lexicon: ValuesLexicon): boolean {
  const of = isOneOf(scan, first - 1, 'beforeAYear') ? first - 1 : first;
  if (monthBefore(scan, of, lexicon)) return true;
  // "May 3, 2019"; "since May, 2016 6.7 V8" goes on with the truck.
  const day = scan.words[first - 1] === ',' ? first - 2 : first - 1;
  return /^\d{1,2}$/.test(scan.words[day] ?? '') && monthBefore(scan, day, lexicon);
}

/** "2017 mill lane": a house number. */
function isPartOfAddress(scan: Scan, mention: NumberMention): boolean {
  for (let at = mention.last + 1; at <= mention.last + 3; at++) {
    if (scan.clause[at] !== scan.clause[mention.last]) return false;
    if (cueAt(scan, at, 'street')) return true;
    if (scan.pieces[at]?.kind !== 'word') return false;
  }
  return false;
}

/** "A 2013 with a 2015 engine": the year of a part counts less. */
const ofAPart = (scan: Scan, last: number): boolean => cueAt(scan, last + 1, 'partOfATruck') !== undefined;

/** "Mine's a 2014": the owner's own truck, told apart from another. */
function ownTruck(scan: Scan, first: number): boolean {
  const clause = scan.clause[first];
  for (let at = first - 1; at >= 0 && at > first - 5 && scan.clause[at] === clause; at--) {
    if (cueAt(scan, at, 'own')) return true;
  }
  return false;
}
