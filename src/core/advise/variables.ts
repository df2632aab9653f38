import type { Comparison } from './condition.ts';
import { UNTOLD, EITHER, type Situation } from './situation.ts';

/** The facts that can still be answered, as the search for what matters varies them; the engine's facts go together. */
export const VARIABLES = [
  'symptoms',
  'engine',
  'troubleCodes',
  'odometerMiles',
  'pumpFittedAtMiles',
  'lastFuelFilterMiles',
  'lastOilChangeMiles',
  'oilChangeIntervalMiles',
  'lastFuelFilterDate',
  'metalFound',
  'pumpProtected',
  'pumpReplaced',
  'breatherOriginal',
  'tows',
] as const;
export type Variable = (typeof VARIABLES)[number];

const ENGINE: readonly Variable[] = ['engine'];

/** What each fact of the rules hangs on, where that is not the fact itself. */
const HANGS_ON: Readonly<Record<string, readonly Variable[]>> = {
  codeGroups: ['troubleCodes'],
  engineFuel: ENGINE,
  pumpDesign: ['engine', 'pumpReplaced'],
  pumpDesignCertain: ENGINE,
  recallMayHaveChangedPump: ENGINE,
  kitOpensIntake: ENGINE,
  yearFits: ENGINE,
  egrCooler: ENGINE,
  particulateFilter: ENGINE,
  exhaustFluid: ENGINE,
  breatherFitted: ENGINE,
  milesOnPump: ['odometerMiles', 'pumpFittedAtMiles'],
  fuelFilterHistory: ['odometerMiles', 'lastFuelFilterMiles'],
  fuelFilterMilesLeft: ['engine', 'odometerMiles', 'lastFuelFilterMiles', 'oilChangeIntervalMiles'],
  fuelFilterMonthsLeft: ['engine', 'lastFuelFilterDate'],
  milesSinceFuelWork: ['odometerMiles', 'lastFuelFilterMiles', 'pumpFittedAtMiles'],
  oilMilesLeft: ['engine', 'odometerMiles', 'lastOilChangeMiles', 'oilChangeIntervalMiles'],
  breatherMilesLeft: ['engine', 'odometerMiles'],
  // Nothing that is asked for.
  tamper: [],
  coverageTold: [],
  vinTold: [],
  yearFitsVin: [],
  engineFits: [],
  firstUseWithinFiveYears: [],
  milesFit: [],
};

/** The variables behind a fact of the rules. */
export const variablesOf = (fact: string): readonly Variable[] => HANGS_ON[fact] ?? [fact as Variable];

/** What a situation leaves open. `engineOpen` and `dated` come from the facts: an engine answer is missing; today is known. */
export function openVariables(s: Situation, engineOpen: boolean, dated: boolean): ReadonlySet<Variable> {
  const open = new Set<Variable>();
  for (const variable of VARIABLES) if (isOpen(s, variable, engineOpen, dated)) open.add(variable);
  return open;
}

function isOpen(s: Situation, variable: Variable, engineOpen: boolean, dated: boolean): boolean {
  switch (variable) {
    case 'engine':
      return engineOpen;
    case 'symptoms':
      return !s.symptoms.closed;
    case 'troubleCodes':
      return !s.codes.closed;
    case 'lastFuelFilterDate':
      return dated && Number.isNaN(s.monthsSinceFuelFilter);
    case 'odometerMiles':
    case 'pumpFittedAtMiles':
    case 'lastFuelFilterMiles':
    case 'lastOilChangeMiles':
    case 'oilChangeIntervalMiles':
      return s[variable] === UNTOLD;
    case 'metalFound':
    case 'pumpProtected':
    case 'pumpReplaced':
    case 'breatherOriginal':
    case 'tows':
      return s[variable] === EITHER;
    default: {
      const never: never = variable;
      return never;
    }
  }
}

/** The constants that a number is compared with. */
export const boundsOf = (comparison: Comparison): number[] => {
  if (!('from' in comparison || 'below' in comparison)) return [];
  return [comparison.from, comparison.below].filter((bound) => bound !== undefined);
};

/** A situation with one variable as another situation has it. */
export function withVariableOf(other: Situation, variable: Variable, situation: Situation): Situation {
  switch (variable) {
    case 'troubleCodes':
      return { ...situation, codes: other.codes };
    case 'lastFuelFilterDate':
      return { ...situation, monthsSinceFuelFilter: other.monthsSinceFuelFilter };
    default:
      return { ...situation, [variable]: other[variable] };
  }
}
