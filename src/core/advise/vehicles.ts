import type { Range } from '../model/advice.ts';
import { sound, unsound, type Checked, type FlowFile } from '../model/checked.ts';
import type { Facts, FactKey } from '../model/facts.ts';
import { parseFlowYaml, type LocatedYaml } from '../model/flow-yaml.ts';
import { checkEngines } from './vehicles-check.ts';
import { VehiclesFile, type Equipment, type FuelSystemDesign, type InBothLanguages } from './vehicles-schema.ts';

export type { Equipment, FuelSystemDesign } from './vehicles-schema.ts';

interface EngineOfFamily {
  /** Such as `v8-6.7-2011`. */
  id: string;
  /** The engine that it belongs to, such as `v8-6.7`. */
  engine: string;
  litres: number;
  cylinders: number;
  layout: 'V' | 'I';
  /** Model years, both inclusive; `to` is null while the engine is still built. */
  years: { from: number; to: number | null };
}

/** An engine that a diesel shop turns away. */
export interface GasolineFamily extends EngineOfFamily {
  fuel: 'gasoline';
}

/** Model years of a diesel engine that are alike in all that the advice hangs on. Each part says where it comes from. */
export interface DieselFamily extends EngineOfFamily {
  fuel: 'diesel';
  /** `certain` is false where the shop has to confirm which pump the truck has. */
  fuelSystem: { design: FuelSystemDesign; certain: boolean; source: string };
  egrCooler: { fitted: Equipment; source: string };
  particulateFilter: { fitted: Equipment; source: string };
  exhaustFluid: { fitted: Equipment; source: string };
  /** Crankcase breather filter; `miles` is the interval of the one from the factory, absent where there is none. */
  breather: { fitted: Equipment; miles?: number | undefined; source: string };
  /** Whichever of miles, oil changes and months comes first. */
  fuelFilter: { miles: number; oilChanges?: number | undefined; months?: number | undefined; source: string };
  oil: { miles: number; months: number; source: string };
  /** Fitting data of the protection kit; absent where the engine takes none. */
  kit?:
    | {
        /** False where the shop has to confirm that a kit is made for it. */
        certain: boolean;
        labourHours: Range;
        /** True where one more return fitting is needed. */
        extraReturnFitting: boolean;
        /** Whether the intake manifold comes off for it. */
        opensIntake: boolean;
        /** Which filter bracket the kit needs. */
        bracket: string;
        source: string;
      }
    | undefined;
  /** What to say about a recall that may have changed the pump already. */
  recallHint?: (InBothLanguages & { source: string }) | undefined;
}

export type Family = DieselFamily | GasolineFamily;

/** All engine families of flows/vehicles/, checked. */
export interface Vehicles {
  families: readonly Family[];
  byId: ReadonlyMap<string, Family>;
}

type EngineEntry = VehiclesFile['engines'][number];

/**
 * Reads the files of flows/vehicles/ among `files` and checks them: shape, unique ids, and per engine that the year
 * ranges neither overlap nor leave a gap that is not declared.
 */
export function compileVehicles(files: readonly FlowFile[]): Checked<Vehicles> {
  const mine = files.filter((file) => /(^|\/)flows\/vehicles\/[^/]+\.ya?ml$/.test(file.path));
  if (mine.length === 0) {
    return unsound([{ file: 'flows/vehicles', line: 1, message: 'no file describes the engine families' }]);
  }
  const parsed = mine.map((file) => parseFlowYaml(file, VehiclesFile));
  const faults = parsed.flatMap((file) => (file.ok ? [] : file.findings));
  const located = parsed.flatMap((file) => (file.ok ? [file.value] : []));
  const findings = [...faults, ...checkEngines(located)];
  if (findings.length > 0) return unsound(findings);
  const families = located.flatMap((file: LocatedYaml<VehiclesFile>) => file.value.engines.flatMap(familiesOf));
  return sound({ families, byId: new Map(families.map((family) => [family.id, family])) });
}

function familiesOf(engine: EngineEntry): Family[] {
  const { id, litres, cylinders, layout } = engine;
  const shared = (family: EngineEntry['families'][number]): EngineOfFamily => ({
    id: family.id,
    engine: id,
    litres,
    cylinders,
    layout,
    years: { from: family.years.from, to: family.years.to === 'now' ? null : family.years.to },
  });
  if (engine.fuel === 'gasoline') {
    return engine.families.map((family) => ({ ...shared(family), fuel: 'gasoline' as const }));
  }
  const sourced = <Part extends { source?: string | undefined }>(part: Part) => ({
    ...part,
    source: part.source ?? engine.source,
  });
  return engine.families.map((family): DieselFamily => ({
    ...shared(family),
    fuel: 'diesel',
    fuelSystem: sourced(family.fuelSystem),
    egrCooler: sourced(family.egrCooler),
    particulateFilter: sourced(family.particulateFilter),
    exhaustFluid: sourced(family.exhaustFluid),
    breather: sourced(family.breather),
    fuelFilter: sourced(family.fuelFilter),
    oil: sourced(family.oil),
    ...(family.kit && { kit: sourced({ ...family.kit, labourHours: rangeOf(family.kit.labourHours) }) }),
    ...(family.recallHint && { recallHint: sourced(family.recallHint) }),
  }));
}

const rangeOf = ([low, high]: readonly [number, number]): Range => ({ low, high });

/** Displacements are told to a tenth of a litre. */
const SAME_LITRES = 0.05;

/**
 * The families that a truck with these facts can belong to; empty facts give all of them, facts that fit no engine of
 * the book none. A fact in `unsure` counts as unknown. A known engineFamily decides alone.
 */
export function familiesFor(facts: Facts, vehicles: Vehicles): Family[] {
  const known = <K extends FactKey>(key: K): Facts[K] => (facts.unsure?.includes(key) ? undefined : facts[key]);
  const told = vehicles.byId.get(known('engineFamily') ?? '');
  if (told) return [told];
  const { litres, cylinders, layout, fuel, modelYear } = {
    litres: known('engineLitres'),
    cylinders: known('cylinders'),
    layout: known('layout'),
    fuel: known('fuel'),
    modelYear: known('modelYear'),
  };
  return vehicles.families.filter(
    (family) =>
      (litres === undefined || Math.abs(family.litres - litres) < SAME_LITRES) &&
      (cylinders === undefined || family.cylinders === cylinders) &&
      (layout === undefined || family.layout === layout) &&
      (fuel === undefined || family.fuel === fuel) &&
      (modelYear === undefined || builtIn(family, modelYear)),
  );
}

/** Whether the family was built in a model year. */
export function builtIn(family: Family, modelYear: number): boolean {
  return modelYear >= family.years.from && (family.years.to === null || modelYear <= family.years.to);
}

/** The diesel families among candidates. */
export const dieselOnly = (families: readonly Family[]): DieselFamily[] =>
  families.filter((family): family is DieselFamily => family.fuel === 'diesel');

/** Miles between fuel-filter changes: the family's figure, or its number of the owner's own oil changes if that is sooner. */
export function fuelFilterMiles(family: DieselFamily, oilChangeIntervalMiles?: number): number {
  const { miles, oilChanges } = family.fuelFilter;
  if (oilChanges === undefined || oilChangeIntervalMiles === undefined) return miles;
  return Math.min(miles, oilChanges * oilChangeIntervalMiles);
}
