import { hedged } from './choose.ts';
import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import { milesFromKilometres, periodAfter, periodBefore, periodNamed, type Measured } from './units.ts';

export interface Amount {
  /** Whole miles. */
  value: number;
  unsure?: 'hedged' | 'round' | 'digits';
}

/** Turns numbers into miles: unspoken thousands, kilometres, miles a year. */
export class MileageAmounts {
  readonly #scan: Scan;
  /** Kilometres named apart from any number ("my odometer is in clicks"), and no miles. */
  readonly #kilometresApart: boolean;
  readonly #kilometresHedged: boolean;
  /** Another number of the message is in kilometres, and none in miles: "done at 210,000, now 218,000 km". */
  readonly #kilometresBeside: boolean;
  readonly #daysAWeek: number | undefined;
  /** Where the days of the week are told. */
  readonly #daysAt: number;

  readonly #asked: boolean;

  /** `asked` tells that a mileage was asked for. */
  constructor(scan: Scan, field: NumberField, asked: boolean) {
    this.#scan = scan;
    this.#asked = asked;
    const apart = kilometresApart(scan, field);
    this.#kilometresApart = apart !== undefined;
    this.#kilometresHedged = apart !== undefined && hedged(scan, field, apart.first, apart.last);
    this.#kilometresBeside =
      field.all.some(({ unit, mention }) => unit === 'kilometres' && mention.value >= LEAST_TO_SHARE) &&
      !cueWithin(scan, 0, scan.pieces.length - 1, 'miles');
    const counted = field.all.find(
      ({ mention }) => mention.value >= 1 && mention.value <= 7 && cueAt(scan, mention.last + 1, 'daysAWeek'),
    );
    const week = cueWithin(scan, 0, scan.pieces.length - 1, 'workWeek');
    this.#daysAWeek = counted?.mention.value ?? (week && (isOneOf(scan, week.last, 'saturday') ? 6 : 5));
    this.#daysAt = counted?.mention.first ?? week?.first ?? 0;
  }

