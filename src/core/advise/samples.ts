import type { ReadyRule } from './book.ts';
import { ANY_CODE } from './codes.ts';
import { idsOf, valuesNamed, type Comparison } from './condition.ts';
import type { EngineReach } from './engine-reach.ts';
import type { EngineClass } from './engines.ts';
import { RULE_FACTS } from './rule-facts.ts';
import { NO, UNTOLD, YES, type ListView, type Situation } from './situation.ts';
import { boundsOf, type Variable } from './variables.ts';

/** What one variable can be answered with: the part of a situation that it sets. */
export type Sample = Partial<Situation>;

const NOTHING: ReadonlySet<string> = new Set();
const MILES_LIMIT = 5_000_000;

/** The constants, lists and engine figures that a set of rules looks at: whatever answers must tell apart. */
export interface Outlook {
  bounds: Readonly<Record<string, readonly number[]>>;
  symptoms: { wanted: readonly (readonly string[])[]; against: readonly string[] };
  codes: readonly ReadonlySet<string>[];
  /** Every member of a list that the rules name. */
  seen: { symptoms: readonly string[]; codes: readonly string[] };
  /** A text that is the same for engine classes that these rules cannot tell apart. */
  signature: (engine: EngineClass) => string;
}

/** Gathers what a set of rules looks at. `codeSets` are the ways in which one code falls into groups. */
export function outlookOf(
  rules: readonly Pick<ReadyRule, 'comparisons'>[],
  codeSets: readonly ReadonlySet<string>[],
): Outlook {
  const all = rules.flatMap(({ comparisons }) => [...comparisons.when, ...comparisons.unless]);
  const bounds: Record<string, number[]> = {};
  for (const comparison of all) (bounds[comparison.fact] ??= []).push(...boundsOf(comparison));
  const listed = (comparisons: readonly Comparison[], fact: string): string[] =>
    comparisons.flatMap((one) => (one.fact === fact && 'has' in one ? idsOf(one.has) : []));
  const perRule = rules.map(({ comparisons }) => listed(comparisons.when, 'symptoms'));
  const needed = rules.flatMap(({ comparisons }) => {
    const lists = comparisons.when.flatMap((one) => (one.fact === 'symptoms' && 'has' in one ? [idsOf(one.has)] : []));
    return lists.length > 1 ? combinations(lists) : [];
  });
  const groups = new Set(listed(all, 'codeGroups'));
  const against = new Set(rules.flatMap(({ comparisons }) => listed(comparisons.unless, 'codeGroups')));
  const visible = codeSets.map((set) => [...set].filter((id) => groups.has(id) || id === ANY_CODE));
  const blocks = [[], ...visible.filter((ids) => ids.some((id) => against.has(id)))];
  const sets = groups.size === 0 ? [] : visible.flatMap((ids) => blocks.map((block) => new Set([...ids, ...block])));
  const codes = new Map(sets.map((set) => [[...set].sort().join(), set]));
  return {
    bounds,
    symptoms: {
      wanted: [[], ...[...new Set(perRule.flat())].map((id) => [id]), ...needed],
      against: [...new Set(rules.flatMap(({ comparisons }) => listed(comparisons.unless, 'symptoms')))],
    },
    codes: [...codes.values()],
    seen: { symptoms: [...new Set(listed(all, 'symptoms'))], codes: [...groups] },
    signature: signatureOf(all),
  };
}

/** One id out of each list, in all ways. */
function combinations(lists: readonly string[][]): string[][] {
  return lists.reduce<string[][]>((made, list) => made.flatMap((ids) => list.map((id) => [...ids, id])), [[]]);
}

type Signature = Outlook['signature'];

/** What a choice of an engine is by the values that it can have. */
const CHOICES: Readonly<Record<string, (engine: EngineClass) => number>> = {
  engineFuel: ({ fuels }) => fuels,
  pumpDesign: ({ designs }) => designs,
  pumpDesignCertain: ({ designCertain }) => designCertain,
  recallMayHaveChangedPump: ({ recall }) => recall,
  kitOpensIntake: ({ kitOpensIntake }) => kitOpensIntake,
  yearFits: ({ yearFits }) => yearFits,
  egrCooler: ({ egrCooler }) => egrCooler,
  particulateFilter: ({ particulateFilter }) => particulateFilter,
  exhaustFluid: ({ exhaustFluid }) => exhaustFluid,
  breatherFitted: ({ breather }) => breather,
};
const FIGURES = ['fuelFilterMonthsLeft', 'oilMilesLeft', 'breatherMilesLeft', 'fuelFilterMilesLeft'];

