import { HOLDING_STATES, type BookingRequest, type Vehicle } from '../model/owner.ts';
import { DANGER_SYMPTOMS, type ServiceId, type Symptom } from '../model/ids.ts';
import { factsOf, type FactKey, type FactRecord, type Facts } from '../model/facts.ts';
import type { Instant, IsoDate } from '../model/time.ts';
import type { Guards } from './chart.ts';
import { fleetDue } from './fleet-due.ts';
import { symptomsOf, truckFor, vehicleOf, type Scene } from './scene.ts';
import { truckUnclear } from './record.ts';
import { slotChosen } from './slot-chosen.ts';

/** A reading older than this no longer says what the truck shows today. */
const ODOMETER_STALE_DAYS = 60;

/** What the rules are given: the stored facts, without an odometer that is too old to lean on. */
export function factsForAdvice(vehicle: Vehicle | undefined, today: IsoDate): Facts {
  if (!vehicle) return {};
  const oldest = new Date(Date.parse(today) - ODOMETER_STALE_DAYS * 86_400_000).toISOString();
  return factsOf(vehicle.facts.filter(({ key, at }) => key !== 'odometerMiles' || at >= oldest));
}

/** The name of the question that would still change the advice most, if there is one that was not asked in vain. */
export function nextQuestion(scene: Scene): string | undefined {
  const vehicle = vehicleOf(scene);
  const advice = scene.tools.advise(factsForAdvice(vehicle, scene.today), scene.file.owner.language);
  for (const fact of advice.ask ?? advice.stillUnknown.map((open) => open.fact)) {
    const name = scene.tools.questions.nameFor(fact);
    const question = name && scene.tools.questions.byName.get(name);
    if (!name || !question) continue;
    const open = question.facts.some((key) => !vehicle?.unknowable.includes(key));
    if (!open || vehicle?.unknowable.includes(fact)) continue;
    if (question.detail && detailsAsked(scene) >= scene.tools.questions.detailsAtMost) continue;
    return name;
  }
  return undefined;
}

/** Questions of detail that were settled in this matter, with an answer or with "I don't know". */
function detailsAsked(scene: Scene): number {
  const vehicle = vehicleOf(scene);
  const since = scene.file.conversation.matter?.openedAt ?? scene.now;
  return [...scene.tools.questions.byName.values()].filter(
    ({ detail, facts }) =>
      detail &&
      facts.some(
        (key) =>
          vehicle?.unknowable.includes(key) || vehicle?.facts.some((fact) => fact.key === key && fact.at >= since),
      ),
  ).length;
}

/** The first fact that must be confirmed before the rules may lean on it. */
export function doubtOf(vehicle: Vehicle | undefined): FactRecord | undefined {
  const unknowable: readonly FactKey[] = vehicle?.unknowable ?? [];
  return vehicle?.facts.find(({ key, sure }) => !sure && !unknowable.includes(key) && key !== 'deniedSymptoms');
}

export const dangersToWarn = (scene: Scene): Symptom[] =>
  symptomsOf(vehicleOf(scene)).filter(
    (id) => (DANGER_SYMPTOMS as readonly Symptom[]).includes(id) && !scene.file.conversation.warned.includes(id),
  );

export function openRequest(scene: Scene): BookingRequest | undefined {
  const { requests, conversation } = scene.file;
  const open = requests.filter(({ state }) => HOLDING_STATES.includes(state));
  return open.find(({ vehicleId }) => vehicleId === conversation.vehicleId) ?? open.at(-1);
}

