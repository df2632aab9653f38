import { DateTime } from 'luxon';
import type { OwnerFile } from '../../core/mod.ts';
import { isFaithful, type SimulatedOwner } from './people.ts';
import { randomFor } from './random.ts';
import { isForgotten } from './forgotten.ts';
import { dateAfter, dayAfter } from './reminders.ts';
import type { DueRange, Received, VirtualShop } from './shop.ts';
import { firstWords, readingWords } from './words.ts';

/** Kinds of messages that the clock brings; that of the day before belongs to the appointment the owner made. */
export type MessageKind = 'odometer-check' | 'service-offer' | 'leak-check' | 'appointment';

/** What a life with the shop came to. Miles are true ones, whatever the owner told. */
export interface LifeOutcome {
  messages: Record<MessageKind, number>;
  /** By the day on which the work was done; at the end of the run where it was never done and is long overdue. */
  services: ServiceMet[];
  answers: number;
  bookings: number;
  noShows: number;
  days: number;
  outsideHours: number;
  afterOptOut: number;
  duplicates: number;
  /** At random days: the shop's range for a mark, by the readings it was made from, and whether the truth lay in it. */
  ranges: RangeHeld[];
  /** Whether the owner answers at least half of the questions and does not haul heavy loads. */
  faithful: boolean;
  /** Whether the first talk came as far as the reminders, and they were agreed to. */
  agreed: boolean;
  readings: { told: number; asTold: number };
  /** A truck of an active owner for which nothing is planned, booked, or left to the shop's telephone. */
  lost: number;
}

export interface ServiceMet {
  /** True miles beyond the mark in miles. */
  milesLate: number;
  done: boolean;
  /** Days beyond the day on which it was due by time; absent where only miles count. */
  daysLate?: number;
}

export interface RangeHeld {
  /** The truck's own due mark, or one drawn at random beyond the last reading. */
  mark: 'own' | 'random';
  readings: number;
  held: 'early' | 'within' | 'late';
}

export interface LifeRules {
  /** Whether every offer is taken up at once, or owners answer late, decline, book late, stay away, sell and stop. */
  offers: 'all-taken' | 'as-people-do';
  days: number;
}

type Deed = 'answer-odometer' | 'answer-offer' | 'answer-leak' | 'work' | 'stay-away';

/** Random days on which the shop's own range is held against the truth. */
const LOOKS = 3;
/** As far as a truck's true road is followed to see when it reaches its mark. */
const FAR = 12 * 365;
/** Miles beyond the last reading at which a mark is drawn. */
const RANDOM_MARKS = [500, 22_000] as const;

/** One made-up owner in the real conversation: writes first, is asked, answers late or never, books, comes. */
export class Life {
  readonly address: string;
  readonly outcome: LifeOutcome = {
    messages: { 'odometer-check': 0, 'service-offer': 0, 'leak-check': 0, appointment: 0 },
    services: [],
    answers: 0,
    bookings: 0,
    noShows: 0,
    days: 0,
    outsideHours: 0,
    afterOptOut: 0,
    duplicates: 0,
    ranges: [],
    faithful: false,
    agreed: false,
    readings: { told: 0, asTold: 0 },
    lost: 0,
  };
  private readonly owner: SimulatedOwner;
  private readonly start: string;
  private readonly shop: VirtualShop;
  private readonly rules: LifeRules;
  private readonly looks: number[];
  private deeds: { day: number; deed: Deed }[] = [];
  private prompts = 0;
  private told = 0;
  private offered = 0;
  /** The due mark in true miles, which the owner's instrument may not show any more. */
  private trueDue = Infinity;
  private stopped = false;
  private lastWords = '';

  constructor(address: string, owner: SimulatedOwner, start: string, shop: VirtualShop, rules: LifeRules) {
    this.address = address;
    this.owner = owner;
    this.start = start;
    this.shop = shop;
    this.rules = rules;
    this.outcome.faithful = isFaithful(owner);
    const random = randomFor(owner.id, 'looks');
    this.looks = Array.from({ length: LOOKS }, () => Math.floor(random.uniform() * rules.days));
  }

  private get asPeopleDo(): boolean {
    return this.rules.offers === 'as-people-do';
  }

