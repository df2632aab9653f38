import { hedged, type Candidate } from './choose.ts';
import { cueAfter, cueAt, cueBefore, cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import type { ValuesLexicon } from './lexicon.ts';
import type { NumberMention } from './numbers.ts';
import { periodAfter, type Measured } from './units.ts';

export interface EngineCandidates {
  litres: Candidate<number>[];
  cylinders: Candidate<number>[];
  layout: Candidate<'V' | 'I'>[];
}

/** Displacement, cylinders and layout as the text gives them; `asked` is true where the engine was asked for. */
export function engineCandidates(
  scan: Scan,
  field: NumberField,
  lexicon: ValuesLexicon,
  asked: boolean,
): EngineCandidates {
  const found: EngineCandidates = { litres: [], cylinders: [], layout: [] };
  const measured = field.all;
  const litresPair = pairOfDigits(scan, field, lexicon, asked);
  if (litresPair) found.litres.push(litresPair);
  measured.forEach((m, index) => {
    const { mention } = m;
    if (litresPair && litresPair.first <= mention.first && mention.last <= litresPair.last) return;
    const unsure = hedged(scan, field, mention.first, mention.last) ? { unsure: 'hedged' as const } : {};
    const litres = litresOf(scan, m, measured[index - 1], lexicon, asked);
    if (litres && isOfAnEarlierTruck(scan, m)) return;
    if (litres) {
      const doubt = litres.unsure ? { unsure: 'digits' as const } : unsure;
      found.litres.push({
        first: mention.first,
        last: m.end,
        value: litres.value,
        strength: litres.strength,
        ...doubt,
      });
      return;
    }
    const count = cylindersOf(scan, m, measured[index - 1], lexicon, asked);
    if (!count) return;
    const doubt = count.unsure ? { unsure: 'hedged' as const } : unsure;
    found.cylinders.push({
      first: count.first,
      last: count.last,
      value: mention.value,
      strength: count.strength,
      ...doubt,
    });
    if (count.layout) {
      found.layout.push({ first: count.first, last: count.last, value: count.layout, strength: 2, ...doubt });
    }
  });
  if (found.layout.length === 0)
    found.layout.push(...layoutAlone(scan, asked || found.cylinders.length + found.litres.length > 0));
  return found;
}

/** "My old 6.0 never did this once", "my previous one, the 5.9": the engine of a truck that is no more. */
function isOfAnEarlierTruck(scan: Scan, { mention: { first }, end }: Measured): boolean {
  const before = isOneOf(scan, first - 1, 'beforeAnEngine') ? first - 2 : first - 1;
  const owned = cueEnding(scan, scan.words[before] === ',' ? before - 1 : before, 'earlierTruck');
  if (cueEnding(scan, before, 'comparedWith')) return true;
  return (
    owned !== undefined && (!isOneOf(scan, owned.last, 'oldWord') || cueAt(scan, end + 1, 'tellsOfThen') !== undefined)
  );
}

interface LitresRead {
  value: number;
  strength: number;
  unsure?: boolean;
}

function litresOf(
  scan: Scan,
  m: Measured,
  previous: Measured | undefined,
  lexicon: ValuesLexicon,
  asked: boolean,
): LitresRead | undefined {
  const { mention, unit } = m;
  if (mention.scaled || mention.change) return undefined;
  const known = (value: number): boolean => lexicon.trucks.displacements.includes(value);
  if (unit === 'cubicCentimetres' && mention.value >= 1000 && mention.value < 10_000) {
    return { value: Math.round(mention.value / 100) / 10, strength: 3 };
  }
  const spoken = mention.pair;
  // "un tres litros": an article, and no 1.3.
  if (spoken && unit === 'litres' && isOneOf(scan, mention.first, 'oneArticle'))
    return { value: spoken.tenth, strength: 3 };
  if (spoken && spoken.whole < 10 && spoken.tenth < 10) {
    const value = Number(`${spoken.whole}.${spoken.tenth}`);
    const named = cueBefore(scan, mention.first, 'engineNoun') ?? cueAfter(scan, mention.last, 'engineNoun', 'litres');
    const article = isOneOf(scan, mention.first - 1, 'spokenEngineArticles');
    return (asked || ((named || article) && known(value))) && unit !== 'miles' ? { value, strength: 2 } : undefined;
  }
  const { value } = mention;
  if (mention.decimals === 1 && value >= 1 && value < 10) {
    if (unit === 'litres') return isLiquid(scan, m) ? undefined : { value, strength: 3 };
    if (unit !== undefined && !(asked && unit === 'money')) return undefined;
    if (asked) return { value, strength: 2 };
    if (!known(value) && !engineBeside(scan, m)) return undefined;
    const said = isOneOf(scan, mention.first - 1, 'engineOwners') && known(value);
    if (!said && cueBefore(scan, mention.first, 'pressure', 'distance')) return undefined;
    if (scan.words[mention.first - 1] === '-') return undefined;
    if (periodAfter(scan, mention.last)) return undefined;
    return { value, strength: 2 };
  }
  const whole = Number.isInteger(value) && value >= 2 && value <= 9;
  if (whole && unit === 'litres' && !isLiquid(scan, m) && (asked || engineBeside(scan, m)))
    return { value, strength: 3 };
  if (asked && mention.digits && mention.length === 2 && unit === undefined && mention.decimals === 0 && !previous) {
    const tenths = value / 10;
    if (known(tenths) && !scan.words.some((word) => scan.little.lists.countsCylinders.has(word)))
      return { value: tenths, strength: 1, unsure: true };
  }
  return undefined;
}

/** "2 litres of coolant", "down two litres", "-1.8 L", "13 L/100": what was filled, lost or burnt. */
function isLiquid(scan: Scan, m: Measured): boolean {
  const before = m.mention.first - 1;
  if (isOneOf(scan, m.end + 1, 'liquidAfter') || scan.words[m.end + 1] === '/') return true;
  // "6.5 litres on 100": how much it burns
  if (isOneOf(scan, m.end + 1, 'perHundred') && scan.words[m.end + 2] === '100') return true;
  if (periodAfter(scan, m.end) || cueEnding(scan, before, 'fillVerb')) return true;
  return isOneOf(scan, before, 'liquidBefore') || scan.words[before] === '-';
}

/** Whether the engine is spoken of right before or after a number: "3.0 diesel", "4.5 V8", "motor 6,7". */
function engineBeside(scan: Scan, m: Measured): boolean {
  const clause = scan.clause[m.mention.first];
  const after = m.end + 1;
  const to = Math.min(after + 3, scan.pieces.length - 1);
  const ahead = cueWithin(scan, after, to, 'engineNoun', 'diesel', 'inlineLayout', 'cylinders');
  // "2 litres and I see no drip": a letter by itself is no layout.
  const isLetter = ahead?.cue === 'inlineLayout' && scan.words[ahead.last]?.length === 1;
  const isLayout = !isLetter || scan.pieces[ahead.last + 1]?.kind === 'number';
  if (ahead && isLayout && scan.clause[ahead.first] === clause) return true;
  return cueBefore(scan, m.mention.first, 'engineNoun', 'diesel') !== undefined;
}

/** "98 4" is a mileage, but an engine's "6 7" is 6.7. */
function pairOfDigits(
  scan: Scan,
  field: NumberField,
  lexicon: ValuesLexicon,
  asked: boolean,
): Candidate<number> | undefined {
  const measured = field.all;
  for (let i = 0; i + 1 < measured.length; i++) {
    const a = (measured[i] as Measured).mention;
    const b = (measured[i + 1] as Measured).mention;
    const oneDigit = (m: NumberMention): boolean => m.digits && m.length === 1 && m.decimals === 0;
    const gap = b.first - a.last - 1;
    const joined = gap === 0 || (gap === 1 && scan.words[a.last + 1] === '-');
    if (!oneDigit(a) || !oneDigit(b) || !joined) continue;
    const value = a.value + b.value / 10;
    if (!lexicon.trucks.displacements.includes(value)) continue;
    const unit = (measured[i + 1] as Measured).unit;
    if (unit !== undefined && unit !== 'litres') continue;
    if (asked || unit === 'litres' || engineBeside(scan, measured[i + 1] as Measured)) {
      return { value, first: a.first, last: b.last, strength: 2, ...(asked ? {} : { unsure: 'digits' as const }) };
    }
  }
  return undefined;
}

interface CylindersRead {
  first: number;
  last: number;
  strength: number;
  layout?: 'V' | 'I';
  unsure?: boolean;
}

function cylindersOf(
  scan: Scan,
  m: Measured,
  previous: Measured | undefined,
  lexicon: ValuesLexicon,
  asked: boolean,
): CylindersRead | undefined {
  const { mention, unit } = m;
  const { words, pieces } = scan;
  const whole = mention.decimals === 0 && !mention.scaled && !mention.pair && !mention.change && !mention.leadingZero;
  if (!whole || !lexicon.trucks.cylinderCounts.includes(mention.value)) return undefined;
  const before = words[mention.first - 1];
  const hyphen = before === '-' && !pieces[mention.first]?.spaced;
  const letterAt = hyphen ? mention.first - 2 : mention.first - 1;
  const letter = words[letterAt];
  const joined = !pieces[mention.first]?.spaced && (!hyphen || !pieces[mention.first - 1]?.spaced);
  const even = mention.value % 2 === 0 && mention.value >= 4;
  // "Seis punto siete ve ocho", "motor ve ocho": the letter as it is heard, which is a word as well.
  const named = previous?.end === letterAt - 1 || cueEnding(scan, letterAt - 1, 'engineNoun') !== undefined;
  const heard = named && isOneOf(scan, letterAt, 'vLetterHeard');
  if (even && (heard || isOneOf(scan, letterAt, 'vLetter')))
    return { first: letterAt, last: mention.last, strength: 3, layout: 'V' };
  if ((letter === 'i' || letter === 'l') && joined && mention.value <= 6 && (!hyphen || mention.value === 6)) {
    return { first: letterAt, last: mention.last, strength: 3, layout: 'I' };
  }
  // "V de 8"
  if (isOneOf(scan, mention.first - 1, 'ofWhat') && words[mention.first - 2] === 'v') {
    return { first: mention.first - 2, last: mention.last, strength: 3, layout: 'V' };
  }
  const inlineBefore = cueEnding(scan, hyphen ? mention.first - 2 : mention.first - 1, 'inlineLayout');
  const longInline = inlineBefore && (words[inlineBefore.first]?.length ?? 0) > 1 ? inlineBefore : undefined;
  if (longInline && mention.value <= 6 && (unit === undefined || unit === 'cylinders')) {
    return { first: longInline.first, last: m.end, strength: 3, layout: 'I' };
  }
  if (unit === 'cylinders') {
    const place = cueEnding(scan, mention.first - 1, 'cylinderPlace');
    if (place && !isOneOf(scan, place.last, 'countNotPlace')) return undefined;
    const layout = layoutAfter(scan, m.end);
    return { first: mention.first, last: m.end, strength: 3, ...(layout ? { layout } : {}) };
  }
  if (unit === undefined && mention.value <= 6) {
    const after = cueAt(scan, mention.last + 1, 'inlineLayout');
    const long = after && (words[after.first]?.length ?? 0) > 1;
    if (long) return { first: mention.first, last: after.last, strength: 3, layout: 'I' };
  }
  // "five cylinder? No, six." The second count has no unit of its own.
  if (unit === undefined && previous?.unit === 'cylinders' && mention.first - previous.end <= 5) {
    for (let at = previous.end + 1; at < mention.first; at++) {
      if (cueAt(scan, at, 'correction')) return { first: mention.first, last: mention.last, strength: 3 };
    }
  }
  if (asked && unit === undefined && mention.value >= 6 && pieces.length - mention.last < 4 && mention.first < 3) {
    return { first: mention.first, last: mention.last, strength: 1, unsure: true };
  }
  return undefined;
}

/** "6 cylinder in V", "6 cilindros en linea". */
function layoutAfter(scan: Scan, end: number): 'V' | 'I' | undefined {
  for (let at = end + 1; at <= end + 3; at++) {
    if (scan.clause[at] !== scan.clause[end]) return undefined;
    const inline = cueAt(scan, at, 'inlineLayout');
    if (inline && scan.pieces[inline.last + 1]?.kind !== 'number' && (scan.words[at]?.length ?? 0) > 1) return 'I';
    const vee = cueAt(scan, at, 'vLayout');
    if (vee && scan.pieces[vee.last + 1]?.kind !== 'number') return 'V';
  }
  return undefined;
}

/** "Inline." as a sentence or clause of its own, where the engine is spoken of. */
function layoutAlone(scan: Scan, engineSpokenOf: boolean): Candidate<'V' | 'I'>[] {
  if (!engineSpokenOf) return [];
  for (let at = 0; at < scan.pieces.length; at++) {
    const inline = cueAt(scan, at, 'inlineLayout');
    if (!inline || !isOneOf(scan, at, 'inlineWord')) continue;
    return [{ value: 'I', first: at, last: inline.last, strength: 1 }];
  }
  return [];
}
