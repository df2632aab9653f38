import type { Range } from '../model/advice.ts';
import type { ServiceId } from '../model/ids.ts';
import { centsOf, contentOf, tenthsOf, type ServiceBook } from './services.ts';
import { dieselOnly, type Family } from './vehicles.ts';

/** Labour in whole tenths of hours, parts in whole cents. */
export interface Cost {
  tenths: Range;
  cents: Range;
}

export interface ServiceCost {
  id: ServiceId;
  /** False where none of the candidate engines can have the service; both costs are then zero. */
  applies: boolean;
  /** Done by itself. */
  alone: Cost;
  /** What it adds to the services before it in the catalogue's order, shared steps and parts counted once. */
  added: Cost;
}

const NOTHING: Cost = { tenths: { low: 0, high: 0 }, cents: { low: 0, high: 0 } };

/** The range that holds all of the ranges. */
function hull(ranges: readonly Range[]): Range {
  if (ranges.length === 0) return { low: 0, high: 0 };
  return { low: Math.min(...ranges.map(({ low }) => low)), high: Math.max(...ranges.map(({ high }) => high)) };
}

const hullOf = (costs: readonly Cost[]): Cost => ({
  tenths: hull(costs.map(({ tenths }) => tenths)),
  cents: hull(costs.map(({ cents }) => cents)),
});

export const sumOf = (ranges: readonly Range[]): Range => ({
  low: ranges.reduce((sum, { low }) => sum + low, 0),
  high: ranges.reduce((sum, { high }) => sum + high, 0),
});

/**
 * What each service costs alone and what it adds to the bundle, each as a range over the candidate families. Ids count
 * once; the answer is in the catalogue's order. A family that cannot have a service does not count for it; where there
 * are no candidates, all diesel families stand for the unknown engine.
 */
export function costsOf(ids: readonly ServiceId[], candidates: readonly Family[], book: ServiceBook): ServiceCost[] {
  const families = candidates.length > 0 ? candidates : dieselOnly(book.vehicles.families);
  const wanted = [...book.services.keys()].filter((id) => ids.includes(id));
  const perFamily = families.map((family) => costsOnFamily(wanted, family, book));
  return wanted.map((id) => {
    const fitting = perFamily.flatMap((costs) => costs.get(id) ?? []);
    if (fitting.length === 0) return { id, applies: false, alone: NOTHING, added: NOTHING };
    return {
      id,
      applies: true,
      alone: hullOf(fitting.map(({ alone }) => alone)),
      added: hullOf(fitting.map(({ added }) => added)),
    };
  });
}

function costsOnFamily(
  wanted: readonly ServiceId[],
  family: Family,
  book: ServiceBook,
): Map<ServiceId, { alone: Cost; added: Cost }> {
  const contents = wanted.flatMap((id) => {
    const service = book.services.get(id);
    const content = service && contentOf(service, family);
    return content ? [{ id, ...content }] : [];
  });
  const allSteps = new Set(contents.flatMap(({ steps }) => steps));
  const takenSteps = new Set<string>();
  const takenParts = new Set<string>();
  return new Map(
    contents.map(({ id, steps, parts }) => {
      const newSteps = steps.filter((step) => !takenSteps.has(step));
      const newParts = parts.filter((part) => !takenParts.has(part));
      newSteps.forEach((step) => takenSteps.add(step));
      newParts.forEach((part) => takenParts.add(part));
      return [
        id,
        {
          alone: costOf(steps, new Set(steps), parts, family, book),
          added: costOf(newSteps, allSteps, newParts, family, book),
        },
      ];
    }),
  );
}

/** Labour of `steps` and price of `parts` on a family; a step that is done with another one of `together` takes no time. */
export function costOf(
  steps: readonly string[],
  together: ReadonlySet<string>,
  parts: readonly string[],
  family: Family,
  book: ServiceBook,
): Cost {
  const tenths = steps.flatMap((id) => {
    const step = book.steps.get(id);
    if (!step || step.doneWith?.some((other) => together.has(other))) return [];
    return [tenthsOf(step, family)];
  });
  const cents = parts.flatMap((id) => {
    const part = book.parts.get(id);
    return part ? [centsOf(part, family)] : [];
  });
  const range = ([low, high]: [number, number]): Range => ({ low, high });
  return { tenths: sumOf(tenths.map(range)), cents: sumOf(cents.map(range)) };
}

const hoursOf = ({ low, high }: Range): Range => ({ low: low / 10, high: high / 10 });

export interface Labour {
  /** In the order in which the services were given, each id once; hours in tenths. */
  services: { id: ServiceId; applies: boolean; labourHours: Range }[];
  /** All of them in one visit; `savedHours` is what shared tear-down saves against one by one. */
  bundle: { labourHours: Range; savedHours: Range };
}

/** Labour of services by themselves and together, as ranges over the candidate families. */
export function labourOf(ids: readonly ServiceId[], candidates: readonly Family[], book: ServiceBook): Labour {
  const costs = new Map(costsOf(ids, candidates, book).map((cost) => [cost.id, cost]));
  const services = [...new Set(ids)].flatMap((id) => {
    const cost = costs.get(id);
    return cost ? [{ id, applies: cost.applies, labourHours: hoursOf(cost.alone.tenths) }] : [];
  });
  const alone = sumOf([...costs.values()].map((cost) => cost.alone.tenths));
  const bundle = sumOf([...costs.values()].map((cost) => cost.added.tenths));
  const saved = [alone.low - bundle.low, alone.high - bundle.high].sort((a, b) => a - b) as [number, number];
  return {
    services,
    bundle: { labourHours: hoursOf(bundle), savedHours: hoursOf({ low: saved[0], high: saved[1] }) },
  };
}
