import { DateTime } from 'luxon';
import { newId, withFollowUp, type Outlook, type Scene } from './converse/mod.ts';
import { isDelay, type FollowUpEvent } from './model/follow-up-log.ts';
import { HOLDING_STATES, type FollowUp, type Vehicle } from './model/owner.ts';
import type { Instant, IsoDate } from './model/time.ts';

const PLANNED: readonly FollowUp['kind'][] = ['odometer-check', 'service-due'];

/** Ten in the morning on the owner's clock: a time to ask at that is nobody's night and nobody's dinner. */
const ASK_AT_HOUR = 10;
/** Days for which an offer, or a choice of times, that lies open is left to the owner. */
const OPEN_OFFER_DAYS = 7;
/** Days without an offer after an appointment came to nothing. */
const AFTER_NO_APPOINTMENT_DAYS = 14;

/**
 * Keeps one planned message a truck: the odometer question or the offer, at the day that the forecast gives. Run at the
 * end of every turn, so that a reading, a closed job, a consent or an opt-out moves the plan at once.
 */
export function planFollowUps(scene: Scene): Scene {
  return scene.file.vehicles.reduce(planFor, scene);
}

function planFor(scene: Scene, vehicle: Vehicle): Scene {
  const { owner, followUps, requests } = scene.file;
  const ofTruck = followUps.filter(({ vehicleId }) => vehicleId === vehicle.id);
  const waiting = ofTruck.filter(({ kind, state }) => state === 'waiting' && PLANNED.includes(kind));
  if (!owner.consent || owner.optedOutAt || vehicle.state !== 'active') return scene;
  if (requests.some(({ vehicleId, state }) => vehicleId === vehicle.id && HOLDING_STATES.includes(state)))
    return waiting.reduce(close('booking-open'), scene);
  if (ofTruck.some(({ kind, state }) => kind === 'put-off' && state === 'waiting'))
    return waiting.reduce(close('put-off'), scene);
  if (ofTruck.some(({ kind, state }) => state === 'call-list' && PLANNED.includes(kind)))
    return waiting.reduce(close('shop-phones'), scene);
  // The owner said when: that holds.
  const asAgreed = waiting.filter(({ attempts }) => attempts > 0);
  if (asAgreed.length > 0) return waiting.filter((one) => !asAgreed.includes(one)).reduce(close('planned-anew'), scene);
  const outlook = scene.tools.outlook(vehicle, scene.today, followUps);
  if (outlook?.because === 'phone') return phoneInstead(scene, ofTruck);
  const next = outlook && planned(outlook.next);
  if (!outlook || !next) return waiting.reduce(close('nothing-due'), scene);
  const date =
    [next.date, heldUntil(scene, vehicle), afterNoAppointment(scene, vehicle, next.kind)].sort().at(-1) ?? '';
  return keepPlanned(scene, vehicle, outlook, { kind: next.kind, date }, waiting);
}

function keepPlanned(
  scene: Scene,
  vehicle: Vehicle,
  outlook: Outlook,
  next: { kind: FollowUp['kind']; date: IsoDate },
  waiting: readonly FollowUp[],
): Scene {
  const [known, ...more] = waiting;
  const wanted = instantOf(next.date, scene.file.owner.zone, scene.now);
  const sameDay = (instant: Instant) => known?.kind === next.kind && known.dueAt.slice(0, 10) === instant.slice(0, 10);
  const cleared = more.reduce(close('planned-anew'), scene);
  if (sameDay(wanted)) return cleared;
  const putOff = known && lastDelays(known) && known.dueAt > scene.now ? known.dueAt : '';
  const dueAt = [scene.tools.nextAllowed(scene.file, wanted), putOff].sort().at(-1) ?? wanted;
  if (sameDay(dueAt)) return cleared;
  const why = { at: scene.now, what: 'planned' as const, date: next.date, because: outlook.because };
  const plan = { kind: next.kind, dueAt, dueMiles: outlook.dueMiles, services: outlook.services };
  if (known) return withFollowUp(cleared, { ...known, ...plan, log: [...known.log, why] });
  const [id, named] = newId(cleared);
  const fresh = { id: `f-${id}`, vehicleId: vehicle.id, state: 'waiting' as const, attempts: 0, log: [why] };
  return withFollowUp(named, { ...fresh, ...plan });
}

/** Offers stay unanswered: the last of them goes to the list of those whom the shop phones, and nothing more is written. */
function phoneInstead(scene: Scene, ofTruck: readonly FollowUp[]): Scene {
  const offers = ofTruck.filter(
    ({ kind, state }) => state === 'sent' && (kind === 'service-due' || kind === 'put-off'),
  );
  const last = offers.at(-1);
  const others = ofTruck.filter(
    (one) => one !== last && (offers.includes(one) || (one.state === 'waiting' && PLANNED.includes(one.kind))),
  );
  const closed = others.reduce(close('no-answer'), scene);
  if (!last) return closed;
  const log = [...last.log, { at: scene.now, what: 'no-answer-phone' as const }];
  return withFollowUp(closed, { ...last, kind: 'service-due', state: 'call-list', log });
}

/** An offer or a choice of times that lies open is the owner's for some days; then the plan goes on. */
function heldUntil(scene: Scene, vehicle: Vehicle): IsoDate {
  const { question } = scene.file.conversation;
  if (!question || question.vehicleId !== vehicle.id) return '';
  const isOffer = ['service-offer', 'odometer-first', 'time', 'advice', 'send'].includes(question.about);
  return isOffer ? dayAfter(question.askedAt, OPEN_OFFER_DAYS) : '';
}

/** Whoever cancelled, was declined or did not come is not offered the same again at once. */
function afterNoAppointment(scene: Scene, vehicle: Vehicle, kind: FollowUp['kind']): IsoDate {
  const last = scene.file.requests.findLast(({ vehicleId }) => vehicleId === vehicle.id);
  if (kind !== 'service-due' || !last || !['cancelled', 'declined', 'no-show'].includes(last.state)) return '';
  return dayAfter(last.history.at(-1)?.at ?? last.createdAt, AFTER_NO_APPOINTMENT_DAYS);
}

const dayAfter = (instant: Instant, days: number): IsoDate =>
  new Date(Date.parse(instant) + days * 86_400_000).toISOString().slice(0, 10);

const close =
  (why: FollowUpEvent) =>
  (scene: Scene, followUp: FollowUp): Scene =>
    withFollowUp(scene, { ...followUp, state: 'closed', log: [...followUp.log, { at: scene.now, what: why }] });

const lastDelays = ({ log }: FollowUp): boolean => {
  const last = log.at(-1);
  return last !== undefined && isDelay(last);
};

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