const signatures = new Map<string, Signature>();

/** One and the same function for comparisons that ask the same of an engine. */
function signatureOf(comparisons: readonly Comparison[]): Signature {
  const choices = comparisons.flatMap((one) => {
    const fact = RULE_FACTS[one.fact];
    return CHOICES[one.fact] && fact?.kind === 'choice' ? [`${one.fact}=${valuesNamed(one, fact.values)}`] : [];
  });
  const figures = FIGURES.filter((fact) => comparisons.some((one) => one.fact === fact));
  const key = [...new Set([...choices, ...figures])].sort().join();
  let signature = signatures.get(key);
  if (!signature) signatures.set(key, (signature = newSignature(key === '' ? [] : key.split(','))));
  return signature;
}

function newSignature(asked: readonly string[]): Signature {
  const parts = asked.map((one): ((engine: EngineClass) => string | number) => {
    const [fact = '', values] = one.split('=');
    const choice = CHOICES[fact];
    if (!choice) return figureOf(fact);
    const wanted = Number(values);
    const truth = (engine: EngineClass) => ((choice(engine) & wanted) === 0 ? 0 : choice(engine) & ~wanted ? 1 : 2);
    // Where a recall may have changed the pump, its design is open for as long as nobody has said.
    return fact === 'pumpDesign' ? (engine) => `${truth(engine)}${engine.recall & YES ? 'r' : ''}` : truth;
  });
  const signed = new WeakMap<EngineClass, string>();
  return (engine) => {
    let signature = signed.get(engine);
    if (signature === undefined) {
      signature = parts.map((part) => part(engine)).join('|');
      signed.set(engine, signature);
    }
    return signature;
  };
}

function figureOf(fact: string): (engine: EngineClass) => string {
  const span = ({ low, high }: { low: number; high: number }) => `${low}:${high}`;
  switch (fact) {
    case 'fuelFilterMonthsLeft':
      return ({ fuelFilterMonths }) => span(fuelFilterMonths);
    case 'oilMilesLeft':
      return ({ oilMiles }) => span(oilMiles);
    case 'breatherMilesLeft':
      return ({ breatherMiles }) => span(breatherMiles);
    default:
      return filtersAtTheEnds;
  }
}

/** The filter intervals that can be the shortest or the longest of all, whatever the owner's oil changes are. */
function filtersAtTheEnds({ fuelFilters }: EngineClass): string {
  const counts = ({ oilChanges = Infinity }: EngineClass['fuelFilters'][number]) => oilChanges;
  const within = fuelFilters.filter((one) => {
    const others = fuelFilters.filter((other) => other !== one);
    const longer = others.some((other) => other.miles >= one.miles && counts(other) >= counts(one));
    const shorter = others.some((other) => other.miles <= one.miles && counts(other) <= counts(one));
    return longer && shorter;
  });
  const ends = fuelFilters.filter((one) => !within.includes(one));
  return ends
    .map((one) => `${one.miles}/${counts(one)}`)
    .sort()
    .join();
}

/** Answers to one variable that stand for all of its answers, given the rest of a situation. */
export function samplesOf(variable: Variable, base: Situation, outlook: Outlook, reach: EngineReach): Sample[] {
  switch (variable) {
    case 'engine':
      return reach.classes.map((engine) => ({ engine }));
    case 'symptoms':
      return symptomSamples(base.symptoms, outlook).map((symptoms) => ({ symptoms }));
    case 'troubleCodes': {
      const sets = [NOTHING, ...outlook.codes];
      return sets.map((members) => ({ codes: { members, closed: true, denied: NOTHING } }));
    }
    case 'odometerMiles':
    case 'pumpFittedAtMiles':
    case 'lastFuelFilterMiles':
    case 'lastOilChangeMiles':
    case 'oilChangeIntervalMiles':
      return around(mileBounds(variable, base, outlook, reach)).map((miles) => ({ [variable]: miles }));
    case 'lastFuelFilterDate': {
      const months = [0, 1200, ...reach.figures.filterMonths.flatMap((figure) => [figure - 0.01, figure + 0.01])];
      return months.map((monthsSinceFuelFilter) => ({ monthsSinceFuelFilter }));
    }
    case 'metalFound':
    case 'pumpProtected':
    case 'pumpReplaced':
    case 'breatherOriginal':
    case 'tows':
      return [{ [variable]: YES }, { [variable]: NO }];
    default: {
      const never: never = variable;
      return never;
    }
  }
}

