import type { ReadyRule } from './book.ts';
import {
  FALSE,
  idsOf,
  TRUE,
  UNKNOWN,
  valuesNamed,
  type Comparison,
  type ConditionTree,
  type Truth,
} from './condition.ts';
import { RULE_FACTS } from './rule-facts.ts';
import { boundsOf } from './variables.ts';

/** What is known of one fact: ends of a span, a bit set of values that are alike to the rules, or whether a list has an id. */
type Knowledge = { low: number; high: number } | { bits: number } | { has: Truth };

/** One thing that can be known in several ways, each fact by itself; a list is taken apart into its ids. */
interface Slot {
  key: string;
  ways: readonly Knowledge[];
}

/**
 * Whether some rules can hold while others do not, if every fact could be known by itself. Where they cannot, no truck
 * is needed to prove it: every truck leads to one of these ways to know its facts.
 */
export function isConceivable(holding: readonly ReadyRule[], failing: readonly ReadyRule[]): boolean {
  const all = [...holding, ...failing].flatMap(({ comparisons }) => [...comparisons.when, ...comparisons.unless]);
  const wanted = valueClasses(all);
  const slots = slotsOf(all, wanted);
  const known = new Map<string, Knowledge>();
  const judge = (comparison: Comparison): Truth => truthIn(known, comparison, wanted);
  const seek = (depth: number): boolean => {
    const whens = holding.map(({ when }) => truthOf(when, judge));
    const unlesses = holding.map(({ unless }) => (unless ? truthOf(unless, judge) : FALSE));
    const slot = slots[depth];
    if (!slot) {
      const holds = (rule: ReadyRule): boolean =>
        truthOf(rule.when, judge) === TRUE && !(rule.unless && truthOf(rule.unless, judge) === TRUE);
      return holding.every(holds) && !failing.some(holds);
    }
    if (whens.includes(FALSE) || unlesses.includes(TRUE)) return false;
    const found = slot.ways.some((way) => {
      known.set(slot.key, way);
      return seek(depth + 1);
    });
    known.delete(slot.key);
    return found;
  };
  return seek(0);
}

function slotsOf(comparisons: readonly Comparison[], wanted: ReadonlyMap<string, readonly number[]>): Slot[] {
  const slots = new Map<string, Slot>();
  for (const comparison of comparisons) {
    const { fact } = comparison;
    const kind = RULE_FACTS[fact]?.kind;
    if (kind === 'list') {
      const ways = [TRUE, FALSE, UNKNOWN].map((has) => ({ has: has as Truth }));
      for (const id of 'has' in comparison ? idsOf(comparison.has) : [])
        slots.set(`${fact}/${id}`, { key: `${fact}/${id}`, ways });
    } else if (kind === 'choice') {
      const parts = wanted.get(fact) ?? [];
      const sets = Array.from({ length: (1 << parts.length) - 1 }, (_, index) => index + 1);
      const ways = sets.map((set) => ({
        bits: parts.reduce((bits, part, n) => (set & (1 << n) ? bits | part : bits), 0),
      }));
      slots.set(fact, { key: fact, ways });
    } else if (kind === 'number') {
      const bounds = [...new Set(comparisons.flatMap((one) => (one.fact === fact ? boundsOf(one) : [])))];
      const points = [-Infinity, ...bounds.sort((a, b) => a - b)];
      const ways = points.flatMap((low, n) => points.slice(n).map((high) => ({ low, high })));
      slots.set(fact, { key: fact, ways });
    }
  }
  return [...slots.values()];
}

/** The values of each choice, put together where no comparison tells them apart, as bit sets. */
function valueClasses(comparisons: readonly Comparison[]): Map<string, readonly number[]> {
  const classes = new Map<string, readonly number[]>();
  for (const comparison of comparisons) {
    const fact = RULE_FACTS[comparison.fact];
    if (fact?.kind !== 'choice') continue;
    const bits = valuesNamed(comparison, fact.values);
    const before = classes.get(comparison.fact) ?? [(1 << fact.values.length) - 1];
    classes.set(
      comparison.fact,
      before.flatMap((part) => [part & bits, part & ~bits].filter((piece) => piece !== 0)),
    );
  }
  return classes;
}

function truthIn(
  known: ReadonlyMap<string, Knowledge>,
  comparison: Comparison,
  wanted: ReadonlyMap<string, readonly number[]>,
): Truth {
  if ('has' in comparison) {
    const each = idsOf(comparison.has).map((id) => known.get(`${comparison.fact}/${id}`));
    const truths = each.map((one) => (one && 'has' in one ? one.has : UNKNOWN));
    return truths.includes(TRUE) ? TRUE : truths.every((truth) => truth === FALSE) ? FALSE : UNKNOWN;
  }
  const one = known.get(comparison.fact);
  if (!one) return UNKNOWN;
  if ('bits' in one) {
    const fact = RULE_FACTS[comparison.fact];
    const bits = fact?.kind === 'choice' && wanted.has(comparison.fact) ? valuesNamed(comparison, fact.values) : 0;
    return (one.bits & bits) === 0 ? FALSE : (one.bits & ~bits) === 0 ? TRUE : UNKNOWN;
  }
  if (!('low' in one) || !('from' in comparison || 'below' in comparison)) return UNKNOWN;
  const { from = -Infinity, below = Infinity } = comparison;
  if (one.low >= from && one.high < below) return TRUE;
  return one.high < from || one.low >= below ? FALSE : UNKNOWN;
}

/** Kleene's strong logic over a condition whose named parts were put in. */
function truthOf(tree: ConditionTree, judge: (comparison: Comparison) => Truth): Truth {
  if ('all' in tree) return Math.min(TRUE, ...tree.all.map((part) => truthOf(part, judge))) as Truth;
  if ('any' in tree) return Math.max(FALSE, ...tree.any.map((part) => truthOf(part, judge))) as Truth;
  if ('not' in tree) return (TRUE - truthOf(tree.not, judge)) as Truth;
  return 'condition' in tree ? UNKNOWN : judge(tree);
}
