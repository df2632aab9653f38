import type { EngineReach } from './engine-reach.ts';
import type { Outlook } from './samples.ts';
import { UNTOLD, type Situation } from './situation.ts';
import type { Variable } from './variables.ts';

type Past = 'lastFuelFilterMiles' | 'lastOilChangeMiles' | 'pumpFittedAtMiles';

/** The book's intervals, for every engine. */
export type Figures = EngineReach['figures'];

/** Describes situations by no more than a set of rules can see of them. */
export type Likeness = (s: Situation, open: ReadonlySet<Variable>, reach: EngineReach) => string;

/**
 * A text that is the same for situations which a set of rules cannot tell apart, whatever is still answered: lists by
 * the members that the rules name, engines by what the rules ask of them, miles by the bounds that they lie between.
 */
export function likenessOf(variables: readonly Variable[], outlook: Outlook, figures: Figures): Likeness {
  const plain = variables.filter((variable) => !SPECIAL.has(variable));
  const miles = milesLikeness(outlook, figures);
  const has = (variable: Variable): boolean => variables.includes(variable);
  const [engine, symptoms, codes, dated] = [
    has('engine'),
    has('symptoms'),
    has('troubleCodes'),
    has('lastFuelFilterDate'),
  ];
  return (s, open, reach) => {
    let key = miles(s);
    if (engine) {
      key += `|${outlook.signature(s.engine)}`;
      if (open.has('engine')) key += `@${reachNumber(reach, outlook)}`;
    }
    if (symptoms) key += listKey(s.symptoms, outlook.seen.symptoms);
    if (codes) key += listKey(s.codes, outlook.seen.codes);
    if (dated) key += `|${open.has('lastFuelFilterDate') ? '?' : s.monthsSinceFuelFilter}`;
    for (const variable of plain) key += s[variable as 'tows'];
    return key;
  };
}

const SPECIAL: ReadonlySet<Variable> = new Set([
  'engine',
  'symptoms',
  'troubleCodes',
  'lastFuelFilterDate',
  'odometerMiles',
  'lastFuelFilterMiles',
  'pumpFittedAtMiles',
  'lastOilChangeMiles',
  'oilChangeIntervalMiles',
]);

function listKey(list: Situation['symptoms'], seen: readonly string[]): string {
  let key = list.closed ? '|' : '|?';
  if (list.members.size > 0)
    for (let n = 0; n < seen.length; n++) if (list.members.has(seen[n] as string)) key += `,${n}`;
  if (list.denied.size > 0)
    for (let n = 0; n < seen.length; n++) if (list.denied.has(seen[n] as string)) key += `-${n}`;
  return key;
}

/** Numbers by what is seen: the classes that an engine can turn out to be and the changes that an answer can bring. */
const numbers = new Map<string, number>();

/** What the engine can still turn out to be, as a number that is the same where the rules see the same. */
function reachNumber(reach: EngineReach, { signature }: Outlook): number {
  const known = reach.numbers.get(signature);
  if (known !== undefined) return known;
  const classes = [...new Set(reach.classes.map(signature))].sort().join(';');
  const pairs = [...reach.pairs].map(([fact, ways]) => {
    const telling = ways.map(([before, after]) => `${signature(before)}>${signature(after)}`);
    return `${fact}:${[...new Set(telling)].sort().join(';')}`;
  });
  const text = `${classes}#${pairs.join('#')}`;
  const number = numbers.get(text) ?? numbers.size;
  numbers.set(text, number);
  reach.numbers.set(signature, number);
  return number;
}

/** The miles of a situation by the bounds between which they lie. */
function milesLikeness({ bounds }: Outlook, figures: Figures): (s: Situation) => string {
  // What is left falls below a bound with the mile after the length less the bound, so the turn lies half a mile on.
  const less = (lengths: readonly number[], fact: string): number[] =>
    lengths.flatMap((length) => (bounds[fact] ?? []).map((bound) => length - bound + 0.5));
  const uses = (fact: string): boolean => bounds[fact] !== undefined;
  const parts: ((s: Situation) => string)[] = [];
  if (uses('odometerMiles')) parts.push((s) => between(s.odometerMiles, bounds['odometerMiles'] ?? []));
  if (uses('milesOnPump')) parts.push((s) => sinceKey(s, 'pumpFittedAtMiles', bounds['milesOnPump'] ?? []));
  if (uses('breatherMilesLeft')) {
    const at = less(figures.breatherMiles, 'breatherMilesLeft');
    parts.push((s) => between(s.odometerMiles, at));
  }
  if (uses('fuelFilterHistory') || uses('fuelFilterMilesLeft')) {
    const at = less(figures.filterMiles, 'fuelFilterMilesLeft');
    parts.push((s) => {
      const told = s.oilChangeIntervalMiles;
      if (told === UNTOLD) return sinceKey(s, 'lastFuelFilterMiles', at);
      const counted = figures.filterOilChanges.map((count) => count * told);
      return `${sinceKey(s, 'lastFuelFilterMiles', [...at, ...less(counted, 'fuelFilterMilesLeft')])}/${told}`;
    });
  }
  if (uses('oilMilesLeft')) {
    const at = less(figures.oilMiles, 'oilMilesLeft');
    parts.push((s) => {
      const told = s.oilChangeIntervalMiles;
      if (told === UNTOLD) return sinceKey(s, 'lastOilChangeMiles', at);
      return `${sinceKey(s, 'lastOilChangeMiles', less([told], 'oilMilesLeft'))}/${told}`;
    });
  }
  if (uses('milesSinceFuelWork')) {
    const at = bounds['milesSinceFuelWork'] ?? [];
    parts.push(
      (s) => sinceKey(s, 'lastFuelFilterMiles', at),
      (s) => sinceKey(s, 'pumpFittedAtMiles', at),
    );
  }
  return (s) => {
    let key = '';
    for (const part of parts) key += `${part(s)}|`;
    return key;
  };
}

/** Without an odometer a past value stands as it is; else by what lies between them, or that it contradicts. */
function sinceKey(s: Situation, past: Past, bounds: readonly number[]): string {
  if (s.odometerMiles === UNTOLD) return `o${s[past]}`;
  if (s[past] === UNTOLD) return `n${between(s.odometerMiles, bounds)}`;
  if (s[past] > s.odometerMiles) return `x${between(s.odometerMiles, bounds)}`;
  return `s${between(s.odometerMiles - s[past], bounds)}`;
}

function between(miles: number, bounds: readonly number[]): string {
  if (miles === UNTOLD) return '?';
  let below = 0;
  for (const bound of bounds) if (bound <= miles) below += 1;
  return String(below);
}
