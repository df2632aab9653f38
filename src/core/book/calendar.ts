import { WEEKDAYS, type ClockSpan, type Shop, type Weekday } from '../model/shop.ts';
import type { IsoDate } from '../model/time.ts';
import { publicHolidays } from './holidays.ts';
import {
  dateOfDay,
  dayNumber,
  minuteOfDay,
  wallClock,
  type DayNumber,
  type Minute,
  type WallClock,
} from './wall-clock.ts';

export interface Span {
  from: Minute;
  to: Minute;
}

/** One day of the shop's calendar. */
export interface ShopDay {
  date: IsoDate;
  number: DayNumber;
  /** When the door is open. */
  open: Span[];
  /** When work is done: the open spans less the breaks. */
  work: Span[];
  workMinutes: number;
  /** Why a day is closed that the weekly hours would open: a holiday's name, or the shop's own word. */
  closedBecause?: string;
}

/** The shop's days, each worked out once. */
export interface ShopCalendar {
  clock: WallClock;
  day(date: IsoDate): ShopDay;
  dayAt(number: DayNumber): ShopDay;
  /** Minutes of work in the longest day of the week. */
  longestDay: number;
  /** The minute by which so many minutes of work have passed since another. Undefined if that takes over 400 days. */
  afterWork(from: Minute, minutes: number): Minute | undefined;
}

const calendars = new WeakMap<Shop, ShopCalendar>();

/** The calendar of a checked shop; it is kept as long as the shop is. */
export function calendarOf(shop: Shop): ShopCalendar {
  let calendar = calendars.get(shop);
  if (!calendar) {
    calendar = createCalendar(shop);
    calendars.set(shop, calendar);
  }
  return calendar;
}

const LONGEST_SEARCH_DAYS = 400;

function createCalendar(shop: Shop): ShopCalendar {
  const clock = wallClock(shop.zone);
  const holidays = publicHolidays(shop.region, shop.zone);
  const closed = new Map(shop.closed.map(({ date, why }) => [date, why]));
  const openHolidays = new Set(shop.openHolidays);
  const days = new Map<DayNumber, ShopDay>();

  const closedBecause = (date: IsoDate): string | undefined => {
    const own = closed.get(date);
    if (own !== undefined) return own;
    return openHolidays.has(date) ? undefined : holidays(Number(date.slice(0, 4))).get(date);
  };

  const dayAt = (number: DayNumber): ShopDay => {
    let known = days.get(number);
    if (!known) {
      const date = dateOfDay(number);
      const because = closedBecause(date);
      const hours = shop.hours[weekdayOf(number)];
      const open = because === undefined ? spansOf(clock, date, hours) : [];
      const work = without(open, spansOf(clock, date, shop.breaks));
      known = { date, number, open, work, workMinutes: lengthOf(work) };
      if (because !== undefined && hours.length > 0) known.closedBecause = because;
      days.set(number, known);
    }
    return known;
  };

  const afterWork = (from: Minute, minutes: number): Minute | undefined => {
    let left = minutes;
    const first = clock.dayOf(from);
    for (let number = first; number < first + LONGEST_SEARCH_DAYS; number++) {
      for (const span of dayAt(number).work) {
        const start = Math.max(span.from, from);
        if (start > span.to) continue;
        if (span.to - start >= left) return start + left;
        left -= span.to - start;
      }
    }
    return undefined;
  };

  const longestDay = Math.max(
    ...WEEKDAYS.map((name) => lengthOf(without(plainSpans(shop.hours[name]), plainSpans(shop.breaks)))),
  );
  return { clock, day: (date) => dayAt(dayNumber(date)), dayAt, afterWork, longestDay };
}

export function weekdayOf(day: DayNumber): Weekday {
  // Day 0, 1970-01-01, was a Thursday.
  return WEEKDAYS[(((day + 3) % 7) + 7) % 7] ?? 'monday';
}

/** Wall-clock spans of a day as minutes; an hour that the clocks show twice is open both times. */
export function spansOf(clock: WallClock, date: IsoDate, spans: readonly ClockSpan[]): Span[] {
  return spans
    .map(({ from, to }) => ({
      from: clock.minuteOf(date, minuteOfDay(from), 'earlier'),
      to: clock.minuteOf(date, minuteOfDay(to), 'later'),
    }))
    .filter(({ from, to }) => to > from)
    .sort((a, b) => a.from - b.from);
}

const plainSpans = (spans: readonly ClockSpan[]): Span[] =>
  spans.map(({ from, to }) => ({ from: minuteOfDay(from), to: minuteOfDay(to) })).sort((a, b) => a.from - b.from);

/** What is left of some spans when others are taken out. */
export function without(spans: readonly Span[], cuts: readonly Span[]): Span[] {
  let left = [...spans];
  for (const cut of cuts) {
    left = left.flatMap((span) =>
      cut.to <= span.from || cut.from >= span.to
        ? [span]
        : [
            { from: span.from, to: cut.from },
            { from: cut.to, to: span.to },
          ].filter(({ from, to }) => to > from),
    );
  }
  return left;
}

export const lengthOf = (spans: readonly Span[]): number => spans.reduce((sum, { from, to }) => sum + to - from, 0);
