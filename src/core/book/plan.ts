import type { SlotsRequest, Visit } from '../model/booking.ts';
import type { Facts } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import { calendarOf, type ShopCalendar, type Span } from './calendar.ts';
import { ceilQuarter, dateOfDay, minutesOfIso, QUARTER, type DayNumber, type Minute } from './wall-clock.ts';

/** Bay hours of some services on one truck, by the labour steps of the catalogue; zero where none is stated. */
export type HoursOf = (services: readonly ServiceId[], facts: Facts) => number;

/** What a search for times goes by, worked out from the request before the diary is looked at. */
export interface Plan {
  shop: Shop;
  calendar: ShopCalendar;
  services: readonly ServiceId[];
  /** Rounded up to the minute. */
  now: Minute;
  visit: Visit;
  /** Minutes of work, in whole quarter hours. */
  minutes: number;
  /** Minutes that the job may grow by. */
  mayGrow: number;
  /** Whether a customer would have to wait longer than the shop lets one wait. */
  tooLongToWait: boolean;
  /** Bays that can take the truck and the work; none where the customer cannot wait for it. */
  bays: Shop['bays'];
  /** No start before the shop has had its notice. */
  noticeUntil: Minute;
  /** The day by which the parts are there, where parts hold the work up. */
  partsOn?: DayNumber;
  /** Whether the VIN is known for sure; parts are ordered by it and not before. */
  vinIsSure: boolean;
  /** The first minute at which the job may start; Infinity where it never can. */
  earliest: Minute;
  firstDay: DayNumber;
  /** Last day on which times are offered. */
  lastDay: DayNumber;
}

/**
 * `byShop` is a search for a person of the shop, who knows what they do: neither the shop's notice nor the parts' lead
 * time holds them up. Throws a RangeError where `now` is not an ISO 8601 instant: edges check it before.
 */
export function planOf(request: SlotsRequest, shop: Shop, hoursOf: HoursOf, byShop = false): Plan {
  const calendar = calendarOf(shop);
  const now = Math.ceil(minutesOfIso(request.now));
  if (Number.isNaN(now)) throw new RangeError(`now: "${request.now}" is not an ISO 8601 instant`);
  const { booking } = shop;
  const { services } = request;
  const today = calendar.clock.dayOf(now);
  const visit = request.visit ?? (services.includes('tow-in') ? 'tow-in' : 'drop-off');
  const hours = request.hours ?? hoursOf(services, request.facts);
  const lastDay = today + booking.horizonDays;

  const notice = calendar.afterWork(now, visit === 'tow-in' ? 0 : booking.noticeHours * 60);
  const noticeUntil = byShop ? now : notice === undefined ? Infinity : ceilQuarter(calendar.clock, notice);
  const leadDays = byShop ? 0 : Math.max(0, ...services.map((service) => booking.partsLeadDays[service] ?? 0));
  const partsOn = leadDays > 0 ? afterOpenDays(calendar, today, leadDays, lastDay) : undefined;
  const partsFrom = partsOn === undefined ? -Infinity : calendar.clock.minuteOf(dateOfDay(partsOn), 0, 'earlier');
  const earliest = Math.max(noticeUntil, partsFrom);
  const minutes = Math.max(1, Math.ceil(((hours > 0 ? hours : booking.unstatedHours) * 60) / QUARTER - 1e-6)) * QUARTER;
  // Work that would take longer than the calendar looks ahead is not searched for day by day.
  const possible = Number.isFinite(earliest) && calendar.afterWork(earliest, minutes) !== undefined;
  const tooLongToWait = visit === 'waiting' && minutes > booking.waitingHours * 60;
  return {
    shop,
    calendar,
    services,
    now,
    visit,
    minutes,
    tooLongToWait,
    mayGrow: Math.max(0, ...services.map((service) => booking.mayGrowHours[service] ?? 0)) * 60,
    bays: tooLongToWait ? [] : shop.bays.filter((bay) => canTake(bay, request, shop)),
    noticeUntil,
    ...(partsFrom > noticeUntil && partsOn !== undefined ? { partsOn } : {}),
    vinIsSure: request.facts.vin !== undefined && !request.facts.unsure?.includes('vin'),
    earliest: possible ? earliest : Infinity,
    firstDay: possible ? calendar.clock.dayOf(earliest) : lastDay + 1,
    lastDay,
  };
}

/** The day on which so many working days have passed since a day; at most the day after `last`. */
function afterOpenDays(calendar: ShopCalendar, from: DayNumber, days: number, last: DayNumber): DayNumber {
  let day = from;
  for (let left = days; left > 0 && day <= last;) {
    day++;
    if (calendar.dayAt(day).workMinutes > 0) left--;
  }
  return day;
}

function canTake(bay: Shop['bays'][number], request: SlotsRequest, shop: Shop): boolean {
  const { services, truck } = request;
  if (services.some((service) => bay.cannot.includes(service))) return false;
  if (!bay.lift && services.some((service) => shop.booking.needsLift.includes(service))) return false;
  if ((truck?.heightFeet ?? 0) > (bay.heightFeet ?? Infinity)) return false;
  return (truck?.weightPounds ?? 0) <= (bay.weightPounds ?? Infinity);
}

/**
 * When a job that starts at a minute is done. A job that fits into one day is done within it; a longer one pauses
 * overnight, and needs enough work left on its first day to be worth the start. Undefined where it cannot start then.
 */
export function finishOf(plan: Plan, start: Minute): Minute | undefined {
  const { calendar, minutes, shop } = plan;
  const day = calendar.dayAt(calendar.clock.dayOf(start));
  if (!day.work.some(({ from, to }) => from <= start && start < to)) return undefined;
  let left = minutes;
  let today = 0;
  for (const span of day.work) {
    const from = Math.max(span.from, start);
    if (from >= span.to) continue;
    if (span.to - from >= left) return from + left;
    left -= span.to - from;
    today += span.to - from;
  }
  if (plan.visit === 'waiting' || minutes <= calendar.longestDay || today < shop.booking.firstDayHours * 60) {
    return undefined;
  }
  return calendar.afterWork(start, minutes);
}

/** The spans of actual work of a job from start to end. */
export function workBetween(calendar: ShopCalendar, start: Minute, end: Minute): Span[] {
  const spans: Span[] = [];
  const last = calendar.clock.dayOf(end);
  for (let day = calendar.clock.dayOf(start); day <= last; day++) {
    for (const { from, to } of calendar.dayAt(day).work) {
      if (to > start && from < end) spans.push({ from: Math.max(from, start), to: Math.min(to, end) });
    }
  }
  return spans;
}
