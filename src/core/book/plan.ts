import type { SlotsRequest, Visit } from '../model/booking.ts';
import type { Facts } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import type { IsoDate } from '../model/time.ts';
import { calendarOf, type ShopCalendar } from './calendar.ts';
import { addDays, ceilQuarter, minuteOfIso, QUARTER, type Minute } from './wall-clock.ts';

/** Bay hours of some services on one truck, by the labour steps of the catalogue; zero where none is stated. */
export type HoursOf = (services: readonly ServiceId[], facts: Facts) => number;

/** What a search for times goes by, worked out from the request before the diary is looked at. */
export interface Plan {
  shop: Shop;
  calendar: ShopCalendar;
  services: readonly ServiceId[];
  now: Minute;
  visit: Visit;
  /** Minutes of work, in whole quarter hours. */
  minutes: number;
  /** Minutes that the job may grow by. */
  mayGrow: number;
  /** Bays that can take the truck and the work. */
  bays: Shop['bays'];
  /** No start before the shop has had its notice. */
  noticeUntil: Minute;
  /** The day by which the parts are there, where parts hold the work up. */
  partsOn?: IsoDate;
  /** The first minute at which the job may start. */
  earliest: Minute;
  firstDate: IsoDate;
  /** Last day on which times are offered. */
  lastDate: IsoDate;
}

/** Throws a RangeError where `now` is not an ISO 8601 instant: edges check it before. */
export function planOf(request: SlotsRequest, shop: Shop, hoursOf: HoursOf): Plan {
  const calendar = calendarOf(shop);
  const now = minuteOfIso(request.now);
  if (Number.isNaN(now)) throw new RangeError(`now: "${request.now}" is not an ISO 8601 instant`);
  const { booking } = shop;
  const { services } = request;
  const today = calendar.clock.dateOf(now);
  const visit = request.visit ?? (services.includes('tow-in') ? 'tow-in' : 'drop-off');
  const hours = request.hours ?? hoursOf(services, request.facts);
  const lastDate = addDays(today, booking.horizonDays);

  const notice = visit === 'tow-in' ? 0 : booking.noticeHours * 60;
  const noticeUntil = ceilQuarter(calendar.clock, (calendar.afterWork(now, notice) ?? Infinity) + 0);
  const leadDays = Math.max(0, ...services.map((service) => booking.partsLeadDays[service] ?? 0));
  const partsOn = leadDays > 0 ? afterOpenDays(calendar, today, leadDays, lastDate) : undefined;
  const partsFrom = partsOn === undefined ? -Infinity : calendar.clock.minuteOf(partsOn, 0, 'earlier');
  const earliest = Math.max(
    noticeUntil,
    partsFrom,
    ceilQuarter(calendar.clock, now + (now * 60_000 < Date.parse(request.now) ? 1 : 0)),
  );
  return {
    shop,
    calendar,
    services,
    now,
    visit,
    minutes: Math.max(1, Math.ceil(((hours > 0 ? hours : booking.unstatedHours) * 60) / QUARTER - 1e-6)) * QUARTER,
    mayGrow: Math.max(0, ...services.map((service) => booking.mayGrowHours[service] ?? 0)) * 60,
    bays: shop.bays.filter((bay) => canTake(bay, request, shop)),
    noticeUntil,
    ...(partsFrom > noticeUntil && partsOn !== undefined ? { partsOn } : {}),
    earliest,
    firstDate: Number.isFinite(earliest) ? calendar.clock.dateOf(earliest) : addDays(lastDate, 1),
    lastDate,
  };
}

/** The day on which so many working days have passed since a day; at most the day after `last`. */
function afterOpenDays(calendar: ShopCalendar, from: IsoDate, days: number, last: IsoDate): IsoDate {
  let date = from;
  for (let left = days; left > 0 && date <= last;) {
    date = addDays(date, 1);
    if (calendar.day(date).workMinutes > 0) left--;
  }
  return date;
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
  const day = calendar.day(calendar.clock.dateOf(start));
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
export function workBetween(calendar: ShopCalendar, start: Minute, end: Minute) {
  const spans = [];
  for (let date = calendar.clock.dateOf(start); ; date = addDays(date, 1)) {
    const { work } = calendar.day(date);
    for (const { from, to } of work) {
      if (to > start && from < end) spans.push({ from: Math.max(from, start), to: Math.min(to, end) });
    }
    if (date >= calendar.clock.dateOf(end)) return spans;
  }
}
