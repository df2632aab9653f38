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
import { URGENCIES } from '../../src/core/model/ids.ts';
import { shopBook } from '../core/advise/flows.ts';
import { answers, ASKED } from '../core/advise/answers.ts';
import { dice, partOf, truckOf } from '../core/advise/trucks.ts';

/*
 * Advices a second: the shop's rule book here, and the same rules in a general rules engine, on the same trucks in one
 * run. The general engine is handed every computed fact ready made, as ends of a span, possible values and list
 * members, so that it answers the same in three-valued logic; that the same rules fire is checked for every truck.
 *
 * The general engine does not tell which facts could still change the conclusion. What can be built on it is to run it
 * again for every answer to every open fact; that finds what an answer changes alone, and takes no other open fact with
 * it, which is less than the search here does. "The whole job" is conclusion and open facts.
 */
const TRUCKS = 200;
/** So many trucks are enough for what the general engine takes a second each for. */
const TRIED = 4;
/** Trucks that a process has advised before others that it never saw. */
const BEFORE = 3000;
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

/** Urgency and services as one text. */
function concluded(rules: readonly ReadyRule[]): string {
  const services = rules.flatMap(({ advise: advised }) => advised.map(({ service }) => service));
  const urgent = URGENCIES.find((urgency) => rules.some((rule) => rule.urgency === urgency)) ?? 'watch';
  return [urgent, ...new Set(services.sort())].join();
}

/** The open facts of which one answer alone changes what the general engine concludes; how often it ran for that. */
async function openByTrial(
  engine: Engine,
  book: AdviceBook,
  facts: Facts,
): Promise<{ open: Set<string>; runs: number }> {
  const byId = new Map(book.rules.map((rule) => [rule.id, rule]));
  let runs = 0;
  const conclude = async (tried: Facts): Promise<string> => {
    runs += 1;
    const { events } = await engine.run(handed(situationOf(tried, book)));
    return concluded(events.flatMap(({ type }) => byId.get(type) ?? []));
  };
  const present = await conclude(facts);
  const open = new Set<string>();
  for (const fact of ASKED.filter((one) => facts[one] === undefined)) {
    for (const answer of answers(fact, facts)) {
      if ((await conclude({ ...facts, [fact]: answer })) === present) continue;
      open.add(fact);
      break;
    }
  }
  return { open, runs };
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

  const few = trucks.slice(0, TRIED);
  let runs = 0;
  let missed = 0;
  const startJob = performance.now();
  const found: Set<string>[] = [];
  for (const facts of few) {
    const tried = await openByTrial(engine, book, facts);
    found.push(tried.open);
    runs += tried.runs;
  }
  const job = (TRIED / (performance.now() - startJob)) * 1000;
  for (const [index, facts] of few.entries()) {
    const open = new Set<string>(advise(facts, book, 'en').stillUnknown.map(({ fact }) => fact));
    missed += [...(found[index] ?? [])].filter((fact) => !open.has(fact)).length;
  }

  const decided = perSecond(TRUCKS, () => {
    for (const facts of trucks) decide(book.rules, situationOf(facts, book));
  });
  const first = perSecond(TRUCKS, () => {
    forget(book);
    for (const facts of trucks) advise(facts, book, 'en');
  });
  for (let n = 0; n < BEFORE; n++) advise(partOf(truckOf(throwing), throwing), book, 'en');
  // New trucks each round, since a second look at one is another matter.
  const unseen = perSecond(TRUCKS, () => {
    for (let n = 0; n < TRUCKS; n++) advise(partOf(truckOf(throwing), throwing), book, 'en');
  });
  const again = perSecond(TRUCKS, () => {
    for (const facts of trucks) advise(facts, book, 'en');
  });
  const line = (what: string, rate: number, than: number) => {
    const micro = Math.round(1e6 / rate);
    print(`  ${what.padEnd(62)} ${micro.toString().padStart(8)} µs  ${(rate / than).toFixed(1).padStart(7)} x`);
  };
  print(`advice: ${TRUCKS} trucks, ${book.rules.length} rules; fired rules differ on ${differ} trucks`);
  line('conclusion alone: json-rules-engine, facts handed ready made', other, other);
  line('conclusion alone: here, facts computed', decided, other);
  print(`the whole job; open facts that trial finds and the search here does not: ${missed}`);
  line(`json-rules-engine, ${Math.round(runs / TRIED)} runs a truck, one answer at a time`, job, job);
  line(`here, with texts and labour: the first ${TRUCKS} trucks of a process`, first, job);
  line(`here: trucks never seen, after ${BEFORE} others`, unseen, job);
  line('here: a truck that was seen before', again, job);
  print('here, against the conclusion alone of json-rules-engine');
  line('  a truck never seen', unseen, other);
  line('  a truck that was seen before', again, other);

  print('by the number of rules: conclusion, and its share for each rule; a whole advice seen before (µs)');
  const sizes = [100, 200, 300, 400, 500];
  const books = sizes.map((count) => grown(book, count));
  const quickest = sizes.map(() => ({ conclusion: Infinity, whole: Infinity }));
  // The sizes take turns, so that what else the machine does falls on all alike.
  for (let round = 0; round < 20; round++) {
    for (const [index, { rules }] of books.entries()) {
      const took = quickest[index];
      if (took)
        took.conclusion = Math.min(
          took.conclusion,
          timed(() => situations.forEach((s) => decide(rules, s))),
        );
    }
  }
  for (let round = 0; round < 4; round++) {
    for (const [index, big] of books.entries()) {
      const took = quickest[index];
      if (took)
        took.whole = Math.min(
          took.whole,
          timed(() => trucks.forEach((facts) => advise(facts, big, 'en'))),
        );
    }
  }
  for (const [index, count] of sizes.entries()) {
    const { conclusion = 0, whole = 0 } = quickest[index] ?? {};
    const each = (1000 * conclusion) / TRUCKS;
    const share = ((1000 * each) / count).toFixed(0);
    print(`  ${count} rules: ${each.toFixed(1)}, ${share} ns a rule; ${((1000 * whole) / TRUCKS).toFixed(1)}`);
  }
}

/** Milliseconds. */
function timed(run: () => void): number {
  const start = performance.now();
  run();
  return performance.now() - start;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) await bench((line) => console.log(line));
