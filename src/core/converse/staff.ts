import type { FactRecord } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import type { BookingRequest, ServiceRecord, Vehicle } from '../model/owner.ts';
import type { CloseReport, StaffAction, StaffMember } from '../model/turn.ts';
import type { Listened } from './listen.ts';
import { forgetMatter } from './record.ts';
import {
  effect,
  newId,
  recordFacts,
  staffText,
  truckFor,
  withRequest,
  withTalk,
  withVehicle,
  type Scene,
} from './scene.ts';

/** Applies what staff did to the request, and says which signal the owner's talk is given. */
export function listenToStaff(scene: Scene, by: StaffMember, action: StaffAction): Listened {
  if (action.do === 'say') return { scene: { ...scene, heard: { text: action.text } }, signals: ['SHOP_SAYS'] };
  const request = scene.file.requests.find(({ id }) => id === action.requestId);
  if (!request) return refused(scene, staffText(scene, 'staff-no-request'));
  if (action.do === 'list-times') return { scene: inHand(scene, request), signals: ['SHOP_LISTED'] };
  if (action.do === 'call') return { scene: inHand(scene, request), signals: ['SHOP_CALLS'] };
  const changed = scene.tools.change(request, action, by.name, scene.now);
  if (!changed.ok) return refused(scene, changed.because);
  const told = inHand(withRequest(scene, changed.request), changed.request);
  switch (action.do) {
    case 'accept':
      return { scene: told, signals: ['SHOP_ACCEPTED'] };
    case 'decline':
      return { scene: { ...told, heard: { text: action.because } }, signals: ['SHOP_DECLINED'] };
    case 'offer-time':
      return { scene: told, signals: ['SHOP_OFFERED'] };
    case 'move':
      return { scene: told, signals: ['SHOP_MOVED'] };
    case 'cancel':
      return { scene: { ...told, heard: { text: action.because } }, signals: ['SHOP_CANCELLED'] };
    case 'arrive':
    case 'start-work':
    case 'no-show':
      return { scene: told, signals: ['SHOP_PROGRESS'] };
    case 'close':
      return { scene: closed(told, changed.request, action.report, by), signals: ['SHOP_CLOSED'] };
    default:
      return action satisfies never;
  }
}

const refused = (scene: Scene, because: string): Listened => ({
  scene: { ...effect(scene, { do: 'answer-staff', text: because }), heard: { text: because } },
  signals: [],
});

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
  const found = (service: ServiceId) => report.findings.find((finding) => finding.service === service)?.finding;
  const fact = (key: FactRecord['key'], value: FactRecord['value']): FactRecord => ({
    key,
    value,
    source: 'staff',
    sure: true,
    at: scene.now,
  });
  const facts = [fact('odometerMiles', report.odometerMiles)];
  const metal = found('fuel-contamination-check') ?? found('pump-protection-kit');
  if (metal === 'metal') facts.push(fact('metalFound', true));
  if (metal === 'none') facts.push(fact('metalFound', false));
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
