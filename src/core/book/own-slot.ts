import type { Slot } from '../model/booking.ts';
import type { Shop } from '../model/shop.ts';
import { calendarOf, lengthOf } from './calendar.ts';
import { workBetween } from './plan.ts';
import { minuteOfIso } from './wall-clock.ts';

/** Minutes of actual work in a slot, without nights and breaks; the slot's whole length where the shop is closed. */
export function workMinutesOf(slot: Slot, shop: Shop): number {
  const [start, end] = [minuteOfIso(slot.start), minuteOfIso(slot.end)];
  const work = lengthOf(workBetween(calendarOf(shop), start, end));
  return work > 0 ? work : end - start;
}

/**
 * A slot at a time that a person chose, with so many minutes of work: it ends when they have passed by the shop's
 * hours, and at once after them where the shop does not work at all. `start` is ISO 8601 with an offset.
 */
export function slotStarting(
  { bay, person, start }: Pick<Slot, 'bay' | 'person' | 'start'>,
  minutes: number,
  shop: Shop,
): Slot {
  const { clock, afterWork } = calendarOf(shop);
  const from = minuteOfIso(start);
  const inHours = workBetween(calendarOf(shop), from, from + 1).length > 0;
  const end = (inHours ? afterWork(from, minutes) : undefined) ?? from + minutes;
  return { bay, start: clock.format(from), end: clock.format(end), ...(person !== undefined && { person }) };
}

/** The slot with so many working hours more at its end; fewer where they are negative, but a quarter hour at least. */
export function lengthened(slot: Slot, hours: number, shop: Shop): Slot {
  const minutes = Math.max(15, workMinutesOf(slot, shop) + Math.round(hours * 60));
  return slotStarting(slot, minutes, shop);
}
