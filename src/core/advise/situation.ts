import { DateTime } from 'luxon';
import type { Facts, FactKey } from '../model/facts.ts';
import { DANGER_SYMPTOMS, type Symptom } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';
import { FALSE, TRUE, UNKNOWN, type Comparison, type Truth } from './condition.ts';
import { familiesFor, fuelFilterMiles, type DieselFamily, type Family, type Vehicles } from './vehicles.ts';

/** What may still be true of a number: both ends inclusive; equal ends where it is known. */
export interface Span {
  low: number;
  high: number;
}

/** What may still be true of a list: members for certain, and whether that is all of them. */
export interface ListView {
  members: ReadonlySet<string>;
  closed: boolean;
  denied: ReadonlySet<string>;
}

export type View =
  | { kind: 'number'; span: Span }
  /** The values that are still possible. */
  | { kind: 'choice'; possible: readonly string[] }
  | { kind: 'list'; list: ListView };

/** The facts of one truck as the rules see them: each one known, or narrowed to what is still possible. */
export interface Situation {
  facts: Facts;
  /** The engine families that the truck can still belong to; none where its details contradict each other. */
  families: readonly Family[];
  view(fact: string): View;
  judge(comparison: Comparison): Truth;
}

const ANY_NUMBER: Span = { low: -Infinity, high: Infinity };
const NO_MILES: Span = { low: 0, high: Infinity };
const at = (value: number): Span => ({ low: value, high: value });
const minus = (a: Span, b: Span): Span => ({ low: a.low - b.high, high: a.high - b.low });
const number = (span: Span): View => ({ kind: 'number', span });
const choice = (possible: readonly string[]): View => ({ kind: 'choice', possible });
const NONE: ReadonlySet<string> = new Set();
const BOTH = ['true', 'false'];

/** A fact that is told and sure. */
export function sure<K extends FactKey>(facts: Facts, key: K): Facts[K] | undefined {
  return facts.unsure?.includes(key) ? undefined : facts[key];
}

function flag(value: boolean | undefined): View {
  return choice(value === undefined ? BOTH : [String(value)]);
}

/** The symptoms: told they are closed; a danger symptom that is unsure counts until it is denied. */
export function symptomsOf(facts: Facts): ListView {
  const denied: ReadonlySet<string> = new Set(facts.deniedSymptoms ?? []);
  const told = facts.symptoms;
  if (told === undefined) return { members: NONE, closed: false, denied };
  if (!facts.unsure?.includes('symptoms')) return { members: new Set(told), closed: true, denied: NONE };
  const dangers = told.filter((symptom) => isDanger(symptom) && !denied.has(symptom));
  return { members: new Set(dangers), closed: false, denied };
}

export const isDanger = (symptom: Symptom): boolean => (DANGER_SYMPTOMS as readonly Symptom[]).includes(symptom);

/** Puts the facts of one truck into the form that rules read. `today` serves what is due by months, and nothing else. */
export function situationOf(facts: Facts, vehicles: Vehicles, today?: IsoDate): Situation {
  const families = familiesFor(facts, vehicles);
  const views = new Map<string, View>();
  const view = (fact: string): View => {
    let found = views.get(fact);
    if (!found) {
      const derive = DERIVED[fact];
      if (!derive) throw new Error(`no such fact: ${fact}`);
      found = derive(facts, families, today);
      views.set(fact, found);
    }
    return found;
  };
  return { facts, families, view, judge: (comparison) => compare(view(comparison.fact), comparison) };
}

type Derive = (facts: Facts, families: readonly Family[], today?: IsoDate) => View;

const odometer = (facts: Facts): Span => {
  const miles = sure(facts, 'odometerMiles');
  return miles === undefined ? NO_MILES : at(miles);
};

/** Miles since an odometer value of the past; one above the present odometer contradicts it and counts as unknown. */
function since(
  facts: Facts,
  key: 'lastFuelFilterMiles' | 'lastOilChangeMiles' | 'pumpFittedAtMiles',
): Span | undefined {
  const now = sure(facts, 'odometerMiles');
  const then = sure(facts, key);
  if (then === undefined) return undefined;
  if (now === undefined) return NO_MILES;
  return then > now ? undefined : at(now - then);
}

/** The least and greatest of a figure over all the families that are possible; undefined where none of them tells. */
function overFamilies(
  families: readonly Family[],
  figure: (family: DieselFamily) => number | undefined,
): Span | undefined {
  let span: Span | undefined;
  for (const family of families) {
    const value = family.fuel === 'diesel' ? (figure(family) ?? Infinity) : Infinity;
    span = span ? { low: Math.min(span.low, value), high: Math.max(span.high, value) } : at(value);
  }
  return span;
}

function ofFamilies(families: readonly Family[], values: readonly string[], value: (family: Family) => string): View {
  if (families.length === 0) return choice(values);
  return choice([...new Set(families.map(value))]);
}

const EQUIPMENT = ['yes', 'no', 'some'];
const equipment =
  (part: 'egrCooler' | 'particulateFilter' | 'exhaustFluid' | 'breather'): Derive =>
  (_facts, families) =>
    ofFamilies(families, EQUIPMENT, (family) => (family.fuel === 'diesel' ? family[part].fitted : 'no'));

export const PUMP_DESIGNS = [
  'two-plunger',
  'three-plunger',
  'other-common-rail',
  'oil-actuated',
  'rotary',
  'inline-mechanical',
  'gasoline',
  'changed',
];

