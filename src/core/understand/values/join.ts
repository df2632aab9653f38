import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';
import type { NumberMention } from './numbers.ts';
import { periodAfter } from './units.ts';

/**
 * Puts together what belongs together once the question is known: "39 850" and "84 212 mi" are one number, "98 4" is a
 * whole and its tenth where a mileage was asked, and "140 to 145k" is a range, for which its middle stands.
 */
export function joinNumbers(scan: Scan, mentions: readonly NumberMention[], mileageAsked: boolean): NumberMention[] {
  const joined: NumberMention[] = [];
  for (let i = 0; i < mentions.length; i++) {
    const a = mentions[i] as NumberMention;
    const b = mentions[i + 1];
    const together = b && spacedThousands(scan, a, b, mileageAsked);
    if (together) {
      joined.push(together);
      i++;
    } else joined.push(a);
  }
  const ranged: NumberMention[] = [];
  for (let i = 0; i < joined.length; i++) {
    const a = joined[i] as NumberMention;
    const b = joined[i + 1];
    const range = b && rangeOf(scan, a, b, mileageAsked);
    if (range) {
      ranged.push(range);
      i++;
    } else ranged.push(a);
  }
  return ranged;
}

const bare = (m: NumberMention): boolean =>
  m.digits && !m.scaled && m.grouped === 'no' && m.decimals === 0 && !m.change && !m.something;

function spacedThousands(
  scan: Scan,
  a: NumberMention,
  b: NumberMention,
  mileageAsked: boolean,
): NumberMention | undefined {
  if (b.first !== a.last + 1 || !bare(a) || a.leadingZero || a.length > 3) return undefined;
  const plainTail = b.digits && !b.scaled && b.grouped === 'no' && b.decimals === 0 && b.year === undefined;
  if (!plainTail) return undefined;
  if (b.length === 3) {
    const unit = cueAt(scan, b.last + 1, 'miles', 'kilometres', 'odometer', 'andChange');
    const cued =
      cueBefore(scan, a.first, 'odometer') !== undefined ||
      // "Last was 131 000, now 138 500"
      (a.length >= 2 && cueBefore(scan, a.first, 'present', 'lastOne') !== undefined);
    const next = scan.pieces[b.last + 1];
    const ends = next === undefined || next.kind === 'mark' || scan.clause[b.last + 1] !== scan.clause[b.last];
    // "it is in miles this one, 143 500"
    const spokenOf = ends && a.length >= 2 && cueWithin(scan, 0, a.first - 1, 'miles', 'kilometres', 'odometerNoun');
    if (!unit && !mileageAsked && !cued && !spokenOf) return undefined;
    const value = a.value * 1000 + b.value;
    return { ...b, first: a.first, value, grouped: 'space', length: a.length + 3, leadingZero: false };
  }
  if (mileageAsked && b.length === 1 && a.length >= 2 && !cueAt(scan, b.last + 1, 'otherUnit', 'timeSpan')) {
    return { ...b, first: a.first, value: a.value, length: a.length, pair: { whole: a.value, tenth: b.value } };
  }
  return undefined;
}

function rangeOf(scan: Scan, a: NumberMention, b: NumberMention, mileageAsked: boolean): NumberMention | undefined {
  if (a.decimals > 1 || b.decimals > 1 || a.year || b.year || a.leadingZero || b.leadingZero) return undefined;
  const from = a.last + 1;
  const to = b.first - 1;
  if (from > to || to - from > 2) return undefined;
  const word = cueAt(scan, from, 'to');
  const or = cueAt(scan, from, 'or');
  const link = word ?? or;
  if (!link) return undefined;
  // Only little words may stand beside the link: "97 or maybe 98 thousand".
  for (let at = link.last + 1; at <= to; at++) if (!cueAt(scan, at, 'filler', 'hedge', 'or')) return undefined;
  const and = isOneOf(scan, link.first, 'rangeAnd') || scan.words[link.first] === '&';
  const between = cueEnding(scan, a.first - 1, 'between') ?? cueBefore(scan, a.first, 'between');
  if (and && !between && !(isOneOf(scan, link.first, 'rangeTo') && scan.language === 'es')) return undefined;
  const scale = !a.scaled && b.scaled && a.value < 1000 && b.value >= 1000 ? 1000 : 1;
  const low = a.value * scale;
  const high = b.value;
  if (low >= high || high > low * 2.5) return undefined;
  // "1500 to 2000 miles a month"
  const pace = low >= 20 && a.digits === b.digits && periodAfter(scan, b.last) !== undefined;
  const both = pace || b.scaled || (low >= 1000 && high >= 1000 && b.length > 4) || mileageAsked;
  if (!both) return undefined;
  return { ...b, first: a.first, value: (low + high) / 2, change: false, something: false, range: true };
}
