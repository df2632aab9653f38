import { HOLDING_STATES, isFleet, type FollowUp } from '../model/owner.ts';
import { truckFor, type Scene } from './scene.ts';

/** What is planned about a truck and repeated until it is answered. */
export const REPEATED: readonly FollowUp['kind'][] = ['odometer-check', 'service-due', 'put-off'];

/** A fleet is written to once for what falls due within so many days. */
const GATHER_DAYS = 14;

/**
 * Of a fleet, what one message gathers: all questions and offers about trucks in use, without an open booking, that are
 * due or fall due within some days. Empty for owners whose trucks are no fleet.
 */
export function fleetDue(scene: Scene): FollowUp[] {
  const { file, now } = scene;
  if (!isFleet(file.vehicles)) return [];
  const until = new Date(Date.parse(now) + GATHER_DAYS * 86_400_000).toISOString();
  const booked = new Set(
    file.requests.filter(({ state }) => HOLDING_STATES.includes(state)).map(({ vehicleId }) => vehicleId),
  );
  const seen = new Set<string>();
  return file.followUps.filter(({ kind, state, vehicleId = '', dueAt }) => {
    const wanted = REPEATED.includes(kind) && state === 'waiting' && dueAt <= until && !booked.has(vehicleId);
    if (!wanted || seen.has(vehicleId)) return false;
    if (truckFor(scene, vehicleId)?.state !== 'active') return false;
    seen.add(vehicleId);
    return true;
  });
}
