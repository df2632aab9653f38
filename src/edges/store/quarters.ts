import { DateTime } from 'luxon';
import { HOLDING_STATES, type BookingRequest, type Instant, type Slot } from '../../core/mod.ts';

export const QUARTER_MILLISECONDS = 15 * 60_000;

/** One quarter hour of one bay that a request holds. */
export interface Claim {
  resource: string;
  quarter: Instant;
}

/** The instant in the database's form: UTC, milliseconds, 24 characters. */
export const instantOf = (milliseconds: number): Instant => new Date(milliseconds).toISOString();

/** Nothing waits longer than this for its next attempt. */
const LONGEST_WAIT_MILLISECONDS = 60 * 60_000;

/**
 * Whether something that waits for an instant is due. One that would have to wait longer than anything ever waits was
 * put off before the clock was set back, and is due too.
 */
export const isDue = (notBefore: Instant | null, now: Instant): boolean =>
  notBefore === null || notBefore <= now || notBefore > instantOf(Date.parse(now) + LONGEST_WAIT_MILLISECONDS);

/** The instant of an ISO 8601 time with offset. */
export const instantOfIso = (iso: string): Instant => instantOf(DateTime.fromISO(iso).toMillis());

/**
 * Every quarter hour, also the begun ones, that a request's slot takes of its bay and of the technician it names; none
 * where its state holds nothing.
 */
export function claimsOf(request: Pick<BookingRequest, 'state' | 'slot'>): Claim[] {
  const { slot, state } = request;
  return slot === null || !HOLDING_STATES.includes(state) ? [] : quartersOfSlot(slot);
}

/** Every quarter hour, also the begun ones, of a slot's bay and of the technician it names. */
export function quartersOfSlot(slot: Slot): Claim[] {
  const resources = slot.person === undefined ? [slot.bay] : [slot.bay, slot.person];
  return quartersBetween(slot).flatMap((quarter) => resources.map((resource) => ({ resource, quarter })));
}

/** The beginnings of every quarter hour, also the begun ones, between two ISO 8601 times. */
export function quartersBetween({ start, end }: { start: string; end: string }): Instant[] {
  const [from, to] = [DateTime.fromISO(start).toMillis(), DateTime.fromISO(end).toMillis()];
  const quarters: Instant[] = [];
  for (let at = Math.floor(from / QUARTER_MILLISECONDS) * QUARTER_MILLISECONDS; at < to; at += QUARTER_MILLISECONDS) {
    quarters.push(instantOf(at));
  }
  return quarters;
}
