import type { FactKey } from '../model/facts.ts';
import { UNTOLD, type ListView, type Situation } from './situation.ts';
import type { Target } from './targets.ts';
import type { Variable } from './variables.ts';

/** Answers that once decided a target, with the facts of which they showed that they matter. */
export interface Witness {
  situation: Situation;
  shows: Set<FactKey>;
}

/** For each target the answers that decided it before, the most useful first: they are tried before any search. */
export type Witnesses = Map<Target['id'], Witness[]>;

/** So many are kept for a target. */
const KEPT = 60;

const NOTHING: ReadonlySet<string> = new Set();

/** Puts a witness that has just served to the front; the one that served longest ago goes. */
export function remember(known: Witness[], witness: Witness): void {
  const place = known.indexOf(witness);
  if (place === 0) return;
  if (place > 0) known.splice(place, 1);
  else if (known.length >= KEPT) known.pop();
  known.unshift(witness);
}

const PASTS = ['lastFuelFilterMiles', 'pumpFittedAtMiles', 'lastOilChangeMiles'] as const;

/**
 * The answers of a witness given to another truck, as far as they are open there; miles keep their distance from what
 * is told. Undefined where this truck denies a symptom of the witness. The engine is left to the caller.
 */
export function transferred(
  { situation: from }: Witness,
  present: Situation,
  open: ReadonlySet<Variable>,
): Situation | undefined {
  const to: Situation = { ...present };
  const shift = shiftOf(from, present, open);
  for (const variable of open) {
    switch (variable) {
      case 'engine':
        break;
      case 'symptoms': {
        if (!from.symptoms.closed) break;
        const symptoms = closedList(from.symptoms, present.symptoms);
        if (!symptoms) return undefined;
        to.symptoms = symptoms;
        break;
      }
      case 'troubleCodes':
        if (from.codes.closed) to.codes = from.codes;
        break;
      case 'lastFuelFilterDate':
        to.monthsSinceFuelFilter = from.monthsSinceFuelFilter;
        break;
      case 'odometerMiles':
      case 'lastFuelFilterMiles':
      case 'pumpFittedAtMiles':
      case 'lastOilChangeMiles':
        if (from[variable] !== UNTOLD) to[variable] = Math.max(0, from[variable] + shift);
        break;
      case 'oilChangeIntervalMiles':
      case 'metalFound':
      case 'pumpProtected':
      case 'pumpReplaced':
      case 'breatherOriginal':
      case 'tows':
        to[variable] = from[variable];
        break;
      default: {
        const never: never = variable;
        return never;
      }
    }
  }
  return to;
}

/** How far the miles of another truck lie from those of a witness. */
function shiftOf(from: Situation, present: Situation, open: ReadonlySet<Variable>): number {
  const told = (['odometerMiles', ...PASTS] as const).find(
    (variable) => !open.has(variable) && present[variable] !== UNTOLD && from[variable] !== UNTOLD,
  );
  return told ? present[told] - from[told] : 0;
}

function closedList(from: ListView, present: ListView): ListView | undefined {
  for (const id of from.members) if (present.denied.has(id)) return undefined;
  const members = present.members.size === 0 ? from.members : new Set([...present.members, ...from.members]);
  return { members, closed: true, denied: NOTHING };
}
