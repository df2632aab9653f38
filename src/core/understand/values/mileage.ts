import type { Askable } from '../../model/reading.ts';
import { hedged, type Candidate } from './choose.ts';
import type { Cue } from './cue-names.ts';
import { cueAfter, cueAt, cueBefore, cueWithin, isOneOf, lastCueWithin, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import { MileageAmounts } from './mileage-amount.ts';
import { isAgo, isDistance, isDue, isOfAnother, isSince, isTotal } from './mileage-kinds.ts';
import { isNoMileage } from './not-a-mileage.ts';
import type { NumberMention } from './numbers.ts';
import { Surroundings } from './surroundings.ts';
import { periodAfter, periodBefore, periodNamed, type Measured } from './units.ts';
import { isNotKnownBefore, workCountedFrom, workNotDoneSince } from './work-counted.ts';
import { subjectOf, workAt, workBeside, type Work } from './work-done.ts';

/**
 * What a mileage in the text may be: the present odometer, miles a year, the odometer at the last fuel filter or oil
 * change, miles since something (`ago`), or miles more than at the last reading.
 */
export type MileageRole = 'odometer' | 'pace' | 'filter' | 'oil' | 'ago' | 'more';

export interface MileageCandidate extends Candidate<number> {
  role: MileageRole;
  mention: NumberMention;
  /** Told as a past reading. */
  past: boolean;
  /** The work from which the miles of an `ago` are counted. */
  countedFrom?: Work;
  /** What the truck has all told, whatever its instrument shows. */
  total?: boolean;
}

/** The questions whose answer is a mileage. */
export const MILEAGE_QUESTIONS: ReadonlySet<Askable> = new Set([
  'odometerMiles',
  'milesPerYear',
  'lastFuelFilterMiles',
]);

/** The questions after work that was done to the truck. */
const WORK_QUESTIONS: ReadonlySet<Askable> = new Set(['breatherOriginal', 'pumpProtected', 'pumpReplaced']);

export interface MileageContext {
  asked?: Askable;
  /** Numbers that are the year or the engine. */
  used: ReadonlySet<NumberMention>;
  /** Whether a span of pieces does not speak of this truck as it is. */
  outside: (first: number, last: number) => boolean;
}

/** Gives each number of the message that is a mileage its role. */
export function mileageCandidates(scan: Scan, field: NumberField, context: MileageContext): MileageCandidate[] {
  const reader = new MileageReader(scan, field, context);
  return field.all.flatMap((m) => {
    const read = reader.read(m);
    return read ? [read, ...reader.besides(m, read)] : [];
  });
}

/** What may follow a bare small number that stands for thousands; anything else is what it counts. */
const AFTER_A_BARE_NUMBER: readonly Cue[] = [
  'filler',
  'odometer',
  'present',
  'past',
  'was',
  'hedge',
  'maybe',
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
];
/** Without a word that says so, a number below this is no odometer in an opening message. */
const SMALLEST = 3000;
const SMALLEST_WHEN_SAID = 100;
const LARGEST = 2_000_000;

/** No odometer is told in fewer thousands, without their word, than this. */
const SMALLEST_IN_THOUSANDS = 10;
const FASTEST = 85;

/** "50 miles a day, about 250 a week": the one that needs no guess at the days. */
const LESS_BY_THE_DAY = 0.1;

/** What was yields to what is told as plainly without a time. */
const LESS_BY_ITS_TENSE = 0.3;

/** The later of two changes counts, and a sum more than what the instrument shows; what is told of another vehicle less. */
const MORE_WHEN_LATER = 0.1;
const MORE_ALL_TOLD = 1.5;
const LESS_OF_ANOTHER = 2;
const LEAST = 0.05;

interface RoleRead {
  role: MileageRole;
  strength: number;
  past?: boolean;
  countedFrom?: Work;
  total?: boolean;
  unsure?: 'hedged';
}

class MileageReader {
  readonly #scan: Scan;
  readonly #field: NumberField;
  readonly #context: MileageContext;
  readonly #around: Surroundings;
  readonly #amounts: MileageAmounts;
  readonly #mileageAsked: boolean;
  /** The work whose mileage was read last. */
  #lastWork: MileageCandidate | undefined;
  #lastPace: MileageCandidate | undefined;

  constructor(scan: Scan, field: NumberField, context: MileageContext) {
    this.#scan = scan;
    this.#field = field;
    this.#context = context;
    this.#around = new Surroundings(scan, field);
    this.#mileageAsked = context.asked !== undefined && MILEAGE_QUESTIONS.has(context.asked);
    this.#amounts = new MileageAmounts(scan, field, this.#mileageAsked);
  }

  read(m: Measured): MileageCandidate | undefined {
    const { mention } = m;
    if (this.#context.used.has(mention)) return undefined;
    if (m.unit !== undefined && m.unit !== 'miles' && m.unit !== 'kilometres') return undefined;
    if (this.#context.outside(mention.first, m.end)) return undefined;
    const counted = this.#countedFromWork(m);
    if (!counted && isNoMileage(this.#around, m, this.#mileageAsked)) return undefined;
    const read = counted ?? this.#role(m);
    if (!read) return undefined;
    const { role, strength, past = false, unsure: unknown, ...more } = read;
    const relative = role === 'more' || role === 'ago';
    const amount = role === 'pace' ? this.#amounts.aYear(m) : this.#amounts.odometer(m, relative);
    if (!amount) return undefined;
    const unsure = amount.unsure ?? unknown ?? this.#doubt(m, role);
    const { value } = amount;
    const span = { first: mention.first, last: m.end };
    const found = { role, value, ...span, strength, past, mention, ...more, ...(unsure ? { unsure } : {}) };
    if (role === 'filter' || role === 'oil') this.#lastWork = found;
    if (role === 'pace') this.#lastPace = found;
    return found;
  }

  /** "Oil and both fuel filters at 98k": the same mileage for the other work. */
  besides(m: Measured, read: MileageCandidate): MileageCandidate[] {
    const work = read.countedFrom ?? read.role;
    if (work !== 'filter' && work !== 'oil') return [];
    const other = workBeside(this.#around, m, work);
    if (!other) return [];
    return [read.countedFrom ? { ...read, countedFrom: other } : { ...read, role: other }];
  }

  /** "12k since the last oil change", "filters have 12k on them": no stand of the odometer, but what tells one. */
  #countedFromWork(m: Measured): RoleRead | undefined {
    if (this.#context.asked === 'milesPerYear' || this.#pace(m)) return undefined;
    const told = { since: isSince(this.#around, m), ago: isAgo(this.#around, m, this.#context.asked) };
    const countedFrom = workCountedFrom(this.#around, m, told);
    return countedFrom && { role: 'ago', strength: 2, countedFrom };
  }

  #role(m: Measured): RoleRead | undefined {
    const scan = this.#scan;
    const around = this.#around;
    const { first } = m.mention;
    const { asked } = this.#context;
    if (this.#isNameOfService(m)) return undefined;
    const pace = this.#pace(m);
    if (pace) return { role: 'pace', strength: pace };
    if (cueBefore(scan, first, 'interval')) return undefined;
    const again = this.#sameWorkAgain(m);
    if (again) return again;
    const untouched = workNotDoneSince(around, m);
    if (untouched === 'filter' || untouched === 'oil')
      return this.#acceptable(m, true) ? { role: untouched, strength: 2 } : undefined;
    if (asked !== 'milesPerYear' && isSince(around, m)) return { role: 'ago', strength: 2 };
    const more = cueAfter(scan, m.end, 'moreThanLast') ?? cueBefore(scan, first, 'moreThanLast');
    if (more) return asked === 'odometerMiles' ? { role: 'more', strength: 2 } : undefined;
    if (isAgo(around, m, asked)) return { role: 'ago', strength: 2 };
    if (isDue(around, m) || isDistance(around, m, asked)) return undefined;

    const present = around.leftHas(m, 'present') || around.rightHas(m, 'present');
    const work = this.#isListed(m) ? undefined : workAt(around, m, present);
    if (work === 'filter' || work === 'oil') {
      if (!this.#acceptable(m, asked === 'lastFuelFilterMiles')) return undefined;
      return { role: work, strength: 2, ...(isNotKnownBefore(around, m) ? { unsure: 'hedged' } : {}) };
    }
    if (work === 'other' && asked !== 'lastFuelFilterMiles') return undefined;
    // "bought it with 60k already on it"
    const told = cueBefore(scan, first, 'past') !== undefined;
    const past = told || ((this.#pastBefore(m) || this.#pastAfter(m) || this.#isWhenAcquired(m)) && !present);
    if (asked === 'lastFuelFilterMiles') return this.#asFilter(m, present);
    if (asked === 'milesPerYear') return this.#asPace(m, past);
    return this.#asOdometer(m, present, past);
  }

  /** "the 120k service", "one of those 60,000 mile services": what the work is called by. */
  #isNameOfService(m: Measured): boolean {
    if (!isOneOf(this.#scan, m.end + 1, 'services')) return false;
    return m.unit !== undefined || isOneOf(this.#scan, m.mention.first - 1, 'determiners');
  }

  /** "2017 6.7 212k": right after the year or the engine it is the truck's own, whatever work was told before. */
  #isListed(m: Measured): boolean {
    const { first } = m.mention;
    const before = this.#scan.words[first - 1] === ',' ? first - 2 : first - 1;
    for (const mention of this.#context.used) if (mention.last === before) return true;
    return false;
  }

  /** "Changed the oil at 60,000 and again at 65,500": the later of the two. */
  #sameWorkAgain(m: Measured): RoleRead | undefined {
    const scan = this.#scan;
    const before = this.#lastWork;
    const { first } = m.mention;
    if (!before || scan.sentence[before.last] !== scan.sentence[first] || !isOneOf(scan, first - 1, 'workAt'))
      return undefined;
    if (!cueWithin(scan, before.last + 1, first - 1, 'again')) return undefined;
    for (let at = before.last + 1; at < first; at++) {
      const quiet = cueAt(scan, at, 'again', 'filler');
      if (quiet && quiet.last < first) at = quiet.last;
      else if (scan.pieces[at]?.kind === 'word' && !isOneOf(scan, at, 'joinsClauses') && !isOneOf(scan, at, 'workAt'))
        return undefined;
    }
    return { role: before.role, strength: before.strength + MORE_WHEN_LATER };
  }

  #asFilter(m: Measured, present: boolean): RoleRead | undefined {
    // "Did them myself, odometer was 88,000" tells of then.
    const odometer = this.#around.odometerBefore(m) && !this.#around.leftHas(m, 'done', 'lastOne', 'filter', 'was');
    // "The air filter was 90k": of other work.
    const subject = subjectOf(this.#scan, ...this.#around.left(m));
    if (subject !== undefined && subject !== 'filter' && !present && !odometer) return undefined;
    if (present || (odometer && !this.#around.leftHas(m, 'paper'))) return { role: 'odometer', strength: 2 };
    // "Not since I bought it at 90k"
    if (this.#around.leftHas(m, 'since') && this.#around.leftHas(m, 'past')) return undefined;
    return this.#acceptable(m, true) ? { role: 'filter', strength: this.#weight(m) } : undefined;
  }

  #asPace(m: Measured, past: boolean): RoleRead | undefined {
    const odometer = this.#around.odometerAfter(m) || cueBefore(this.#scan, m.mention.first, 'odometer') !== undefined;
    // "put 22 on it last year" is a year's work.
    const worked = this.#around.leftHas(m, 'yearly');
    if (odometer && !worked) return { role: 'odometer', strength: 2 };
    if (!this.#acceptable(m, true)) return undefined;
    // "14,200 last year, 11,000 the year before"
    const lastYear = past && (this.#around.leftHas(m, 'lastYear') || this.#around.rightHas(m, 'lastYear'));
    return { role: 'pace', strength: lastYear ? 0.3 : past ? 0.2 : this.#weight(m), past };
  }

  #asOdometer(m: Measured, present: boolean, past: boolean): RoleRead | undefined {
    const { asked } = this.#context;
    const big = m.mention.value >= 1000 || m.mention.scaled;
    const target = asked === 'odometerMiles' || (asked === 'confirm' && big);
    const cued = this.#around.odometerAfter(m) || this.#around.odometerBefore(m) || present;
    // "Gooseneck, 20k": how much is towed.
    if (asked === 'tows' && !cued && m.unit === undefined) return undefined;
    // "Once, at 75k": when the work was done.
    if (asked !== undefined && WORK_QUESTIONS.has(asked) && !cued) return undefined;
    if (past && !target) return undefined;
    const named = cued && this.#acceptable(m, true) && this.#odometerNamed(m);
    if (!this.#acceptable(m, target) && !named) return undefined;
    const weight = this.#weight(m);
    const was = this.#around.leftHas(m, 'was');
    const strength = past ? 0.1 : was ? weight - LESS_BY_ITS_TENSE : cued ? weight + 1 : weight;
    if (isTotal(this.#around, m)) return { role: 'odometer', strength: strength + MORE_ALL_TOLD, past, total: true };
    if (isOfAnother(this.#around, m))
      return { role: 'odometer', strength: Math.max(LEAST, strength - LESS_OF_ANOTHER), past };
    return { role: 'odometer', strength, past };
  }

  /** "It had 30k when we got it and it's at 88,000": a present odometer after an "and" leaves what was behind. */
  #pastBefore(m: Measured): boolean {
    const left = this.#around.left(m);
    const past = lastCueWithin(this.#scan, ...left, 'past');
    const odometer = past && lastCueWithin(this.#scan, past.last + 1, left[1], 'odometer');
    if (!past || !odometer) return past !== undefined;
    const goesOn = Array.from({ length: odometer.first - past.last - 1 }, (_, i) => past.last + 1 + i);
    return !goesOn.some((at) => isOneOf(this.#scan, at, 'joinsClauses'));
  }

  /** "I bought this one in 2016, it had 40 thousand on it": told in the sentence of how the truck was come by. */
  #isWhenAcquired(m: Measured): boolean {
    const { first } = m.mention;
    // "I bought a 2016 with 88,300 miles": listed with the year.
    const listed = [...this.#context.used].some(({ last }) => last === first - 2);
    const then = this.#around.leftHas(m, 'was') || (isOneOf(this.#scan, first - 1, 'hadThen') && !listed);
    return then && cueWithin(this.#scan, this.#around.sentenceStart(first, 0), first - 1, 'acquired') !== undefined;
  }

  /** "had 120k when i bought it", "61,500 back in march". */
  #pastAfter(m: Measured): boolean {
    const [from, to] = this.#around.right(m);
    for (let at = from; at <= Math.min(to, from + 2); at++) if (cueAt(this.#scan, at, 'past')) return true;
    return false;
  }

  /** An odometer cue strong enough to carry a number without its thousands: "two-twenty on er", "mileage 98". */
  #odometerNamed(m: Measured): boolean {
    if (m.mention.decimals > 0) return false;
    if (m.mention.value < SMALLEST_IN_THOUSANDS) return false;
    if (this.#around.odometerAfter(m)) return true;
    const direct = cueBefore(this.#scan, m.mention.first, 'odometer');
    if (!direct) return false;
    // "whenever I get up to 50": a speed.
    if (m.mention.value <= FASTEST && isOneOf(this.#scan, direct.last, 'speedMayFollow')) return false;
    return !isOneOf(this.#scan, direct.last, 'namesNoOdometer');
  }

  /** A number that can be a mileage at all; after the question for one (`target`), a bare small number too. */
  #acceptable(m: Measured, target: boolean): boolean {
    const { mention } = m;
    const { value } = mention;
    if (value <= 0 || (value > LARGEST && !target)) return false;
    // "The real one is 132,870": no number.
    if (value === 1 && !mention.digits && !mention.pair) return false;
    if (target) return value >= 1000 || mention.scaled || mention.pair !== undefined || this.#standsAlone(m);
    // "Vibrates at 45ish" after another question is a speed.
    if (mention.change && value >= 10 && value < 1000 && m.unit === undefined)
      return mention.digits && this.#context.asked === undefined;
    if (m.unit !== undefined || mention.scaled || mention.grouped === 'mark' || mention.grouped === 'space') {
      const said = this.#around.odometerBefore(m) || this.#around.odometerAfter(m);
      return value >= (said ? SMALLEST_WHEN_SAID : SMALLEST);
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

  #weight({ mention, unit }: Measured): number {
    if (unit !== undefined) return 2;
    if (mention.scaled || mention.grouped !== 'no' || mention.change) return 1.5;
    return mention.value >= 1000 ? 1.2 : 0.4;
  }

  /** How plainly a number is told for a period; undefined where it is not. */
  #pace(m: Measured): number | undefined {
    const scan = this.#scan;
    const { asked } = this.#context;
    const big = m.mention.value >= 1000 || m.mention.scaled || m.unit !== undefined;
    const drives = this.#around.leftHas(m, 'yearly');
    const period = periodAfter(scan, m.end)?.period;
    if (period) {
      const onIt = this.#around.rightHas(m, 'odometer');
      // "50 miles a day, so about 250 a week": the same once more.
      const restated = this.#lastPace && scan.sentence[this.#lastPace.last] === scan.sentence[m.mention.first];
      const told = asked === 'milesPerYear' || big || drives || onIt || restated;
      if (this.#around.leftHas(m, 'price') || !told) return undefined;
      return this.#around.leftHas(m, 'past') ? 0.2 : period === 'day' ? 3 - LESS_BY_THE_DAY : 3;
    }
    if (periodNamed(scan, m.mention.first)) return 3;
    if (this.#amounts.isCommute(m)) return 3;
    const before = periodBefore(scan, m.mention.first);
    if (before && (asked === 'milesPerYear' || (drives && big))) return 2.5;
    const named = cueBefore(scan, m.mention.first, 'yearly');
    if (!named || asked === 'odometerMiles') return undefined;
    const word = scan.words[named.last] ?? '';
    return [...scan.little.lists.paceStems].some((stem) => word.startsWith(stem)) ? 2 : undefined;
  }

  /** For a mileage "about" and "maybe" are good enough; "i think" and "not sure" call for a question. */
  #doubt(m: Measured, role: MileageRole): 'hedged' | 'digits' | undefined {
    if (m.mention.letters === 'o' && !this.#mileageAsked) return 'digits';
    // "My wife figures 1,100 miles a month": a pace is never more than an estimate.
    const [from, to] = this.#around.left(m);
    if (
      role === 'pace' &&
      this.#scan.words.slice(from, to + 1).some((_, i) => isOneOf(this.#scan, from + i, 'estimates'))
    )
      return undefined;
    return hedged(this.#scan, this.#field, m.mention.first, m.end, ['hedge']) ? 'hedged' : undefined;
  }
}
