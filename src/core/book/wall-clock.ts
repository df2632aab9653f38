import { DateTime, IANAZone } from 'luxon';
import type { IsoDate, Zone } from '../model/time.ts';

/** Minutes since 1970-01-01T00:00Z: the diary counts in whole minutes. */
export type Minute = number;

/** Days since 1970-01-01 by the wall clock. */
export type DayNumber = number;

export const MINUTES_A_DAY = 1440;
export const QUARTER = 15;

/**
 * Which instant a wall time means that the clocks show twice. A wall time that is skipped is read with the offset
 * that held before the skip, so that 02:30 becomes 03:30, as RFC 5545 section 3.3.5 has it.
 */
export type Occurrence = 'earlier' | 'later';

/** One zone's wall clock against the line of minutes. Offsets are looked up once for each day and kept. */
export interface WallClock {
  zone: Zone;
  /** Minutes that the zone is ahead of UTC at a minute. */
  offsetAt(minute: Minute): number;
  /** The minute at which the clock shows this time of day; 1440 is the midnight that ends the day. */
  minuteOf(date: IsoDate, minuteOfDay: number, occurrence: Occurrence): Minute;
  dateOf(minute: Minute): IsoDate;
  /** The same as a day number. */
  dayOf(minute: Minute): DayNumber;
  /** ISO 8601 with the zone's offset at that minute, such as `2026-11-01T01:30:00-07:00`. */
  format(minute: Minute): string;
}

const clocks = new Map<Zone, WallClock>();

/** The wall clock of an IANA zone. A zone that is unknown is a fault of whoever checked the shop. */
export function wallClock(zone: Zone): WallClock {
  let clock = clocks.get(zone);
  if (!clock) {
    clock = createClock(zone);
    clocks.set(zone, clock);
  }
  return clock;
}

export const isZone = (zone: string): boolean => IANAZone.isValidZone(zone);

function createClock(zoneName: Zone): WallClock {
  if (!isZone(zoneName)) throw new RangeError(`unknown time zone "${zoneName}"`);
  const zone = IANAZone.create(zoneName);
  const lookUp = (minute: Minute): number => Math.round(zone.offset(minute * 60_000));
  const days = new Map<number, number | null>();

  const offsetAt = (minute: Minute): number => {
    const day = Math.floor(minute / MINUTES_A_DAY);
    let constant = days.get(day);
    if (constant === undefined) {
      const first = lookUp(day * MINUTES_A_DAY);
      constant = first === lookUp((day + 1) * MINUTES_A_DAY) ? first : null;
      days.set(day, constant);
    }
    return constant ?? lookUp(minute);
  };

  const minuteOf = (date: IsoDate, minuteOfDay: number, occurrence: Occurrence): Minute => {
    const shown = dayNumber(date) * MINUTES_A_DAY + minuteOfDay;
    const before = offsetAt(shown - MINUTES_A_DAY);
    const after = offsetAt(shown + MINUTES_A_DAY);
    const fits = [shown - before, shown - after].filter((minute) => minute + offsetAt(minute) === shown);
    if (fits.length === 0) return shown - before;
    return occurrence === 'earlier' ? Math.min(...fits) : Math.max(...fits);
  };

  const dayOf = (minute: Minute): DayNumber => Math.floor((minute + offsetAt(minute)) / MINUTES_A_DAY);
  const dateOf = (minute: Minute): IsoDate => dateOfDay(dayOf(minute));

  const format = (minute: Minute): string => {
    const offset = offsetAt(minute);
    const shown = new Date((minute + offset) * 60_000).toISOString().slice(0, 19);
    const ahead = Math.abs(offset);
    return `${shown}${offset < 0 ? '-' : '+'}${two(Math.floor(ahead / 60))}:${two(ahead % 60)}`;
  };

  return { zone: zoneName, offsetAt, minuteOf, dateOf, dayOf, format };
}

const two = (value: number): string => String(value).padStart(2, '0');

export const dayNumber = (date: IsoDate): DayNumber => Date.parse(`${date}T00:00:00Z`) / 86_400_000;
export const dateOfDay = (day: DayNumber): IsoDate => new Date(day * 86_400_000).toISOString().slice(0, 10);
export const addDays = (date: IsoDate, days: number): IsoDate => dateOfDay(dayNumber(date) + days);

/** Minutes after midnight of `07:30`. */
export const minuteOfDay = (clock: string): number => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));

/** The minute of an ISO 8601 instant, rounded down. NaN where it cannot be read. */
export const minuteOfIso = (text: string): Minute => Math.floor(minutesOfIso(text));

/**
 * The minutes of an ISO 8601 instant with their fraction. NaN where it cannot be read. Diaries hold thousands of
 * instants of one form, `2026-11-05T09:00:00-07:00` or with Z, so that form is read by its digits.
 */
export function minutesOfIso(text: string): number {
  const plain = text.length === 25 || text.length === 20;
  if (!plain || text.charCodeAt(10) !== 84 || text.charCodeAt(19) === 46) return Date.parse(text) / 60_000;
  let offset = 0;
  if (text.length === 25) {
    const ahead = digits(text, 20) * 60 + digits(text, 23);
    const sign = text.charCodeAt(19);
    offset = sign === 43 ? ahead : sign === 45 ? -ahead : NaN;
  } else if (text.charCodeAt(19) !== 90) offset = NaN;
  const year = digits(text, 0) * 100 + digits(text, 2);
  const [month, day] = [digits(text, 5), digits(text, 8)];
  const shown = daysFromCivil(year, month, day) * MINUTES_A_DAY + digits(text, 11) * 60 + digits(text, 14);
  return shown - offset + digits(text, 17) / 60;
}

/** Two digits as a number. What is not digits gives a wrong number, or NaN: edges check what comes in. */
const digits = (text: string, at: number): number => text.charCodeAt(at) * 10 + text.charCodeAt(at + 1) - 528;

/** Days since 1970-01-01 of a date of the Gregorian calendar, counted from March so that leap days come last. */
function daysFromCivil(year: number, month: number, day: number): DayNumber {
  const shifted = month > 2 ? year : year - 1;
  const fromMarch = month > 2 ? month - 3 : month + 9;
  const daysBefore = Math.floor((153 * fromMarch + 2) / 5) + day - 1;
  const leaps = Math.floor(shifted / 4) - Math.floor(shifted / 100) + Math.floor(shifted / 400);
  return shifted * 365 + leaps + daysBefore - 719_468;
}

/** The next quarter hour of the wall clock, at or after a minute. */
export function ceilQuarter(clock: WallClock, minute: Minute): Minute {
  const shown = minute + clock.offsetAt(minute);
  return minute + ((QUARTER - (((shown % QUARTER) + QUARTER) % QUARTER)) % QUARTER);
}

/** "Thursday, November 5" in a language's own order, with the year where it is not this one. */
export function dayInWords(date: IsoDate, today: IsoDate, locale: string): string {
  const year = date.slice(0, 4) === today.slice(0, 4) ? {} : ({ year: 'numeric' } as const);
  return DateTime.fromISO(date, { zone: 'utc' })
    .setLocale(locale)
    .toLocaleString({ weekday: 'long', month: 'long', day: 'numeric', ...year });
}
