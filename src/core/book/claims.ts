import type { Slot } from '../model/booking.ts';
import type { Instant } from '../model/time.ts';
import { minuteOfIso, QUARTER } from './wall-clock.ts';

/** One quarter hour of one bay or person, which can be held once only. */
export interface Claim {
  resource: string;
  /** The beginning of the quarter hour. */
  quarter: Instant;
}

/**
 * Every quarter hour, begun ones included, that a slot takes of its bay and of the technician it names. The nights of
 * a long job are among them: the truck keeps its bay. Kept under a unique key, claims rule out two bookings of one
 * quarter hour whatever computed the slots.
 */
export function quartersOf(slot: Slot): Claim[] {
  const first = Math.floor(minuteOfIso(slot.start) / QUARTER);
  const end = Date.parse(slot.end) / (QUARTER * 60_000);
  const resources = slot.person === undefined ? [slot.bay] : [slot.bay, slot.person];
  const claims: Claim[] = [];
  for (let quarter = first; quarter < end; quarter++) {
    const instant = new Date(quarter * QUARTER * 60_000).toISOString();
    for (const resource of resources) claims.push({ resource, quarter: instant });
  }
  return claims;
}
