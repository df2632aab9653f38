import { Temporal } from 'temporal-polyfill';
import type { SlotsRequest, Taken } from '../../../src/core/model/booking.ts';
import { WEEKDAYS, type Shop } from '../../../src/core/model/shop.ts';

/**
 * A slow model of the diary: it walks through time a quarter hour at a time, reads the wall clock from the Temporal
 * polyfill, and asks every question of every entry. It shares no code with what it judges, and knows no holidays.
 */
export interface ReferenceStart {
  start: string;
  end: string;
  bays: string[];
}

interface Quarter {
  at: Temporal.Instant;
  date: string;
  clock: string;
  working: boolean;
}

const QUARTER = { minutes: 15 };

const within = (clock: string, spans: readonly { from: string; to: string }[]): boolean =>
  spans.some(({ from, to }) => from <= clock && clock < to);

const weekdayOf = (date: string) => WEEKDAYS[Temporal.PlainDate.from(date).dayOfWeek - 1] ?? 'monday';

const walls = new Map<string, { date: string; clock: string }>();

/** What the wall clock shows, kept because the same weeks are walked through again and again. */
function wallAt(at: Temporal.Instant, zone: string): { date: string; clock: string } {
  const key = `${zone} ${at.epochMilliseconds}`;
  let wall = walls.get(key);
  if (!wall) {
    const shown = at.toZonedDateTimeISO(zone);
    wall = {
      date: shown.toPlainDate().toString(),
      clock: shown.toPlainTime().toString({ smallestUnit: 'minute' }),
    };
    walls.set(key, wall);
  }
  return wall;
}

export function quartersFrom(shop: Shop, from: Temporal.Instant, days: number): Quarter[] {
  const quarters: Quarter[] = [];
  let at = from;
  const end = from.add({ hours: 24 * days });
  while (Temporal.Instant.compare(at, end) < 0) {
    const { date, clock } = wallAt(at, shop.zone);
    const closed = shop.closed.some((day) => day.date === date);
    const working = !closed && within(clock, shop.hours[weekdayOf(date)]) && !within(clock, shop.breaks);
    quarters.push({ at, date, clock, working });
    at = at.add(QUARTER);
  }
  return quarters;
}

const overlaps = (entry: Taken, from: Temporal.Instant, to: Temporal.Instant): boolean =>
  Date.parse(entry.start) < to.epochMilliseconds && from.epochMilliseconds < Date.parse(entry.end);

function crewIsEnough(quarter: Quarter, request: SlotsRequest, shop: Shop): boolean {
  const technicians = shop.people.filter(({ role }) => role === 'technician');
  if (technicians.length === 0) return true;
  const to = quarter.at.add(QUARTER);
  const now = (request.booked ?? []).filter((entry) => overlaps(entry, quarter.at, to));
  const there = technicians.filter(({ id, hours }) => {
    if (hours && !within(quarter.clock, hours[weekdayOf(quarter.date)] ?? [])) return false;
    return !now.some(({ bay, person }) => bay === id || person === id);
  });
  const bays = shop.bays.map(({ id }) => id);
  const unnamed = new Set(
    now.filter(({ bay, person }) => person === undefined && bays.includes(bay)).map((e) => e.bay),
  );
  const able = there.filter(({ skills }) => request.services.every((service) => skills?.includes(service) ?? true));
  return able.length > 0 && there.length > unnamed.size;
}

/** Every quarter hour at which the job can start in the coming days, with its end and the bays free for it. */
export function referenceStarts(request: SlotsRequest, shop: Shop, hours: number, days: number): ReferenceStart[] {
  if (request.visit === 'waiting' && hours > shop.booking.waitingHours) return [];
  const now = Temporal.Instant.from(request.now);
  const first = now.round({ smallestUnit: 'minute', roundingIncrement: 15, roundingMode: 'ceil' });
  const today = now.toZonedDateTimeISO(shop.zone).toPlainDate().toString();
  const lastDate = Temporal.PlainDate.from(today).add({ days: shop.booking.horizonDays }).toString();
  // The job may go on beyond the last day on offer.
  const quarters = quartersFrom(shop, first, days);
  const needed = Math.ceil((hours * 60) / 15);
  const longestDay = Math.max(...WEEKDAYS.map((day) => workQuarters(shop, day)));

  const found: ReferenceStart[] = [];
  const judged = new Map<Quarter, boolean>();
  const enough = (quarter: Quarter): boolean => {
    const known = judged.get(quarter) ?? crewIsEnough(quarter, request, shop);
    judged.set(quarter, known);
    return known;
  };
  let notice = Math.ceil((shop.booking.noticeHours * 60) / 15);
  quarters.forEach((quarter, index) => {
    if (!quarter.working || quarter.date > lastDate) return;
    if (notice > 0) {
      notice--;
      return;
    }
    const work: Quarter[] = [];
    for (let i = index; i < quarters.length && work.length < needed; i++) {
      const next = quarters[i];
      if (next?.working) work.push(next);
    }
    const last = work.at(-1);
    if (!last || work.length < needed) return;
    const today = work.filter(({ date }) => date === quarter.date).length;
    const overnight = last.date !== quarter.date;
    const short = needed <= longestDay || request.visit === 'waiting';
    if (overnight && (short || today * 15 < shop.booking.firstDayHours * 60)) return;
    if (!work.every(enough)) return;
    const end = last.at.add(QUARTER);
    const buffer = { minutes: shop.booking.bufferMinutes };
    const bays = shop.bays
      .filter((bay) => !request.services.some((service) => bay.cannot.includes(service)))
      .filter((bay) => bay.lift || !request.services.some((service) => shop.booking.needsLift.includes(service)))
      .filter(
        ({ id }) =>
          !(request.booked ?? []).some(
            (entry) => entry.bay === id && overlaps(entry, quarter.at.subtract(buffer), end.add(buffer)),
          ),
      )
      .map(({ id }) => id);
    if (bays.length === 0) return;
    found.push({ start: quarter.at.toString(), end: end.toString(), bays });
  });
  return found;
}

function workQuarters(shop: Shop, day: (typeof WEEKDAYS)[number]): number {
  let count = 0;
  for (let minute = 0; minute < 1440; minute += 15) {
    const clock = `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
    if (within(clock, shop.hours[day]) && !within(clock, shop.breaks)) count++;
  }
  return count;
}
