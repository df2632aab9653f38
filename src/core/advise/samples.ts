import type { ReadyRule } from './book.ts';
import { ANY_CODE } from './codes.ts';
import { idsOf, type Comparison } from './condition.ts';
import type { EngineReach } from './engine-reach.ts';
import type { EngineClass } from './engines.ts';
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
export function outlookOf(rules: readonly ReadyRule[], codeSets: readonly ReadonlySet<string>[]): Outlook {
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
    signature: signatureOf(new Set(all.map(({ fact }) => fact))),
  };
}

/** One id out of each list, in all ways. */
function combinations(lists: readonly string[][]): string[][] {
  return lists.reduce<string[][]>((made, list) => made.flatMap((ids) => list.map((id) => [...ids, id])), [[]]);
}

function signatureOf(facts: ReadonlySet<string>): (engine: EngineClass) => string {
  const figures = ({ low, high }: { low: number; high: number }) => `${low}:${high}`;
  const parts: ((engine: EngineClass) => string | number)[] = [];
  if (facts.has('engineFuel')) parts.push(({ fuels }) => fuels);
  if (facts.has('pumpDesign')) parts.push(({ designs, recall }) => `${designs}:${recall}`);
  if (facts.has('pumpDesignCertain')) parts.push(({ designCertain }) => designCertain);
  if (facts.has('recallMayHaveChangedPump')) parts.push(({ recall }) => recall);
  if (facts.has('egrCooler')) parts.push(({ egrCooler }) => egrCooler);
  if (facts.has('particulateFilter')) parts.push(({ particulateFilter }) => particulateFilter);
  if (facts.has('exhaustFluid')) parts.push(({ exhaustFluid }) => exhaustFluid);
  if (facts.has('breatherFitted')) parts.push(({ breather }) => breather);
  if (facts.has('fuelFilterMonthsLeft')) parts.push(({ fuelFilterMonths }) => figures(fuelFilterMonths));
  if (facts.has('oilMilesLeft')) parts.push(({ oilMiles }) => figures(oilMiles));
  if (facts.has('breatherMilesLeft')) parts.push(({ breatherMiles }) => figures(breatherMiles));
  if (facts.has('fuelFilterMilesLeft')) {
    parts.push(({ fuelFilters }) => fuelFilters.map(({ miles, oilChanges }) => `${miles}/${oilChanges}`).join());
  }
  const signed = new Map<EngineClass, string>();
  return (engine) => {
    let signature = signed.get(engine);
    if (signature === undefined) {
      signature = parts.map((part) => part(engine)).join('|');
      signed.set(engine, signature);
    }
    return signature;
  };
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
