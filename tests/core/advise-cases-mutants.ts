import { readyRule, type ReadyRule } from '../../src/core/advise/book.ts';
import { comparisonsOf, type ConditionTree } from '../../src/core/advise/condition.ts';

export interface Mutant {
  /** What was changed, in words. */
  what: string;
  rule: ReadyRule;
}

const ALWAYS: ConditionTree = { all: [] };
const NEVER: ConditionTree = { any: [] };

/**
 * The ways to break a rule that its worked cases should notice: each comparison left out (of "all" and "any" alike) or
 * turned into its contrary, and what speaks against the rule left out.
 */
export function mutantsOf(rule: ReadyRule): Mutant[] {
  const mutants: Mutant[] = [];
  const add = (what: string, change: Partial<Pick<ReadyRule, 'when' | 'unless'>>) => {
    const broken = { ...rule, ...change };
    const comparisons = {
      when: comparisonsOf(broken.when),
      unless: broken.unless ? comparisonsOf(broken.unless) : [],
    };
    mutants.push({ what: `${rule.id}: ${what}`, rule: readyRule({ ...broken, comparisons }, rule.index) });
  };
  for (const part of ['when', 'unless'] as const) {
    const tree = rule[part];
    if (!tree) continue;
    for (const { what, tree: broken } of brokenTrees(tree, part === 'when' ? ALWAYS : NEVER)) {
      add(`${part} ${what}`, { [part]: broken });
    }
  }
  return mutants;
}

/** Each way to leave out or to turn round one comparison; `alone` is what stands for a whole condition left out. */
function brokenTrees(tree: ConditionTree, alone: ConditionTree): { what: string; tree: ConditionTree }[] {
  if ('all' in tree) {
    return tree.all.flatMap((part, nth) =>
      brokenTrees(part, ALWAYS).map(({ what, tree: broken }) => ({ what, tree: { all: tree.all.with(nth, broken) } })),
    );
  }
  if ('any' in tree) {
    return tree.any.flatMap((part, nth) =>
      brokenTrees(part, NEVER).map(({ what, tree: broken }) => ({ what, tree: { any: tree.any.with(nth, broken) } })),
    );
  }
  if ('not' in tree) {
    const opposite = alone === ALWAYS ? NEVER : ALWAYS;
    return brokenTrees(tree.not, opposite).map(({ what, tree: broken }) => ({ what, tree: { not: broken } }));
  }
  const written = JSON.stringify(tree);
  return [
    { what: `without ${written}`, tree: alone },
    { what: `against ${written}`, tree: { not: tree } },
  ];
}
