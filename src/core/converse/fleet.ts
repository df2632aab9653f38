import type { Vehicle } from '../model/owner.ts';
import type { Listened } from './signals.ts';
import type { FleetPatterns } from './list-patterns.ts';
import { record, recordsFrom } from './record.ts';
import { withTalk, type Scene } from './scene.ts';

/** One truck of an odometer list, as it was taken. */
export interface ListedMiles {
  unit: string;
  miles: number;
  vehicleId?: string;
  /** Why it was not recorded; absent where it was. */
  because?: string;
}

/** "unit 4 120300, unit 7 98,200": the pairs of unit and number that a text holds. */
export function odometerList(said: string, { entry }: FleetPatterns): { unit: string; number: string }[] {
  return [...said.matchAll(entry)].map(([, unit = '', number = '']) => ({ unit, number: number.trim() }));
}

/** An owner's trucks by their unit numbers, in small letters. */
function unitsOf({ file }: Scene): Map<string, Vehicle> {
  const units = new Map<string, Vehicle>();
  for (const vehicle of file.vehicles) {
    if (vehicle.state === 'active' && vehicle.papers?.unit) units.set(vehicle.papers.unit.toLowerCase(), vehicle);
  }
  return units;
}

/** "unit 4 has less power": the talk is about that truck, where no other one's matter is in hand. */
export function atNamedUnit(scene: Scene, said: string): Scene {
  const { matter, vehicleId } = scene.file.conversation;
  if (matter !== null && vehicleId !== null) return scene;
  const units = unitsOf(scene);
  const named = [...said.matchAll(scene.tools.questions.fleetList.named)].flatMap(
    ([, unit = '']) => units.get(unit.toLowerCase()) ?? [],
  );
  const [only, ...more] = [...new Set(named)];
  return only && more.length === 0 ? withTalk(scene, { vehicleId: only.id }) : scene;
}

/**
 * The odometers of several trucks of one owner in one message, by their unit numbers. Each value goes through the same
 * gate as a single one; what does not fit is named and not recorded. Undefined where the text is no such list, or names
 * one unit only and its value wants to be asked about.
 */
export function listenToFleet(scene: Scene, said: string, messageRef: string): Listened | undefined {
  const units = unitsOf(scene);
  const entries = odometerList(said, scene.tools.questions.fleetList);
  if (units.size === 0 || !entries.some(({ unit }) => units.has(unit.toLowerCase()))) return undefined;
  const { vehicleId } = scene.file.conversation;
  const fleet: ListedMiles[] = [];
  let told = scene;
  for (const { unit, number } of entries) {
    const vehicle = units.get(unit.toLowerCase());
    const read = scene.tools.read(number, { asked: 'odometerMiles', today: scene.today, ...(vehicle && { vehicle }) });
    const miles = read.facts.odometerMiles;
    if (miles === undefined) continue;
    if (!vehicle) {
      fleet.push({ unit, miles, because: 'unknown' });
      continue;
    }
    const gate = scene.tools.gate(vehicle, miles, scene.today);
    if (!gate.plausible) {
      fleet.push({ unit, miles, vehicleId: vehicle.id, because: gate.because });
      continue;
    }
    const facts = recordsFrom(scene, { odometerMiles: miles }, number).map((one) => ({ ...one, messageRef }));
    told = record(withTalk(told, { vehicleId: vehicle.id }), facts);
    fleet.push({ unit, miles, vehicleId: vehicle.id });
  }
  if (fleet.length === 0) return undefined;
  return { scene: { ...withTalk(told, { vehicleId }), heard: { text: said, fleet } }, signals: ['FLEET_MILES'] };
}
