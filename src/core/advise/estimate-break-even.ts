import type { Estimate, Range } from '../model/advice.ts';
import type { Language } from '../model/ids.ts';
import { amountOf, dollarsOf, percentOf } from './estimate-words.ts';
import { costOf, type ServiceCost } from './services-cost.ts';
import { contentOf, type ServiceBook } from './services.ts';
import { dieselOnly, type DieselFamily, type Family } from './vehicles.ts';

type BreakEven = NonNullable<Estimate['breakEven']>;

/**
 * What the kit costs installed against what it avoids, where the kit is among the services and fits the engine.
 *
 * With the probability p of a failure during ownership, the kit saves p × avoided and costs installed, so it pays
 * where p exceeds installed / avoided. Avoided is the repair without what a failed pump costs in any case: the pump,
 * its access and its filter. No value of p is assumed.
 */
export function breakEvenOf(
  costs: readonly ServiceCost[],
  families: readonly Family[],
  book: ServiceBook,
  language: Language,
): BreakEven | undefined {
  if (!costs.some(({ id, applies }) => id === book.breakEven.kit && applies)) return undefined;
  const candidates = dieselOnly(families.length > 0 ? families : book.vehicles.families);
  const cases = candidates.flatMap((family) => caseOf(family, book));
  const installed = hull(cases.map((each) => each.installed));
  const avoided = hull(cases.map((each) => each.avoided));
  const chance = hull(cases.map((each) => each.chance));
  return {
    installedCost: { low: dollarsOf(installed.low), high: dollarsOf(installed.high) },
    avoidedCost: { low: dollarsOf(avoided.low), high: dollarsOf(avoided.high) },
    paysAboveChance: chance,
    text: book.words(language, 'break-even', {
      installedLow: amountOf(installed.low, language),
      installedHigh: amountOf(installed.high, language),
      avoidedLow: amountOf(avoided.low, language),
      avoidedHigh: amountOf(avoided.high, language),
      chanceLow: percentOf(chance.low, language),
      chanceHigh: percentOf(chance.high, language),
    }),
  };
}

const hull = (ranges: readonly Range[]): Range => ({
  low: Math.min(...ranges.map(({ low }) => low)),
  high: Math.max(...ranges.map(({ high }) => high)),
});

function caseOf(family: DieselFamily, book: ServiceBook): { installed: Range; avoided: Range; chance: Range }[] {
  const { kit: kitId, repair: repairId, notSaved } = book.breakEven;
  const kit = book.services.get(kitId);
  const repair = book.services.get(repairId);
  const fitting = kit && contentOf(kit, family);
  const failure = repair && contentOf(repair, family);
  if (!fitting || !failure) return [];
  const installed = inCents(fitting.steps, fitting.parts, fitting.steps, family, book);
  const avoided = inCents(
    failure.steps.filter((step) => !notSaved.steps.includes(step)),
    failure.parts.filter((part) => !notSaved.parts.includes(part)),
    failure.steps,
    family,
    book,
  );
  const share = (cost: number, saving: number) => Math.round((cost / saving) * 1000) / 1000;
  const chance = { low: share(installed.low, avoided.high), high: share(installed.high, avoided.low) };
  return [{ installed, avoided, chance }];
}

/** Labour and parts together in whole cents. */
function inCents(
  steps: readonly string[],
  parts: readonly string[],
  together: readonly string[],
  family: DieselFamily,
  book: ServiceBook,
): Range {
  const { tenths, cents } = costOf(steps, new Set(together), parts, family, book);
  const end = (hours: number, price: number) => Math.round((hours * book.labourRateCents) / 10) + price;
  return { low: end(tenths.low, cents.low), high: end(tenths.high, cents.high) };
}