const pumpDesign: Derive = (facts, families) => {
  const replaced = sure(facts, 'pumpReplaced');
  if (replaced === true) return choice(['changed']);
  if (families.length === 0) return choice(PUMP_DESIGNS);
  const possible = new Set<string>();
  for (const family of families) {
    possible.add(family.fuel === 'diesel' ? family.fuelSystem.design : 'gasoline');
    if (replaced === undefined && family.fuel === 'diesel' && family.recallHint) possible.add('changed');
  }
  return choice([...possible]);
};

const fuelFilterLeft: Derive = (facts, families) => {
  const interval = overFamilies(families, (family) => fuelFilterMiles(family, sure(facts, 'oilChangeIntervalMiles')));
  if (!interval) return number(ANY_NUMBER);
  return number(minus(interval, since(facts, 'lastFuelFilterMiles') ?? odometer(facts)));
};

const fuelFilterMonths: Derive = (facts, families, today) => {
  const last = sure(facts, 'lastFuelFilterDate');
  const months = overFamilies(families, (family) => family.fuelFilter.months);
  if (!last || !today || !months) return number(ANY_NUMBER);
  return number(minus(months, at(DateTime.fromISO(today).diff(DateTime.fromISO(last), 'months').months)));
};

const oilLeft: Derive = (facts, families) => {
  const told = sure(facts, 'oilChangeIntervalMiles');
  const interval = told === undefined ? overFamilies(families, (family) => family.oil.miles) : at(told);
  const miles = since(facts, 'lastOilChangeMiles');
  return number(interval && miles ? minus(interval, miles) : ANY_NUMBER);
};

const DERIVED: Record<string, Derive> = {
  symptoms: (facts) => ({ kind: 'list', list: symptomsOf(facts) }),
  troubleCodes: (facts) => {
    const codes = sure(facts, 'troubleCodes');
    return { kind: 'list', list: { members: new Set(codes ?? []), closed: codes !== undefined, denied: NONE } };
  },
  intent: (facts) => choice(facts.intent ? [facts.intent] : ['service']),
  coverageTold: (facts) => flag(facts.coverage !== undefined && facts.coverage !== ''),
  odometerMiles: (facts) => number(odometer(facts)),
  tows: (facts) => flag(sure(facts, 'tows')),
  breatherOriginal: (facts) => flag(sure(facts, 'breatherOriginal')),
  pumpProtected: (facts) => flag(sure(facts, 'pumpProtected')),
  pumpReplaced: (facts) => flag(sure(facts, 'pumpReplaced')),
  metalFound: (facts) => flag(sure(facts, 'metalFound')),
  engineFuel: (facts, families) => {
    const told = sure(facts, 'fuel');
    return told ? choice([told]) : ofFamilies(families, ['diesel', 'gasoline'], (family) => family.fuel);
  },
  pumpDesign,
  recallMayHaveChangedPump: (_facts, families) =>
    ofFamilies(families, BOTH, (family) => String(family.fuel === 'diesel' && family.recallHint !== undefined)),
  egrCooler: equipment('egrCooler'),
  particulateFilter: equipment('particulateFilter'),
  exhaustFluid: equipment('exhaustFluid'),
  breatherFitted: equipment('breather'),
  milesOnPump: (facts) => number(since(facts, 'pumpFittedAtMiles') ?? odometer(facts)),
  fuelFilterHistory: (facts) => choice([since(facts, 'lastFuelFilterMiles') ? 'known' : 'unknown']),
  fuelFilterMilesLeft: fuelFilterLeft,
  fuelFilterMonthsLeft: fuelFilterMonths,
  milesSinceFuelWork: (facts) => {
    const filter = since(facts, 'lastFuelFilterMiles');
    const pump = since(facts, 'pumpFittedAtMiles');
    if (!filter || !pump) return number(filter ?? pump ?? NO_MILES);
    return number({ low: Math.min(filter.low, pump.low), high: Math.min(filter.high, pump.high) });
  },
  oilMilesLeft: oilLeft,
  breatherMilesLeft: (facts, families) => {
    const interval = overFamilies(families, (family) => family.breather.miles);
    return number(interval ? minus(interval, odometer(facts)) : ANY_NUMBER);
  },
};

/** The facts that rules may speak of. */
export const RULE_FACTS: readonly string[] = Object.keys(DERIVED);

function compare(view: View, comparison: Comparison): Truth {
  switch (view.kind) {
    case 'number': {
      if ('has' in comparison) return UNKNOWN;
      const { low, high } = view.span;
      if ('is' in comparison || 'isOneOf' in comparison) {
        const values = 'is' in comparison ? [comparison.is] : comparison.isOneOf;
        if (low === high) return values.includes(low) ? TRUE : FALSE;
        return values.some((value) => Number(value) >= low && Number(value) <= high) ? UNKNOWN : FALSE;
      }
      const { from = -Infinity, below = Infinity } = comparison;
      if (low >= from && high < below) return TRUE;
      return high < from || low >= below ? FALSE : UNKNOWN;
    }
    case 'choice': {
      if (!('is' in comparison) && !('isOneOf' in comparison)) return UNKNOWN;
      const wanted = 'is' in comparison ? [String(comparison.is)] : comparison.isOneOf.map(String);
      const fits = view.possible.filter((value) => wanted.includes(value)).length;
      return fits === 0 ? FALSE : fits === view.possible.length ? TRUE : UNKNOWN;
    }
    case 'list': {
      if (!('has' in comparison)) return UNKNOWN;
      const wanted = typeof comparison.has === 'string' ? [comparison.has] : comparison.has;
      const { members, closed, denied } = view.list;
      if (wanted.some((id) => members.has(id))) return TRUE;
      return closed || wanted.every((id) => denied.has(id)) ? FALSE : UNKNOWN;
    }
    default: {
      const never: never = view;
      return never;
    }
  }
}
