import type { Estimate } from '../model/advice.ts';
import type { Language } from '../model/ids.ts';
import { amountOf, dollarsOf, hourFigure, withLabour } from './estimate-words.ts';
import { costsOf, sumOf, type ServiceCost } from './services-cost.ts';
import { serviceText, type ServiceBook, type ServiceKind } from './services.ts';
import type { Family } from './vehicles.ts';

/** What finds out and puts nothing right. */
const LOOKS: ReadonlySet<ServiceKind> = new Set<ServiceKind>(['diagnosis', 'inspection']);

/** What a service of the list waits for: the condition in words, where the check that decides it is in the list too. */
export function conditionOf(
  { id }: ServiceCost,
  costs: readonly ServiceCost[],
  book: ServiceBook,
  language: Language,
): string | undefined {
  const onlyIf = book.services.get(id)?.onlyIf;
  return costs.some((other) => other.applies && other.id === onlyIf?.check) ? onlyIf?.says[language] : undefined;
}

/**
 * Where finding out ends unless the owner is asked: in hours, in money and in words. `diagnosisOnly` where nothing else
 * is priced; beside other work the limit is that of what looks, and nothing is said where there is no diagnosis. A repair
 * that the looking decides may not come, so that nothing counts as done with it.
 */
export function findingOut(
  costs: readonly ServiceCost[],
  families: readonly Family[],
  book: ServiceBook,
  language: Language,
): Pick<Estimate, 'diagnosisOnly' | 'limit'> {
  const priced = costs
    .filter(({ applies }) => applies)
    .map((cost) => ({ ...cost, ...serviceText(cost.id, book, language) }));
  if (!priced.some(({ kind }) => kind === 'diagnosis')) return {};
  const isLook = ({ id }: ServiceCost) => LOOKS.has(serviceText(id, book, language).kind);
  if (priced.every(({ kind }) => LOOKS.has(kind) || kind === 'transport')) {
    return { diagnosisOnly: true, limit: limitOf(priced, book, language, 'limit') };
  }
  const waiting = priced.find((cost) => cost.kind === 'repair' && conditionOf(cost, priced, book, language));
  if (!waiting) return { limit: limitOf(priced.filter(isLook), book, language, 'limit-within') };
  const others = priced.flatMap(({ id }) => (id === waiting.id ? [] : [id]));
  const looks = costsOf(others, families, book).filter(isLook);
  return { limit: limitOf(looks, book, language, 'limit-before-repair', { repair: waiting.name }) };
}

function limitOf(
  costs: readonly ServiceCost[],
  book: ServiceBook,
  language: Language,
  message: 'limit' | 'limit-within' | 'limit-before-repair',
  more: Record<string, string> = {},
): NonNullable<Estimate['limit']> {
  const tenths = sumOf(costs.map(({ added }) => added.tenths));
  const { high } = withLabour(tenths, sumOf(costs.map(({ added }) => added.cents)), book);
  const hours = tenths.high / 10;
  const text = book.words(language, message, {
    ...more,
    hours: hourFigure(hours, language),
    amount: amountOf(Math.ceil(high / 100) * 100, language),
  });
  return { hours, total: dollarsOf(high), text };
}