  /** The last day of this life with the shop. */
  get lastDay(): number {
    return this.asPeopleDo ? Math.min(this.rules.days, this.owner.soldOnDay) : this.rules.days;
  }

  dayOf(date: string): number {
    return dayAfter(this.start, date);
  }

  /** First words and the write-up; half of the owners have the filter changed at once, the others know when it was. */
  async arrives(): Promise<void> {
    const miles = this.owner.serviceAtIntake
      ? Math.round(this.owner.shownOn(0))
      : this.owner.tellReading(0, this.told++).miles;
    const truck = {
      modelYear: Math.max(2011, this.owner.modelYear),
      miles,
      milesPerYear: this.owner.statedMilesPerYear,
    };
    await this.shop.says(this.address, firstWords(truck, this.owner.id));
    await this.answersWhatIsAsked();
    if (await this.acceptedByShop()) await this.work(0);
    await this.shop.taps(this.address, 'yes');
    this.outcome.agreed = (await this.shop.file(this.address)).owner.consent !== undefined;
    await this.markSet(0);
  }

  /** Answers what is asked until nothing is, as far as the request to the shop. */
  private async answersWhatIsAsked(): Promise<void> {
    for (let step = 0; step < 20; step++) {
      const { question } = (await this.shop.file(this.address)).conversation;
      if (!question || question.about === 'anything') return;
      // "Is it that, too?" An owner who writes about a filter has nothing to complain of.
      const option = question.about.startsWith('hint:') ? 'no' : ANSWERS[question.about];
      if (question.about === 'name') await this.shop.says(this.address, 'Wren Holt');
      else if (question.about === 'phone') await this.shop.says(this.address, '303-555-0111');
      else if (question.about === 'lastFuelFilter' && this.filterKnown)
        await this.shop.says(this.address, this.lastFilter);
      else if (option !== undefined && (await this.shop.taps(this.address, option))) continue;
      else if (!(await this.shop.taps(this.address, 'dont-know'))) return;
    }
  }

  private get filterMiles(): number {
    return Math.round(this.owner.shownOn(0) - this.owner.intervalUsed * 22_000);
  }
  private get filterKnown(): boolean {
    return !this.owner.serviceAtIntake && this.filterMiles > 0;
  }
  private get lastFilter(): string {
    return `at ${this.filterMiles.toLocaleString('en-US')} miles`;
  }

  private async acceptedByShop(): Promise<boolean> {
    const accepted = await this.shop.staff(this.address, ({ requests }) => {
      const request = requests.findLast(({ state }) => state === 'requested');
      return request && { do: 'accept', requestId: request.id, revision: request.revision };
    });
    if (accepted) await this.shop.taps(this.address, 'yes');
    return accepted;
  }

  /** The truck is at the shop: the odometer is read to the mile, the work done and closed. */
  private async work(day: number): Promise<void> {
    const miles = Math.max(1, Math.round(this.owner.shownOn(day)));
    const date = dateAfter(this.start, day);
    const dueByTime = this.shop.dueByTime(await this.shop.file(this.address));
    const done = await this.shop.staff(this.address, ({ requests }) => {
      const request = requests.findLast(({ state }) => state === 'accepted');
      if (!request) return undefined;
      // What was booked, and nothing beside it: the shop may do no more.
      const report = { date, odometerMiles: miles, services: request.services, findings: [], putOff: [] };
      return { do: 'close', requestId: request.id, revision: request.revision, report };
    });
    if (!done) return;
    if (Number.isFinite(this.trueDue)) {
      const milesLate = this.owner.driving.odometerAt(day) - this.trueDue;
      const daysLate = dueByTime === undefined ? undefined : day - this.dayOf(dueByTime);
      this.outcome.services.push({ milesLate, done: true, ...(daysLate !== undefined && { daysLate }) });
    }
    await this.markSet(day);
  }

  /** The mark that the shop itself has set, in true miles. */
  private async markSet(day: number): Promise<void> {
    const file = await this.shop.file(this.address);
    const range = this.shop.dueRange(file);
    if (range) this.trueDue = this.owner.driving.odometerAt(day) + (range.dueMiles - this.owner.shownOn(day));
  }

