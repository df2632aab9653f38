import { DateTime } from 'luxon';
import type { Instant, Zone } from '../model/time.ts';

/** Wall-clock times between which an unasked message may go out; the end is not part of it. */
export interface Hours {
  from: string;
  to: string;
}

/** How often one person may be written to unasked. */
export interface Limits {
  minimumDaysApart: number;
  perThirtyDays: number;
  perYear: number;
}

const DAY = 86_400_000;

const minutesOf = (clock: string): number => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));

const asInstant = (time: DateTime): Instant => time.toUTC().toISO({ suppressMilliseconds: false }) as Instant;

/**
 * Whether an instant lies within the hours on the wall clock of a zone. 47 CFR 64.1200(c)(1) allows solicitations from
 * 8 a.m. to 9 p.m. at the called party's place; a shop's own hours may be narrower.
 */
export function withinHours(instant: Instant, zone: Zone, between: Hours): boolean {
  const local = DateTime.fromISO(instant, { zone });
  const minute = local.hour * 60 + local.minute;
  return minute >= minutesOf(between.from) && minute < minutesOf(between.to);
}

/** The first instant, not before the given one, that lies within the hours. */
export function nextWithinHours(instant: Instant, zone: Zone, between: Hours): Instant {
  if (withinHours(instant, zone, between)) return instant;
  const local = DateTime.fromISO(instant, { zone });
  for (let days = 0; days <= 2; days++) {
    const opening = opens(local.plus({ days }), between);
    if (opening >= local && withinHours(asInstant(opening), zone, between)) return asInstant(opening);
  }
  return asInstant(opens(local.plus({ days: 1 }), between));
}

function opens(day: DateTime, between: Hours): DateTime {
  const minute = minutesOf(between.from);
  return day.set({ hour: Math.floor(minute / 60), minute: minute % 60, second: 0, millisecond: 0 });
}

/**
 * The first instant, not before the given one, at which an unasked message is allowed: within the hours of the owner's
 * zone and within all limits, given when earlier ones went out. Null where the shop allows none at all.
 */
export function nextAllowed(
  instant: Instant,
  zone: Zone,
  between: Hours,
  unaskedAt: readonly Instant[],
  limits: Limits,
): Instant | null {
  if (limits.perThirtyDays < 1 || limits.perYear < 1) return null;
  const sent = unaskedAt.map((at) => Date.parse(at)).sort((one, other) => one - other);
  const free = Math.max(
    Date.parse(instant),
    clearOf(sent, 1, limits.minimumDaysApart),
    clearOf(sent, limits.perThirtyDays, 30),
    clearOf(sent, limits.perYear, 365),
  );
  return nextWithinHours(new Date(free).toISOString(), zone, between);
}

/** When fewer than `most` messages lie within the last `days` days. */
function clearOf(sent: readonly number[], most: number, days: number): number {
  const oldest = sent.at(-most);
  return oldest === undefined ? -Infinity : oldest + days * DAY;
}
