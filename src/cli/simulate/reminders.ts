import type { SimulatedOwner } from './people.ts';

/** What a shop knows of a truck when it plans the next step. Dates are calendar days. */
export interface TruckSeen {
  readings: { date: string; miles: number }[];
  modelYear: number;
  milesPerYear: number | undefined;
  dueMiles: number;
  /** The day of the last service or of the first contact, and of the last message in either direction. */
  lastService: string;
  lastMessage: string;
  unanswered: number;
  /** Questions put to this owner in all, and answers had. */
  asked: number;
  answered: number;
}

export interface NextStep {
  ask: string | null;
  offer: string | null;
  /** The day that the offer is for. */
  dueOn: string | null;
}

/** One way to remind. */
export interface Method {
  name: string;
  next(seen: TruckSeen, today: string): NextStep;
  /** Whether a reading must be asked about before it is believed. */
  /** The day to book where the owner gives a reading with the answer to an offer; null: not yet. Absent: not asked. */
  bookAfterReading?(seen: TruckSeen, today: string): string | null;
  suspicious(seen: TruckSeen, reading: { date: string; miles: number }): boolean;
  /** What becomes of the readings when the owner stands by a suspicious one. */
  confirmed(seen: TruckSeen, reading: { date: string; miles: number }): { date: string; miles: number }[];
}

export interface ReminderRules {
  years: number;
  /** Days from a yes until the work can be done at the soonest. */
  noticeDays: number;
  intervalMiles: number;
  /** Whether owners decline, book late and do not show up, or take every offer up at once. */
  offers: 'all-taken' | 'as-people-do';
  /** Unasked messages a year that the shop allows. */
  perYear: number;
}

export interface ServiceOutcome {
  /** True miles at the day of the service minus the due mark; at the end of the run where it was never done. */
  milesLate: number;
  done: boolean;
  day: number;
}

export interface TruckOutcome {
  owner: SimulatedOwner;
  services: ServiceOutcome[];
  questions: number;
  offers: number;
  answers: number;
  bookings: number;
  noShows: number;
  days: number;
}

const MILLISECONDS = 86_400_000;
export const dateAfter = (start: string, day: number): string =>
  new Date(Date.parse(`${start}T00:00:00Z`) + day * MILLISECONDS).toISOString().slice(0, 10);
export const dayAfter = (start: string, date: string): number =>
  Math.round((Date.parse(`${date}T00:00:00Z`) - Date.parse(`${start}T00:00:00Z`)) / MILLISECONDS);

/** One truck's years under one method: questions, answers, offers and services, day by day where something happens. */
export function remind(owner: SimulatedOwner, start: string, method: Method, rules: ReminderRules): TruckOutcome {
  const days = Math.min(Math.round(rules.years * 365.25), rules.offers === 'as-people-do' ? owner.soldOnDay : Infinity);
  const outcome: TruckOutcome = {
    owner,
    services: [],
    questions: 0,
    offers: 0,
    answers: 0,
    bookings: 0,
    noShows: 0,
    days,
  };
  const run = new Run(owner, start, method, rules, days, outcome);
  run.whole();
  return outcome;
}

class Run {
  private readonly owner: SimulatedOwner;
  private readonly start: string;
  private readonly method: Method;
  private readonly rules: ReminderRules;
  private readonly days: number;
  private readonly outcome: TruckOutcome;
  private readonly seen: TruckSeen;
  /** The due mark in true miles, which the owner's instrument may not show any more. */
  private trueDue: number;
  private pending: number[] = [];
  private booked: { day: number; showsUp: boolean } | null = null;
  private prompts = 0;
  private told = 0;
  private sent: number[] = [];

  constructor(
    owner: SimulatedOwner,
    start: string,
    method: Method,
    rules: ReminderRules,
    days: number,
    outcome: TruckOutcome,
  ) {
    this.owner = owner;
    this.start = start;
    this.method = method;
    this.rules = rules;
    this.days = days;
    this.outcome = outcome;
    const first = owner.driving.odometerAt(0);
    const used = owner.serviceAtIntake ? 0 : owner.intervalUsed * rules.intervalMiles;
    this.trueDue = first - used + rules.intervalMiles;
    const exact = Math.round(owner.shownOn(0));
    const miles = owner.serviceAtIntake ? exact : owner.tellReading(0, this.told++).miles;
    this.seen = {
      readings: [{ date: start, miles }],
      modelYear: owner.modelYear,
      milesPerYear: owner.statedMilesPerYear,
      dueMiles: Math.round(this.trueDue),
      lastService: start,
      lastMessage: start,
      unanswered: 0,
      asked: 0,
      answered: 0,
    };
  }

  whole(): void {
    let day = 0;
    while (day <= this.days) {
      const step = this.nextStep(day);
      if (step === null) break;
      day = step;
    }
    const end = this.owner.driving.odometerAt(this.days);
    if (end - this.trueDue > 1500) {
      this.outcome.services.push({ milesLate: end - this.trueDue, done: false, day: this.days });
    }
  }