/** Everything that the chart may ask about; computed when a signal is about to be given. */
export function guardsOf(scene: Scene): Guards {
  const { owner, conversation } = scene.file;
  const vehicle = vehicleOf(scene);
  const lazy: Record<string, () => boolean> = {
    whichTruck: () => truckUnclear(scene),
    dangerOpen: () => dangersToWarn(scene).length > 0,
    hintOpen: () => conversation.hints.length > 0,
    doubtOpen: () => doubtOf(vehicle) !== undefined,
    questionsLeft: () => nextQuestion(scene) !== undefined,
    adviceReady: () => vehicle !== undefined && nextQuestion(scene) === undefined,
    servicesAdvised: () => scene.tools.advise(factsForAdvice(vehicle, scene.today), owner.language).services.length > 0,
    questionOpen: () => conversation.question !== null,
    pickedUp: () =>
      conversation.question !== null && hoursSince(conversation.question.askedAt, scene.now) >= PICKED_UP_HOURS,
    openRequest: () => openRequest(scene) !== undefined,
    moving: () => isMoving(scene),
    nameKnown: () => owner.name !== undefined,
    phoneKnown: () => owner.phone !== undefined,
    contactKnown: () => owner.name !== undefined && owner.phone !== undefined,
    slotTaken: () => slotTaken(scene),
    offeredTaken: () => offeredTaken(scene),
    closedWithMetal: () => closedWithMetal(scene),
    metalToTell: () => metalToTell(scene),
    approverElsewhere: () => approverElsewhere(scene),
    consentWanted: () => owner.consent === undefined && owner.optedOutAt === undefined,
    notUnderstoodBefore: () => conversation.notUnderstood > 0,
    serviceDue: () => serviceDue(scene),
    readingWanted: () => readingWanted(scene),
    doneMilesWanted: () => doneMilesQuestion(scene) !== undefined,
    doneMilesTold: () => doneMilesTold(scene),
    worthBooking: () => vehicle !== undefined && scene.tools.bookingDay(vehicle, scene.today) !== null,
    remindersWanted: () => remindersWanted(scene),
    mayWrite: () => mayWrite(scene),
    fleetDue: () => fleetDue(scene).length > 1,
    mayRemind: () =>
      owner.optedOutAt === undefined &&
      owner.unreachableSince === undefined &&
      scene.tools.nextAllowed(bareOfUnasked(scene), scene.now) <= scene.now,
  };
  return new Proxy({} as Guards, {
    get: (cache: Record<string, boolean>, name) => {
      const key = String(name);
      return (cache[key] ??= lazy[key]?.() ?? false);
    },
  });
}

export const GUARDS = [
  'whichTruck',
  'dangerOpen',
  'hintOpen',
  'doubtOpen',
  'questionsLeft',
  'adviceReady',
  'servicesAdvised',
  'questionOpen',
  'pickedUp',
  'openRequest',
  'moving',
  'nameKnown',
  'phoneKnown',
  'contactKnown',
  'slotTaken',
  'offeredTaken',
  'approverElsewhere',
  'closedWithMetal',
  'metalToTell',
  'consentWanted',
  'notUnderstoodBefore',
  'serviceDue',
  'readingWanted',
  'doneMilesWanted',
  'doneMilesTold',
  'worthBooking',
  'remindersWanted',
  'mayWrite',
  'fleetDue',
  'mayRemind',
] as const;

/** After so long the owner is told where the talk was and about which truck. */
const PICKED_UP_HOURS = 6;

const hoursSince = (instant: Instant, now: Instant): number => (Date.parse(now) - Date.parse(instant)) / 3_600_000;

const bareOfUnasked = (scene: Scene) => ({ ...scene.file, unaskedAt: [] });

/** Unasked messages need consent, an open door, the right hour, and no question or booking in between. */
function mayWrite(scene: Scene): boolean {
  const { owner, conversation, requests } = scene.file;
  if (!owner.consent || owner.optedOutAt || owner.unreachableSince) return false;
  const followUp = followUpInHand(scene);
  const busy = requests.some(
    (request) => HOLDING_STATES.includes(request.state) && request.vehicleId === followUp?.vehicleId,
  );
  if (busy || !isActive(scene, followUp?.vehicleId)) return false;
  if (conversation.question && isRecent(conversation.lastHeardAt, scene.now)) return false;
  return scene.tools.nextAllowed(scene.file, scene.now) <= scene.now;
}

const isActive = (scene: Scene, vehicleId: string | undefined) => truckFor(scene, vehicleId)?.state === 'active';

/** An open question holds an unasked message back for a day; after that it is stale. */
const isRecent = (heardAt: Instant | null, now: Instant) =>
  heardAt !== null && Date.parse(now) - Date.parse(heardAt) < 24 * 3_600_000;

export function followUpInHand(scene: Scene) {
  const id = scene.event.kind === 'time' ? scene.event.followUpId : scene.file.conversation.followUpId;
  return scene.file.followUps.find((followUp) => followUp.id === id);
}

function serviceDue(scene: Scene): boolean {
  const vehicle = vehicleOf(scene);
  const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
  if (!outlook) return false;
  return outlook.next.offer !== null && outlook.next.offer <= scene.today;
}

/** Days for which a reading is new enough to book by. */
const READING_FRESH_DAYS = 7;

/** A service is not due by the last reading, and that is some days old: a number read now finds the right week. */
function readingWanted(scene: Scene): boolean {
  const vehicle = vehicleOf(scene);
  const last = vehicle?.readings.at(-1);
  const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
  if (!outlook || !last || outlook.dueMiles <= last.miles) return false;
  return Date.parse(scene.today) - Date.parse(last.date) > READING_FRESH_DAYS * 86_400_000;
}

