import { z } from 'zod';
import { RULE_FACTS, type RuleFact } from './rule-facts.ts';
import type { Situation } from './situation.ts';

/** Truth in three values, ordered, so that "all" is the least and "any" the greatest (Kleene's strong logic). */
export const FALSE = 0;
export const UNKNOWN = 1;
export const TRUE = 2;
export type Truth = typeof FALSE | typeof UNKNOWN | typeof TRUE;

const scalar = z.union([z.string(), z.number(), z.boolean()]);
type Scalar = z.infer<typeof scalar>;

/** A comparison of one fact with constants. */
export type Comparison =
  | { fact: string; is: Scalar }
  | { fact: string; isOneOf: Scalar[] }
  /** From is inclusive, below is not. */
  | { fact: string; from?: number | undefined; below?: number | undefined }
  /** A list holds at least one of these. */
  | { fact: string; has: string | string[] };

export type ConditionTree =
  Comparison | { all: ConditionTree[] } | { any: ConditionTree[] } | { not: ConditionTree } | { condition: string };

const fact = z.string().min(1);

/** How a condition is written in flows/advice/; `condition` names one that stands under `conditions`. */
export const ConditionTree: z.ZodType<ConditionTree> = z.lazy(() =>
  z.union(
    [
      z.strictObject({ all: z.array(ConditionTree).min(1) }),
      z.strictObject({ any: z.array(ConditionTree).min(1) }),
      z.strictObject({ not: ConditionTree }),
      z.strictObject({ condition: z.string().min(1) }),
      z.strictObject({ fact, is: scalar }),
      z.strictObject({ fact, isOneOf: z.array(scalar).min(1) }),
      z.strictObject({ fact, has: z.union([z.string(), z.array(z.string()).min(1)]) }),
      z
        .strictObject({ fact, from: z.number().optional(), below: z.number().optional() })
        .refine((range) => range.from !== undefined || range.below !== undefined),
    ],
    'expected all, any, not, condition, or one fact with is, isOneOf, has, from or below',
  ),
);

/** A condition made ready to be asked of a situation. */
export type Test = (situation: Situation) => Truth;

/** Makes a condition ready whose named parts have been put in. A fact that nobody knows is a fault. */
export function testOf(tree: ConditionTree): Test {
  if ('all' in tree) return allOf(tree.all.map(testOf));
  if ('any' in tree) return anyOf(tree.any.map(testOf));
  if ('not' in tree) {
    const inner = testOf(tree.not);
    return (s) => (TRUE - inner(s)) as Truth;
  }
  if ('condition' in tree) throw new Error(`TT-RULES: the condition ${tree.condition} was not put in`);
  const fact = RULE_FACTS[tree.fact];
  if (!fact) throw new Error(`TT-RULES: no such fact: ${tree.fact}`);
  return comparisonTest(tree, fact);
}

function allOf(tests: readonly Test[]): Test {
  if (tests.length === 1 && tests[0]) return tests[0];
  return (s) => {
    let truth: Truth = TRUE;
    for (const test of tests) {
      const of = test(s);
      if (of === FALSE) return FALSE;
      if (of < truth) truth = of;
    }
    return truth;
  };
}

function anyOf(tests: readonly Test[]): Test {
  if (tests.length === 1 && tests[0]) return tests[0];
  return (s) => {
    let truth: Truth = FALSE;
    for (const test of tests) {
      const of = test(s);
      if (of === TRUE) return TRUE;
      if (of > truth) truth = of;
    }
    return truth;
  };
}

/** The ids that a `has` names. */
export const idsOf = (has: string | string[]): string[] => (typeof has === 'string' ? [has] : has);

/** The values that a comparison names, as a bit set over all values of a choice. */
export function valuesNamed(comparison: Comparison, values: readonly string[]): number {
  const named = 'is' in comparison ? [comparison.is] : 'isOneOf' in comparison ? comparison.isOneOf : [];
  return named.reduce<number>((bits, value) => bits | (1 << values.indexOf(String(value))), 0);
}

function comparisonTest(comparison: Comparison, fact: RuleFact): Test {
  switch (fact.kind) {
    case 'number': {
      const { low, high } = fact;
      const { from = -Infinity, below = Infinity } = comparison as { from?: number; below?: number };
      const bounded = below !== Infinity;
      return (s) => {
        const least = low(s);
        const most = high(s);
        if (least >= from && (!bounded || most < below)) return TRUE;
        return most < from || (bounded && least >= below) ? FALSE : UNKNOWN;
      };
    }
    case 'choice': {
      const { values, possible } = fact;
      const wanted = valuesNamed(comparison, values);
      return (s) => {
        const bits = possible(s);
        if ((bits & wanted) === 0) return FALSE;
        return (bits & ~wanted) === 0 ? TRUE : UNKNOWN;
      };
    }
    case 'list': {
      const { list } = fact;
      const wanted = 'has' in comparison ? idsOf(comparison.has) : [];
      return (s) => {
        const { members, closed, denied } = list(s);
        if (members.size > 0) for (const id of wanted) if (members.has(id)) return TRUE;
        if (closed) return FALSE;
        return denied.size > 0 && wanted.every((id) => denied.has(id)) ? FALSE : UNKNOWN;
      };
    }
    default: {
      const never: never = fact;
      return never;
    }
  }
}

/** Every comparison of a condition. */
export function comparisonsOf(tree: ConditionTree): Comparison[] {
  if ('all' in tree) return tree.all.flatMap(comparisonsOf);
  if ('any' in tree) return tree.any.flatMap(comparisonsOf);
  if ('not' in tree) return comparisonsOf(tree.not);
  if ('condition' in tree) return [];
  return [tree];
}