  /** A message came; the owner decides when to answer, if at all. */
  async reads({ text, at, byClock }: Received, day: number, zone: string): Promise<void> {
    if (!byClock) return;
    const { about } = (await this.shop.file(this.address)).conversation.question ?? {};
    const kind = KINDS[about ?? ''] ?? 'appointment';
    this.outcome.messages[kind] += 1;
    const sent = `${day} ${text}`;
    if (this.lastWords === sent) this.outcome.duplicates += 1;
    this.lastWords = sent;
    const hour = DateTime.fromISO(at, { zone }).hour;
    if (hour < 8 || hour >= 21) this.outcome.outsideHours += 1;
    if (this.stopped) this.outcome.afterOptOut += 1;
    if (kind === 'appointment') return;
    if (kind === 'leak-check') this.plan(day, 'answer-leak');
    else if (kind === 'service-offer' && !this.asPeopleDo) this.plan(day, 'answer-offer');
    else {
      const delay = this.owner.answerDelay(this.prompts++);
      if (delay !== null) this.plan(day + delay, kind === 'service-offer' ? 'answer-offer' : 'answer-odometer');
    }
  }

  private plan(day: number, deed: Deed): void {
    const before = this.deeds.find((other) => other.deed === deed);
    if (before && before.day <= day) return;
    this.deeds = [...this.deeds.filter((other) => other !== before), { day, deed }];
  }

  get idleToday(): (day: number) => boolean {
    return (day) => !this.looks.includes(day) && !this.deeds.some((one) => one.day <= day) && !this.stopsOn(day);
  }

  private stopsOn(day: number): boolean {
    return this.asPeopleDo && !this.stopped && day >= this.owner.stopsOnDay;
  }

  async does(day: number): Promise<void> {
    if (this.looks.includes(day)) await this.noteRange();
    const now = this.deeds.filter((one) => one.day <= day);
    this.deeds = this.deeds.filter((one) => one.day > day);
    for (const { deed } of now) {
      if (deed === 'answer-odometer') await this.answersOdometer(day);
      if (deed === 'answer-offer') await this.answersOffer(day);
      if (deed === 'answer-leak') await this.shop.taps(this.address, 'no');
      if (deed === 'work') await this.work(day);
      if (deed === 'stay-away') await this.staysAway();
    }
    if (!this.stopsOn(day)) return;
    this.stopped = true;
    await this.shop.says(this.address, 'stop');
  }

  /**
   * Whether the truth lies in the shop's range as it stood at the last reading: for the truck's own due mark, and for one
   * that knows nothing of the policy, 500 to 22,000 miles beyond what the odometer showed then.
   */
  private async noteRange(): Promise<void> {
    const file = await this.shop.file(this.address);
    const own = this.shop.dueRange(file);
    if (own && Number.isFinite(this.trueDue)) this.holdAgainstTruth('own', own, file, this.trueDue);
    const last = file.vehicles[0]?.readings.at(-1);
    if (!last) return;
    const from = this.dayOf(last.date);
    const ahead = Math.round(randomFor(this.owner.id, 'mark', from).between(...RANDOM_MARKS));
    const drawn = this.shop.rangeFor(file, Math.round(this.owner.shownOn(from)) + ahead);
    if (drawn) this.holdAgainstTruth('random', drawn, file, this.owner.driving.odometerAt(from) + ahead);
  }

  private holdAgainstTruth(mark: RangeHeld['mark'], range: DueRange, file: OwnerFile, trueMark: number): void {
    const from = this.dayOf(range.from);
    // A new instrument between the reading and the mark leaves no truth on this scale.
    if (this.owner.swapDay > from - 400 && this.owner.swapDay < FAR) return;
    const truth = this.owner.driving.dayReaching(trueMark, FAR) ?? Infinity;
    if (truth <= from) return;
    const day = (date: string | null) => (date === null ? Infinity : this.dayOf(date));
    const held = truth < day(range.p10) ? 'early' : truth > day(range.p90) ? 'late' : 'within';
    this.outcome.ranges.push({ mark, readings: file.vehicles[0]?.readings.length ?? 0, held });
  }

  private async answersOdometer(day: number): Promise<void> {
    if ((await this.about()) !== 'odometer-check') return;
    this.outcome.answers += 1;
    await this.tells(day);
    if ((await this.about()) === 'service-offer') await this.answersOffer(day);
  }

