import type { Facts, FactKey } from '../model/facts.ts';
import type { DieselFamily, Family, FuelSystemDesign, Vehicles } from './vehicles.ts';

/** The facts that tell the engine, in the order in which they are applied. */
export const ENGINE_FACTS = [
  'engineLitres',
  'fuel',
  'layout',
  'cylinders',
  'modelYear',
] as const satisfies readonly FactKey[];
export type EngineFact = (typeof ENGINE_FACTS)[number];

export const DESIGNS = [
  'two-plunger',
  'three-plunger',
  'other-common-rail',
  'oil-actuated',
  'rotary',
  'inline-mechanical',
  'gasoline',
  'changed',
] as const;
export const EQUIPMENT_VALUES = ['yes', 'no', 'some'] as const;

/** Both ends inclusive; Infinity where a family has no such interval. */
interface Figures {
  low: number;
  high: number;
}

/** A set of families that the truck can belong to, and what they have in common. Choices are bit sets of values. */
export interface EngineClass {
  id: number;
  /** Their places in the book. */
  indexes: readonly number[];
  /** The fuel that was told: it is believed, also where the book knows no such engine. */
  fuelTold: 'diesel' | 'gasoline' | undefined;
  families: readonly Family[];
  /** Bit sets over DESIGNS, EQUIPMENT_VALUES and [diesel, gasoline]; all bits where no family is left. */
  designs: number;
  fuels: number;
  egrCooler: number;
  particulateFilter: number;
  exhaustFluid: number;
  breather: number;
  /** Bit 0: some family's pump design is certain; bit 1: some family's is not. */
  designCertain: number;
  /** Bit 0: some family has no recall that may have changed the pump; bit 1: some family has one. */
  recall: number;
  /** Bit 0: some family's kit is fitted with the intake manifold on; bit 1: some family's opens it. */
  kitOpensIntake: number;
  /** No (1) where a model year was told in which no such engine was built, yes (2) otherwise. */
  yearFits: number;
  /** Distinct fuel-filter intervals; empty where no family is left. */
  fuelFilters: readonly { miles: number; oilChanges: number | undefined }[];
  fuelFilterMonths: Figures;
  oilMiles: Figures;
  breatherMiles: Figures;
}

const NO_FIGURES: Figures = { low: -Infinity, high: Infinity };

/** What an engine question can be answered with; one value stands for all that select the same families. */
export type EngineAnswers = Partial<Record<EngineFact, string | number>>;

/** A displacement, or that it is a diesel, is taken as told, also where the book then knows no such engine. */
const isBelieved = (fact: EngineFact, value: string | number): boolean => fact === 'engineLitres' || value === 'diesel';

const EMPTY: EngineAnswers = {};
const YEAR_IS_WRONG = 1;
const YEAR_FITS = 2;

/**
 * Finds the families that a truck can belong to. The facts are applied one after the other, and one that would leave
 * no family contradicts the rest and is passed over; a displacement that the book does not know, or knows as
 * gasoline alone where a diesel is told, leaves none.
 */
export class Engines {
  readonly #families: readonly Family[];
  readonly #byId: ReadonlyMap<string, Family>;
  readonly #classes = new Map<string, EngineClass>();
  /** What a class becomes by one more fact, so that nothing is filtered twice. */
  readonly #narrowed = new Map<EngineClass, Map<string | number, EngineClass>>();
  readonly #values = new Map<EngineFact, readonly (string | number)[]>();
  /** Nothing known: every family of the book. */
  readonly everything: EngineClass;

