import type { OwnerFile } from '../../core/mod.ts';

/**
 * An owner who agreed to be reminded, with a truck for which nothing is planned, booked or left to the telephone. What was
 * booked for a day that is over and never closed does not count as booked.
 */
export function isForgotten({ owner, vehicles, requests, followUps }: OwnerFile, today: string): boolean {
  if (!owner.consent || owner.optedOutAt) return false;
  return vehicles.some(
    ({ id, state, readings }) =>
      state === 'active' &&
      readings.length > 0 &&
      !followUps.some((one) => one.vehicleId === id && (one.state === 'waiting' || one.state === 'call-list')) &&
      !requests.some(
        (one) =>
          one.vehicleId === id &&
          ['requested', 'accepted', 'other-time'].includes(one.state) &&
          (one.slot?.start ?? today) >= today,
      ),
  );
}