/** Questions for the mileage of the last time, by the service that they are about. */
const LAST_TIME: readonly (readonly [ServiceId, question: string, fact: FactKey])[] = [
  ['fuel-filter-service', 'lastFuelFilter', 'lastFuelFilterMiles'],
  ['oil-service', 'lastOilChange', 'lastOilChangeMiles'],
];

/** For an owner who had done elsewhere what is due: the question whose answer starts its interval anew. */
export function doneMilesQuestion(scene: Scene): string | undefined {
  const vehicle = vehicleOf(scene);
  const services = (vehicle && scene.tools.outlook(vehicle, scene.today)?.services) ?? [];
  return LAST_TIME.find(([service]) => services.includes(service))?.[1];
}

/** The message at hand tells at which mileage a service was done, surely, and complains of nothing. */
function doneMilesTold(scene: Scene): boolean {
  const facts = scene.heard.read?.facts;
  const unsure: readonly string[] = facts?.unsure ?? [];
  if (!facts || (facts.symptoms ?? []).length > 0 || (scene.heard.read?.ask ?? []).length > 0) return false;
  const told = vehicleOf(scene)?.facts.filter(({ at }) => at === scene.event.at) ?? [];
  return LAST_TIME.some(([, , fact]) => !unsure.includes(fact) && told.some(({ key, sure }) => key === fact && sure));
}

/** Nothing is to be done now, something comes by mileage, and nobody has said yet whether to be reminded of it. */
export function remindersWanted(scene: Scene): boolean {
  const { owner } = scene.file;
  const vehicle = vehicleOf(scene);
  if (owner.consent || owner.optedOutAt || !vehicle || !scene.tools.outlook(vehicle, scene.today)) return false;
  return scene.tools.advise(factsForAdvice(vehicle, scene.today), owner.language).services.length === 0;
}

/** Known only where the diary was loaded; otherwise the database refuses a second claim and the turn runs again with it. */
function slotTaken(scene: Scene): boolean {
  const { chosen } = scene.file.conversation;
  return chosen !== null && scene.tools.taken(chosen);
}

/** Whether the time that was just tapped is somebody else's by now; known only where the diary was loaded. */
function offeredTaken(scene: Scene): boolean {
  const slot = slotChosen(scene);
  return slot !== null && scene.tools.taken(slot, scene.file.conversation.requestId);
}

/** Whether somebody else than whoever chats approves more work on the truck, or nobody can be asked in a chat. */
function approverElsewhere({ file, event }: Scene): boolean {
  const id = event.kind === 'staff' && 'requestId' in event.action ? event.action.requestId : undefined;
  const request = file.requests.find((other) => other.id === id);
  const vehicle = file.vehicles.find((other) => other.id === request?.vehicleId);
  const approver = vehicle?.papers?.approver;
  return file.owner.unreachableSince !== undefined || (approver !== undefined && approver.name !== file.owner.name);
}

/** Whether the owner still waits to be written to about metal: once is enough. */
function metalToTell({ file, event }: Scene): boolean {
  const about = event.kind === 'staff' && 'requestId' in event.action ? event.action.requestId : undefined;
  const due = event.kind === 'time' ? event.followUpId : undefined;
  return file.followUps.some(
    ({ id, kind, requestId, state }) =>
      kind === 'metal-news' && state === 'waiting' && (id === due || (about !== undefined && requestId === about)),
  );
}

/** The booked job on the truck in hand whose parts take days: they are ordered by its VIN. */
export function waitingForVin(scene: Scene): BookingRequest | undefined {
  const { requests, conversation } = scene.file;
  return requests.find(
    ({ state, vehicleId, services }) =>
      state === 'accepted' && vehicleId === conversation.vehicleId && scene.tools.partsLeadDays(services) > 0,
  );
}

/** Metal was found and the system was not replaced: nothing is written to the owner before somebody has phoned. */
function closedWithMetal({ event }: Scene): boolean {
  if (event.kind !== 'staff' || event.action.do !== 'close') return false;
  const { findings, services } = event.action.report;
  return findings.some(({ finding }) => finding === 'metal') && !services.includes('fuel-system-replacement');
}

/** Whether a time is chosen for a request that stands already; one of another truck is another matter. */
function isMoving({ file: { requests, conversation } }: Scene): boolean {
  const request = requests.find(({ id }) => id === conversation.requestId);
  return (
    request !== undefined && HOLDING_STATES.includes(request.state) && request.vehicleId === conversation.vehicleId
  );
}
