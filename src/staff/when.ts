import { DateTime } from 'luxon';
import type { Instant, Zone } from '../core/mod.ts';

const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'];
const CLOCK = /^(\d{1,2})(?::(\d{2}))?\s*(am|pm)?$/i;

/**
 * A day as staff write it: "2026-11-05", "11/5", "today", "tomorrow", "thu" (the next one, today included), by the
 * shop's clock. Undefined where it is none.
 */
export function dayFrom(words: string, now: Instant, zone: Zone): DateTime | undefined {
  const today = DateTime.fromISO(now, { zone }).startOf('day');
  const said = words.toLowerCase();
  if (said === 'today') return today;
  if (said === 'tomorrow') return today.plus({ days: 1 });
  const weekday = said.length >= 3 ? WEEKDAYS.findIndex((name) => name.startsWith(said)) : -1;
  if (weekday >= 0) return today.plus({ days: (weekday + 8 - today.weekday) % 7 });
  const monthAndDay = /^(\d{1,2})\/(\d{1,2})$/.exec(said);
  if (monthAndDay) {
    const [month, day] = [Number(monthAndDay[1]), Number(monthAndDay[2])];
    const thisYear = today.set({ month, day });
    const found = thisYear < today ? thisYear.plus({ years: 1 }) : thisYear;
    return found.isValid && found.month === month && found.day === day ? found : undefined;
  }
  const exact = /^\d{4}-\d{2}-\d{2}$/.test(said) ? DateTime.fromISO(said, { zone }) : undefined;
  return exact?.isValid ? exact : undefined;
}

/** A time of day as staff write it, "9", "9:30", "2pm", "14:00", on a day. Undefined where it is none. */
export function clockOn(day: DateTime, words: string): DateTime | undefined {
  const [, hourText, minuteText = '0', half] = CLOCK.exec(words.trim()) ?? [];
  if (hourText === undefined) return undefined;
  const hour = (Number(hourText) % (half ? 12 : 24)) + (half?.toLowerCase() === 'pm' ? 12 : 0);
  const minute = Number(minuteText);
  if (Number(hourText) > 24 || minute > 59 || (half && (Number(hourText) < 1 || Number(hourText) > 12)))
    return undefined;
  const at = day.set({ hour, minute, second: 0, millisecond: 0 });
  // A time that the clocks skip that night is no time.
  return at.hour === hour && at.minute === minute ? at : undefined;
}

/** ISO 8601 with the offset of the zone, as slots and blocks are written. */
export const isoOf = (time: DateTime): string => time.toISO({ suppressMilliseconds: true }) ?? '';
