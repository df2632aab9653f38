import type { FactKey } from '../model/facts.ts';
import { URGENCIES, type ServiceId, type Urgency } from '../model/ids.ts';
import type { ReadyRule } from './book.ts';
import { FALSE, TRUE, UNKNOWN } from './condition.ts';
import { holds, rank } from './decide.ts';
import type { EnginePair, EnginePairs, EngineReach } from './engine-reach.ts';
import type { EngineClass } from './engines.ts';
import { likenessOf, type Figures, type Likeness } from './likeness.ts';
import { distinctEngines, outlookOf, samplesOf, type Outlook, type Sample } from './samples.ts';
import type { Situation } from './situation.ts';
import type { Variable } from './variables.ts';

/** Something that the advice says or does not say: a service, or an urgency at least as high as this one. */
export interface Target {
  id: ServiceId | Urgency;
  /** What each of the rules looks at by itself. */
  outlooks: ReadonlyMap<ReadyRule, Outlook>;
  rules: readonly ReadyRule[];
  /** The open facts that its rules can hang on. */
  variables: readonly Variable[];
  outlook: Outlook;
  likeness: Likeness;
}

/** What the search looks at: the present situation, the same with everything open, and which facts are open. */
export interface Scene {
  present: Situation;
  open: Situation;
  variables: ReadonlySet<Variable>;
  reach: EngineReach;
}

/** All services, and all urgencies above the lowest, with the rules that decide them. */
export function targetsOf(
  rules: readonly ReadyRule[],
  codeSets: readonly ReadonlySet<string>[],
  figures: Figures,
): Target[] {
  const outlooks = new Map(rules.map((rule) => [rule, outlookOf([rule], codeSets)]));
  const target = (id: Target['id'], deciding: readonly ReadyRule[]): Target => {
    const variables = [...new Set(deciding.flatMap(({ parts }) => parts.flatMap((part) => part.variables)))];
    const outlook = outlookOf(deciding, codeSets);
    return { id, outlooks, rules: deciding, variables, outlook, likeness: likenessOf(variables, outlook, figures) };
  };
  const services = [...new Set(rules.flatMap(({ advise }) => advise.map(({ service }) => service)))];
  return [
    ...services.map((id) =>
      target(
        id,
        rules.filter(({ advise }) => advise.some(({ service }) => service === id)),
      ),
    ),
    ...URGENCIES.filter((urgency) => urgency !== 'watch').map((id) =>
      target(
        id,
        rules.filter(({ urgency }) => urgency !== undefined && rank(urgency) <= rank(id)),
      ),
    ),
  ];
}

/** Answers are combined in full where they are at most so many; beyond that a fact that may matter counts as one that does. */
const FULL_SEARCH = 2_000;
const MOST_BASES = 24;

/**
 * The open facts whose answer, alone or together with other open ones, changes whether a target is advised. Exact: a
 * fact is found by two situations that differ in it alone and in the target; it is left out where no combination of
 * answers has such a pair. (Only where the combinations are too many to try is an unproven fact kept.)
 */
export function relevantFacts(target: Target, scene: Scene): Set<FactKey> {
  const live = liveRules(target, scene);
  return live.length === 0 ? new Set() : new Search(target, scene, live).run();
}

/** The rules that can still come to decide a target; none where it is decided for good. */
function liveRules(target: Target, { open }: Scene): ReadyRule[] {
  const live: ReadyRule[] = [];
  for (const rule of target.rules) {
    const when = rule.whenTest(open);
    if (when === FALSE) continue;
    const unless = rule.unlessTest ? rule.unlessTest(open) : FALSE;
    if (unless === TRUE) continue;
    if (when === TRUE && unless === FALSE) return [];
    live.push(rule);
  }
  return live;
}

/**
 * Which of the facts that are `found` already can raise the urgency to a target's, shown by the fewest answers under
 * which one of its rules holds; and those not found yet that can.
 */
export function urgencyFacts(target: Target, scene: Scene, found: ReadonlySet<FactKey>): Set<FactKey> {
  const live = liveRules(target, scene);
  if (live.length === 0) return new Set();
  const deciding = live.filter(({ urgency }) => urgency === target.id);
  const raising = new Search(target, scene, live).raising(deciding);
  const candidates = new Search(target, scene, deciding).candidates();
  if (candidates.every((fact) => found.has(fact) || raising.has(fact))) return raising;
  return new Search(target, scene, live).run();
}

