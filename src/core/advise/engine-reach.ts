import { ENGINE_FACTS, type EngineAnswers, type EngineClass, type EngineFact, type Engines } from './engines.ts';
import type { Outlook } from './samples.ts';

/** The classes before and after an answer. */
export type EnginePair = readonly [EngineClass, EngineClass];
export type EnginePairs = Map<EngineFact, readonly EnginePair[]>;

/** What an engine that is not fully told can still turn out to be. */
export interface EngineReach {
  /** One for each reach that is walked. */
  serial: number;
  /** Every class that further answers can lead to, the present one first. */
  classes: readonly EngineClass[];
  /** For each open engine fact the pairs of classes before and after its answer, whatever else is answered. */
  pairs: ReadonlyMap<EngineFact, readonly EnginePair[]>;
  /** The pairs that a set of rules can tell apart, once they were worked out. */
  distinct: Map<object, EnginePairs>;
  /** A number for what a set of rules can see of it. */
  numbers: Map<object, number>;
  /** All of them as one, for what holds whatever the answers. */
  hull: EngineClass;
  /** The distinct intervals of all of them: fuel filter, owner's oil changes to a filter, oil, breather, months. */
  figures: {
    filterMiles: readonly number[];
    filterOilChanges: readonly number[];
    oilMiles: readonly number[];
    breatherMiles: readonly number[];
    filterMonths: readonly number[];
  };
}

/** Walks all answers to the engine facts that are still open. */
export function reachOf(answers: EngineAnswers, engines: Engines, serial = 0): EngineReach {
  let reached: EngineClass[] = [engines.everything];
  for (const fact of ENGINE_FACTS) reached = advance(reached, fact, answers, engines);
  const pairs = new Map<EngineFact, EnginePair[]>();
  for (const open of ENGINE_FACTS) {
    if (answers[open] === undefined) pairs.set(open, pairsOf(open, answers, engines));
  }
  return reachFrom(reached, pairs, serial);
}

/** The reach of classes that were walked to; one class with no pairs is an engine that is fully told. */
export function reachFrom(classes: readonly EngineClass[], pairs: EngineReach['pairs'], serial = 0): EngineReach {
  return {
    serial,
    classes,
    pairs,
    distinct: new Map(),
    numbers: new Map(),
    hull: hullOf(classes),
    figures: figuresOf(classes),
  };
}

/** The distinct intervals of engine classes. */
export function figuresOf(classes: readonly EngineClass[]): EngineReach['figures'] {
  const finite = (values: readonly number[]): number[] => [...new Set(values)].filter(Number.isFinite);
  const ends = (part: (one: EngineClass) => { low: number; high: number }): number[] =>
    finite(classes.flatMap((one) => [part(one).low, part(one).high]));
  const filters = classes.flatMap(({ fuelFilters }) => fuelFilters);
  return {
    filterMiles: finite(filters.map(({ miles }) => miles)),
    filterOilChanges: finite(filters.flatMap(({ oilChanges }) => oilChanges ?? [])),
    oilMiles: ends(({ oilMiles }) => oilMiles),
    breatherMiles: ends(({ breatherMiles }) => breatherMiles),
    filterMonths: ends(({ fuelFilterMonths }) => fuelFilterMonths),
  };
}

function advance(
  from: readonly EngineClass[],
  fact: EngineFact,
  answers: EngineAnswers,
  engines: Engines,
): EngineClass[] {
  const told = answers[fact];
  if (told !== undefined) return distinct(from.map((left) => engines.narrow(left, fact, told)));
  const values = engines.valuesOf(fact);
  return distinct(from.flatMap((left) => [left, ...values.map((value) => engines.narrow(left, fact, value))]));
}

function pairsOf(open: EngineFact, answers: EngineAnswers, engines: Engines): EnginePair[] {
  let pairs: EnginePair[] = [[engines.everything, engines.everything]];
  let answered = false;
  for (const fact of ENGINE_FACTS) {
    const told = answers[fact];
    const next = new Map<number, EnginePair>();
    // Classes that have become one stay one, whatever else is answered.
    const add = (a: EngineClass, b: EngineClass) => {
      if (!answered || a !== b) next.set(a.id * 65536 + b.id, [a, b]);
    };
    for (const [a, b] of pairs) {
      if (fact === open) {
        answered = true;
        for (const value of engines.valuesOf(fact)) add(a, engines.narrow(b, fact, value));
      } else if (told !== undefined) {
        add(engines.narrow(a, fact, told), engines.narrow(b, fact, told));
      } else {
        add(a, b);
        for (const value of engines.valuesOf(fact)) add(engines.narrow(a, fact, value), engines.narrow(b, fact, value));
      }
    }
    pairs = [...next.values()];
  }
  return pairs;
}

const distinct = (classes: readonly EngineClass[]): EngineClass[] => [...new Set(classes)];

function hullOf(classes: readonly EngineClass[]): EngineClass {
  const bits = (part: (one: EngineClass) => number): number => classes.reduce((set, one) => set | part(one), 0);
  const figures = (part: (one: EngineClass) => { low: number; high: number }) => ({
    low: Math.min(...classes.map((one) => part(one).low)),
    high: Math.max(...classes.map((one) => part(one).high)),
  });
  const filters = classes.map(({ fuelFilters }) => fuelFilters);
  return {
    id: -1,
    indexes: [],
    fuelTold: undefined,
    families: [],
    designs: bits(({ designs }) => designs),
    fuels: bits(({ fuels }) => fuels),
    egrCooler: bits(({ egrCooler }) => egrCooler),
    particulateFilter: bits(({ particulateFilter }) => particulateFilter),
    exhaustFluid: bits(({ exhaustFluid }) => exhaustFluid),
    breather: bits(({ breather }) => breather),
    designCertain: bits(({ designCertain }) => designCertain),
    recall: bits(({ recall }) => recall),
    kitOpensIntake: bits(({ kitOpensIntake }) => kitOpensIntake),
    yearFits: bits(({ yearFits }) => yearFits),
    fuelFilters: filters.some(({ length }) => length === 0) ? [] : filters.flat(),
    fuelFilterMonths: figures(({ fuelFilterMonths }) => fuelFilterMonths),
    oilMiles: figures(({ oilMiles }) => oilMiles),
    breatherMiles: figures(({ breatherMiles }) => breatherMiles),
  };
}

/** The pairs of engine classes before and after an answer, as far as the rules can tell them apart. */
export function distinctPairs(reach: EngineReach, { signature }: Outlook): EnginePairs {
  let distinct = reach.distinct.get(signature);
  if (distinct) return distinct;
  distinct = new Map();
  for (const [fact, pairs] of reach.pairs) {
    const telling = new Map<string, EnginePair>();
    for (const pair of pairs) {
      const [before, after] = [signature(pair[0]), signature(pair[1])];
      if (before !== after) telling.set(`${before}>${after}`, pair);
    }
    if (telling.size > 0) distinct.set(fact, [...telling.values()]);
  }
  reach.distinct.set(signature, distinct);
  return distinct;
}