  /** Reads the odometer, well or badly, and looks again when the number is doubted. */
  private async tells(day: number): Promise<void> {
    const ordinal = this.told++;
    const first = this.owner.tellReading(day, ordinal);
    await this.shop.says(this.address, readingWords(first.miles, this.owner.id, ordinal));
    let last = first;
    if ((await this.about())?.startsWith('doubt:')) {
      last = this.owner.lookAgain(day, ordinal, first);
      if (last.miles !== first.miles) await this.shop.says(this.address, `no, ${last.miles}`);
      if ((await this.about())?.startsWith('doubt:')) await this.shop.taps(this.address, 'yes');
    }
    const kept = (await this.shop.file(this.address)).vehicles[0]?.readings.at(-1);
    this.outcome.readings.told += 1;
    if (kept?.miles === last.miles) this.outcome.readings.asTold += 1;
  }

  private async about(): Promise<string | undefined> {
    return (await this.shop.file(this.address)).conversation.question?.about;
  }

  private async answersOffer(day: number): Promise<void> {
    if ((await this.about()) !== 'service-offer') return;
    const answer = this.asPeopleDo
      ? this.owner.answerOffer(this.offered++)
      : { takes: true as const, laterDays: 0, showsUp: true };
    if (!answer.takes) {
      await this.shop.taps(this.address, 'later');
      return;
    }
    await this.shop.taps(this.address, 'yes');
    if ((await this.about()) === 'odometer-first') {
      if (this.owner.tellsWithBooking(this.prompts++)) await this.tells(day);
      else await this.shop.taps(this.address, 'skip');
    }
    if ((await this.about()) !== 'time') return;
    if (answer.laterDays > 0) await this.wantsLater(answer.laterDays);
    await this.answersWhatIsAsked();
    if (!(await this.acceptedByShop())) return;
    this.outcome.bookings += 1;
    const slot = (await this.shop.file(this.address)).requests.findLast(({ state }) => state === 'accepted')?.slot;
    const workDay = slot ? Math.max(day, this.dayOf(slot.start.slice(0, 10))) : day;
    this.plan(workDay, answer.showsUp ? 'work' : 'stay-away');
  }

  /** The day of the first time that is offered does not suit; so many days later does. */
  private async wantsLater(days: number): Promise<void> {
    const [first] = (await this.shop.file(this.address)).conversation.offered;
    if (!first) return;
    const day = DateTime.fromISO(first.start.slice(0, 10)).plus({ days });
    await this.shop.says(this.address, day.setLocale('en-US').toFormat('LLLL d'));
  }

  private async staysAway(): Promise<void> {
    this.outcome.noShows += 1;
    await this.shop.staff(this.address, ({ requests }) => {
      const request = requests.findLast(({ state }) => state === 'accepted');
      return request && { do: 'no-show', requestId: request.id, revision: request.revision };
    });
  }

  /** The end of this life with the shop: what is long overdue and was never done counts as late. */
  async ends(): Promise<void> {
    const day = this.lastDay;
    this.outcome.days = day;
    const milesLate = this.owner.driving.odometerAt(day) - this.trueDue;
    if (milesLate > 1500) this.outcome.services.push({ milesLate, done: false });
    if (this.asPeopleDo && this.owner.soldOnDay <= day) {
      if (!this.stopped) await this.shop.says(this.address, 'sold it');
      return;
    }
    const file = await this.shop.file(this.address);
    if (!this.stopped && isForgotten(file, dateAfter(this.start, day))) this.outcome.lost += 1;
  }
}

const KINDS: Record<string, MessageKind> = {
  'odometer-check': 'odometer-check',
  'service-offer': 'service-offer',
  leak: 'leak-check',
};

/** What a made-up owner taps for each question of the talk. */
const ANSWERS: Record<string, string> = {
  symptoms: 'nothing',
  engine: 'v67',
  pumpProtected: 'yes',
  pumpReplaced: 'no',
  troubleCodes: 'none',
  tows: 'no',
  breatherOriginal: 'no',
  advice: 'yes',
  time: 's0',
  send: 'yes',
  consent: 'yes',
};
