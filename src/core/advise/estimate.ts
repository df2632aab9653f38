import { z } from 'zod';
import type { Estimate, Range } from '../model/advice.ts';
import { Facts } from '../model/facts.ts';
import { SERVICES, type Language, type ServiceId } from '../model/ids.ts';
import { nearest } from '../model/nearest.ts';
import { breakEvenOf } from './estimate-break-even.ts';
import { candidatesForPrice } from './estimate-engine.ts';
import { conditionOf, findingOut } from './estimate-limit.ts';
import { withLabour } from './estimate-words.ts';
import { costsOf, sumOf, type ServiceCost } from './services-cost.ts';
import { serviceText, type ServiceBook } from './services.ts';
import { dieselOnly, type Family } from './vehicles.ts';

const Service = z.enum(SERVICES, {
  error: ({ input }) => `${JSON.stringify(input)} is no service${nearest(String(input), SERVICES)}`,
});

/** The `estimate` request of the command line and of the conversation; unknown ids and keys are refused. */
export const EstimateRequestShape = z.strictObject({ facts: Facts, services: z.array(Service).max(100) });

/**
 * Prices services for a truck: labour and parts as ranges over the engine families that the facts leave open, what
 * several services share counted once, and what the figures leave out. Amounts are US dollars, hours are in tenths;
 * total = labour hours × the shop's rate + parts, at both ends. A service that none of the engines can have is named
 * and not priced. `limit` wherever a diagnosis is priced; `diagnosisOnly` where the list holds nothing but finding out.
 */
export function estimate(
  facts: Facts,
  services: readonly ServiceId[],
  book: ServiceBook,
  language: Language = 'en',
): Estimate {
  const families = candidatesForPrice(facts, book);
  const costs = costsOf(services, families, book);
  const labour = sumOf(costs.map(({ added }) => added.tenths));
  const parts = sumOf(costs.map(({ added }) => added.cents));
  const finding = findingOut(costs, families, book, language);
  const breakEven = breakEvenOf(costs, families, book, language);
  return {
    labourHours: inHours(labour),
    parts: inDollars(parts),
    total: inDollars(withLabour(labour, parts, book)),
    currency: 'USD',
    lines: costs.map((cost) => ({
      service: cost.id,
      text: lineText(cost, costs, families, facts, book, language),
      labourHours: inHours(cost.added.tenths),
      parts: inDollars(cost.added.cents),
    })),
    leftOut: book.leftOut.filter(({ when }) => when === 'always' || finding.limit).map((words) => words[language]),
    ...finding,
    ...(breakEven && { breakEven }),
  };
}

const inHours = ({ low, high }: Range): Range => ({ low: low / 10, high: high / 10 });
const inDollars = ({ low, high }: Range): Range => ({ low: low / 100, high: high / 100 });

/** Whether pump and kit are known: of every engine that the truck can have, and no recall may have changed the pump. */
function takesKitForCertain(families: readonly Family[], facts: Facts): boolean {
  const pumpKept = facts.pumpReplaced === false && !facts.unsure?.includes('pumpReplaced');
  const diesels = dieselOnly(families);
  return (
    diesels.length > 0 &&
    diesels.every(({ fuelSystem, kit, recallHint }) => fuelSystem.certain && kit?.certain && (pumpKept || !recallHint))
  );
}

function lineText(
  cost: ServiceCost,
  costs: readonly ServiceCost[],
  families: readonly Family[],
  facts: Facts,
  book: ServiceBook,
  language: Language,
): string {
  const { name } = serviceText(cost.id, book, language);
  if (!cost.applies) {
    const gasoline = families.length > 0 && dieselOnly(families).length === 0;
    return book.words(language, gasoline ? 'line-gasoline' : 'line-not-for-engine', { name });
  }
  const { alone, added } = cost;
  const shared = added.tenths.low < alone.tenths.low || added.tenths.high < alone.tenths.high;
  const message = added.tenths.high === 0 ? 'line-within' : shared ? 'line-shared' : 'line';
  const line = book.words(language, message, {
    name,
  });
  const condition = conditionOf(cost, costs, book, language);
  const whole = condition === undefined ? line : book.words(language, 'line-only-if', { line, condition });
  const unconfirmed = cost.id === book.breakEven.kit && !takesKitForCertain(families, facts);
  return unconfirmed ? book.words(language, 'line-kit-unconfirmed', { line: whole }) : whole;
}
