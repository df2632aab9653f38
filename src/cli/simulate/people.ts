import { Driving, type DrivingWorld } from './driving.ts';
import { randomFor } from './random.ts';

/** How made-up owners behave. From memory; a shop's own log tells better. */
export interface PeopleWorld {
  /** Parameters of the beta distribution from which an owner's readiness to answer is drawn. */
  answers: readonly [number, number];
  /** Mean and longest delay of an answer, in days. */
  delay: { mean: number; longest: number };
  /** To what readings are rounded, with weights. */
  rounding: readonly (readonly [number, number])[];
  wrongReading: number;
  clusterSwapPerYear: number;
  /** Share that tells its miles a year at intake, and the error's spread of the logarithm. */
  statesMiles: { share: number; spread: number };
  /** Share whose first service is done at intake. */
  dueAtIntake: number;
  /** Share that reads the odometer in the same exchange in which an offer is taken up. */
  tellsWithBooking: number;
  /** What becomes of an offer, where not every one is taken up at once. */
  offers: { declines: number; later: number; bookingDays: readonly [number, number]; noShow: number };
  sellsPerYear: number;
  /** How many end the messages, a year. */
  stopsPerYear: number;
}

export const PEOPLE: PeopleWorld = {
  answers: [3.9, 2.1],
  delay: { mean: 2.5, longest: 14 },
  rounding: [
    [1, 0.4],
    [100, 0.4],
    [1000, 0.2],
  ],
  wrongReading: 0.02,
  clusterSwapPerYear: 0.003,
  statesMiles: { share: 0.6, spread: 0.35 },
  dueAtIntake: 0.5,
  tellsWithBooking: 0.9,
  offers: { declines: 0.1, later: 0.2, bookingDays: [2, 30], noShow: 0.06 },
  sellsPerYear: 0.08,
  stopsPerYear: 0.02,
};

export type WrongKind = 'lost-digit' | 'extra-digit' | 'changed-digit' | 'kilometres' | 'trip-meter';

/** A number as an owner tells it, with how it came about. */
export interface ToldReading {
  miles: number;
  wrong: WrongKind | null;
}

export type OfferAnswer =
  /** The work is done so many days after the offer's own day. */
  { takes: true; laterDays: number; showsUp: boolean } | { takes: false };

/**
 * A made-up owner with a truck: answers prompts late or never, reads the odometer well or badly, declines, books late,
 * does not show up, sells. Day 0 is intake. Every draw is named by its ordinal, so that all policies meet the same dice.
 */
export class SimulatedOwner {
  readonly id: string;
  readonly driving: Driving;
  /** Probability of an answer to one prompt. */
  readonly readiness: number;
  readonly modelYear: number;
  readonly statedMilesPerYear: number | undefined;
  readonly serviceAtIntake: boolean;
  /** The share of an interval that is used up at intake, where the service is not done then. */
  readonly intervalUsed: number;
  readonly soldOnDay: number;
  readonly stopsOnDay: number;
  private readonly rounding: number;
  private readonly clusterSwap: { day: number; shows: number };
  private readonly people: PeopleWorld;
  private readonly name: (string | number)[];

  constructor(
    driving: DrivingWorld,
    people: PeopleWorld,
    start: { year: number; dayOfYear: number },
    ...name: (string | number)[]
  ) {
    const random = randomFor(...name, 'owner');
    this.id = name.join('-');
    this.name = name;
    this.people = people;
    this.driving = new Driving(driving, start.dayOfYear, ...name);
    this.readiness = random.beta(...people.answers);
    this.rounding = random.pick(people.rounding);
    this.modelYear = Math.floor(start.year + start.dayOfYear / 365.25 - this.driving.age);
    const states = random.chance(people.statesMiles.share);
    const told = this.driving.presentMilesPerYear * Math.exp(people.statesMiles.spread * random.normal());
    this.statedMilesPerYear = states ? Math.max(500, Math.round(told / 500) * 500) : undefined;
    this.serviceAtIntake = random.chance(people.dueAtIntake);
    this.intervalUsed = random.between(0.05, 0.95);
    this.soldOnDay = Math.ceil(random.exponential(365.25 / people.sellsPerYear));
    this.stopsOnDay = Math.ceil(randomFor(...name, 'stop').exponential(365.25 / people.stopsPerYear));
    const swapDay = Math.ceil(random.exponential(365.25 / people.clusterSwapPerYear));
    this.clusterSwap = { day: swapDay, shows: random.chance(0.5) ? 0 : random.integer(10_000, 180_000) };
  }