/** Facts that are taken for something while they are not told: the present pump is the first one, and so on. */
const TAKEN: ReadonlySet<Variable> = new Set([
  'pumpFittedAtMiles',
  'lastFuelFilterMiles',
  'oilChangeIntervalMiles',
  'pumpReplaced',
]);

class Search {
  readonly #target: Target;
  readonly #scene: Scene;
  readonly #live: readonly ReadyRule[];
  readonly #variables: readonly Variable[];
  readonly #pairs: EnginePairs;
  readonly #found = new Set<FactKey>();
  readonly #engines = new Map<Outlook, Sample[]>();

  constructor(target: Target, scene: Scene, live: readonly ReadyRule[]) {
    this.#target = target;
    this.#scene = scene;
    this.#live = live;
    const variables = new Set<Variable>();
    for (const rule of live) for (const variable of openOf(rule.parts, scene)) variables.add(variable);
    this.#variables = [...variables];
    this.#pairs = variables.has('engine') ? distinctPairs(scene.reach, target.outlook) : new Map();
  }

  run(): Set<FactKey> {
    const changed = this.#flips(this.#scene.present);
    for (const rule of this.#live) {
      if (this.#unproven().length === 0) return this.#found;
      const witness = this.#witness(rule);
      if (witness) changed.push(...this.#flips(witness));
    }
    for (let next = 0; next < changed.length && next < MOST_BASES; next++) {
      if (this.#unproven().length === 0) return this.#found;
      const base = changed[next];
      if (base) changed.push(...this.#flips(base));
    }
    this.#searchInFull();
    return this.#found;
  }

  /** The open facts that the target can hang on. */
  candidates(): FactKey[] {
    return this.#variables.flatMap((variable): FactKey[] =>
      variable === 'engine' ? [...this.#pairs.keys()] : [variable],
    );
  }

  /** Facts without which a rule's fewest answers no longer decide the target. */
  raising(rules: readonly ReadyRule[]): Set<FactKey> {
    const raising = new Set<FactKey>();
    for (const rule of rules) {
      const witness = this.#witness(rule);
      if (!witness) continue;
      for (const variable of openOf(rule.whenParts, this.#scene)) {
        if (variable === 'engine') {
          const { signature } = this.#target.outlook;
          const held = signature(witness.engine);
          for (const [fact, ways] of this.#pairs) {
            const decides = ways.some(
              ([before, after]) => signature(after) === held && !this.#advised({ ...witness, engine: before }),
            );
            if (decides) raising.add(fact);
          }
        } else if (!this.#advised(this.#without(witness, variable))) {
          raising.add(variable);
        }
      }
    }
    return raising;
  }

  #unproven(): FactKey[] {
    return this.candidates().filter((fact) => !this.#found.has(fact));
  }

  #advised(situation: Situation): boolean {
    return this.#live.some((rule) => holds(rule, situation));
  }

  #samples(variable: Variable, base: Situation, outlook = this.#target.outlook): Sample[] {
    if (variable !== 'engine') return samplesOf(variable, base, outlook, this.#scene.reach);
    let engines = this.#engines.get(outlook);
    if (!engines) this.#engines.set(outlook, (engines = distinctEngines(this.#scene.reach, outlook)));
    return engines;
  }

  /** Changes one variable at a time; what changes the target is found, and the changed situations are handed back. */
  #flips(base: Situation): Situation[] {
    const changed: Situation[] = [];
    for (const variable of this.#variables) {
      if (variable === 'engine') {
        changed.push(...this.#engineFlips(base));
        continue;
      }
      if (this.#found.has(variable)) continue;
      const without = this.#without(base, variable);
      const before = this.#advised(without);
      let seen = false;
      for (const sample of this.#samples(variable, base)) {
        const after = { ...base, ...sample };
        if (this.#advised(after) === before) continue;
        this.#found.add(variable);
        if (!seen) changed.push(after);
        seen = true;
      }
      if (seen && without !== base) changed.push(without);
    }
    return changed;
  }

  #engineFlips(base: Situation): Situation[] {
    const known = new Map<EngineClass, boolean>();
    const advised = (engine: EngineClass): boolean => {
      let answer = known.get(engine);
      if (answer === undefined) known.set(engine, (answer = this.#advised({ ...base, engine })));
      return answer;
    };
    const changed: Situation[] = [];
    const present = this.#advised(base);
    for (const [fact, pairs] of this.#pairs) {
      if (this.#found.has(fact)) continue;
      const pair = pairs.find(([before, after]) => advised(before) !== advised(after));
      if (!pair) continue;
      this.#found.add(fact);
      const other = pair.find((engine) => advised(engine) !== present);
      if (other) changed.push({ ...base, engine: other });
    }
    return changed;
  }

  /** The base with one variable as it is at present. */
  #without(base: Situation, variable: Variable): Situation {
    const { present } = this.#scene;
    switch (variable) {
      case 'troubleCodes':
        return { ...base, codes: present.codes };
      case 'lastFuelFilterDate':
        return { ...base, monthsSinceFuelFilter: present.monthsSinceFuelFilter };
      default:
        return { ...base, [variable]: present[variable] };
    }
  }

  /** Answers under which a rule holds; undefined where none are found. What speaks against it is left as it is. */
  #witness(rule: ReadyRule): Situation | undefined {
    const outlook = this.#target.outlooks.get(rule) ?? this.#target.outlook;
    const variables = openOf(rule.whenParts, this.#scene).sort((a, b) => Number(TAKEN.has(a)) - Number(TAKEN.has(b)));
    const seek = (base: Situation, wide: Situation, depth: number): Situation | undefined => {
      if (rule.whenTest(wide) === FALSE) return undefined;
      const variable = variables[depth];
      if (!variable) return holds(rule, base) ? base : undefined;
      const asItIs = TAKEN.has(variable) ? seek(base, wide, depth + 1) : undefined;
      if (asItIs) return asItIs;
      for (const sample of this.#samples(variable, base, outlook)) {
        const found = seek({ ...base, ...sample }, { ...wide, ...sample }, depth + 1);
        if (found) return found;
      }
      return TAKEN.has(variable) ? undefined : seek(base, wide, depth + 1);
    };
    return seek(this.#scene.present, this.#scene.open, 0);
  }

  /** Every combination of answers, for what no single change from a telling situation has shown. */
  #searchInFull(): void {
    const unproven = this.#unproven();
    if (unproven.length === 0) return;
    const order = this.#variables;
    let combinations = 1;
    for (const variable of order) combinations *= this.#samples(variable, this.#scene.present).length + 1;
    if (combinations > FULL_SEARCH) {
      for (const fact of unproven) this.#found.add(fact);
      return;
    }
    const walk = (base: Situation, depth: number): void => {
      if (this.#unproven().length === 0) return;
      const variable = order[depth];
      if (!variable) {
        this.#flips(base);
        return;
      }
      walk(base, depth + 1);
      for (const sample of this.#samples(variable, base)) walk({ ...base, ...sample }, depth + 1);
    };
    walk(this.#scene.present, 0);
  }
}

/** The open variables that the truth of comparisons can hang on. */
function openOf(parts: ReadyRule['parts'], scene: Scene): Variable[] {
  const found = new Set<Variable>();
  for (const { test, variables } of parts) {
    if (test(scene.open) !== UNKNOWN) continue;
    for (const variable of variables) if (scene.variables.has(variable)) found.add(variable);
  }
  return [...found];
}

/** The pairs of engine classes before and after an answer, as far as the rules can tell them apart. */
function distinctPairs(reach: EngineReach, outlook: Outlook): EnginePairs {
  let distinct = reach.distinct.get(outlook);
  if (distinct) return distinct;
  distinct = new Map();
  for (const [fact, pairs] of reach.pairs) {
    const telling = new Map<string, EnginePair>();
    for (const pair of pairs) {
      const [before, after] = [outlook.signature(pair[0]), outlook.signature(pair[1])];
      if (before !== after) telling.set(`${before}>${after}`, pair);
    }
    if (telling.size > 0) distinct.set(fact, [...telling.values()]);
  }
  reach.distinct.set(outlook, distinct);
  return distinct;
}
