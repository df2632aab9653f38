import { DESIGNS, EQUIPMENT_VALUES } from './engines.ts';
import { EITHER, NO, UNTOLD, YES, type Bits, type ListView, type Situation } from './situation.ts';

/** A fact that rules may speak of, with what may still be true of it in a situation. */
export type RuleFact =
  | { kind: 'number'; low: (s: Situation) => number; high: (s: Situation) => number }
  | { kind: 'choice'; values: readonly string[]; possible: (s: Situation) => Bits }
  | { kind: 'list'; list: (s: Situation) => ListView };

const FLAG = ['false', 'true'] as const;
const flag = (possible: (s: Situation) => Bits): RuleFact => ({ kind: 'choice', values: FLAG, possible });

type PastMiles = 'lastFuelFilterMiles' | 'lastOilChangeMiles' | 'pumpFittedAtMiles';

/** A past odometer value that counts: told, and not above the present one. */
const counts = (s: Situation, past: PastMiles): boolean =>
  s[past] !== UNTOLD && (s.odometerMiles === UNTOLD || s[past] <= s.odometerMiles);

const odometerLow = (s: Situation): number => (s.odometerMiles === UNTOLD ? 0 : s.odometerMiles);
const odometerHigh = (s: Situation): number => (s.odometerMiles === UNTOLD ? Infinity : s.odometerMiles);

/** Miles since a past odometer value, or since new where none counts. */
const sinceLow = (s: Situation, past: PastMiles): number => {
  if (s.odometerMiles === UNTOLD || (s.open && s[past] === UNTOLD)) return 0;
  return counts(s, past) ? s.odometerMiles - s[past] : s.odometerMiles;
};
const sinceHigh = (s: Situation, past: PastMiles): number => {
  if (s.odometerMiles === UNTOLD) return Infinity;
  return counts(s, past) ? s.odometerMiles - s[past] : s.odometerMiles;
};

/** The fuel-filter interval over the candidate families: miles, or so many of the owner's oil changes where that is sooner. */
function filterInterval(s: Situation, pick: (...values: number[]) => number, none: number): number {
  const { fuelFilters } = s.engine;
  if (fuelFilters.length === 0) return none;
  let picked: number | undefined;
  for (const { miles, oilChanges } of fuelFilters) {
    const low = pick === Math.min;
    let value = miles;
    if (oilChanges !== undefined && s.oilChangeIntervalMiles !== UNTOLD) {
      value = Math.min(miles, oilChanges * s.oilChangeIntervalMiles);
    } else if (oilChanges !== undefined && s.open && low) {
      value = 0;
    }
    picked = picked === undefined ? value : pick(picked, value);
  }
  return picked ?? none;
}

const oilIntervalLow = (s: Situation): number => {
  if (s.oilChangeIntervalMiles !== UNTOLD) return s.oilChangeIntervalMiles;
  return s.open ? 0 : s.engine.oilMiles.low;
};
const oilIntervalHigh = (s: Situation): number => {
  if (s.oilChangeIntervalMiles !== UNTOLD) return s.oilChangeIntervalMiles;
  return s.open ? Infinity : s.engine.oilMiles.high;
};

/** An oil change in the past that is not known leaves the oil unknown: it is never taken for the first fill. */
const oilTold = (s: Situation): boolean => counts(s, 'lastOilChangeMiles') && s.odometerMiles !== UNTOLD;

const CHANGED = 1 << DESIGNS.indexOf('changed');

function pumpDesigns(s: Situation): Bits {
  if (s.pumpReplaced === YES) return CHANGED;
  const mayBeChanged = s.pumpReplaced === EITHER && (s.open || (s.engine.recall & YES) !== 0);
  return mayBeChanged ? s.engine.designs | CHANGED : s.engine.designs;
}

function milesFit(s: Situation): Bits {
  const pasts: PastMiles[] = ['lastFuelFilterMiles', 'lastOilChangeMiles', 'pumpFittedAtMiles'];
  if (s.open && (s.odometerMiles === UNTOLD || pasts.some((past) => s[past] === UNTOLD))) return EITHER;
  return pasts.some((past) => s[past] !== UNTOLD && !counts(s, past)) ? NO : YES;
}

/** Miles since the fuel system was last opened, as far as that is known. */
const fuelWork = (s: Situation, since: typeof sinceLow, unknown: number): number => {
  const filter = counts(s, 'lastFuelFilterMiles') ? since(s, 'lastFuelFilterMiles') : unknown;
  const pump = counts(s, 'pumpFittedAtMiles') ? since(s, 'pumpFittedAtMiles') : unknown;
  return Math.min(filter, pump);
};

