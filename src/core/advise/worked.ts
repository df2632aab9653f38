import type { Advice, AdviceInFull } from '../model/advice.ts';
import type { FactKey } from '../model/facts.ts';
import { reachFrom, type EngineReach } from './engine-reach.ts';
import type { EngineClass } from './engines.ts';
import type { Labour } from './services-cost.ts';
import type { Witnesses } from './witnesses.ts';

/** Answers that were worked out before, by what they hang on: they change nothing but the time. */
export interface Worked {
  /** What an engine can turn out to be, by what was told of it; and of an engine that is told in full, by its class. */
  reach: Map<string, EngineReach>;
  /** How many engines were walked so far. */
  reaches: number;
  told: Map<number, EngineReach>;
  relevant: Map<string, ReadonlySet<FactKey>>;
  /** Answers that decided a service or an urgency on other trucks. */
  witnesses: Witnesses;
  /** What is open, asked and due later, by everything that was told. */
  ahead: Map<string, Ahead>;
  labour: Map<string, Labour>;
}

/** What lies ahead of an advice: which facts could change it, which of them are asked, and what falls due later. */
export interface Ahead {
  stillUnknown: Advice['stillUnknown'];
  ask: FactKey[];
  dueAt: AdviceInFull['dueAt'];
}

export const nothingWorked = (): Worked => ({
  reach: new Map(),
  reaches: 0,
  told: new Map(),
  relevant: new Map(),
  witnesses: new Map(),
  ahead: new Map(),
  labour: new Map(),
});

/** Answers of one kind are kept while there are at most so many. */
const KEPT = 20_000;

/** The answer that was worked out before, or else works it out and keeps it. */
export function kept<K, V>(known: Map<K, V>, key: K, work: () => V): V {
  let found = known.get(key);
  if (found === undefined) {
    if (known.size >= KEPT) known.clear();
    found = work();
    known.set(key, found);
  }
  return found;
}

/** The reach of an engine of which nothing more is to be told. */
export const toldReach = (worked: Worked, engine: EngineClass): EngineReach =>
  kept(worked.told, engine.id, () => reachFrom([engine], new Map()));
