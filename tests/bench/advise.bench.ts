import { performance } from 'node:perf_hooks';
import { pathToFileURL } from 'node:url';
import { Engine, type TopLevelCondition } from 'json-rules-engine';
import { advise, type AdviceBook } from '../../src/core/advise/mod.ts';
import { readyRule, type ReadyRule } from '../../src/core/advise/book.ts';
import { idsOf, type Comparison, type ConditionTree } from '../../src/core/advise/condition.ts';
import { decide } from '../../src/core/advise/decide.ts';
import { figuresOf } from '../../src/core/advise/engine-reach.ts';
import { targetsOf } from '../../src/core/advise/targets.ts';
import { RULE_FACTS } from '../../src/core/advise/rule-facts.ts';
import { nothingWorked } from '../../src/core/advise/worked.ts';
import { situationOf, type Situation } from '../../src/core/advise/situation.ts';
import type { Facts } from '../../src/core/model/facts.ts';
import { shopBook } from '../core/advise/flows.ts';
import { dice, partOf, truckOf } from '../core/advise/trucks.ts';

/*
 * Advices a second: the shop's rule book here, and the same rules in a general rules engine, on the same trucks in one
 * run. The general engine is handed every computed fact ready made, as ends of a span, possible values and list
 * members, so that it answers the same in three-valued logic; that the same rules fire is checked for every truck.
 */
const TRUCKS = 200;
const ROUNDS = 3;

type Nested = TopLevelCondition;

/** A condition in the other engine's form, true where ours is true. */
function translated(tree: ConditionTree): Nested {
  if ('all' in tree) return { all: tree.all.map(translated) };
  if ('any' in tree) return { any: tree.any.map(translated) };
  if ('not' in tree || 'condition' in tree) throw new Error('the bench translates no such condition');
  return comparisonOf(tree);
}

function comparisonOf(comparison: Comparison): Nested {
  const { fact } = comparison;
  if ('has' in comparison) {
    return { any: idsOf(comparison.has).map((id) => ({ fact, operator: 'contains', value: id })) };
  }
  if ('is' in comparison || 'isOneOf' in comparison) {
    const values = ('is' in comparison ? [comparison.is] : comparison.isOneOf).map(String);
    return { all: [{ fact, operator: 'allAmong', value: values }] };
  }
  const { from, below } = comparison;
  return {
    all: [
      ...(from === undefined ? [] : [{ fact: `${fact}.low`, operator: 'greaterThanInclusive', value: from }]),
      ...(below === undefined ? [] : [{ fact: `${fact}.high`, operator: 'lessThan', value: below }]),
    ],
  };
}

function otherEngine(rules: readonly ReadyRule[]): Engine {
  const engine = new Engine();
  engine.addOperator<string[], string[]>('allAmong', (possible, wanted) =>
    possible.every((one) => wanted.includes(one)),
  );
  for (const rule of rules) {
    const when = translated(rule.when);
    const conditions: Nested = rule.unless ? { all: [when, { not: translated(rule.unless) }] } : { all: [when] };
    engine.addRule({ name: rule.id, conditions, event: { type: rule.id } });
  }
  return engine;
}

/** Every fact of the rules, computed. */
function handed(s: Situation): Record<string, unknown> {
  const facts: Record<string, unknown> = {};
  for (const [id, fact] of Object.entries(RULE_FACTS)) {
    if (fact.kind === 'number') {
      // What the engine compares must be a number; an end that is not known lies beyond every bound.
      facts[`${id}.low`] = finite(fact.low(s), -1e12);
      facts[`${id}.high`] = finite(fact.high(s), 1e12);
    } else if (fact.kind === 'choice') {
      const bits = fact.possible(s);
      facts[id] = fact.values.filter((_, index) => bits & (1 << index));
    } else {
      facts[id] = [...fact.list(s).members];
    }
  }
  return facts;
}

const finite = (value: number, unknown: number): number =>
  Number.isNaN(value) ? unknown : Math.max(-1e12, Math.min(1e12, value));

function perSecond(count: number, run: () => void): number {
  let best = Infinity;
  for (let round = 0; round < ROUNDS; round++) {
    const start = performance.now();
    run();
    best = Math.min(best, performance.now() - start);
  }
  return (count / best) * 1000;
}

function forget(book: AdviceBook): void {
  for (const known of Object.values(book.worked)) if (known instanceof Map) known.clear();
}

/** A book with its rules repeated under other ids until there are so many. */
function grown(book: AdviceBook, count: number): AdviceBook {
  const rules = Array.from({ length: count }, (_, index) => {
    const rule = book.rules[index % book.rules.length] as ReadyRule;
    return readyRule({ ...rule, id: `${rule.id}-${index}` }, index);
  });
  const worked = { ...nothingWorked(), reach: book.worked.reach };
  return { ...book, rules, targets: targetsOf(rules, book.codeGroups.sets, figuresOf(book.engines.families)), worked };
}

export async function bench(print: (line: string) => void): Promise<void> {
  const book = shopBook();
  const throwing = dice(20261102);
  const trucks: Facts[] = Array.from({ length: TRUCKS }, () => partOf(truckOf(throwing), throwing));
  const situations = trucks.map((facts) => situationOf(facts, book));
  const engine = otherEngine(book.rules);
  const ready = situations.map(handed);

  let differ = 0;
  const startOther = performance.now();
  for (const [index, facts] of ready.entries()) {
    const { events } = await engine.run(facts);
    const theirs = events.map(({ type }) => type).sort();
    const ours = decide(book.rules, situations[index] as Situation).fired.map(({ id }) => id);
    if (theirs.join() !== ours.sort().join()) differ += 1;
  }
  const other = (TRUCKS / (performance.now() - startOther)) * 1000;

  const decided = perSecond(TRUCKS, () => {
    for (const facts of trucks) decide(book.rules, situationOf(facts, book));
  });
  const cold = perSecond(TRUCKS, () => {
    forget(book);
    for (const facts of trucks) advise(facts, book, 'en');
  });
  const warm = perSecond(TRUCKS, () => {
    for (const facts of trucks) advise(facts, book, 'en');
  });
  const line = (what: string, rate: number) =>
    print(`  ${what.padEnd(58)} ${Math.round(rate).toString().padStart(8)} a second  ${(rate / other).toFixed(1)} x`);
  print(`advice: ${TRUCKS} trucks, ${book.rules.length} rules; fired rules differ on ${differ} trucks`);
  line('json-rules-engine, facts handed ready made', other);
  line('the same conclusion here, facts computed', decided);
  line('whole advice (texts, labour, open questions) as it recurs', warm);
  line('whole advice, nothing worked out before', cold);

  print('advice by the number of rules (microseconds each)');
  for (const count of [100, 200, 300, 400, 500]) {
    const big = grown(book, count);
    const conclusion = 1e6 / perSecond(TRUCKS, () => situations.forEach((situation) => decide(big.rules, situation)));
    trucks.forEach((facts) => advise(facts, big, 'en'));
    const whole = 1e6 / perSecond(TRUCKS, () => trucks.forEach((facts) => advise(facts, big, 'en')));
    print(`  ${count} rules: conclusion ${conclusion.toFixed(1)}, whole advice ${whole.toFixed(1)}`);
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await bench((line) => console.log(line));