/** A month is not counted where it is not known. */
const monthsLow = (s: Situation): number => s.engine.fuelFilterMonths.low - s.monthsSinceFuelFilter;
const monthsHigh = (s: Situation): number => s.engine.fuelFilterMonths.high - s.monthsSinceFuelFilter;

/** Every fact that rules may speak of. Computed facts hold only where they hold for all candidate families. */
export const RULE_FACTS: Readonly<Record<string, RuleFact>> = {
  symptoms: { kind: 'list', list: (s) => s.symptoms },
  codeGroups: { kind: 'list', list: (s) => s.codes },
  tamper: flag((s) => s.tamper),
  coverageTold: flag((s) => s.coverageTold),
  vinTold: flag((s) => s.vinTold),
  yearFitsVin: flag((s) => s.yearFitsVin),
  engineFits: flag((s) => s.engineFits),
  firstUseWithinFiveYears: flag((s) => s.firstUseWithinFiveYears),
  milesFit: flag(milesFit),
  odometerMiles: { kind: 'number', low: odometerLow, high: odometerHigh },
  tows: flag((s) => s.tows),
  breatherOriginal: flag((s) => s.breatherOriginal),
  pumpProtected: flag((s) => s.pumpProtected),
  pumpReplaced: flag((s) => s.pumpReplaced),
  metalFound: flag((s) => s.metalFound),
  engineFuel: { kind: 'choice', values: ['diesel', 'gasoline'], possible: (s) => s.engine.fuels },
  pumpDesign: { kind: 'choice', values: DESIGNS, possible: pumpDesigns },
  pumpDesignCertain: flag((s) => s.engine.designCertain),
  kitOpensIntake: flag((s) => s.engine.kitOpensIntake),
  yearFits: flag((s) => s.engine.yearFits),
  recallMayHaveChangedPump: flag((s) => s.engine.recall),
  egrCooler: { kind: 'choice', values: EQUIPMENT_VALUES, possible: (s) => s.engine.egrCooler },
  particulateFilter: { kind: 'choice', values: EQUIPMENT_VALUES, possible: (s) => s.engine.particulateFilter },
  exhaustFluid: { kind: 'choice', values: EQUIPMENT_VALUES, possible: (s) => s.engine.exhaustFluid },
  breatherFitted: { kind: 'choice', values: EQUIPMENT_VALUES, possible: (s) => s.engine.breather },
  milesOnPump: {
    kind: 'number',
    low: (s) => sinceLow(s, 'pumpFittedAtMiles'),
    high: (s) => sinceHigh(s, 'pumpFittedAtMiles'),
  },
  fuelFilterHistory: {
    kind: 'choice',
    values: ['known', 'unknown'],
    possible: (s) => {
      const open = s.open && (s.lastFuelFilterMiles === UNTOLD || s.odometerMiles === UNTOLD);
      return open ? 3 : counts(s, 'lastFuelFilterMiles') ? 1 : 2;
    },
  },
  fuelFilterMilesLeft: {
    kind: 'number',
    low: (s) => filterInterval(s, Math.min, -Infinity) - sinceHigh(s, 'lastFuelFilterMiles'),
    high: (s) => filterInterval(s, Math.max, Infinity) - sinceLow(s, 'lastFuelFilterMiles'),
  },
  fuelFilterMonthsLeft: {
    kind: 'number',
    low: (s) => (Number.isNaN(s.monthsSinceFuelFilter) ? -Infinity : monthsLow(s)),
    high: (s) => (Number.isNaN(s.monthsSinceFuelFilter) ? Infinity : monthsHigh(s)),
  },
  milesSinceFuelWork: {
    kind: 'number',
    low: (s) => {
      const open = s.open && (s.lastFuelFilterMiles === UNTOLD || s.pumpFittedAtMiles === UNTOLD);
      return open ? 0 : fuelWork(s, sinceLow, Infinity) === Infinity ? 0 : fuelWork(s, sinceLow, Infinity);
    },
    high: (s) => fuelWork(s, sinceHigh, Infinity),
  },
  oilMilesLeft: {
    kind: 'number',
    low: (s) => oilIntervalLow(s) - (oilTold(s) ? sinceHigh(s, 'lastOilChangeMiles') : odometerHigh(s)),
    high: (s) => oilIntervalHigh(s) - (oilTold(s) ? sinceLow(s, 'lastOilChangeMiles') : 0),
  },
  breatherMilesLeft: {
    kind: 'number',
    low: (s) => s.engine.breatherMiles.low - odometerHigh(s),
    high: (s) => s.engine.breatherMiles.high - odometerLow(s),
  },
};
