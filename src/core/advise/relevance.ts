import type { FactKey } from '../model/facts.ts';
import { FALSE, UNKNOWN } from './condition.ts';
import { distinctPairs, type EnginePairs, type EngineReach } from './engine-reach.ts';
import type { EngineClass, EngineFact } from './engines.ts';
import { atMost, canHold, meets, surelyHolds, type Standing } from './residue.ts';
import { distinctEngines, samplesOf, type Outlook, type Sample } from './samples.ts';
import type { Situation } from './situation.ts';
import type { OpenRule, Prospect, Target } from './targets.ts';
import { withVariableOf, type Variable } from './variables.ts';
import { remember, transferred, type Witness } from './witnesses.ts';
import { kept } from './worked.ts';

/** What the search looks at: the present situation, the same with everything open, and which facts are open. */
export interface Scene {
  present: Situation;
  open: Situation;
  variables: ReadonlySet<Variable>;
  reach: EngineReach;
}

/** The answers that decided a target before; every search tries them first and adds its own. */
type Before = Witness[];

/**
 * After so many situations a search gives up, each time it is taken up again; what one rule shows only by many
 * combinations another one mostly shows at once. Where the last search gives up, the fact counts as one that matters.
 */
const TRIED = [40, 400, 4_000];

/**
 * The open facts whose answer, alone or together with other open ones, changes whether a target is advised. Exact: a
 * fact is found by two situations that differ in it alone and in the target; it is left out where no combination of
 * answers has such a pair. (Only where the combinations are too many to try is an unproven fact kept.)
 *
 * Between two such situations some rule changes its mind, and where the target is not advised no rule holds. So for
 * each rule and each fact that it asks for, the rule's other facts are answered in every way in which it can still hold
 * and no other rule surely does; facts that it does not ask for are answered only to undo what stands in the way.
 */
export const relevantFacts = (prospect: Prospect, scene: Scene, before: Before): Set<FactKey> =>
  new Search(prospect, scene, before).run();

/**
 * Which open facts can raise the urgency to a target's: those without which the fewest answers under which one of its
 * rules holds no longer decide it, and those not `found` yet to matter for a service.
 */
export function urgencyFacts(
  target: Target,
  prospect: Prospect,
  scene: Scene,
  before: Before,
  found: ReadonlySet<FactKey>,
): Set<FactKey> {
  const search = new Search(prospect, scene, before);
  const deciding = prospect.rules.filter(({ rule }) => rule.urgency === target.id);
  const raising = search.raising(deciding);
  if (target.followsServices) return raising;
  return new Set([...raising, ...search.run(new Set([...found, ...raising]))]);
}

/** Facts that are taken for something while they are not told: the present pump is the first one, and so on. */
const TAKEN: ReadonlySet<Variable> = new Set([
  'pumpFittedAtMiles',
  'lastFuelFilterMiles',
  'oilChangeIntervalMiles',
  'pumpReplaced',
]);

class Search {
  readonly #prospect: Prospect;
  readonly #scene: Scene;
  readonly #before: Before;
  readonly #variables: readonly Variable[];
  readonly #pairs: EnginePairs;
  readonly #found = new Set<FactKey>();
  readonly #unproven: Set<FactKey>;
  readonly #sampled = new Map<Outlook, Map<Variable, Sample[]>>();
  /** The open variables behind each comparison. */
  readonly #behind: Variable[][] = [];
  /** How each comparison stands as things are. */
  readonly #asItIs: Uint8Array;
  /** How many situations may still be tried. */
  #left = 0;

  constructor(prospect: Prospect, scene: Scene, before: Before) {
    this.#prospect = prospect;
    this.#scene = scene;
    this.#before = before;
    this.#variables = prospect.variables.filter((variable) => scene.variables.has(variable));
    this.#pairs = this.#variables.includes('engine') ? distinctPairs(scene.reach, prospect.outlook) : new Map();
    this.#unproven = new Set(this.candidates(this.#variables));
    for (const place of prospect.left) this.#behind[place] = [];
    for (const variable of this.#variables) {
      for (const place of prospect.places.get(variable) ?? []) this.#behind[place]?.push(variable);
    }
    this.#asItIs = prospect.comparisons.truthsIn(scene.present, prospect.left);
  }

