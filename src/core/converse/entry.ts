import type { FactKey, FactRecord } from '../model/facts.ts';
import type { BookingRequest, Vehicle } from '../model/owner.ts';
import type { Entry, StaffMember } from '../model/turn.ts';
import type { Listened } from './signals.ts';
import { newId, recordFacts, staffText, withOwner, withRequest, withTalk, withVehicle, type Scene } from './scene.ts';
import { factsForAdvice } from './situation.ts';
import { refused } from './refused.ts';
import { slotWords } from './words.ts';

/**
 * Somebody phoned or walked in: the truck and its job as staff tell them. The shop itself enters it, so that there is
 * nothing left to accept. The owner of the file has no chat; what they are owed goes to the call list.
 */
export function enterRequest(scene: Scene, by: StaffMember, entry: Entry): Listened {
  const { slot } = entry;
  if (slot && scene.tools.taken(slot)) {
    return refused(scene, staffText(scene, 'staff-slot-taken', { time: slotWords(slot, 'en') }));
  }
  const known = knownTruck(scene, entry);
  const [truckId, named] = newId(scene);
  const [number, numbered] = newId(named);
  const fresh: Vehicle = {
    id: `truck-${truckId}`,
    state: 'active',
    facts: [],
    unknowable: [],
    readings: [],
    records: [],
    createdAt: scene.now,
  };
  const vehicle = withTold(scene, known ?? fresh, entry, number);
  const facts = factsForAdvice(vehicle, scene.today);
  const request: BookingRequest = {
    id: `r-${number}`,
    vehicleId: vehicle.id,
    state: slot ? 'accepted' : 'requested',
    revision: 1,
    createdAt: scene.now,
    answerBy: scene.tools.answerBy(scene.now),
    services: entry.services,
    slot,
    complaint: entry.complaint === '' ? [] : [entry.complaint],
    facts: vehicle.facts,
    advice: scene.tools.advise(facts, 'en'),
    estimate: scene.tools.estimate(facts, entry.services, 'en'),
    photos: [],
    history: [
      { at: scene.now, by: by.name, what: 'requested' },
      ...(slot ? [{ at: scene.now, by: by.name, what: 'accepted' as const }] : []),
    ],
    calendarSequence: slot ? 1 : 0,
    enteredBy: by.name,
  };
  const { owner } = scene.file;
  const contact = withOwner(numbered, {
    name: owner.name ?? entry.name,
    phone: scene.tools.phone(entry.phone) ?? entry.phone,
    ...(owner.unreachableSince === undefined && owner.name === undefined && { unreachableSince: scene.now }),
  });
  const entered = withTalk(withRequest(withVehicle(contact, vehicle), request), { requestId: request.id });
  return { scene: entered, signals: ['SHOP_ENTERED'] };
}

/**
 * The same VIN, or the same unit of the same fleet, is the same truck; else the one truck of the owner that has the same
 * year and engine, where neither VINs nor units speak against it.
 */
function knownTruck({ file }: Scene, { facts, papers }: Entry): Vehicle | undefined {
  const has = ({ facts: known }: Vehicle, key: FactKey) => known.find((fact) => fact.key === key)?.value;
  const active = file.vehicles.filter(({ state }) => state === 'active');
  const named = active.find(
    (vehicle) =>
      (facts.vin !== undefined && has(vehicle, 'vin') === facts.vin) ||
      (papers?.unit !== undefined && vehicle.papers?.unit === papers.unit),
  );
  if (named) return named;
  const alike = active.filter(
    (vehicle) =>
      facts.modelYear !== undefined &&
      has(vehicle, 'modelYear') === facts.modelYear &&
      has(vehicle, 'engineLitres') === facts.engineLitres &&
      (facts.vin === undefined || has(vehicle, 'vin') === undefined) &&
      (papers?.unit === undefined || vehicle.papers?.unit === undefined),
  );
  return alike.length === 1 ? alike[0] : undefined;
}

function withTold(scene: Scene, vehicle: Vehicle, { facts, papers }: Entry, number: string): Vehicle {
  const records = (Object.entries(facts) as [FactKey, FactRecord['value']][]).map(([key, value]): FactRecord => ({
    key,
    value,
    source: 'staff',
    sure: true,
    at: scene.now,
  }));
  const miles = facts.odometerMiles;
  const readings =
    miles === undefined
      ? vehicle.readings
      : [
          ...vehicle.readings.filter(({ date }) => date !== scene.today),
          { id: `reading-${number}`, miles, date: scene.today, source: 'staff' as const },
        ];
  const kept = recordFacts({ ...vehicle, readings }, records);
  return papers ? { ...kept, papers: { ...kept.papers, ...papers } } : kept;
}