  /** What the instrument truly shows on a day; a swapped cluster begins anew. */
  shownOn(day: number): number {
    const { day: swap, shows } = this.clusterSwap;
    const miles = this.driving.odometerAt(day);
    return day < swap ? miles : shows + miles - this.driving.odometerAt(swap);
  }

  /** The first day on which the instrument reaches an odometer value, as long as it is the same instrument. */
  get swapDay(): number {
    return this.clusterSwap.day;
  }

  /** Whether, and after how many days, the owner answers the prompt with this ordinal. */
  answerDelay(ordinal: number): number | null {
    const random = randomFor(...this.name, 'answer', ordinal);
    if (!random.chance(this.readiness)) return null;
    return Math.min(this.people.delay.longest, Math.floor(random.exponential(this.people.delay.mean)));
  }

  /** Whether the owner, who is just booking, reads the odometer when asked with it. */
  tellsWithBooking(ordinal: number): boolean {
    return randomFor(...this.name, 'booking', ordinal).chance(this.people.tellsWithBooking);
  }

  /** The number that the owner gives on a day. */
  tellReading(day: number, ordinal: number): ToldReading {
    const random = randomFor(...this.name, 'reading', ordinal);
    const shown = this.shownOn(day);
    const rounded = Math.max(0, Math.round(shown / this.rounding) * this.rounding);
    if (!random.chance(this.people.wrongReading)) return { miles: rounded, wrong: null };
    const kind = random.pick<WrongKind>([
      ['lost-digit', 1],
      ['extra-digit', 1],
      ['changed-digit', 1],
      ['kilometres', 1],
      ['trip-meter', 1],
    ]);
    const digits = String(rounded);
    const place = random.integer(0, digits.length - 1);
    const digit = String(random.integer(0, 9));
    switch (kind) {
      case 'lost-digit':
        return { miles: Number(digits.slice(0, place) + digits.slice(place + 1)), wrong: kind };
      case 'extra-digit':
        return { miles: Number(digits.slice(0, place) + digit + digits.slice(place)), wrong: kind };
      case 'changed-digit':
        return { miles: Number(digits.slice(0, place) + digit + digits.slice(place + 1)), wrong: kind };
      case 'kilometres':
        return { miles: Math.round(shown * 1.609344), wrong: kind };
      case 'trip-meter':
        return { miles: random.integer(20, 900), wrong: kind };
    }
  }

  /** The number that the owner gives when asked to look again: the right one, in nine of ten cases to the mile. */
  lookAgain(day: number, ordinal: number, first: ToldReading): ToldReading {
    const random = randomFor(...this.name, 'again', ordinal);
    if (!random.chance(0.9)) return first;
    return { miles: Math.round(this.shownOn(day) / this.rounding) * this.rounding, wrong: null };
  }

  /** What becomes of the offer with this ordinal. */
  answerOffer(ordinal: number): OfferAnswer {
    const random = randomFor(...this.name, 'offer', ordinal);
    const { declines, later, bookingDays, noShow } = this.people.offers;
    if (random.chance(declines)) return { takes: false };
    const laterDays = random.chance(later) ? random.integer(...bookingDays) : 0;
    return { takes: true, laterDays, showsUp: !random.chance(noShow) };
  }
}

/** Owners who answer at least half of the questions and do not haul heavy loads. */
export const isFaithful = ({ readiness, driving }: SimulatedOwner): boolean =>
  readiness >= 0.5 && driving.use !== 'heavy-haul';