  constructor(vehicles: Vehicles) {
    this.#families = vehicles.families;
    this.#byId = vehicles.byId;
    this.everything = this.#classFor(
      vehicles.families.map((_, index) => index),
      undefined,
    );
  }

  /** The class of a truck's facts; a known engineFamily decides alone. */
  classOf(facts: Facts): EngineClass {
    const told = this.told(facts);
    if (told) return this.#classFor([this.#families.indexOf(told)], undefined);
    let left = this.everything;
    const answers = engineAnswers(facts);
    for (const fact of ENGINE_FACTS) {
      const value = answers[fact];
      if (value !== undefined) left = this.narrow(left, fact, value);
    }
    return left;
  }

  /** Every family by itself. */
  get families(): EngineClass[] {
    return this.#families.map((_, index) => this.#classFor([index], undefined));
  }

  /** The family that is set, where one is. */
  told(facts: Facts): Family | undefined {
    const { engineFamily, unsure } = facts;
    return engineFamily && !unsure?.includes('engineFamily') ? this.#byId.get(engineFamily) : undefined;
  }

  /** True where a fact was passed over, or where the book knows no such engine. */
  contradicts(facts: Facts): boolean {
    if (this.told(facts)) return false;
    let left = this.everything;
    const answers = engineAnswers(facts);
    for (const fact of ENGINE_FACTS) {
      const value = answers[fact];
      if (value === undefined) continue;
      if (!left.indexes.some((index) => this.#fits(index, fact, value))) return true;
      left = this.narrow(left, fact, value);
    }
    return false;
  }

  /** Whether the model year that was told is one in which the engine as told was built. */
  yearFits(facts: Facts): boolean {
    return this.classOf(facts).yearFits === YEAR_FITS;
  }

  /** A class after one more fact. */
  narrow(left: EngineClass, fact: EngineFact, value: string | number): EngineClass {
    let next = this.#narrowed.get(left);
    if (!next) this.#narrowed.set(left, (next = new Map()));
    const key = typeof value === 'string' ? value : fact === 'engineLitres' ? Math.round(value * 10) : value + 1000;
    let found = next.get(key);
    if (!found) {
      const indexes = left.indexes.filter((index) => this.#fits(index, fact, value));
      const fits = indexes.length > 0 || left.indexes.length === 0;
      const yearFits = left.yearFits === YEAR_FITS && (fact !== 'modelYear' || fits);
      const fuel = fact === 'fuel' ? (value === 'diesel' ? 'diesel' : 'gasoline') : left.fuelTold;
      found = this.#classFor(indexes.length > 0 || isBelieved(fact, value) ? indexes : left.indexes, fuel, yearFits);
      next.set(key, found);
    }
    return found;
  }

  #fits(index: number, fact: EngineFact, value: string | number): boolean {
    const family = this.#families[index];
    if (!family) return false;
    switch (fact) {
      case 'engineLitres':
        return Math.round(family.litres * 10) === Math.round(Number(value) * 10);
      case 'fuel':
        return family.fuel === value;
      case 'layout':
        return family.layout === value;
      case 'cylinders':
        return family.cylinders === value;
      case 'modelYear':
        return Number(value) >= family.years.from && Number(value) <= (family.years.to ?? Infinity);
      default: {
        const never: never = fact;
        return never;
      }
    }
  }

  /** All values of an engine fact that tell families apart, with one that fits none. */
  valuesOf(fact: EngineFact): readonly (string | number)[] {
    let values = this.#values.get(fact);
    if (!values) this.#values.set(fact, (values = this.#distinctValues(fact)));
    return values;
  }

  #distinctValues(fact: EngineFact): readonly (string | number)[] {
    const distinct = <T>(values: T[]): T[] => [...new Set(values)];
    switch (fact) {
      case 'engineLitres':
        return [...distinct(this.#families.map(({ litres }) => litres)), 29.9];
      case 'fuel':
        return ['diesel', 'gasoline'];
      case 'layout':
        return ['V', 'I'];
      case 'cylinders':
        return [...distinct(this.#families.map(({ cylinders }) => cylinders)), 16];
      case 'modelYear': {
        const ends = this.#families.flatMap(({ years }) => (years.to === null ? [] : [years.to + 1]));
        return distinct([1900, ...this.#families.map(({ years }) => years.from), ...ends]).sort((a, b) => a - b);
      }
      default: {
        const never: never = fact;
        return never;
      }
    }
  }

  #classFor(indexes: readonly number[], fuelTold: EngineClass['fuelTold'], fits = true): EngineClass {
    const key = `${indexes.join()}/${fuelTold}/${fits}`;
    let found = this.#classes.get(key);
    if (!found) {
      const families = indexes.flatMap((index) => this.#families[index] ?? []);
      const yearFits = fits ? YEAR_FITS : YEAR_IS_WRONG;
      found = { id: this.#classes.size, indexes, fuelTold, yearFits, ...summarise(families, fuelTold) };
      this.#classes.set(key, found);
    }
    return found;
  }
}

/** The engine facts that are told and sure. */
export function engineAnswers(facts: Facts): EngineAnswers {
  const { unsure } = facts;
  let answers: EngineAnswers | undefined;
  for (const fact of ENGINE_FACTS) {
    const value = facts[fact];
    if (value !== undefined && !unsure?.includes(fact)) (answers ??= {})[fact] = value;
  }
  return answers ?? EMPTY;
}

const fuelBit = (fuel: 'diesel' | 'gasoline'): number => (fuel === 'diesel' ? 1 : 2);

type Summary = Omit<EngineClass, 'id' | 'indexes' | 'fuelTold' | 'yearFits'>;

function summarise(families: readonly Family[], fuelTold: EngineClass['fuelTold']): Summary {
  const bits = (all: number, bit: (family: Family) => number): number =>
    families.length === 0 ? all : families.reduce((set, family) => set | bit(family), 0);
  const diesel = (family: Family): DieselFamily | undefined => (family.fuel === 'diesel' ? family : undefined);
  const designBit = (design: FuelSystemDesign | 'gasoline'): number => 1 << DESIGNS.indexOf(design);
  const equipment = (part: 'egrCooler' | 'particulateFilter' | 'exhaustFluid' | 'breather'): number =>
    bits(7, (family) => 1 << EQUIPMENT_VALUES.indexOf(diesel(family)?.[part].fitted ?? 'no'));
  const figures = (figure: (family: DieselFamily) => number | undefined): Figures => {
    const values = families.map((family) => (family.fuel === 'diesel' ? (figure(family) ?? Infinity) : Infinity));
    return values.length === 0 ? NO_FIGURES : { low: Math.min(...values), high: Math.max(...values) };
  };
  const filters = families.map((family) => ({
    miles: diesel(family)?.fuelFilter.miles ?? Infinity,
    oilChanges: diesel(family)?.fuelFilter.oilChanges,
  }));
  return {
    families,
    designs: bits((1 << DESIGNS.length) - 1, (family) => designBit(diesel(family)?.fuelSystem.design ?? 'gasoline')),
    fuels: fuelTold ? fuelBit(fuelTold) : bits(3, (family) => fuelBit(family.fuel)),
    egrCooler: equipment('egrCooler'),
    particulateFilter: equipment('particulateFilter'),
    exhaustFluid: equipment('exhaustFluid'),
    breather: equipment('breather'),
    designCertain: bits(3, (family) => (diesel(family)?.fuelSystem.certain === false ? 1 : 2)),
    kitOpensIntake: bits(3, (family) => (diesel(family)?.kit?.opensIntake ? 2 : 1)),
    recall: bits(3, (family) => (diesel(family)?.recallHint ? 2 : 1)),
    fuelFilters: [...new Map(filters.map((filter) => [`${filter.miles}/${filter.oilChanges}`, filter])).values()],
    fuelFilterMonths: figures((family) => family.fuelFilter.months),
    oilMiles: figures((family) => family.oil.miles),
    breatherMiles: figures((family) => family.breather.miles),
  };
}
