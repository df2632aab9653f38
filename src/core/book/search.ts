import type { WantedTime } from '../model/reading.ts';
import type { Span } from './calendar.ts';
import type { Crew } from './crew.ts';
import type { Busy, DiaryIndex } from './diary.ts';
import { finishOf, workBetween, type Plan } from './plan.ts';
import {
  ceilQuarter,
  dateOfDay,
  dayNumber,
  MINUTES_A_DAY,
  QUARTER,
  type DayNumber,
  type Minute,
} from './wall-clock.ts';

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
export function startsOn(plan: Plan, diary: DiaryIndex, crew: Crew, number: DayNumber): Start[] {
  const starts = new Map<Minute, Start>();
  const { work } = plan.calendar.dayAt(number);
  const last = work.at(-1);
  if (!last || last.to <= plan.earliest) return [];
  for (const { id } of plan.bays) {
    for (const span of work) addFreeStarts(plan, diary.of(id), crew, id, span, starts);
  }
  if (starts.size === 0) return [];
  return [...starts.values()]
    .filter(({ minute, end }) => crew.canDo(workBetween(plan.calendar, minute, end)))
    .sort((a, b) => a.minute - b.minute);
}

/** Goes from gap to gap of a bay's diary within one span of work. */
function addFreeStarts(plan: Plan, busy: Busy, crew: Crew, bay: string, span: Span, starts: Map<Minute, Start>): void {
  const buffer = plan.shop.booking.bufferMinutes;
  const { clock } = plan.calendar;
  let minute = ceilQuarter(clock, Math.max(span.from, plan.earliest));
  let next = busy.firstEndingAfter(minute - buffer);
  while (minute < span.to) {
    while ((busy.ends[next] ?? Infinity) + buffer <= minute) next++;
    const taken = busy.starts[next] ?? Infinity;
    // Without its pauses the job is at least as long as its work.
    if (taken < minute + plan.minutes + buffer) {
      minute = ceilQuarter(clock, (busy.ends[next] ?? Infinity) + buffer);
      continue;
    }
    const known = starts.get(minute);
    const end = known?.end ?? (crew.isThereAt(minute) ? finishOf(plan, minute) : undefined);
    if (end !== undefined && end + buffer <= taken) {
      if (known) known.bays.push(bay);
      else starts.set(minute, { minute, end, bays: [bay], off: 0 });
    }
    minute += QUARTER;
  }
}

/** The wanted time as spans of minutes, one a day, whether or not the shop is open then. */
export function wantedSpans(plan: Plan, wanted: WantedTime): Span[] {
  const { clock } = plan.calendar;
  const [first, last] = 'date' in wanted ? [wanted.date, wanted.date] : [wanted.from, wanted.to];
  const begin = wanted.part === 'afternoon' ? NOON : 0;
  const finish = wanted.part === 'morning' ? NOON : MINUTES_A_DAY;
  // A span may be years long; of what lies outside the days on offer only its nearest end plays a part.
  const from = Math.max(dayNumber(first), Math.min(plan.firstDay, dayNumber(last)));
  const to = Math.min(dayNumber(last), Math.max(plan.lastDay, dayNumber(first)));
  const spans: Span[] = [];
  for (let day = from; day <= to; day++) {
    const date = dateOfDay(day);
    spans.push({ from: clock.minuteOf(date, begin, 'earlier'), to: clock.minuteOf(date, finish, 'earlier') });
  }
  return spans;
}

type StartsOn = (day: DayNumber) => readonly Start[];

/** The starts that lie within the wanted spans, in time order. */
export function* startsWithin(plan: Plan, on: StartsOn, spans: readonly Span[]): Generator<Start> {
  for (const span of spans) {
    const day = plan.calendar.clock.dayOf(span.from);
    if (day < plan.firstDay || day > plan.lastDay) continue;
    for (const start of on(day)) {
      if (span.from <= start.minute && start.minute < span.to) yield start;
    }
  }
}

/** All starts from the first day on, in time order. */
export function* startsFrom(plan: Plan, on: StartsOn, first: DayNumber): Generator<Start> {
  for (let day = first; day <= plan.lastDay; day++) yield* on(day);
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
  for (let day = Math.min(plan.calendar.clock.dayOf(before), plan.lastDay); day >= plan.firstDay; day--) {
    for (const start of [...on(day)].reverse()) {
      if (start.minute < before) yield { ...start, off: before - start.minute };
    }
  }
}

function* forwards(plan: Plan, on: StartsOn, from: Minute): Generator<Start> {
  for (let day = Math.max(plan.calendar.clock.dayOf(from), plan.firstDay); day <= plan.lastDay; day++) {
    for (const start of on(day)) {
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
    const day = plan.calendar.clock.dayOf(span.from);
    if (day < plan.firstDay || day > plan.lastDay) continue;
    for (const start of on(day)) {
      if (start.minute < begin || start.minute >= finish) continue;
      const off = Math.min(...spans.map(({ from, to }) => distance(start.minute, from, to)));
      if (off > 0) found.push({ ...start, off });
    }
  }
  yield* found.sort((a, b) => a.off - b.off || a.minute - b.minute);
}

const distance = (minute: Minute, from: Minute, to: Minute): number =>
  minute < from ? from - minute : minute >= to ? minute - to + 1 : 0;
