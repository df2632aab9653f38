import { DateTime } from 'luxon';
import type { OwnerFile } from '../../core/mod.ts';
import type { SimulatedOwner } from './people.ts';
import { dayAfter } from './reminders.ts';
import type { VirtualShop } from './shop.ts';
import { firstWords, readingWords } from './words.ts';

/** What a life with the shop came to. Miles are true ones, whatever the owner told. */
export interface LifeOutcome {
  messages: number;
  offers: { milesFromDue: number }[];
  services: { milesLate: number }[];
  answers: number;
  questions: number;
  bookings: number;
  days: number;
  outsideHours: number;
  afterOptOut: number;
  duplicates: number;
  /** Due dates that were given a range, and those that lay in it. */
  ranges: number;
  held: number;
}

interface Deed {
  day: number;
  kind: 'answer-odometer' | 'answer-offer' | 'work';
}

/** One made-up owner in the real conversation: writes first, books, answers late or never, has the work done. */
export class Life {
  readonly address: string;
  readonly outcome: LifeOutcome = {
    messages: 0,
    offers: [],
    services: [],
    answers: 0,
    questions: 0,
    bookings: 0,
    days: 0,
    outsideHours: 0,
    afterOptOut: 0,
    duplicates: 0,
    ranges: 0,
    held: 0,
  };
  private readonly owner: SimulatedOwner;
  private readonly start: string;
  private readonly shop: VirtualShop;
  private deeds: Deed[] = [];
  private prompts = 0;
  private told = 0;
  private offered = 0;
  private trueDue = Infinity;
  private readonly sent = new Set<string>();

  constructor(address: string, owner: SimulatedOwner, start: string, shop: VirtualShop) {
    this.address = address;
    this.owner = owner;
    this.start = start;
    this.shop = shop;
  }

  get soldOn(): number {
    return this.owner.soldOnDay;
  }

  dayOf(date: string): number {
    return dayAfter(this.start, date);
  }

  /** First words, the write-up, and the first filter service, done and closed on the same day. */
  async arrives(): Promise<void> {
    const miles = Math.round(this.owner.shownOn(0));
    await this.shop.says(
      this.address,
      firstWords({ modelYear: Math.max(2011, this.owner.modelYear), miles }, this.owner.id),
    );
    await this.bookWhatIsAdvised();
    await this.work(0);
    await this.shop.taps(this.address, 'yes');
  }

  /** Answers whatever is asked until the request is out and the shop has accepted it. */
  private async bookWhatIsAdvised(): Promise<boolean> {
    for (let step = 0; step < 16; step++) {
      const file = await this.shop.file(this.address);
      const question = file?.conversation.question;
      if (!file || !question) break;
      const option = ANSWERS[question.about];
      if (question.about === 'name') await this.shop.says(this.address, 'Alder Quill');
      else if (question.about === 'phone') await this.shop.says(this.address, '303-555-0111');
      else if (option !== undefined && (await this.shop.taps(this.address, option))) continue;
      else if (!(await this.shop.taps(this.address, 'dont-know'))) break;
    }
    const accepted = await this.shop.staff(this.address, (file) => {
      const request = open(file);
      return request && { do: 'accept', requestId: request.id, revision: request.revision };
    });
    if (accepted) await this.shop.taps(this.address, 'yes');
    return accepted;
  }

  private async work(day: number): Promise<void> {
    const miles = Math.max(1, Math.round(this.owner.shownOn(day)));
    const done = await this.shop.staff(this.address, (file) => {
      const request = file.requests.findLast(({ state }) => state === 'accepted' || state === 'requested');
      if (!request || request.state !== 'accepted') return undefined;
      const services = request.services.includes('fuel-filter-service')
        ? request.services
        : [...request.services, 'fuel-filter-service' as const];
      const date = DateTime.fromISO(this.shop.now()).toISODate() ?? '';
      const report = { date, odometerMiles: miles, services, findings: [], putOff: [] };
      return { do: 'close', requestId: request.id, revision: request.revision, report };
    });
    if (!done) return;
    const truth = this.owner.driving.odometerAt(day);
    if (Number.isFinite(this.trueDue)) this.outcome.services.push({ milesLate: truth - this.trueDue });
    const next = await this.dueMark();
    this.trueDue = next === undefined ? Infinity : truth + (next - miles);
  }

  /** The mark that the shop itself has set, in miles that the instrument shows. */
  private async dueMark(): Promise<number | undefined> {
    const file = await this.shop.file(this.address);
    return file?.followUps.findLast(({ state, dueMiles }) => state === 'waiting' && dueMiles !== undefined)?.dueMiles;
  }

