import type { FactRecord } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import {
  HOLDING_STATES,
  type ArrivalNote,
  type BookingRequest,
  type Papers,
  type ServiceRecord,
  type Vehicle,
} from '../model/owner.ts';
import type { CloseReport, StaffAction, StaffMember } from '../model/turn.ts';
import { enterRequest } from './entry.ts';
import type { Listened } from './signals.ts';
import { forgetMatter } from './record.ts';
import { refused } from './refused.ts';
import {
  effect,
  newId,
  recordFacts,
  staffText,
  truckFor,
  withRequest,
  withTalk,
  withVehicle,
  type RequestChange,
  type Scene,
} from './scene.ts';
import { slotWords } from './words.ts';

/** Applies what staff did to the request, and says which signal the owner's talk is given. */
export function listenToStaff(scene: Scene, by: StaffMember, action: StaffAction): Listened {
  if (action.do === 'say') return { scene: { ...scene, heard: { text: action.text } }, signals: ['SHOP_SAYS'] };
  if (action.do === 'enter') return enterRequest(scene, by, action.entry);
  if (action.do === 'keep-papers') return keepPapers(scene, action.vehicleId, action.papers);
  const request = scene.file.requests.find(({ id }) => id === action.requestId);
  if (!request) return refused(scene, staffText(scene, 'staff-no-request'));
  if (action.do === 'list-times') return { scene: inHand(scene, request), signals: ['SHOP_LISTED'] };
  if (action.do === 'call') return { scene: inHand(scene, request), signals: ['SHOP_CALLS'] };
  const kit = action.do === 'close' ? kitInspite(scene, request, action.report) : undefined;
  if (kit !== undefined) return refused(scene, kit);
  const changed = scene.tools.change(request, changeOf(action, by), by.name, scene.now);
  if (!changed.ok) return refused(scene, changed.because);
  const next = withBayOrNone(scene, request, changed.request);
  if (!next) {
    const time = changed.request.slot ? slotWords(changed.request.slot, 'en') : '';
    return refused(scene, staffText(scene, 'staff-slot-taken', { time }));
  }
  const told = inHand(withRequest(scene, next), next);
  const heard = changed.calendar ? { calendar: { change: changed.calendar, before: request } } : {};
  const signals = [SIGNAL_OF[action.do]];
  switch (action.do) {
    case 'decline':
    case 'cancel':
      return { scene: { ...told, heard: { ...heard, text: action.because } }, signals };
    case 'close':
      return { scene: { ...closed(told, next, action.report, by), heard }, signals };
    case 'arrive':
    case 'record-arrival':
      return { scene: { ...withArrivalReading(told, next, action.arrival), heard }, signals };
    default:
      return { scene: { ...told, heard }, signals };
  }
}

/**
 * The request with its time where that can be had. A new time that is taken by now is refused; a truck that comes after
 * all, when its time was given away, is here without a bay.
 */
function withBayOrNone(scene: Scene, before: BookingRequest, after: BookingRequest): BookingRequest | undefined {
  const { slot } = after;
  const claims =
    HOLDING_STATES.includes(after.state) && (slot !== before.slot || !HOLDING_STATES.includes(before.state));
  if (!slot || !claims || !scene.tools.taken(slot, after.id)) return after;
  return slot === before.slot ? { ...after, slot: null } : undefined;
}

type ChangingAction = Exclude<Extract<StaffAction, { requestId: string }>, { do: 'list-times' | 'call' }>;

const SIGNAL_OF: Record<ChangingAction['do'], string> = {
  accept: 'SHOP_ACCEPTED',
  decline: 'SHOP_DECLINED',
  'offer-time': 'SHOP_OFFERED',
  move: 'SHOP_MOVED',
  lengthen: 'SHOP_LENGTHENED',
  cancel: 'SHOP_CANCELLED',
  arrive: 'SHOP_PROGRESS',
  'record-arrival': 'SHOP_NOTED',
  'start-work': 'SHOP_PROGRESS',
  'no-show': 'SHOP_PROGRESS',
  'ask-approval': 'SHOP_ASKS_APPROVAL',
  'record-approval': 'SHOP_RECORDED_APPROVAL',
  close: 'SHOP_CLOSED',
  phoned: 'SHOP_PHONED',
};

function changeOf(action: ChangingAction, by: StaffMember): RequestChange {
  switch (action.do) {
    case 'close':
      return { do: 'close', revision: action.revision, services: action.report.services };
    case 'record-approval': {
      const { revision, answer, items, who, how } = action;
      return { do: 'approval', revision, answer, items, who, how, recordedBy: by.name };
    }
    case 'phoned':
      return { do: 'phoned' };
    default:
      return action;
  }
}

