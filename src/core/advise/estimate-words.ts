import type { Range } from '../model/advice.ts';
import type { Language } from '../model/ids.ts';
import type { ServiceBook } from './services.ts';

/** Cents as dollars with at most two decimals. */
export const dollarsOf = (cents: number): number => cents / 100;

/** Spanish as it is written in the United States, so that 1,150 means the same in both languages. */
const REGION: Record<Language, string> = { en: 'en-US', es: 'es-US' };

/** An amount in words, in whole dollars: figures that are ranges claim no cents. */
export const amountOf = (cents: number, language: Language): string =>
  new Intl.NumberFormat(REGION[language], { style: 'currency', currency: 'USD', maximumFractionDigits: 0 }).format(
    cents / 100,
  );

export const percentOf = (share: number, language: Language): string =>
  new Intl.NumberFormat(REGION[language], { style: 'percent', maximumFractionDigits: 0 }).format(share);

/** Hours in tenths as they are written in a language. */
export const hourFigure = (hours: number, language: Language): string =>
  new Intl.NumberFormat(REGION[language], { maximumFractionDigits: 1 }).format(hours);

/** Labour in tenths of hours and parts in cents together, in whole cents. */
export function withLabour(tenths: Range, cents: Range, book: ServiceBook): Range {
  const end = (hours: number, parts: number) => Math.round((hours * book.labourRateCents) / 10) + parts;
  return { low: end(tenths.low, cents.low), high: end(tenths.high, cents.high) };
}