  /** Does what comes next, and says on which day; null after the end. */
  private nextStep(today: number): number | null {
    if (this.booked) {
      const { day, showsUp } = this.booked;
      if (day > this.days) return null;
      this.booked = null;
      this.pending = [];
      if (showsUp) this.service(day);
      else this.noShow(day);
      return day;
    }
    const plan = this.method.next(this.seen, dateAfter(this.start, today));
    const answer = Math.min(...this.pending);
    const planned = this.allowedFrom(Math.max(today, dayAfter(this.start, plan.ask ?? plan.offer ?? '9999-01-01')));
    if (Math.min(answer, planned) > this.days) return null;
    if (answer <= planned) {
      this.pending = this.pending.filter((day) => day > answer);
      this.takeAnswer(answer);
      return answer;
    }
    if (plan.ask) this.ask(planned);
    else this.offer(planned, plan.dueOn, true);
    return planned;
  }

  /** The first day on which the shop's yearly cap allows one more message. */
  private allowedFrom(day: number): number {
    const oldest = this.sent.at(-this.rules.perYear);
    return oldest === undefined ? day : Math.max(day, oldest + 365);
  }

  private ask(day: number): void {
    this.outcome.questions += 1;
    this.sent.push(day);
    this.seen.unanswered += 1;
    this.seen.asked += 1;
    this.seen.lastMessage = dateAfter(this.start, day);
    const delay = this.owner.answerDelay(this.prompts++);
    if (delay !== null) this.pending.push(day + delay);
  }

  private takeAnswer(day: number): void {
    this.outcome.answers += 1;
    this.seen.answered += 1;
    const date = dateAfter(this.start, day);
    this.takeReading(day);
    const plan = this.method.next(this.seen, date);
    if (plan.offer && plan.offer <= date) this.offer(day, plan.dueOn, false);
  }

  private takeReading(day: number): void {
    const date = dateAfter(this.start, day);
    const ordinal = this.told++;
    let told = this.owner.tellReading(day, ordinal);
    let reading = { date, miles: told.miles };
    if (this.method.suspicious(this.seen, reading)) {
      told = this.owner.lookAgain(day, ordinal, told);
      reading = { date, miles: told.miles };
      this.seen.readings = this.method.suspicious(this.seen, reading)
        ? this.method.confirmed(this.seen, reading)
        : [...this.seen.readings, reading];
    } else {
      this.seen.readings = [...this.seen.readings, reading];
    }
    this.seen.unanswered = 0;
    this.seen.lastMessage = date;
  }

  /** An offer; one that follows the owner's own message is no unasked one. */
  private offer(day: number, dueOn: string | null, unasked: boolean): void {
    if (unasked) {
      this.outcome.offers += 1;
      this.sent.push(day);
    }
    this.seen.lastMessage = dateAfter(this.start, day);
    if (unasked && this.method.bookAfterReading && this.owner.tellsWithBooking(this.prompts++)) {
      this.takeReading(day);
      dueOn = this.method.bookAfterReading(this.seen, dateAfter(this.start, day));
      if (dueOn === null) return;
    }
    const wanted = Math.max(day + this.rules.noticeDays, dueOn ? dayAfter(this.start, dueOn) : 0);
    if (this.rules.offers === 'all-taken') {
      this.booked = { day: wanted, showsUp: true };
      this.outcome.bookings += 1;
      return;
    }
    const answer = this.owner.answerOffer(this.prompts++);
    if (answer.takes) {
      this.outcome.bookings += 1;
      this.booked = { day: wanted + answer.laterDays, showsUp: answer.showsUp };
    } else {
      this.wait(day);
    }
  }

  /** Declined or not come: the shop comes back after a month, as an offer that was put off. */
  private wait(day: number): void {
    const again = day + 30;
    this.booked = null;
    if (again > this.days) return;
    const answer = this.owner.answerOffer(this.prompts++);
    this.outcome.offers += 1;
    this.sent.push(again);
    const laterDays = answer.takes ? answer.laterDays : 60;
    this.booked = { day: again + this.rules.noticeDays + laterDays, showsUp: answer.takes ? answer.showsUp : true };
    this.outcome.bookings += 1;
  }

  private noShow(day: number): void {
    this.outcome.noShows += 1;
    this.wait(day);
  }

  private service(day: number): void {
    const miles = this.owner.driving.odometerAt(day);
    this.outcome.services.push({ milesLate: miles - this.trueDue, done: true, day });
    const date = dateAfter(this.start, day);
    const reading = { date, miles: Math.round(this.owner.shownOn(day)) };
    this.seen.readings = this.method.suspicious(this.seen, reading)
      ? this.method.confirmed(this.seen, reading)
      : [...this.seen.readings, reading];
    this.trueDue = miles + this.rules.intervalMiles;
    this.seen.dueMiles = reading.miles + this.rules.intervalMiles;
    this.seen.lastService = date;
    this.seen.lastMessage = date;
    this.seen.unanswered = 0;
  }
}