  /** A message came: the owner decides when to answer, if at all. */
  async reads(text: string, day: number, unasked: boolean, at: string, zone: string, optedOut: boolean): Promise<void> {
    if (!unasked) return;
    this.outcome.messages += 1;
    const sent = `${at} ${text}`;
    if (this.sent.has(sent)) this.outcome.duplicates += 1;
    this.sent.add(sent);
    await this.noteCoverage(day);
    const hour = DateTime.fromISO(at, { zone }).hour;
    if (hour < 8 || hour >= 21) this.outcome.outsideHours += 1;
    if (optedOut) this.outcome.afterOptOut += 1;
    const about = (await this.shop.file(this.address))?.conversation.question?.about;
    if (about === 'odometer-check') {
      this.outcome.questions += 1;
      const delay = this.owner.answerDelay(this.prompts++);
      if (delay !== null) this.plan({ day: day + delay, kind: 'answer-odometer' });
    } else if (about === 'service-offer') {
      this.noteOffer(day);
      const delay = this.owner.answerDelay(this.prompts++);
      if (delay !== null) this.plan({ day: day + delay, kind: 'answer-offer' });
    } else if (about === 'leak') {
      await this.shop.taps(this.address, 'no');
    }
  }

  /** Whether the truth lies within the shop's own range for the due date, where it still lies ahead. */
  private async noteCoverage(day: number): Promise<void> {
    const file = await this.shop.file(this.address);
    const range = file && this.shop.dueRange(file);
    const truth = this.dueDay();
    if (!range?.p10 || !range.p90 || truth === null || truth <= day) return;
    this.outcome.ranges += 1;
    if (truth >= this.dayOf(range.p10) && truth <= this.dayOf(range.p90)) this.outcome.held += 1;
  }

  /** The day on which the truck truly reaches its mark; null where that is more than ten years on. */
  private dueDay(): number | null {
    if (!Number.isFinite(this.trueDue)) return null;
    for (let day = 0; day < 3653; day++) if (this.owner.driving.odometerAt(day) >= this.trueDue) return day;
    return null;
  }

  private plan(deed: Deed): void {
    const before = this.deeds.find(({ kind }) => kind === deed.kind);
    if (before && before.day <= deed.day) return;
    this.deeds = [...this.deeds.filter((other) => other !== before), deed];
  }

  private noteOffer(day: number): void {
    if (Number.isFinite(this.trueDue))
      this.outcome.offers.push({ milesFromDue: this.owner.driving.odometerAt(day) - this.trueDue });
  }

  async does(day: number): Promise<void> {
    const now = this.deeds.filter((deed) => deed.day <= day);
    this.deeds = this.deeds.filter((deed) => deed.day > day);
    for (const { kind } of now) {
      if (kind === 'answer-odometer') await this.answersOdometer(day);
      if (kind === 'answer-offer') await this.answersOffer(day);
      if (kind === 'work') await this.work(day);
    }
  }

  private async answersOdometer(day: number): Promise<void> {
    const about = (await this.shop.file(this.address))?.conversation.question?.about;
    if (about !== 'odometer-check') return;
    const ordinal = this.told++;
    const first = this.owner.tellReading(day, ordinal);
    await this.shop.says(this.address, readingWords(first.miles, this.owner.id, ordinal));
    this.outcome.answers += 1;
    const again = (await this.shop.file(this.address))?.conversation.question?.about;
    if (again?.startsWith('doubt:')) {
      const second = this.owner.lookAgain(day, ordinal, first);
      if (second.miles === first.miles) await this.shop.taps(this.address, 'yes');
      else await this.shop.says(this.address, `no, ${second.miles}`);
    }
    if ((await this.shop.file(this.address))?.conversation.question?.about === 'service-offer') {
      this.noteOffer(day);
      await this.answersOffer(day);
    }
  }

  private async answersOffer(day: number): Promise<void> {
    const file = await this.shop.file(this.address);
    if (file?.conversation.question?.about !== 'service-offer') return;
    const answer = this.owner.answerOffer(this.offered++);
    if (!answer.takes) {
      await this.shop.taps(this.address, 'later');
      return;
    }
    await this.shop.taps(this.address, 'yes');
    if (!(await this.bookWhatIsAdvised())) return;
    this.outcome.bookings += 1;
    const booked = (await this.shop.file(this.address))?.requests.findLast(({ state }) => state === 'accepted')?.slot;
    const workDay = booked ? Math.max(day, this.dayOf(booked.start.slice(0, 10))) : day;
    if (answer.showsUp) this.plan({ day: workDay + answer.laterDays, kind: 'work' });
    else {
      await this.shop.staff(this.address, (known) => {
        const request = open(known) ?? known.requests.findLast(({ state }) => state === 'accepted');
        return (
          request && { do: 'cancel', requestId: request.id, revision: request.revision, because: 'did not show up' }
        );
      });
    }
  }

  async sells(): Promise<void> {
    await this.shop.says(this.address, 'sold it');
    this.deeds = [];
  }
}

const open = (file: OwnerFile) => file.requests.findLast(({ state }) => state === 'requested');

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
  'service-offer': 'yes',
};
