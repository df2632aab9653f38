import { FACT_KEYS, type FactKey } from '../model/facts.ts';
import type { AdviceBook } from './book.ts';
import { comparisonsOf, UNKNOWN } from './condition.ts';
import { isOpen, rank, type Decision } from './decide.ts';
import { sure, type Situation } from './situation.ts';

export interface OpenFact {
  fact: FactKey;
  couldChange: string[];
}

/** The facts that open rules hang on, the most weighty first. */
export function openFacts(book: AdviceBook, situation: Situation, decision: Decision): OpenFact[] {
  const found = new Map<FactKey, Set<string>>();
  for (const rule of book.rules) {
    if (!isOpen(rule, situation)) continue;
    const changes = rule.advise.map(({ service }) => service as string);
    if (rule.urgency && rank(rule.urgency) < rank(decision.urgency)) changes.push(rule.urgency);
    if (changes.length === 0) continue;
    for (const comparison of [rule.when, ...(rule.unless ? [rule.unless] : [])].flatMap(comparisonsOf)) {
      if (situation.judge(comparison) !== UNKNOWN) continue;
      for (const key of book.facts.get(comparison.fact)?.from ?? [comparison.fact]) {
        const fact = FACT_KEYS.find((known) => known === key);
        if (!fact || fact === 'engineFamily' || sure(situation.facts, fact) !== undefined) continue;
        const known = found.get(fact) ?? new Set();
        for (const change of changes) known.add(change);
        found.set(fact, known);
      }
    }
  }
  const weight = (changes: ReadonlySet<string>): number =>
    [...changes].reduce((sum, change) => sum + (WEIGHTS[change] ?? serviceWeight(book, change)), 0);
  return [...found]
    .map(([fact, changes]) => ({ fact, couldChange: [...changes], weight: weight(changes) }))
    .sort((a, b) => b.weight - a.weight || (a.fact < b.fact ? -1 : 1))
    .map(({ fact, couldChange }) => ({ fact, couldChange }));
}

const WEIGHTS: Record<string, number> = { 'do-not-drive': 1000, prompt: 10, planned: 5, watch: 0 };
const serviceWeight = (book: AdviceBook, change: string): number =>
  [...book.services].find(([id]) => id === change)?.[1].weight ?? 0;
