import { DANGER_SYMPTOMS, type Symptom } from '../model/ids.ts';
import { factsOf, type FactKey, type FactRecord, type Facts } from '../model/facts.ts';
import type { Vehicle } from '../model/owner.ts';
import type { ReadFacts, ReadResult } from '../model/reading.ts';
import type { IsoDate } from '../model/time.ts';
import {
  factValue,
  newId,
  recordFacts,
  symptomsOf,
  vehicleOf,
  withTalk,
  withVehicle,
  withVehicleAtHand,
  type Scene,
} from './scene.ts';

/** Facts of one complaint: they end with it, while year, engine and mileage stay. */
const OF_THE_MATTER: readonly FactKey[] = ['symptoms', 'deniedSymptoms', 'troubleCodes', 'intent', 'coverage'];
const OF_THE_ENGINE: readonly FactKey[] = ['modelYear', 'engineLitres', 'fuel', 'layout', 'cylinders'];
const NOT_STORED = new Set(['unsure', 'wantedTime', 'answer', 'intent']);
const LISTS: readonly FactKey[] = ['symptoms', 'deniedSymptoms', 'troubleCodes'];

export const isDanger = (symptom: Symptom): boolean => (DANGER_SYMPTOMS as readonly Symptom[]).includes(symptom);

/** What a text said, as records of facts with the words they came from. */
export function recordsOf(scene: Scene, read: ReadResult, messageRef?: string): FactRecord[] {
  const unsure = new Set(read.facts.unsure ?? []);
  const records: FactRecord[] = [];
  for (const [key, value] of Object.entries(read.facts) as [keyof ReadFacts, never][]) {
    if (NOT_STORED.has(key) || value === undefined) continue;
    const words = read.words[key];
    records.push({
      key: key as FactKey,
      value,
      ...(words && { words }),
      source: 'owner',
      sure: !unsure.has(key),
      at: scene.event.at,
      ...(messageRef && { messageRef }),
    });
  }
  return records;
}

/** Facts that an option sets, as if the owner had said them. */
export const recordsFrom = (scene: Scene, facts: Partial<Facts>, words: string): FactRecord[] =>
  (Object.entries(facts) as [FactKey, never][]).map(([key, value]) => ({
    key,
    value,
    words,
    source: 'owner',
    sure: true,
    at: scene.event.at,
  }));

/** Puts facts to the truck in hand; they wait where it is not clear which truck is meant. */
export function record(scene: Scene, told: readonly FactRecord[]): Scene {
  if (told.length === 0) return scene;
  const records = [...told, ...yearOfVin(scene, told)];
  if (truckUnclear(scene)) {
    const { pending } = scene.file.conversation;
    const kept = pending.filter(({ key }) => !records.some((other) => other.key === key));
    return withTalk(scene, { pending: [...kept, ...records] });
  }
  const [vehicle, next] = withVehicleAtHand(scene);
  const merged = yearInDoubt(scene, merge(scene, vehicle, records), records);
  return withReadings(withVehicle(next, merged), records);
}

/** A model year that the VIN or the engine as told speaks against is asked about before anything leans on it. */
function yearInDoubt(scene: Scene, vehicle: Vehicle, told: readonly FactRecord[]): Vehicle {
  const year = vehicle.facts.find(({ key, sure }) => key === 'modelYear' && sure);
  if (!year || !told.some(({ key }) => key === 'vin' || OF_THE_ENGINE.includes(key))) return vehicle;
  const ofEngine = told.some(({ key }) => OF_THE_ENGINE.includes(key));
  const engineObjects = ofEngine && scene.tools.yearsOfEngine(factsOf(vehicle.facts)) !== undefined;
  return engineObjects || vinObjects(scene, vehicle, year, told)
    ? recordFacts(vehicle, [{ ...year, sure: false }])
    : vehicle;
}

/** Whether the VIN gives another model year than the owner does, and one of the two has just been told. */
function vinObjects(scene: Scene, vehicle: Vehicle, year: FactRecord, told: readonly FactRecord[]): boolean {
  const vin = vehicle.facts.find(({ key, sure }) => key === 'vin' && sure);
  if (!vin || year.source !== 'owner' || !told.some(({ key }) => key === 'vin' || key === 'modelYear')) return false;
  return otherYearOfVin(scene, String(vin.value), Number(year.value)) !== undefined;
}

/** The model year of a VIN where it is none that the owner told. */
export function otherYearOfVin(scene: Scene, vin: string, told: number): number | undefined {
  const year = scene.tools.yearOfVin(vin);
  return year && year.modelYear !== told && year.otherYear !== told ? year.modelYear : undefined;
}

/**
 * The model year that a VIN gives where nobody told one. Where its letter can mean another year too, it is to be
 * confirmed: the character that tells them apart is not reliable on heavy trucks.
 */
function yearOfVin(scene: Scene, told: readonly FactRecord[]): FactRecord[] {
  const vin = told.find(({ key, sure }) => key === 'vin' && sure);
  const known = [...told, ...(vehicleOf(scene)?.facts ?? []), ...scene.file.conversation.pending];
  const year = vin && scene.tools.yearOfVin(String(vin.value));
  if (!year || known.some(({ key }) => key === 'modelYear')) return [];
  return [{ ...vin, key: 'modelYear', value: year.modelYear, source: 'vin', sure: year.otherYear === undefined }];
}

