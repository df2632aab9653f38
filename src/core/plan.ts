import { DateTime } from 'luxon';
import { newId, withFollowUp, type Scene } from './converse/mod.ts';
import { HOLDING_STATES, type FollowUp, type Vehicle } from './model/owner.ts';
import type { Instant, IsoDate } from './model/time.ts';

const PLANNED: readonly FollowUp['kind'][] = ['odometer-check', 'service-due'];

/** Ten in the morning on the owner's clock: a time to ask at that is nobody's night and nobody's dinner. */
const ASK_AT_HOUR = 10;

/**
 * Keeps one planned message a truck: the odometer question or the offer, at the day that the forecast gives. Run at the
 * end of every turn, so that a reading, a closed job, a consent or an opt-out moves the plan at once.
 */
export function planFollowUps(scene: Scene): Scene {
  return scene.file.vehicles.reduce(planFor, scene);
}

function planFor(scene: Scene, vehicle: Vehicle): Scene {
  const { owner, followUps, requests, conversation } = scene.file;
  const ofTruck = followUps.filter(
    ({ vehicleId, kind, state }) => vehicleId === vehicle.id && PLANNED.includes(kind) && state === 'waiting',
  );
  if (!owner.consent || owner.optedOutAt || vehicle.state !== 'active') return scene;
  const busy = requests.some(({ vehicleId, state }) => vehicleId === vehicle.id && HOLDING_STATES.includes(state));
  const putOff = followUps.some(
    ({ vehicleId, kind, state }) => vehicleId === vehicle.id && kind === 'put-off' && state === 'waiting',
  );
  const offered =
    conversation.vehicleId === vehicle.id &&
    ['service-offer', 'time', 'advice'].includes(conversation.question?.about ?? '');
  if (busy || putOff) return ofTruck.reduce(close('a booking is open'), scene);
  if (offered) return ofTruck.filter(({ attempts }) => attempts === 0).reduce(close('an offer is open'), scene);
  if (ofTruck.some(({ attempts }) => attempts > 0)) return scene;
  const outlook = scene.tools.outlook(vehicle, scene.today);
  const next = outlook && planned(outlook.next);
  if (!outlook || !next) return ofTruck.reduce(close('nothing is due'), scene);
  const dueAt = instantOf(next.date, owner.zone, scene.now);
  const [known, ...more] = ofTruck;
  const cleared = more.reduce(close('planned anew'), scene);
  if (known && known.kind === next.kind && known.dueAt.slice(0, 10) === dueAt.slice(0, 10)) return cleared;
  if (known)
    return withFollowUp(cleared, {
      ...known,
      kind: next.kind,
      dueAt,
      dueMiles: outlook.dueMiles,
      services: outlook.services,
    });
  const [id, named] = newId(cleared);
  return withFollowUp(named, {
    id: `f-${id}`,
    kind: next.kind,
    vehicleId: vehicle.id,
    dueAt,
    state: 'waiting',
    services: outlook.services,
    attempts: 0,
    dueMiles: outlook.dueMiles,
    log: [{ at: scene.now, what: `planned for ${next.date}` }],
  });
}

const close =
  (why: string) =>
  (scene: Scene, followUp: FollowUp): Scene =>
    withFollowUp(scene, { ...followUp, state: 'closed', log: [...followUp.log, { at: scene.now, what: why }] });

function planned(next: {
  ask: IsoDate | null;
  offer: IsoDate | null;
}): { kind: FollowUp['kind']; date: IsoDate } | undefined {
  if (next.offer !== null) return { kind: 'service-due', date: next.offer };
  if (next.ask !== null) return { kind: 'odometer-check', date: next.ask };
  return undefined;
}

function instantOf(date: IsoDate, zone: string, now: Instant): Instant {
  const at = DateTime.fromISO(date, { zone }).set({ hour: ASK_AT_HOUR }).toUTC().toISO() ?? now;
  return at < now ? now : at;
}
