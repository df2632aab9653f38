import type { AdviceBook, ReadyRule } from './book.ts';
import { FALSE, TRUE } from './condition.ts';
import { holds } from './decide.ts';
import { reachOf, type EngineReach } from './engine-reach.ts';
import { isConceivable } from './possible.ts';
import { distinctEngines, outlookOf, samplesOf, type Sample } from './samples.ts';
import { EITHER, NO, situationOf, YES, type Situation } from './situation.ts';
import { VARIABLES, variablesOf, type Variable } from './variables.ts';

/** A truck about which nothing is known, and the same with everything that could be answered. */
export interface Blank {
  present: Situation;
  open: Situation;
  reach: EngineReach;
}

/** What is told rather than asked, and can hold or not. */
const TOLD = ['tamper', 'coverageTold', 'vinTold', 'yearFitsVin', 'engineFits', 'firstUseWithinFiveYears'] as const;
type Told = (typeof TOLD)[number];
type Dimension = Variable | Told;

/** The fewest ways to go first: what prunes most costs least. */
const ORDER: readonly Dimension[] = [
  ...TOLD,
  'metalFound',
  'pumpProtected',
  'pumpReplaced',
  'breatherOriginal',
  'tows',
  ...VARIABLES,
];

/** After so many situations a search gives up; it then answers that it cannot tell. */
const MOST_TRIED = 2_000_000;

export type Found =
  { found: true; situation: Situation; facts: Record<string, unknown> } | { found: false | 'gave up' };

export function blankOf({ engines, codeGroups }: Pick<AdviceBook, 'engines' | 'codeGroups'>): Blank {
  const reach = reachOf({}, engines);
  const present = situationOf({}, { engines, codeGroups });
  const either = Object.fromEntries(TOLD.map((told) => [told, EITHER]));
  return { present, open: { ...present, ...either, open: true, engine: reach.hull }, reach };
}

/**
 * A situation in which some rules hold and others do not, over every combination of answers that the rules can tell
 * apart, unanswered ones among them; `false` where there is none.
 */
export function findSituation(
  book: AdviceBook,
  blank: Blank,
  holding: readonly ReadyRule[],
  failing: readonly ReadyRule[] = [],
): Found {
  if (!isConceivable(holding, failing)) return NOWHERE;
  const rules = [...holding, ...failing];
  const outlook = outlookOf(rules, book.codeGroups.sets);
  const named = new Set<Dimension>(
    rules.flatMap(({ comparisons }) =>
      [...comparisons.when, ...comparisons.unless].flatMap(({ fact }): readonly Dimension[] =>
        isTold(fact) ? [fact] : fact === 'milesFit' ? PASTS : variablesOf(fact),
      ),
    ),
  );
  const dimensions = [...new Set(ORDER)].filter((dimension) => named.has(dimension));
  const engines = distinctEngines(blank.reach, outlook);
  let tried = 0;
  const seek = (base: Situation, wide: Situation, depth: number): Found => {
    tried += 1;
    if (tried > MOST_TRIED) return { found: 'gave up' };
    if (holding.some((rule) => cannotHold(rule, wide)) || failing.some((rule) => mustHold(rule, wide))) return NOWHERE;
    const dimension = dimensions[depth];
    if (!dimension) {
      const fits = holding.every((rule) => holds(rule, base)) && !failing.some((rule) => holds(rule, base));
      return fits ? { found: true, situation: base, facts: {} } : NOWHERE;
    }
    const samples = isTold(dimension)
      ? [{ [dimension]: YES }, { [dimension]: NO }]
      : dimension === 'engine'
        ? engines
        : samplesOf(dimension, base, outlook, blank.reach);
    for (const sample of [...samples, {}]) {
      const found = seek({ ...base, ...sample }, { ...wide, ...sample }, depth + 1);
      if (found.found === 'gave up') return found;
      if (found.found === true) return { ...found, facts: { ...asFacts(dimension, sample), ...found.facts } };
    }
    return NOWHERE;
  };
  return seek(blank.present, blank.open, 0);
}

const NOWHERE: Found = { found: false };
const PASTS: readonly Dimension[] = ['odometerMiles', 'lastFuelFilterMiles', 'lastOilChangeMiles', 'pumpFittedAtMiles'];

const isTold = (fact: string): fact is Told => (TOLD as readonly string[]).includes(fact);

const cannotHold = (rule: ReadyRule, wide: Situation): boolean =>
  rule.whenTest(wide) === FALSE || rule.unlessTest?.(wide) === TRUE;

const mustHold = (rule: ReadyRule, wide: Situation): boolean =>
  rule.whenTest(wide) === TRUE && (!rule.unlessTest || rule.unlessTest(wide) === FALSE);

/** A sample in the words of the fact dictionary, for an example that can be read. */
function asFacts(dimension: Dimension, sample: Sample): Record<string, unknown> {
  if (Object.keys(sample).length === 0) return {};
  switch (dimension) {
    case 'engine': {
      const ids = (sample.engine?.families ?? []).map(({ id }) => id);
      return { engine: ids.length > 3 ? `one of ${ids.length} families` : ids.join(' or ') || 'not in the book' };
    }
    case 'symptoms':
      return { symptoms: [...(sample.symptoms?.members ?? [])] };
    case 'troubleCodes':
      return { codeGroups: [...(sample.codes?.members ?? [])] };
    case 'lastFuelFilterDate':
      return { monthsSinceFuelFilter: sample.monthsSinceFuelFilter };
    default: {
      const value = sample[dimension];
      const miles = dimension.endsWith('Miles');
      return { [dimension]: miles ? value : value === YES };
    }
  }
}