  /** Facts that change whether the target is advised, those that are known to matter left out. */
  run(known: ReadonlySet<FactKey> = new Set()): Set<FactKey> {
    for (const fact of known) this.#unproven.delete(fact);
    for (const witness of [...this.#before]) this.#tryAgain(witness);
    if (this.#unproven.size === 0) return this.#found;
    let left = this.#prospect.rules.flatMap((rule) =>
      this.#openOf(rule.variables).map((variable): [OpenRule, Variable] => [rule, variable]),
    );
    for (const most of TRIED) {
      left = left.filter(([rule, variable]) => this.#isUnproven(variable) && !this.#seek(rule, variable, most));
    }
    for (const [, variable] of left) for (const fact of this.candidates([variable])) this.#prove(fact);
    return this.#found;
  }

  /** Whether answers that decided the target before decide it here too, and through which facts. */
  #tryAgain(witness: Witness): void {
    const facts = [...witness.shows].filter((fact) => this.#unproven.has(fact));
    if (facts.length === 0) return;
    const situation = transferred(witness, this.#scene.present, this.#scene.variables);
    if (!situation) return;
    const ofEngine = this.#pairs.size > 0 ? this.#engineLike(witness.situation.engine) : undefined;
    if (ofEngine) situation.engine = ofEngine;
    if (this.#showsOf(situation, facts).length > 0) remember(this.#before, witness);
  }

  /** An engine that this truck can turn out to have and that the rules cannot tell from another one. */
  #engineLike(engine: EngineClass): EngineClass | undefined {
    const wanted = this.#prospect.outlook.signature(engine);
    const { present, reach } = this.#scene;
    const { signature } = this.#prospect.outlook;
    if (signature(present.engine) === wanted) return present.engine;
    return reach.classes.find((one) => signature(one) === wanted);
  }

  /** Which of some unproven facts decide the target in a situation; they are proven by that. */
  #showsOf(situation: Situation, facts: readonly FactKey[]): FactKey[] {
    const { comparisons, left, places, outlook } = this.#prospect;
    const truths = comparisons.truthsIn(situation, left);
    const advised = this.#holdsSome(truths);
    const differs = (variable: Variable, other: Situation): boolean => {
      const then = truths.slice();
      for (const place of places.get(variable) ?? []) then[place] = comparisons.truthAt(place, other);
      return this.#holdsSome(then) !== advised;
    };
    const engines = new Map<string, boolean>();
    const held = outlook.signature(situation.engine);
    return facts.filter((fact) => {
      const ways = this.#pairs.get(fact as EngineFact);
      const shown = ways
        ? ways.some(
            ([before, after]) =>
              outlook.signature(after) === held &&
              kept(engines, outlook.signature(before), () => differs('engine', { ...situation, engine: before })),
          )
        : differs(fact as Variable, withVariableOf(this.#scene.present, fact as Variable, situation));
      if (shown) this.#prove(fact);
      return shown;
    });
  }

  #holdsSome(truths: Uint8Array): boolean {
    return this.#isSettled({ low: truths, high: truths });
  }

  /** The open facts among variables, with each fact of the engine by itself. */
  candidates(variables: readonly Variable[]): FactKey[] {
    return this.#openOf([...new Set(variables)]).flatMap((variable): FactKey[] =>
      variable === 'engine' ? [...this.#pairs.keys()] : [variable],
    );
  }

  /** Facts without which a rule's fewest answers no longer decide the target. */
  raising(rules: readonly OpenRule[]): Set<FactKey> {
    const raising = new Set<FactKey>();
    const { signature } = this.#prospect.outlook;
    for (const rule of rules) {
      // A rule whose facts all raise it already has nothing to add.
      if (this.candidates(rule.whenVariables).every((fact) => raising.has(fact))) continue;
      const witness = this.#witness(rule);
      if (!witness) continue;
      const held = signature(witness.engine);
      for (const variable of this.#openOf(rule.whenVariables)) {
        if (variable !== 'engine') {
          if (!raising.has(variable) && !this.#isAdvised(withVariableOf(this.#scene.present, variable, witness)))
            raising.add(variable);
          continue;
        }
        const advised = new Map<string, boolean>();
        const isAdvisedFor = (engine: EngineClass): boolean =>
          kept(advised, signature(engine), () => this.#isAdvised({ ...witness, engine }));
        for (const [fact, ways] of this.#pairs) {
          if (raising.has(fact)) continue;
          if (ways.some(([before, after]) => signature(after) === held && !isAdvisedFor(before))) raising.add(fact);
        }
      }
    }
    return raising;
  }

  #openOf(variables: readonly Variable[]): Variable[] {
    return variables.filter((variable) => this.#scene.variables.has(variable));
  }

  /** Keeps a situation that decides the target for trucks to come, with all facts that it shows to matter. */
  #keep(situation: Situation, fact: FactKey): void {
    const shows = this.#showsOf(situation, [...this.#unproven]);
    remember(this.#before, { situation, shows: new Set([fact, ...shows]) });
  }

  #prove(fact: FactKey): void {
    if (this.#unproven.delete(fact)) this.#found.add(fact);
  }

  #isUnproven(variable: Variable): boolean {
    if (variable !== 'engine') return this.#unproven.has(variable);
    for (const fact of this.#pairs.keys()) if (this.#unproven.has(fact)) return true;
    return false;
  }

  #isAdvised(situation: Situation): boolean {
    const { comparisons, left } = this.#prospect;
    return this.#holdsSome(comparisons.truthsIn(situation, left));
  }

  #samples(variable: Variable, base: Situation, outlook = this.#prospect.outlook): Sample[] {
    if (variable.endsWith('Miles')) return samplesOf(variable, base, outlook, this.#scene.reach);
    let known = this.#sampled.get(outlook);
    if (!known) this.#sampled.set(outlook, (known = new Map()));
    let samples = known.get(variable);
    if (!samples) {
      const { present, reach } = this.#scene;
      samples = variable === 'engine' ? distinctEngines(reach, outlook) : samplesOf(variable, present, outlook, reach);
      known.set(variable, samples);
    }
    return samples;
  }

  /** How the comparisons stand when everything is still open. */
  #open(): Standing {
    const { comparisons, left } = this.#prospect;
    const truths = comparisons.truthsIn(this.#scene.open, left);
    return { low: truths.map((truth) => (truth === UNKNOWN ? FALSE : truth)), high: truths.map(atMost) };
  }

  /**
   * The standing once a variable is answered, or is known to stay as it is. A comparison with nothing open behind it
   * stands as it does; the others as far as what is still open leaves them.
   */
  #after(standing: Standing, variable: Variable, settled: ReadonlySet<Variable>, base: Situation, wide: Situation) {
    const { comparisons, places } = this.#prospect;
    const low = standing.low.slice();
    const high = standing.high.slice();
    for (const place of places.get(variable) ?? []) {
      const closed = this.#behind[place]?.every((one) => settled.has(one));
      const truth = comparisons.truthAt(place, closed ? base : wide);
      low[place] = closed || truth !== UNKNOWN ? truth : FALSE;
      high[place] = closed ? truth : atMost(truth);
    }
    return { low, high };
  }

  /**
   * Looks for a change of mind of one rule that one fact brings about and that decides the target. False where it gave
   * up before all was tried.
   */
  #seek(rule: OpenRule, sought: Variable, most: number): boolean {
    const { whenVariables, variables } = rule;
    // What speaks against a rule is left as it is, unless it is there that the fact is asked for.
    const asked = whenVariables.includes(sought) ? whenVariables : variables;
    const asItIsFirst = (variable: Variable): boolean => TAKEN.has(variable) || !whenVariables.includes(variable);
    const others = this.#openOf(asked).filter((variable) => variable !== sought);
    others.sort((a, b) => Number(asItIsFirst(a)) - Number(asItIsFirst(b)));
    this.#left = most;
    const answer = (base: Situation, wide: Situation, standing: Standing, depth: number): boolean => {
      if (!canHold(rule, standing) || this.#isSettled(standing)) return false;
      if (--this.#left < 0) return true;
      const variable = others[depth];
      const settled = new Set(others.slice(0, depth + 1));
      if (!variable) return this.#decides(rule, sought, base, settled);
      const leave = () => answer(base, wide, this.#after(standing, variable, settled, base, wide), depth + 1);
      const early = asItIsFirst(variable);
      if (early && leave()) return true;
      for (const sample of this.#samples(variable, base)) {
        const then = { ...base, ...sample };
        const thenWide = { ...wide, ...sample };
        if (answer(then, thenWide, this.#after(standing, variable, settled, then, thenWide), depth + 1)) return true;
      }
      return !early && leave();
    };
    answer(this.#scene.present, this.#scene.open, this.#open(), 0);
    return this.#left >= 0;
  }

  /** Whether some rule holds whatever is still answered. */
  #isSettled(standing: Standing): boolean {
    for (const rule of this.#prospect.rules) if (surelyHolds(rule, standing)) return true;
    return false;
  }

  /**
   * Whether what is sought decides the target from here; where another rule, or what speaks against this one, stands in
   * the way, the facts behind that are answered too. True where nothing more is to be found of it.
   */
  #decides(rule: OpenRule, sought: Variable, base: Situation, answered: ReadonlySet<Variable>): boolean {
    if (--this.#left < 0) return true;
    const inTheWay = new Set<Variable>();
    const standings = this.#standings(sought, base, answered);
    for (const [fact, before, after, situation] of standings) {
      if (!this.#unproven.has(fact)) continue;
      const asks = meets(rule, before) !== meets(rule, after);
      const holds = surelyHolds(rule, before) !== surelyHolds(rule, after);
      if (!asks && !holds) continue;
      if (!holds) {
        for (const variable of rule.variables) inTheWay.add(variable);
        continue;
      }
      const without = surelyHolds(rule, before) ? after : before;
      const others = this.#prospect.rules.filter((other) => surelyHolds(other, without));
      if (others.length === 0) {
        this.#prove(fact);
        this.#keep(situation, fact);
      }
      for (const other of others) for (const variable of other.variables) inTheWay.add(variable);
    }
    if (!this.#isUnproven(sought)) return true;
    const done = new Set(answered).add(sought);
    for (const variable of this.#openOf([...inTheWay])) {
      if (done.has(variable)) continue;
      done.add(variable);
      for (const sample of this.#samples(variable, base)) {
        if (this.#decides(rule, sought, { ...base, ...sample }, done)) return true;
      }
    }
    return false;
  }

  /** Every answer to what is sought, by how things stand before and after it, all else being as it is. */
  *#standings(
    sought: Variable,
    base: Situation,
    answered: ReadonlySet<Variable>,
  ): Generator<[FactKey, Standing, Standing, Situation]> {
    const { comparisons, places } = this.#prospect;
    const now = this.#asItIs.slice();
    for (const variable of answered) {
      for (const place of places.get(variable) ?? []) now[place] = comparisons.truthAt(place, base);
    }
    const hanging = places.get(sought) ?? [];
    const standingIn = (situation: Situation): Standing => {
      const truths = now.slice();
      for (const place of hanging) truths[place] = comparisons.truthAt(place, situation);
      return { low: truths, high: truths };
    };
    if (sought !== 'engine') {
      const before = standingIn(base);
      for (const sample of this.#samples(sought, base)) {
        const then = { ...base, ...sample };
        yield [sought, before, standingIn(then), then];
      }
      return;
    }
    const known = new Map<EngineClass, Standing>();
    const withEngine = (engine: EngineClass): Standing => {
      let standing = known.get(engine);
      if (!standing) known.set(engine, (standing = standingIn({ ...base, engine })));
      return standing;
    };
    for (const [fact, pairs] of this.#pairs) {
      for (const [before, after] of pairs) {
        if (!this.#unproven.has(fact)) break;
        yield [fact, withEngine(before), withEngine(after), { ...base, engine: after }];
      }
    }
  }

  /** Answers under which a rule holds; undefined where none are found. What speaks against it is left as it is. */
  #witness(rule: OpenRule): Situation | undefined {
    const { outlook } = rule;
    const variables = this.#openOf(rule.whenVariables).sort((a, b) => Number(TAKEN.has(a)) - Number(TAKEN.has(b)));
    const answer = (base: Situation, wide: Situation, standing: Standing, depth: number): Situation | undefined => {
      if (!canHold(rule, standing)) return undefined;
      const variable = variables[depth];
      const settled = new Set(variables.slice(0, depth + 1));
      if (!variable) return base;
      const leave = () => answer(base, wide, this.#after(standing, variable, settled, base, wide), depth + 1);
      const asItIs = TAKEN.has(variable) ? leave() : undefined;
      if (asItIs) return asItIs;
      for (const sample of this.#samples(variable, base, outlook)) {
        const then = { ...base, ...sample };
        const thenWide = { ...wide, ...sample };
        const standingThen = this.#after(standing, variable, settled, then, thenWide);
        const found = answer(then, thenWide, standingThen, depth + 1);
        if (found) return found;
      }
      return TAKEN.has(variable) ? undefined : leave();
    };
    return answer(this.#scene.present, this.#scene.open, this.#open(), 0);
  }
}
