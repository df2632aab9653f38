import type { Askable } from '../../model/reading.ts';
import { hedged, type Candidate } from './choose.ts';
import type { Cue } from './cue-names.ts';
import { cueAfter, cueAt, cueBefore, cueEnding, cueWithin, isOneOf, lastCueWithin, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import { MileageAmounts } from './mileage-amount.ts';
import { isNoMileage } from './not-a-mileage.ts';
import type { NumberMention } from './numbers.ts';
import { Surroundings } from './surroundings.ts';
import { periodAfter, periodBefore, periodNamed, type Measured } from './units.ts';
import { subjectOf, workAt } from './work-done.ts';

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
  return field.all.flatMap((m) => reader.read(m) ?? []);
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

/** What was yields to what is told as plainly without a time. */
const LESS_BY_ITS_TENSE = 0.3;

/** Longer ago than this nobody counts from some work on. */
const MOST_AGO = 20_000;

interface RoleRead {
  role: MileageRole;
  strength: number;
  past?: boolean;
}

class MileageReader {
  readonly #scan: Scan;
  readonly #field: NumberField;
  readonly #context: MileageContext;
  readonly #around: Surroundings;
  readonly #amounts: MileageAmounts;
  readonly #mileageAsked: boolean;

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
    if (isNoMileage(this.#around, m, this.#mileageAsked)) return undefined;
    const read = this.#role(m);
    if (!read) return undefined;
    const { role, strength, past = false } = read;
    const relative = role === 'more' || role === 'ago';
    const amount = role === 'pace' ? this.#amounts.aYear(m) : this.#amounts.odometer(m, relative);
    if (!amount) return undefined;
    const unsure = amount.unsure ?? this.#doubt(m);
    const { value } = amount;
    return { role, value, first: mention.first, last: m.end, strength, past, mention, ...(unsure ? { unsure } : {}) };
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
    if (asked !== 'milesPerYear' && this.#isSince(m)) return { role: 'ago', strength: 2 };
    const more = cueAfter(scan, m.end, 'moreThanLast') ?? cueBefore(scan, first, 'moreThanLast');
    if (more) return asked === 'odometerMiles' ? { role: 'more', strength: 2 } : undefined;
    if (this.#isAgo(m)) return { role: 'ago', strength: 2 };
    if (this.#isDue(m) || this.#isDistance(m)) return undefined;

    const present = around.leftHas(m, 'present') || around.rightHas(m, 'present');
    const work = this.#isListed(m) ? undefined : workAt(around, m, present);
    if (work === 'filter' || work === 'oil') {
      return this.#acceptable(m, asked === 'lastFuelFilterMiles') ? { role: work, strength: 2 } : undefined;
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
    return { role: 'odometer', strength, past };
  }

  /** "I have put 30k on it since the last filter". */
  #isSince(m: Measured): boolean {
    const [from, to] = this.#around.right(m);
    for (let at = from; at <= Math.min(to, from + 3); at++) if (cueAt(this.#scan, at, 'since')) return true;
    return false;
  }

  /** "12k ago", "12k miles back", "hace 12 mil"; "back in july" is a date. */
  #isAgo(m: Measured): boolean {
    const { first } = m.mention;
    // "8,000 since I retired"
    if (this.#context.asked === 'milesPerYear' && cueAfter(this.#scan, m.end, 'since')) return false;
    // "Oil I changed before 3000 km"
    const shortly = m.unit !== undefined && m.mention.value <= MOST_AGO && this.#around.leftHas(m, 'done');
    if (shortly && cueEnding(this.#scan, first - 1, 'agoBefore')) return true;
    const ago = cueAfter(this.#scan, m.end, 'ago');
    const past = cueAfter(this.#scan, m.end, 'past');
    if (ago && !(past && past.last > ago.last)) return true;
    // "That was back at 85k"
    if (cueEnding(this.#scan, first - 1, 'past')) return false;
    return (cueEnding(this.#scan, first - 1, 'ago') ?? cueBefore(this.#scan, first, 'ago')) !== undefined;
  }

  /** A sticker's next-due figure, the end of a warranty, an advice from the handbook. */
  #isDue(m: Measured): boolean {
    const due = lastCueWithin(this.#scan, ...this.#around.left(m), 'nextDue');
    const odometer = lastCueWithin(this.#scan, ...this.#around.left(m), 'odometer');
    // "I wrote 69,000 but it should be 96,000"
    const correction = due && lastCueWithin(this.#scan, ...this.#around.left(m), 'correction');
    if (correction && correction.first <= due.first && correction.last >= due.last) return false;
    // "Va para las doscientas mil": the words of the odometer reach over those of what is due.
    const isWider = due && odometer && odometer.first < due.first && odometer.last >= due.last;
    // "Sticker says the last one was at 139,000": what was, and not what is due.
    const was = due && lastCueWithin(this.#scan, due.last + 1, m.mention.first - 1, 'lastOne', 'done');
    if (was && (was.cue === 'lastOne' || isOneOf(this.#scan, was.first - 1, 'pastPassives'))) return false;
    if (due && !isWider && !(odometer && odometer.first > due.last)) return true;
    return cueAfter(this.#scan, m.end, 'nextDue') !== undefined && !this.#around.odometerBefore(m);
  }

  /** A way to go, a range, a trip. */
  #isDistance(m: Measured): boolean {
    if (this.#context.asked === 'milesPerYear' || this.#around.odometerAfter(m)) return false;
    // "A 3,000 mile trip"
    if (m.unit !== undefined && isOneOf(this.#scan, m.end + 1, 'journeys')) return true;
    if (cueAfter(this.#scan, m.end, 'distance')) return true;
    const before = cueBefore(this.#scan, m.mention.first, 'distance');
    if (!before) return false;
    // "It just went over 74,500", "it has run 275 000 km": what the odometer came to.
    const reached = cueBefore(this.#scan, m.mention.first, 'odometer');
    if (reached && reached.first <= before.first && reached.last >= before.last && reached.last > reached.first)
      return false;
    // "An oil change, please. The last was at 61,300"
    const last = cueEnding(this.#scan, before.last, 'lastOne');
    if (last && isOneOf(this.#scan, m.mention.first - 1, 'workAt')) return false;
    // "filters went in at 85k" is work; "I have run it up to 171,300" is how far it has come.
    const isWork = cueAt(this.#scan, before.first, 'done') !== undefined;
    return !isWork && !isOneOf(this.#scan, m.mention.first - 1, 'distanceReached');
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
    if (periodAfter(scan, m.end)) {
      const onIt = this.#around.rightHas(m, 'odometer');
      if (this.#around.leftHas(m, 'price') || !(asked === 'milesPerYear' || big || drives || onIt)) return undefined;
      return this.#around.leftHas(m, 'past') ? 0.2 : 3;
    }
    if (periodNamed(scan, m.mention.first)) return 3;
    const before = periodBefore(scan, m.mention.first);
    if (before && (asked === 'milesPerYear' || (drives && big))) return 2.5;
    const named = cueBefore(scan, m.mention.first, 'yearly');
    if (!named || asked === 'odometerMiles') return undefined;
    const word = scan.words[named.last] ?? '';
    return [...scan.little.lists.paceStems].some((stem) => word.startsWith(stem)) ? 2 : undefined;
  }

  /** For a mileage "about" and "maybe" are good enough; "i think" and "not sure" call for a question. */
  #doubt(m: Measured): 'hedged' | 'digits' | undefined {
    if (m.mention.letters === 'o' && !this.#mileageAsked) return 'digits';
    return hedged(this.#scan, this.#field, m.mention.first, m.end, ['hedge']) ? 'hedged' : undefined;
  }
}