/** Where metal was found the kit is not fitted, unless the whole system is replaced and the kit guards the new pump. */
function kitInspite(scene: Scene, request: BookingRequest, { services, findings }: CloseReport): string | undefined {
  const metal = findings.some(({ finding }) => finding === 'metal');
  const known = truckFor(scene, request.vehicleId)?.facts.some(
    ({ key, value }) => key === 'metalFound' && value === true,
  );
  const fitted = services.includes('pump-protection-kit') && !services.includes('fuel-system-replacement');
  return fitted && (metal || known) ? staffText(scene, 'staff-no-kit-with-metal') : undefined;
}

/** The odometer that was read at arrival counts as a reading of the day. */
function withArrivalReading(scene: Scene, request: BookingRequest, arrival: ArrivalNote | undefined): Scene {
  const vehicle = truckFor(scene, request.vehicleId);
  const miles = arrival?.odometerMiles;
  if (!vehicle || miles === undefined) return scene;
  const [id, next] = newId(scene);
  const reading = { id: `reading-${id}`, miles, date: scene.today, source: 'staff' as const };
  const fact: FactRecord = { key: 'odometerMiles', value: miles, source: 'staff', sure: true, at: scene.now };
  const readings = [...vehicle.readings.filter(({ date }) => date !== scene.today), reading];
  return withVehicle(next, recordFacts({ ...vehicle, readings }, [fact]));
}

function keepPapers(scene: Scene, vehicleId: string, papers: Papers): Listened {
  const vehicle = truckFor(scene, vehicleId);
  if (!vehicle) return refused(scene, staffText(scene, 'staff-no-truck'));
  const kept = withVehicle(scene, { ...vehicle, papers: { ...vehicle.papers, ...papers } });
  return { scene: effect(kept, { do: 'answer-staff', text: staffText(scene, 'staff-papers-kept') }), signals: [] };
}

/** What the shop says is about the request's truck, unless the owner is in the middle of another matter. */
const inHand = (scene: Scene, request: BookingRequest): Scene =>
  scene.file.conversation.matter ? scene : withTalk(scene, { vehicleId: request.vehicleId });

/** The closed work becomes a service record: it starts the next interval and settles the facts that it found. */
function closed(scene: Scene, request: BookingRequest, report: CloseReport, by: StaffMember): Scene {
  const vehicle = truckFor(scene, request.vehicleId);
  if (!vehicle) return scene;
  const [recordId, named] = newId(scene);
  const [readingId, next] = newId(named);
  const entry: ServiceRecord = {
    id: `record-${recordId}`,
    requestId: request.id,
    date: report.date,
    odometerMiles: report.odometerMiles,
    services: report.services,
    findings: report.findings,
    putOff: report.putOff,
    ...(report.note && { note: report.note }),
    ...(report.parts && { parts: report.parts }),
    ...(report.torques && { torques: report.torques }),
    ...(report.photos && { photos: report.photos }),
    closedBy: by.name,
  };
  const reading = {
    id: `reading-${readingId}`,
    miles: report.odometerMiles,
    date: report.date,
    source: 'staff' as const,
  };
  const base: Vehicle = forgetMatter(vehicle);
  const settled = recordFacts(
    {
      ...base,
      records: [...base.records, entry],
      readings: [...base.readings.filter(({ date }) => date !== report.date), reading],
    },
    factsFound(scene, report),
  );
  return withVehicle(next, settled);
}

function factsFound(scene: Scene, report: CloseReport): FactRecord[] {
  const done = (service: ServiceId) => report.services.includes(service);
  const found = (...services: ServiceId[]) =>
    report.findings.filter(({ service }) => services.includes(service)).map(({ finding }) => finding);
  const fact = (key: FactRecord['key'], value: FactRecord['value']): FactRecord => ({
    key,
    value,
    source: 'staff',
    sure: true,
    at: scene.now,
  });
  const facts = [fact('odometerMiles', report.odometerMiles)];
  // One place with metal is metal; it is clean only where every place that was looked at is.
  const metal = found('fuel-contamination-check', 'pump-protection-kit');
  if (metal.includes('metal')) facts.push(fact('metalFound', true));
  else if (metal.length > 0 && metal.every((one) => one === 'none')) facts.push(fact('metalFound', false));
  if (done('pump-protection-kit')) facts.push(fact('pumpProtected', true));
  if (done('pump-protection-kit') || done('fuel-filter-service') || done('fuel-system-replacement')) {
    facts.push(fact('lastFuelFilterMiles', report.odometerMiles), fact('lastFuelFilterDate', report.date));
  }
  if (done('crankcase-breather-filter')) facts.push(fact('breatherOriginal', false));
  if (done('oil-service')) facts.push(fact('lastOilChangeMiles', report.odometerMiles));
  if (done('fuel-system-replacement')) {
    facts.push(fact('metalFound', false), fact('pumpFittedAtMiles', report.odometerMiles));
    if (!done('pump-protection-kit')) facts.push(fact('pumpProtected', false));
  }
  return facts;
}
