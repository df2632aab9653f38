import type { WantedTime } from '../model/reading.ts';
import type { IsoDate } from '../model/time.ts';
import type { Span } from './calendar.ts';
import type { Crew } from './crew.ts';
import type { DiaryIndex } from './diary.ts';
import { finishOf, workBetween, type Plan } from './plan.ts';
import { addDays, ceilQuarter, MINUTES_A_DAY, QUARTER, type Minute } from './wall-clock.ts';

/** A minute at which the job can start, with the bays that are free for all of it. */
export interface Start {
  minute: Minute;
  end: Minute;
  bays: string[];
  /** Minutes between the start and the wanted time; 0 within it. */
  off: number;
}

const NOON = 720;

/** All starts of one day in time order. */
export function startsOn(plan: Plan, diary: DiaryIndex, crew: Crew, date: IsoDate): Start[] {
  const starts = new Map<Minute, Start>();
  const { work } = plan.calendar.day(date);
  const last = work.at(-1);
  if (!last || last.to <= plan.earliest) return [];
  for (const { id } of plan.bays) {
    for (const span of work) addFreeStarts(plan, diary, id, span, starts);
  }
  return [...starts.values()]
    .filter(({ minute, end }) => crew.canDo(workBetween(plan.calendar, minute, end)))
    .sort((a, b) => a.minute - b.minute);
}

function addFreeStarts(plan: Plan, diary: DiaryIndex, bay: string, span: Span, starts: Map<Minute, Start>): void {
  const busy = diary.of(bay);
  const buffer = plan.shop.booking.bufferMinutes;
  const { clock } = plan.calendar;
  let minute = ceilQuarter(clock, Math.max(span.from, plan.earliest));
  while (minute < span.to) {
    const next = busy.firstEndingAfter(minute - buffer);
    const taken = busy.starts[next] ?? Infinity;
    const freeAgain = () => ceilQuarter(clock, (busy.ends[next] ?? Infinity) + buffer);
    if (taken <= minute) {
      minute = freeAgain();
      continue;
    }
    const known = starts.get(minute);
    const end = known?.end ?? finishOf(plan, minute);
    if (end !== undefined && end + buffer <= taken) {
      if (known) known.bays.push(bay);
      else starts.set(minute, { minute, end, bays: [bay], off: 0 });
      minute += QUARTER;
    } else {
      minute = end === undefined ? minute + QUARTER : freeAgain();
    }
  }
}

/** The wanted time as spans of minutes, one a day, whether or not the shop is open then. */
export function wantedSpans(plan: Plan, wanted: WantedTime): Span[] {
  const { clock } = plan.calendar;
  const [first, last] = 'date' in wanted ? [wanted.date, wanted.date] : [wanted.from, wanted.to];
  const begin = wanted.part === 'afternoon' ? NOON : 0;
  const finish = wanted.part === 'morning' ? NOON : MINUTES_A_DAY;
  // A span may be years long; what lies outside the days on offer plays no part beyond its nearest end.
  const from = first < plan.firstDate ? (last < plan.firstDate ? last : plan.firstDate) : first;
  const to = last > plan.lastDate ? (from > plan.lastDate ? from : plan.lastDate) : last;
  const spans: Span[] = [];
  for (let date = from; date <= to; date = addDays(date, 1)) {
    spans.push({ from: clock.minuteOf(date, begin, 'earlier'), to: clock.minuteOf(date, finish, 'earlier') });
  }
  return spans;
}

type StartsOn = (date: IsoDate) => Start[];

/** The starts that lie within the wanted spans, in time order. */
export function* startsWithin(plan: Plan, on: StartsOn, spans: readonly Span[]): Generator<Start> {
  for (const span of spans) {
    const date = plan.calendar.clock.dateOf(span.from);
    if (date < plan.firstDate || date > plan.lastDate) continue;
    for (const start of on(date)) {
      if (span.from <= start.minute && start.minute < span.to) yield start;
    }
  }
}

/** All starts from the first day on, in time order. */
export function* startsFrom(plan: Plan, on: StartsOn, first: IsoDate): Generator<Start> {
  for (let date = first; date <= plan.lastDate; date = addDays(date, 1)) yield* on(date);
}

/** The starts outside the wanted spans, the nearest first; of two as near, the earlier. */
export function* startsAround(plan: Plan, on: StartsOn, spans: readonly Span[]): Generator<Start> {
  const begin = spans[0]?.from ?? plan.earliest;
  const finish = spans.at(-1)?.to ?? begin;
  const streams = [backwards(plan, on, begin), between(plan, on, spans), forwards(plan, on, finish)];
  const heads = streams.map((stream) => stream.next());
  for (;;) {
    let best: number | undefined;
    heads.forEach((head, index) => {
      const other = best === undefined ? undefined : heads[best];
      if (!head.done && (other === undefined || other.done || head.value.off < other.value.off)) best = index;
    });
    const head = best === undefined ? undefined : heads[best];
    const stream = best === undefined ? undefined : streams[best];
    if (best === undefined || !head || head.done || !stream) return;
    yield head.value;
    heads[best] = stream.next();
  }
}

function* backwards(plan: Plan, on: StartsOn, before: Minute): Generator<Start> {
  const first = plan.calendar.clock.dateOf(before);
  for (let date = first < plan.lastDate ? first : plan.lastDate; date >= plan.firstDate; date = addDays(date, -1)) {
    for (const start of on(date).reverse()) {
      if (start.minute < before) yield { ...start, off: before - start.minute };
    }
  }
}

function* forwards(plan: Plan, on: StartsOn, from: Minute): Generator<Start> {
  const first = plan.calendar.clock.dateOf(from);
  for (let date = first > plan.firstDate ? first : plan.firstDate; date <= plan.lastDate; date = addDays(date, 1)) {
    for (const start of on(date)) {
      if (start.minute >= from) yield { ...start, off: start.minute - from + 1 };
    }
  }
}

/** The starts between the first and the last wanted span that lie in none of them. */
function* between(plan: Plan, on: StartsOn, spans: readonly Span[]): Generator<Start> {
  const begin = spans[0]?.from ?? 0;
  const finish = spans.at(-1)?.to ?? 0;
  const found: Start[] = [];
  for (const span of spans.length > 1 ? spans : []) {
    const date = plan.calendar.clock.dateOf(span.from);
    if (date < plan.firstDate || date > plan.lastDate) continue;
    for (const start of on(date)) {
      if (start.minute < begin || start.minute >= finish) continue;
      const off = Math.min(...spans.map(({ from, to }) => distance(start.minute, from, to)));
      if (off > 0) found.push({ ...start, off });
    }
  }
  yield* found.sort((a, b) => a.off - b.off || a.minute - b.minute);
}

const distance = (minute: Minute, from: Minute, to: Minute): number =>
  minute < from ? from - minute : minute >= to ? minute - to + 1 : 0;
