import type { Askable } from '../../model/reading.ts';
import { hedged, type Candidate } from './choose.ts';
import { cueAfter, cueAt, cueBefore, cueEnding, cueWithin, lastCueWithin, type Scan } from './cues.ts';
import type { NumberMention } from './numbers.ts';
import { milesFromKilometres, periodAfter, periodBefore, type Measured } from './units.ts';

/** What a mileage in the text may be. */
export type MileageRole = 'odometer' | 'pace' | 'filter' | 'oil' | 'ago' | 'more';

export interface MileageCandidate extends Candidate<number> {
  role: MileageRole;
  /** True where thousands were left unspoken, so that the last reading may confirm them. */
  short: boolean;
  mention: NumberMention;
  /** Told as a past reading. */
  past: boolean;
}

/** The questions whose answer is a mileage. */
export const MILEAGE_QUESTIONS: ReadonlySet<Askable> = new Set([
  'odometerMiles',
  'milesPerYear',
  'lastFuelFilterMiles',
]);

export interface MileageContext {
  asked?: Askable;
  /** Numbers that are the year or the engine, and spans that do not speak of this truck as it is. */
  used: ReadonlySet<NumberMention>;
  outside: (first: number, last: number) => boolean;
}

/** Gives each number of the message that is a mileage its role. */
export function mileageCandidates(
  scan: Scan,
  measured: readonly Measured[],
  context: MileageContext,
): MileageCandidate[] {
  const reader = new MileageReader(scan, measured, context);
  return measured.flatMap((_, index) => reader.read(index) ?? []);
}

const AFTER_A_BARE_NUMBER = [
  'filler',
  'odometer',
  'present',
  'past',
  'was',
  'hedge',
  'correction',
  'or',
  'to',
  'instead',
  'kilometres',
  'perYear',
  'perMonth',
  'perWeek',
  'perDay',
  'daysAWeek',
  'ago',
  'moreThanLast',
  'distance',
  'truckNoun',
  'answerSilent',
  'yes',
] as const;
const SMALLEST_BARE = 3000;
const LARGEST = 2_000_000;

const CONJUNCTIONS = new Set(['but', 'and', 'y', 'pero', 'n', '&']);

/** A number that can carry words of its own; "last one", "a few" and the like do not cut a clause in two. */
const isWeighty = ({ mention }: Measured): boolean => mention.digits || mention.value >= 20;

class MileageReader {
  readonly #scan: Scan;
  readonly #all: readonly Measured[];
  readonly #context: MileageContext;
  readonly #mentions: readonly NumberMention[];
  readonly #mileageAsked: boolean;
  readonly #kilometresSomewhere: boolean;

  constructor(scan: Scan, all: readonly Measured[], context: MileageContext) {
    this.#scan = scan;
    this.#all = all;
    this.#context = context;
    this.#mentions = all.map((m) => m.mention);
    this.#mileageAsked = context.asked !== undefined && MILEAGE_QUESTIONS.has(context.asked);
    this.#kilometresSomewhere = this.#looseKilometres();
  }

