import { z } from 'zod';

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

/** What a situation can say about one comparison. */
export type Judge = (comparison: Comparison) => Truth;

/** The truth of a condition whose named parts have been put in. */
export function truthOf(tree: ConditionTree, judge: Judge): Truth {
  if ('all' in tree) {
    let truth: Truth = TRUE;
    for (const part of tree.all) {
      const of = truthOf(part, judge);
      if (of === FALSE) return FALSE;
      if (of < truth) truth = of;
    }
    return truth;
  }
  if ('any' in tree) {
    let truth: Truth = FALSE;
    for (const part of tree.any) {
      const of = truthOf(part, judge);
      if (of === TRUE) return TRUE;
      if (of > truth) truth = of;
    }
    return truth;
  }
  if ('not' in tree) return (TRUE - truthOf(tree.not, judge)) as Truth;
  if ('condition' in tree) throw new Error(`the condition ${tree.condition} was not put in`);
  return judge(tree);
}

/** Every comparison of a condition. */
export function comparisonsOf(tree: ConditionTree): Comparison[] {
  if ('all' in tree) return tree.all.flatMap(comparisonsOf);
  if ('any' in tree) return tree.any.flatMap(comparisonsOf);
  if ('not' in tree) return comparisonsOf(tree.not);
  if ('condition' in tree) return [];
  return [tree];
}