function symptomSamples(present: ListView, outlook: Outlook): ListView[] {
  const { wanted, against } = outlook.symptoms;
  const blocks = [[], ...against.map((id) => [id])];
  const sets = wanted.flatMap((ids) => blocks.map((block) => [...ids, ...block]));
  const allowed = sets.filter((ids) => !ids.some((id) => present.denied.has(id)));
  const distinct = new Map(allowed.map((ids) => [[...new Set(ids)].sort().join(), ids]));
  return [...distinct.values()].map((ids) => ({
    members: new Set([...present.members, ...ids]),
    closed: true,
    denied: NOTHING,
  }));
}

/** Engine classes that the rules can tell apart, one of each. */
export function distinctEngines(reach: EngineReach, { signature }: Outlook): Sample[] {
  const breadth = ({ families }: EngineClass): number => families.length || Infinity;
  const narrowFirst = [...reach.classes].sort((a, b) => breadth(a) - breadth(b));
  return [...new Map(narrowFirst.reverse().map((engine) => [signature(engine), engine])).values()]
    .reverse()
    .map((engine) => ({ engine }));
}

/** Each bound, and the miles just before and after it, within what an odometer can show. */
function around(bounds: readonly number[]): number[] {
  const values = bounds.filter(Number.isFinite).flatMap((bound) => {
    const whole = Math.round(bound);
    return [whole - 1, whole, whole + 1];
  });
  return [...new Set([0, ...values])].filter((miles) => miles >= 0 && miles <= MILES_LIMIT);
}

/** Miles at which a rule can change its mind about one variable, given the others. */
function mileBounds(variable: Variable, s: Situation, outlook: Outlook, reach: EngineReach): number[] {
  const { bounds } = outlook;
  const of = (fact: string): readonly number[] => bounds[fact] ?? [];
  const past = (miles: number): number => Math.max(miles, 0);
  const { figures } = reach;
  const told = s.oilChangeIntervalMiles;
  const filters = [
    ...figures.filterMiles,
    ...(told === UNTOLD ? [] : figures.filterOilChanges.map((count) => count * told)),
  ];
  const less = (lengths: readonly number[], fact: string) =>
    lengths.flatMap((length) => of(fact).map((bound) => length - bound));
  const filterMiles = less(filters, 'fuelFilterMilesLeft');
  const oilMiles = less(told === UNTOLD ? figures.oilMiles : [told], 'oilMilesLeft');
  const now = s.odometerMiles;
  const since = (then: number): number => (then === UNTOLD || then > now ? now : now - then);
  switch (variable) {
    case 'odometerMiles':
      return [
        ...of('odometerMiles'),
        ...of('milesOnPump').map((bound) => bound + past(s.pumpFittedAtMiles)),
        ...of('milesSinceFuelWork').flatMap((bound) => [
          bound + past(s.lastFuelFilterMiles),
          bound + past(s.pumpFittedAtMiles),
        ]),
        ...filterMiles.map((miles) => miles + past(s.lastFuelFilterMiles)),
        ...oilMiles.map((miles) => miles + past(s.lastOilChangeMiles)),
        ...less(figures.breatherMiles, 'breatherMilesLeft'),
        s.lastFuelFilterMiles,
        s.pumpFittedAtMiles,
        s.lastOilChangeMiles,
      ];
    case 'pumpFittedAtMiles':
      if (now === UNTOLD) return [];
      return [now, ...[...of('milesOnPump'), ...of('milesSinceFuelWork')].map((bound) => now - bound)];
    case 'lastFuelFilterMiles':
      if (now === UNTOLD) return [];
      return [now, ...[...filterMiles, ...of('milesSinceFuelWork')].map((miles) => now - miles)];
    case 'lastOilChangeMiles':
      return now === UNTOLD ? [] : [now, ...oilMiles.map((miles) => now - miles)];
    case 'oilChangeIntervalMiles': {
      const filter = figures.filterOilChanges.flatMap((count) =>
        of('fuelFilterMilesLeft').map((bound) => (since(s.lastFuelFilterMiles) + bound) / count),
      );
      const oil = of('oilMilesLeft').map((bound) => since(s.lastOilChangeMiles) + bound);
      return now === UNTOLD ? [MILES_LIMIT] : [...filter, ...oil, MILES_LIMIT];
    }
    default:
      return [];
  }
}