/** Several trucks and none in hand. */
export const truckUnclear = (scene: Scene): boolean =>
  !vehicleOf(scene) && scene.file.vehicles.filter(({ state }) => state === 'active').length > 0;

function merge(scene: Scene, vehicle: Vehicle, records: readonly FactRecord[]): Vehicle {
  const fresh = scene.file.conversation.matter === null && records.some(({ key }) => LISTS.includes(key));
  const base = fresh ? forgetMatter(vehicle) : vehicle;
  const said = (key: FactKey) => records.find((record) => record.key === key);
  const list = (key: 'symptoms' | 'deniedSymptoms') => (said(key)?.value ?? []) as Symptom[];
  const present = new Set([
    ...symptomsOf(base).filter((id) => !list('deniedSymptoms').includes(id)),
    ...list('symptoms'),
  ]);
  const denied = new Set([...(factValue(base, 'deniedSymptoms') ?? []), ...list('deniedSymptoms')]);
  for (const symptom of present) denied.delete(symptom);
  const codes = new Set([
    ...(factValue(base, 'troubleCodes') ?? []),
    ...((said('troubleCodes')?.value ?? []) as string[]),
  ]);
  const merged = records.map((record): FactRecord => {
    if (record.key === 'symptoms') return { ...record, value: [...present].sort() };
    if (record.key === 'deniedSymptoms') return { ...record, value: [...denied].sort() };
    if (record.key === 'troubleCodes') return { ...record, value: [...codes].sort() };
    return record;
  });
  if (said('deniedSymptoms') && !said('symptoms') && factValue(base, 'symptoms')) {
    const symptoms = base.facts.find(({ key }) => key === 'symptoms');
    if (symptoms) merged.push({ ...symptoms, value: [...present].sort() });
  }
  return recordFacts(base, merged);
}

export function forgetMatter(vehicle: Vehicle): Vehicle {
  return { ...vehicle, facts: vehicle.facts.filter(({ key }) => !OF_THE_MATTER.includes(key)) };
}

/** An odometer value that fits the earlier readings becomes a reading; one that does not is kept as a doubt. */
function withReadings(scene: Scene, records: readonly FactRecord[]): Scene {
  const odometer = records.find(({ key }) => key === 'odometerMiles');
  const vehicle = vehicleOf(scene);
  if (!odometer?.sure || !vehicle || typeof odometer.value !== 'number') return scene;
  const gate = scene.tools.gate(vehicle, odometer.value, scene.today);
  if (!gate.plausible) {
    return withVehicle(scene, recordFacts(vehicle, [{ ...odometer, sure: false }]));
  }
  return addReading(scene, odometer.value, scene.today, odometer.messageRef);
}

/** Adds a reading; one that the owner stands by against doubt says what becomes of those before it. */
export function addReading(scene: Scene, miles: number, date: IsoDate, messageRef?: string, confirmed = false): Scene {
  const vehicle = vehicleOf(scene);
  if (!vehicle) return scene;
  const [id, next] = newId(scene);
  const reading = {
    id: `reading-${id}`,
    miles,
    date,
    source: 'owner' as const,
    ...(messageRef && { messageRef }),
  };
  const earlier = vehicle.readings.filter((other) => other.date !== date || other.source !== 'owner');
  const readings = confirmed
    ? scene.tools.confirmReading({ ...vehicle, readings: earlier }, reading)
    : [...earlier, reading];
  return withVehicle(next, { ...vehicle, readings });
}

/** Takes back everything that a message said; an edited message is then read again. */
export function withdraw(scene: Scene, messageRef: string): Scene {
  const vehicles = scene.file.vehicles.map((vehicle) => ({
    ...vehicle,
    facts: vehicle.facts.filter((fact) => fact.messageRef !== messageRef),
    readings: vehicle.readings.filter((reading) => reading.messageRef !== messageRef),
  }));
  const { conversation } = scene.file;
  const pending = conversation.pending.filter((fact) => fact.messageRef !== messageRef);
  return { ...scene, file: { ...scene.file, vehicles, conversation: { ...conversation, pending } } };
}

/** Marks facts as not known to the owner, so that they are not asked again. */
export function markUnknowable(scene: Scene, keys: readonly FactKey[]): Scene {
  const [vehicle, next] = withVehicleAtHand(scene);
  const open = keys.filter((key) => !vehicle.facts.some((fact) => fact.key === key && fact.sure));
  return withVehicle(next, { ...vehicle, unknowable: [...new Set([...vehicle.unknowable, ...open])] });
}

/** Settles a fact that was in doubt. */
export function settleDoubt(scene: Scene, key: FactKey, right: boolean): Scene {
  const vehicle = vehicleOf(scene);
  const doubted = vehicle?.facts.find((fact) => fact.key === key);
  if (!vehicle || !doubted) return scene;
  if (!right) return withVehicle(scene, { ...vehicle, facts: vehicle.facts.filter((fact) => fact !== doubted) });
  const settled = withVehicle(scene, recordFacts(vehicle, [{ ...doubted, sure: true }]));
  if (key !== 'odometerMiles' || typeof doubted.value !== 'number') return settled;
  return addReading(settled, doubted.value, scene.today, doubted.messageRef, true);
}