  read(index: number): MileageCandidate | undefined {
    const m = this.#all[index] as Measured;
    const { mention } = m;
    if (this.#context.used.has(mention)) return undefined;
    if (m.unit !== undefined && m.unit !== 'miles' && m.unit !== 'kilometres') return undefined;
    if (this.#context.outside(mention.first, m.end)) return undefined;
    if (this.#isSomethingElse(m)) return undefined;
    const role = this.#role(index);
    if (!role) return undefined;
    const amount = this.#amount(m, role.role);
    if (!amount) return undefined;
    const unsure = amount.unsure ?? this.#doubt(m);
    return {
      role: role.role,
      value: amount.value,
      first: mention.first,
      last: m.end,
      strength: role.strength,
      short: amount.short,
      past: role.past ?? false,
      mention,
      ...(unsure ? { unsure } : {}),
    };
  }

  /** Kilometres named apart from any number ("my odometer is in clicks", "i think thats km"), and no miles. */
  #looseKilometres(): boolean {
    const { pieces } = this.#scan;
    let found = false;
    for (let at = 0; at < pieces.length; at++) {
      if (cueAt(this.#scan, at, 'miles')) return false;
      const kilometres = cueAt(this.#scan, at, 'kilometres');
      if (!kilometres) continue;
      found ||= !this.#all.some((m) => m.unit === 'kilometres' && m.mention.last < at && m.end >= at);
      at = kilometres.last;
    }
    return found;
  }

  #isKilometres = (m: Measured): boolean =>
    m.unit === 'kilometres' || (m.unit === undefined && this.#kilometresSomewhere);

  /** Prices, weights, pressures, trip meters, papers, addresses, dates. */
  #isSomethingElse(m: Measured): boolean {
    const { mention } = m;
    const scan = this.#scan;
    const { first } = mention;
    const named = m.unit !== undefined;
    const before = first - 1;
    if (scan.words[mention.first] === '0' && mention.length === 1) return true;
    if (mention.leadingZero && mention.digits && !mention.scaled) return true;
    const trip = lastCueWithin(scan, ...this.#left(m), 'tripMeter');
    if (trip && !cueWithin(scan, trip.last + 1, before, 'odometerNoun')) return true;
    if (!named && cueBefore(scan, first, 'price')) return true;
    if (!named && this.#leftHas(m, 'price') && !cueBefore(scan, first, 'odometer') && !this.#odometerAfter(m))
      return true;
    if (scan.words[mention.last] === 'grand' && !this.#mileageAsked && !this.#odometerAfter(m)) return true;
    if (!named && cueBefore(scan, first, 'load') && !this.#odometerAfter(m)) return true;
    if (!named && this.#loadAfter(m)) return true;
    if (!named && (cueBefore(scan, first, 'pressure') || cueAfter(scan, m.end, 'pressure'))) return true;
    if (cueAfter(scan, m.end, 'tenths') && mention.value < 1000) return true;
    if (!named && !mention.scaled) {
      let named = before;
      while (named >= 0 && ['#', ':', '.', 'is', 'was', 'es', 'the'].includes(scan.words[named] ?? '')) named--;
      if (cueEnding(scan, before, 'identifier') ?? cueEnding(scan, named, 'identifier')) return true;
      if (this.#streetAfter(mention)) return true;
      const dated = cueEnding(scan, before, 'dateWord');
      const yearLike = mention.length === 4 && mention.grouped === 'no' && mention.value > 1950 && mention.value < 2100;
      if (dated && (yearLike || mention.value < 100) && !this.#mileageAsked) return true;
      if (dated && yearLike) return true;
      if (scan.words[before] === "'" && mention.length === 2) return true;
      // Model designations: "a 3500", "the 2500".
      const bareFour = mention.length === 4 && mention.grouped === 'no' && mention.digits && mention.decimals === 0;
      if (bareFour && !this.#mileageAsked && !this.#odometerAfter(m) && !this.#odometerBefore(m)) return true;
      if (scan.words[mention.last + 1] === '%' || scan.words[mention.last + 1] === '°') return true;
    }
    return false;
  }

  #streetAfter(mention: NumberMention): boolean {
    for (let at = mention.last + 1; at <= mention.last + 2; at++) {
      if (this.#scan.clause[at] !== this.#scan.clause[mention.last]) return false;
      if (cueAt(this.#scan, at, 'street')) return true;
    }
    return false;
  }

  /** "16k on the gooseneck", "14k gooseneck", "12,000 behind it". */
  #loadAfter(m: Measured): boolean {
    const clause = this.#scan.clause[m.end];
    for (let at = m.end + 1; at <= m.end + 3 && this.#scan.clause[at] === clause; at++) {
      if (cueAt(this.#scan, at, 'load')) return true;
      if (!cueAt(this.#scan, at, 'filler')) return false;
    }
    return false;
  }

  #left(m: Measured): [number, number] {
    const { first } = m.mention;
    const clause = this.#scan.clause[first];
    let from = first;
    while (from > 0 && this.#scan.clause[from - 1] === clause) from--;
    for (const other of this.#all) {
      if (isWeighty(other) && other.end < first && other.end + 1 > from) from = other.end + 1;
    }
    return [from, first - 1];
  }

  #right(m: Measured): [number, number] {
    const clause = this.#scan.clause[m.end];
    let to = m.end;
    while (this.#scan.clause[to + 1] === clause && to + 1 < this.#scan.pieces.length) to++;
    for (const other of this.#all) {
      if (other.mention.first > m.end && other.mention.first - 1 < to) to = other.mention.first - 1;
    }
    for (let at = m.end + 1; at <= to; at++) {
      if (CONJUNCTIONS.has(this.#scan.words[at] ?? '')) to = at - 1;
    }
    return [m.end + 1, to];
  }

  #leftHas(m: Measured, ...cues: Parameters<typeof cueWithin>[3][]): boolean {
    const [from, to] = this.#left(m);
    return cueWithin(this.#scan, from, to, ...cues) !== undefined;
  }

  #odometerBefore = (m: Measured): boolean =>
    cueBefore(this.#scan, m.mention.first, 'odometer') !== undefined ||
    (this.#leftHas(m, 'odometer') && !this.#leftHas(m, 'otherRepair'));

  #odometerAfter(m: Measured): boolean {
    for (let at = m.end + 1; at <= m.end + 2; at++) {
      if (this.#scan.sentence[at] !== this.#scan.sentence[m.end]) return false;
      if (cueAt(this.#scan, at, 'odometer')) return true;
      if (!cueAt(this.#scan, at, 'filler', 'present', 'miles')) return false;
    }
    return false;
  }

  #role(index: number): { role: MileageRole; strength: number; past?: boolean } | undefined {
    const scan = this.#scan;
    const m = this.#all[index] as Measured;
    const { mention } = m;
    const { asked } = this.#context;
    const [rightFrom, rightTo] = this.#right(m);
    const rightHas = (...cues: Parameters<typeof cueWithin>[3][]): boolean =>
      cueWithin(scan, rightFrom, rightTo, ...cues) !== undefined;

    const pace = this.#pace(m);
    if (pace) return { role: 'pace', strength: pace };
    if (cueBefore(scan, mention.first, 'interval')) return undefined;
    // "I have put 30k on it since the last filter"
    for (let at = rightFrom; at <= Math.min(rightTo, rightFrom + 3); at++) {
      if (cueAt(scan, at, 'since')) return { role: 'ago', strength: 2 };
    }
    const more = cueAfter(scan, m.end, 'moreThanLast') ?? cueBefore(scan, mention.first, 'moreThanLast');
    if (more) return asked === 'odometerMiles' ? { role: 'more', strength: 2 } : undefined;
    if (this.#agoAfter(m) ?? cueEnding(scan, mention.first - 1, 'ago') ?? cueBefore(scan, mention.first, 'ago')) {
      return { role: 'ago', strength: 2 };
    }
    const due = lastCueWithin(scan, ...this.#left(m), 'nextDue');
    const odometerLeft = lastCueWithin(scan, ...this.#left(m), 'odometer');
    if (due && !(odometerLeft && odometerLeft.first > due.last)) return undefined;
    if (cueAfter(scan, m.end, 'nextDue') && !this.#odometerBefore(m)) return undefined;
    const away = cueAfter(scan, m.end, 'distance');
    if (away && !this.#odometerAfter(m) && asked !== 'milesPerYear') return undefined;
    if (cueBefore(scan, mention.first, 'distance') && !this.#odometerAfter(m) && asked !== 'milesPerYear')
      return undefined;

    const present = this.#leftHas(m, 'present') || rightHas('present');
    const work = this.#work(m, present);
    if (work === 'filter' || work === 'oil') {
      return this.#acceptable(m, asked === 'lastFuelFilterMiles') ? { role: work, strength: 2 } : undefined;
    }
    if (work === 'other' && asked !== 'lastFuelFilterMiles') return undefined;

    const pastWords = this.#leftHas(m, 'past') || this.#pastAfter(m);
    const past = pastWords && !present;
    if (asked === 'lastFuelFilterMiles') {
      const isOdometer = present || (this.#odometerBefore(m) && !this.#leftHas(m, 'done', 'lastOne', 'filter'));
      if (isOdometer) return { role: 'odometer', strength: 2 };
      return this.#acceptable(m, true) ? { role: 'filter', strength: this.#weight(m) } : undefined;
    }
    if (asked === 'milesPerYear') {
      if (this.#odometerAfter(m) || cueBefore(scan, mention.first, 'odometer'))
        return { role: 'odometer', strength: 2 };
      return this.#acceptable(m, true) ? { role: 'pace', strength: past ? 0.2 : this.#weight(m), past } : undefined;
    }
    const cued = this.#odometerAfter(m) || this.#odometerBefore(m) || present;
    const target = asked === 'odometerMiles' || (asked === 'confirm' && this.#acceptableForConfirm(m));
    if (past && !target) return undefined;
    if (!this.#acceptable(m, target) && !(cued && this.#acceptable(m, true) && this.#odometerNoun(m))) return undefined;
    const weight = this.#weight(m);
    const was = this.#leftHas(m, 'was');
    return { role: 'odometer', strength: past ? 0.1 : was ? weight : cued ? weight + 1 : weight, past };
  }

  /** "12k ago", "12k miles back"; "back in july" is a date. */
  #agoAfter(m: Measured): unknown {
    const ago = cueAfter(this.#scan, m.end, 'ago');
    const past = cueAfter(this.#scan, m.end, 'past');
    return ago && past && past.last > ago.last ? undefined : ago;
  }

  /** "had 120k when i bought it", "61,500 back in march". */
  #pastAfter(m: Measured): boolean {
    const [from, to] = this.#right(m);
    for (let at = from; at <= Math.min(to, from + 2); at++) if (cueAt(this.#scan, at, 'past')) return true;
    return false;
  }

  /** An odometer cue strong enough to carry a number without its thousands: "two-twenty on er", "mileage 98". */
  #odometerNoun(m: Measured): boolean {
    const direct = cueBefore(this.#scan, m.mention.first, 'odometer');
    const noun = direct && !['hit', 'turned', 'at', 'has', 'got'].includes(this.#scan.words[direct.last] ?? '');
    return (
      m.mention.decimals === 0 && (this.#odometerAfter(m) || (noun !== undefined && noun && m.mention.value >= 10))
    );
  }

  #acceptableForConfirm = (m: Measured): boolean => m.mention.value >= 1000 || m.mention.scaled;

  /** A number that can be a mileage at all; after the question for one, a bare small number too. */
  #acceptable(m: Measured, target: boolean): boolean {
    const { mention } = m;
    const { value } = mention;
    if (value <= 0 || (value > LARGEST && !target)) return false;
    if (target) return value >= 1000 || mention.scaled || mention.pair !== undefined || this.#standsAlone(m);
    if (mention.change && value >= 10 && value < 1000 && m.unit === undefined) return mention.digits;
    if (m.unit !== undefined) return value >= (this.#odometerBefore(m) || this.#odometerAfter(m) ? 100 : SMALLEST_BARE);
    if (mention.scaled || mention.grouped === 'mark' || mention.grouped === 'space') {
      return value >= (this.#odometerBefore(m) || this.#odometerAfter(m) ? 100 : SMALLEST_BARE);
    }
    return value >= 1000 && mention.length >= 5 && mention.length <= 7;
  }

  /** A small number after which nothing is counted: "98", "maybe ten, it mostly sits", and not "two oil changes ago". */
  #standsAlone(m: Measured): boolean {
    const next = m.end + 1;
    if (m.mention.change || m.mention.something || m.mention.decimals > 0) return true;
    if (this.#scan.pieces[next]?.kind !== 'word' || this.#scan.clause[next] !== this.#scan.clause[m.end]) return true;
    return cueAt(this.#scan, next, ...AFTER_A_BARE_NUMBER) !== undefined;
  }

  #weight(m: Measured): number {
    const { mention } = m;
    if (m.unit !== undefined) return 2;
    if (mention.scaled || mention.grouped !== 'no' || mention.change) return 1.5;
    return mention.value >= 1000 ? 1.2 : 0.4;
  }

  #pace(m: Measured): number | undefined {
    const scan = this.#scan;
    const after = periodAfter(scan, m.end);
    const big = m.mention.value >= 1000 || m.mention.scaled || m.unit !== undefined;
    const drives = this.#leftHas(m, 'yearly');
    if (after) {
      if (this.#leftHas(m, 'price')) return undefined;
      if (this.#context.asked === 'milesPerYear' || big || drives) return this.#leftHas(m, 'past') ? 0.2 : 3;
      return undefined;
    }
    const before = periodBefore(scan, m.mention.first);
    if (before && (this.#context.asked === 'milesPerYear' || (drives && big))) return 2.5;
    const named = cueBefore(scan, m.mention.first, 'yearly');
    if (named && this.#context.asked !== 'odometerMiles' && scan.words[named.last]?.startsWith('mil')) return 2;
    return undefined;
  }

  /** Which work the mileage belongs to, when it tells of work that was done. */
  #work(m: Measured, present: boolean): 'filter' | 'oil' | 'other' | undefined {
    const scan = this.#scan;
    const [from, to] = this.#left(m);
    const done = lastCueWithin(scan, from, to, 'done', 'lastOne');
    const noun = this.#subject(from, to);
    const at = ['at', 'a', 'los', 'las', '@'].includes(scan.words[m.mention.first - 1] ?? '');
    const odometer = lastCueWithin(scan, from, to, 'odometer');
    if (odometer && (!done || odometer.first > done.last)) return undefined;
    if (present && !done) return undefined;
    const wished = cueWithin(scan, from, to, 'wish') !== undefined;
    if (done && scan.words[done.first] !== 'new') {
      const isLast = cueWithin(scan, from, to, 'lastOne') !== undefined;
      if (wished && !isLast) return undefined;
      return noun ?? this.#subject(this.#sentenceStart(from, 1), from - 1) ?? (at || isLast ? 'other' : undefined);
    }
    if (noun && at && !wished) return noun;
    // "88k when the filter was changed"
    const [rightFrom, rightTo] = this.#right(m);
    const when = cueWithin(scan, rightFrom, rightTo, 'past');
    if (when && cueWithin(scan, rightFrom, rightTo, 'done')) return this.#subject(rightFrom, rightTo) ?? 'other';
    return undefined;
  }

  /** The work that a span names last. */
  #subject(from: number, to: number): 'filter' | 'oil' | 'other' | undefined {
    const found = lastCueWithin(this.#scan, Math.max(0, from), to, 'filter', 'oil', 'otherRepair');
    if (!found) return undefined;
    const whole = lastLongest(this.#scan, found.last);
    return whole === 'otherRepair' ? 'other' : whole;
  }

  #sentenceStart(at: number, sentencesBack: number): number {
    const wanted = (this.#scan.sentence[at] ?? 0) - sentencesBack;
    let from = at;
    while (from > 0 && (this.#scan.sentence[from - 1] ?? 0) >= wanted) from--;
    return from;
  }

  #amount(
    m: Measured,
    role: MileageRole,
  ): { value: number; short: boolean; unsure?: 'hedged' | 'round' | 'digits' } | undefined {
    const { mention } = m;
    const kilometres = this.#isKilometres(m);
    const inMiles = (value: number): number => (kilometres ? milesFromKilometres(value) : Math.floor(value + 1e-9));
    const doubt = kilometres && m.unit === undefined && this.#kilometresHedged() ? { unsure: 'hedged' as const } : {};
    if (mention.pair) {
      const value = Math.round((mention.pair.whole + mention.pair.tenth / 10) * 1000);
      return { value: inMiles(value), short: true, unsure: 'round' };
    }
    const { value } = mention;
    if (role === 'pace') return this.#paceAmount(m, kilometres);
    if (mention.scaled || value >= 1000) {
      const typo = mention.grouped === 'wrong' || mention.letters === 'other' || mention.loose;
      const range = mention.range ? { unsure: 'hedged' as const } : {};
      return {
        value: inMiles(value),
        short: false,
        ...doubt,
        ...range,
        ...(typo ? { unsure: 'digits' as const } : {}),
      };
    }
    if (mention.decimals > 1 || (mention.decimals === 1 && value < 10)) return undefined;
    if (role === 'more' || role === 'ago') return { value: inMiles(value), short: false };
    // "550 miles": a new truck's whole mileage, told with its unit, is not in thousands.
    if (m.unit !== undefined && mention.digits && !mention.change) {
      return { value: inMiles(value), short: false, unsure: 'round' };
    }
    const thousands = Math.round(value * 1000);
    const plain = mention.change && !mention.something;
    return { value: inMiles(thousands), short: true, ...(plain ? {} : { unsure: 'round' as const }), ...doubt };
  }

  #kilometresHedged(): boolean {
    for (let at = 0; at < this.#scan.pieces.length; at++) {
      const found = cueAt(this.#scan, at, 'kilometres');
      if (found) return hedged(this.#scan, found.first, found.last, this.#mentions);
    }
    return false;
  }

  /** A year is 12 months or 52 weeks; days of work are counted where they are told. */
  #paceAmount(
    m: Measured,
    kilometres: boolean,
  ): { value: number; short: boolean; unsure?: 'hedged' | 'round' } | undefined {
    const { mention } = m;
    const period = periodAfter(this.#scan, m.end)?.period ?? periodBefore(this.#scan, mention.first) ?? 'year';
    let amount = mention.value;
    let unsure: 'hedged' | 'round' | undefined = mention.range ? 'hedged' : undefined;
    if (period === 'year' && amount < 1000 && !mention.scaled) {
      amount *= 1000;
      if (!mention.change) unsure = 'round';
    } else if (period === 'month' && amount < 10 && !mention.scaled) {
      amount *= 1000;
      unsure = 'round';
    }
    let factor = { year: 1, month: 12, week: 52, day: 365 }[period];
    if (period === 'day') {
      const days = this.#daysAWeek();
      if (days) factor = days * 52;
      else if (/workday|weekday/.test(this.#scan.words.slice(m.end + 1, m.end + 5).join(' '))) factor = 260;
      else unsure ??= 'round';
    }
    const yearly = amount * factor;
    return {
      value: kilometres ? milesFromKilometres(yearly) : Math.round(yearly),
      short: false,
      ...(unsure ? { unsure } : {}),
    };
  }

  #daysAWeek(): number | undefined {
    for (const m of this.#all) {
      const at = m.mention.last + 1;
      if (m.mention.value >= 1 && m.mention.value <= 7 && cueAt(this.#scan, at, 'daysAWeek')) return m.mention.value;
    }
    return undefined;
  }

  #doubt(m: Measured): 'hedged' | 'digits' | undefined {
    const { mention } = m;
    if (mention.letters === 'o' && !this.#mileageAsked) return 'digits';
    return hedged(this.#scan, mention.first, m.end, this.#mentions, ['hedge']) ? 'hedged' : undefined;
  }
}

/** Of the phrases that end at a piece, the kind of the longest: "fuel filter" is a filter, "air filter" is not. */
function lastLongest(scan: Scan, last: number): 'filter' | 'oil' | 'otherRepair' | undefined {
  const found = cueEnding(scan, last, 'filter', 'oil', 'otherRepair');
  return found?.cue as 'filter' | 'oil' | 'otherRepair' | undefined;
}
