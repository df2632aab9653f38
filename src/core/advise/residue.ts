import type { ReadyRule } from './book.ts';
import { comparisonsOf, FALSE, testOf, TRUE, UNKNOWN, type Comparison, type ConditionTree } from './condition.ts';
import type { Test, Truth } from './condition.ts';
import type { Situation } from './situation.ts';
import { variablesOf, type Variable } from './variables.ts';
import { kept } from './worked.ts';

/** Every comparison of a set of rules once, so that one that many rules make is made once for a truck. */
export class Comparisons {
  readonly #places = new Map<string, number>();
  readonly #known = new Map<Comparison, number>();
  readonly #tests: Test[] = [];
  /** The comparisons by place. */
  readonly all: Comparison[] = [];

  /** The place of a comparison among all of them. */
  placeOf(comparison: Comparison): number {
    return kept(this.#known, comparison, () => this.#placeOf(comparison));
  }

  #placeOf(comparison: Comparison): number {
    const text = JSON.stringify(comparison);
    let place = this.#places.get(text);
    if (place === undefined) {
      place = this.#tests.length;
      this.#places.set(text, place);
      this.#tests.push(testOf(comparison));
      this.all.push(comparison);
    }
    return place;
  }

  truthAt(place: number, situation: Situation): Truth {
    return (this.#tests[place] as Test)(situation);
  }

  /** How each comparison stands in a situation, by place; of some alone where `places` names them. */
  truthsIn(situation: Situation, places?: readonly number[]): Uint8Array {
    const truths = new Uint8Array(this.#tests.length);
    if (places) for (const place of places) truths[place] = this.truthAt(place, situation);
    else for (let place = 0; place < truths.length; place++) truths[place] = this.truthAt(place, situation);
    return truths;
  }
}

type Judge = (truths: Uint8Array) => Truth;

/** A rule that reads how its comparisons stand instead of making them. */
export interface JudgedRule {
  rule: ReadyRule;
  places: readonly number[];
  when: Judge;
  unless: Judge | undefined;
}

export function judgedRule(rule: ReadyRule, comparisons: Comparisons): JudgedRule {
  const { when, unless } = rule.comparisons;
  return {
    rule,
    places: [...new Set([...when, ...unless].map((comparison) => comparisons.placeOf(comparison)))],
    when: judgeOf(rule.when, comparisons),
    unless: rule.unless && judgeOf(rule.unless, comparisons),
  };
}

function judgeOf(tree: ConditionTree, comparisons: Comparisons): Judge {
  if ('all' in tree) {
    const parts = tree.all.map((part) => judgeOf(part, comparisons));
    return (truths) => {
      let truth: Truth = TRUE;
      for (const part of parts) {
        const of = part(truths);
        if (of < truth) truth = of;
        if (truth === FALSE) break;
      }
      return truth;
    };
  }
  if ('any' in tree) {
    const parts = tree.any.map((part) => judgeOf(part, comparisons));
    return (truths) => {
      let truth: Truth = FALSE;
      for (const part of parts) {
        const of = part(truths);
        if (of > truth) truth = of;
        if (truth === TRUE) break;
      }
      return truth;
    };
  }
  if ('not' in tree) {
    const inner = judgeOf(tree.not, comparisons);
    return (truths) => (TRUE - inner(truths)) as Truth;
  }
  if ('condition' in tree) throw new Error(`TT-RULES: the condition ${tree.condition} was not put in`);
  const place = comparisons.placeOf(tree);
  return (truths) => truths[place] as Truth;
}

/** How comparisons can come to stand, by place: at least so true, and at most so true. */
export interface Standing {
  low: Uint8Array;
  high: Uint8Array;
}

type Bound = (standing: Standing) => Truth;

/** A condition by the least and the most true that it can be. */
export interface Bounds {
  low: Bound;
  high: Bound;
}

/** What is left of a rule once all that is settled has been put in. */
export interface Residue {
  rule: ReadyRule;
  when: Bounds;
  unless: Bounds;
  /** Its comparisons that are not settled. */
  comparisons: ReadyRule['comparisons'];
  places: readonly number[];
  /** The facts behind them: those of `when`, and all. */
  whenVariables: readonly Variable[];
  variables: readonly Variable[];
}

/**
 * Puts what is settled into a rule; a comparison that is unknown with everything open can still turn out either way.
 * The places of a standing are those of `left`.
 */
export function residueOf(rule: ReadyRule, truths: Uint8Array, left: Comparisons): Residue {
  const truthOf = (comparison: Comparison): Truth => truths[left.placeOf(comparison)] as Truth;
  const when = leftOf(rule.when, truthOf);
  const unless = rule.unless ? leftOf(rule.unless, truthOf) : FALSE;
  const comparisons = {
    when: typeof when === 'number' ? [] : comparisonsOf(when),
    unless: typeof unless === 'number' ? [] : comparisonsOf(unless),
  };
  const factsBehind = (of: readonly Comparison[]) => [...new Set(of.flatMap(({ fact }) => variablesOf(fact)))];
  return {
    rule,
    when: boundsOf(when, left),
    unless: boundsOf(unless, left),
    comparisons,
    places: [...comparisons.when, ...comparisons.unless].map((comparison) => left.placeOf(comparison)),
    whenVariables: factsBehind(comparisons.when),
    variables: factsBehind([...comparisons.when, ...comparisons.unless]),
  };
}

const always = (truth: Truth): Bounds => ({ low: () => truth, high: () => truth });

function boundsOf(tree: ConditionTree | Truth, left: Comparisons): Bounds {
  if (typeof tree === 'number') return always(tree);
  if ('all' in tree) {
    const parts = tree.all.map((part) => boundsOf(part, left));
    return { low: leastOf(parts.map(({ low }) => low)), high: leastOf(parts.map(({ high }) => high)) };
  }
  if ('any' in tree) {
    const parts = tree.any.map((part) => boundsOf(part, left));
    return { low: mostOf(parts.map(({ low }) => low)), high: mostOf(parts.map(({ high }) => high)) };
  }
  if ('not' in tree) {
    const { low, high } = boundsOf(tree.not, left);
    return { low: (of) => (TRUE - high(of)) as Truth, high: (of) => (TRUE - low(of)) as Truth };
  }
  if ('condition' in tree) return always(UNKNOWN);
  const place = left.placeOf(tree);
  return { low: ({ low }) => low[place] as Truth, high: ({ high }) => high[place] as Truth };
}

function leastOf(parts: readonly Bound[]): Bound {
  if (parts.length === 1 && parts[0]) return parts[0];
  return (standing) => {
    let least: Truth = TRUE;
    for (const part of parts) {
      const of = part(standing);
      if (of === FALSE) return FALSE;
      if (of < least) least = of;
    }
    return least;
  };
}

function mostOf(parts: readonly Bound[]): Bound {
  if (parts.length === 1 && parts[0]) return parts[0];
  return (standing) => {
    let most: Truth = FALSE;
    for (const part of parts) {
      const of = part(standing);
      if (of === TRUE) return TRUE;
      if (of > most) most = of;
    }
    return most;
  };
}

/** A condition without its settled parts, or its truth where nothing of it is open. */
function leftOf(tree: ConditionTree, truthOf: (comparison: Comparison) => Truth): ConditionTree | Truth {
  if ('all' in tree) return leftTogether(tree.all, truthOf, FALSE, (all) => ({ all }));
  if ('any' in tree) return leftTogether(tree.any, truthOf, TRUE, (any) => ({ any }));
  if ('not' in tree) {
    const inner = leftOf(tree.not, truthOf);
    return typeof inner === 'number' ? ((TRUE - inner) as Truth) : { not: inner };
  }
  if ('condition' in tree) return UNKNOWN;
  const truth = truthOf(tree);
  return truth === UNKNOWN ? tree : truth;
}

function leftTogether(
  parts: readonly ConditionTree[],
  truthOf: (comparison: Comparison) => Truth,
  deciding: Truth,
  together: (parts: ConditionTree[]) => ConditionTree,
): ConditionTree | Truth {
  const left: ConditionTree[] = [];
  for (const part of parts) {
    const one = leftOf(part, truthOf);
    if (one === deciding) return deciding;
    if (typeof one !== 'number') left.push(one);
  }
  return left.length === 0 ? ((TRUE - deciding) as Truth) : together(left);
}

/** The most that a truth can still come to. */
export const atMost = (truth: number): number => (truth === UNKNOWN ? TRUE : truth);

/** Whether all that a rule asks for is given. */
export const meets = ({ when }: Residue, standing: Standing): boolean => when.low(standing) === TRUE;

/** Whether a rule can still come to hold. */
export const canHold = ({ when, unless }: Residue, standing: Standing): boolean =>
  when.high(standing) === TRUE && unless.low(standing) !== TRUE;

/** Whether a rule holds whatever is still answered. */
export const surelyHolds = ({ when, unless }: Residue, standing: Standing): boolean =>
  when.low(standing) === TRUE && unless.high(standing) !== TRUE;