  #isKilometres(m: Measured): boolean {
    if (m.unit === undefined) return this.#kilometresApart || this.#kilometresBeside;
    return m.unit === 'kilometres';
  }

  /** "25 miles each way, 5 days a week", "60 round trip monday to friday": a way with the days on which it is driven. */
  isCommute(m: Measured): boolean {
    const { value, scaled } = m.mention;
    const near = this.#daysAWeek !== undefined && Math.abs(this.#daysAt - m.end) <= FARTHEST_DAYS;
    return near && value <= LONGEST_WAY && !scaled && this.#way(m) !== undefined;
  }

  /** "Can you do it monday to friday? I drive 40 miles a day": other days than those on which it is driven. */
  #asksBetween(m: Measured): boolean {
    const [from, to] = [Math.min(this.#daysAt, m.end), Math.max(this.#daysAt, m.end)];
    return this.#scan.words.slice(from, to).includes('?');
  }

  /** Whether miles are told for each way or for the way there and back. */
  #way(m: Measured): 'eachWay' | 'roundTrip' | undefined {
    const scan = this.#scan;
    for (let at = m.end + 1; at <= m.end + FARTHEST_WAY && scan.clause[at] === scan.clause[m.end]; at++) {
      const way = cueAt(scan, at, 'eachWay', 'roundTrip');
      if (way) return way.cue as 'eachWay';
      if (scan.pieces[at]?.kind === 'number') return undefined;
    }
    return cueBefore(scan, m.mention.first, 'roundTrip') ? 'roundTrip' : undefined;
  }

  /** A stand of the odometer; `relative` is true for miles since then, which are told in full. */
  odometer(m: Measured, relative: boolean): Amount | undefined {
    const { mention } = m;
    const kilometres = this.#isKilometres(m);
    // An odometer that shows tenths is cut off, not rounded.
    const inMiles = (value: number): number => (kilometres ? milesFromKilometres(value) : Math.floor(value + 1e-9));
    const doubt = kilometres && m.unit === undefined && this.#kilometresHedged ? { unsure: 'hedged' as const } : {};
    if (mention.pair) {
      const value = Math.round((mention.pair.whole + mention.pair.tenth / 10) * 1000);
      return { value: inMiles(value), unsure: 'round' };
    }
    const { value } = mention;
    if (mention.scaled || value >= 1000) {
      const slip =
        mention.grouped === 'wrong' ||
        mention.letters === 'other' ||
        (mention.loose && (mention.digits || !this.#asked));
      if (slip) return { value: inMiles(value), unsure: 'digits' };
      return { value: inMiles(value), ...(mention.range ? { unsure: 'hedged' as const } : doubt) };
    }
    if (mention.decimals > 1 || (mention.decimals === 1 && value < 10)) return undefined;
    if (relative) return { value: inMiles(value) };
    // "550 miles": a new truck's whole mileage, told with its unit, is not in thousands.
    if (m.unit !== undefined && mention.digits && !mention.change) return { value: inMiles(value), unsure: 'round' };
    // "155 ish" leaves out how much; in an answer about miles that is good enough.
    const vague = !this.#asked && isOneOf(this.#scan, mention.last, 'vagueEnding');
    const meant = cueWithin(this.#scan, m.end + 1, m.end + FARTHEST_MEANT, 'thousandsMeant') !== undefined;
    // "One seventy four and some": in words a hundred and more may be what it says.
    const spoken = !mention.digits && value >= 100;
    const plain = (mention.change && !mention.something && !vague && !spoken) || meant;
    return { value: inMiles(Math.round(value * 1000)), ...(plain ? doubt : { unsure: 'round' as const }) };
  }

  /** Miles a year: a year is 12 months or 52 weeks; working days are counted where they are told. */
  aYear(m: Measured): Amount {
    const { mention } = m;
    const after = periodAfter(this.#scan, m.end);
    const { first } = mention;
    const period = after?.period ?? periodNamed(this.#scan, first) ?? periodBefore(this.#scan, first) ?? 'year';
    let amount = mention.pair ? mention.pair.whole + mention.pair.tenth / 10 : mention.value;
    let unsure: Amount['unsure'] = mention.range ? 'hedged' : undefined;
    const short = !mention.scaled && amount < (period === 'year' ? 1000 : period === 'month' ? 10 : 0);
    if (short) {
      amount *= 1000;
      if (!mention.change) unsure = 'round';
    }
    let factor = { year: 1, month: 12, week: 52, day: 365 }[period];
    if (after?.every !== undefined) factor /= after.every;
    else if (period === 'day') {
      if (this.#daysAWeek && !this.#asksBetween(m)) factor = this.#daysAWeek * 52;
      else if ([1, 2, 3, 4].some((ahead) => isOneOf(this.#scan, m.end + ahead, 'workdays'))) factor = 5 * 52;
      else unsure ??= 'round';
    }
    // "45 miles each way, 4 days a week": there and back.
    const way = period === 'week' ? undefined : this.#way(m);
    if (this.#daysAWeek && way) {
      amount *= (way === 'eachWay' ? 2 : 1) * (short ? 0.001 : 1);
      factor = this.#daysAWeek * 52;
      unsure = undefined;
    }
    const last = this.#scan.pieces.length - 1;
    const evensOut = cueWithin(this.#scan, 0, last, 'evensOut') !== undefined;
    if (!evensOut && cueWithin(this.#scan, 0, last, 'partOfYear')) unsure ??= 'round';
    const yearly = amount * factor;
    const value = this.#isKilometres(m) ? milesFromKilometres(yearly) : Math.round(yearly);
    return { value, ...(unsure ? { unsure } : {}) };
  }
}

/** No shorter way than this tells the unit of the odometer, and nobody drives farther to work. */
const LEAST_TO_SHARE = 1000;
const LONGEST_WAY = 300;
const FARTHEST_WAY = 6;
const FARTHEST_DAYS = 14;
/** "185 on it. Thousand I mean." */
const FARTHEST_MEANT = 8;

function kilometresApart(scan: Scan, field: NumberField): { first: number; last: number } | undefined {
  let found: { first: number; last: number } | undefined;
  for (let at = 0; at < scan.pieces.length; at++) {
    // "kays, not miles"
    // "Kilometres or miles? In km it is …": a question says nothing.
    if (cueAt(scan, at, 'miles') && !cueEnding(scan, at - 1, 'instead') && !asks(scan, at)) return undefined;
    const kilometres = cueAt(scan, at, 'kilometres');
    if (!kilometres) continue;
    const hyphen = scan.words[at - 1] === '-' ? at - 2 : at - 1;
    const number = field.all[field.indexAt[hyphen] ?? -1];
    if (number?.unit !== 'kilometres') found ??= kilometres;
    at = kilometres.last;
  }
  return found;
}

/** True where the sentence of a piece ends with a question mark. */
function asks(scan: Scan, at: number): boolean {
  for (let next = at; next < scan.pieces.length && next < at + 4; next++) if (scan.words[next] === '?') return true;
  return false;
}
