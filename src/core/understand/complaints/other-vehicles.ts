import type { GrammarList } from './grammar.ts';
import type { ComplaintLexicon, ScopeClass } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import { sentenceAt, type Span } from './scene.ts';
import type { Found } from './types.ts';
import type { Clause, Word } from './words.ts';

/** The words of a name of the owner's own truck before the one that names another ("it's my other truck"). */
const LONGEST_NAME = 3;

/** Where the words of a class begin. */
type Marks = (name: ScopeClass) => readonly number[];

/** The stretches of a message that speak of another vehicle than the one that it is about. */
export function otherVehicles(scene: Scene, lexicon: ComplaintLexicon, found: readonly Found[], marks: Marks): Span[] {
  return new OtherVehicles(scene, lexicon, found, marks).spans();
}

class OtherVehicles {
  readonly #scene: Scene;
  readonly #lexicon: ComplaintLexicon;
  readonly #found: readonly Found[];
  readonly #marks: Marks;
  readonly #own: readonly number[];
  readonly #spans: Span[] = [];

  constructor(scene: Scene, lexicon: ComplaintLexicon, found: readonly Found[], marks: Marks) {
    this.#scene = scene;
    this.#lexicon = lexicon;
    this.#found = found;
    this.#marks = marks;
    this.#own = marks('own-truck');
  }

  spans(): Span[] {
    const { others, oneOf, named, somebodys } = this.#names();
    for (const position of others) this.#otherTruck(position);
    // "My other truck needs work too": one of several is another only beside the one that is spoken of.
    for (const position of oneOf) {
      const isBeside = this.#own.length > 0 || this.#isToldBefore(position) || this.#isToldBeside(position);
      if (isBeside || this.#fares(position)) this.#otherTruck(position);
    }
    // "It's for the work truck, this truck shakes": an owner names his own so, and another one only against it.
    for (const position of named) if (this.#isSetAgainst(position)) this.#otherTruck(position);
    // People write for friends and family too: somebody's truck is another where the owner's own is beside it, or a
    // complaint told in a sentence before it.
    for (const position of somebodys) {
      if (this.#own.length > 0 || (this.#isToldBefore(position) && !this.#isOnlyNamed(position))) {
        this.#otherTruck(position);
      }
    }
    this.#otherMachines();
    return this.#spans;
  }

  /** Where other trucks are named, without the words that name the owner's own ("it's my other truck"). */
  #names(): Record<'others' | 'oneOf' | 'named' | 'somebodys', readonly number[]> {
    const all = (name: ScopeClass): number[] => this.#marks(name).filter((position) => !this.#isNamedOwn(position));
    return {
      others: all('other-truck'),
      oneOf: all('one-of-trucks'),
      named: all('named-truck'),
      somebodys: this.#marks('somebodys-truck'),
    };
  }

  /** True where a complaint is told in a sentence before the one in which a truck is named. */
  #isToldBefore(position: number): boolean {
    // "It's my brother's": the truck that was spoken of.
    if (this.#is(position - 1, 'thisIs')) return false;
    const { from } = sentenceAt(this.#scene, position);
    return this.#found.some(({ match }) => match.from < from);
  }

  /**
   * "It shimmies at sixty my other truck is fine": a complaint told to its end in the same sentence, unless the name
   * belongs to it ("it shimmies, on my other truck").
   */
  #isToldBeside(position: number): boolean {
    if (this.#is(position - 1, 'belongsBefore') || this.#is(position, 'belongsBefore')) return false;
    const { from } = sentenceAt(this.#scene, position);
    return this.#found.some(({ match }) => match.from >= from && match.to <= position);
  }

  /** "Turbo whistles. My brother's truck, 2016.": nothing is said of it but what it is. */
  #isOnlyNamed(position: number): boolean {
    const { from, to } = this.#clauseOf(position);
    const { words } = this.#scene;
    for (let at = from; at < position; at++) if (!words[at]?.filler && !this.#is(at, 'belongsBefore')) return false;
    let after = this.#endOf(position);
    while (after < to && this.#is(after, 'vehicles')) after++;
    if (after === to) return true;
    const isValue = (at: number): boolean => words[at]?.value !== undefined;
    return isValue(after) && (after + 1 === to || isValue(after + 1));
  }

  /** "The work truck is fine", "my old one never did this": it is told how the truck does, and not what ails it. */
  #fares(position: number): boolean {
    const { to } = this.#clauseOf(position);
    return this.#marks('fares-otherwise').some(
      (at) => at > position && at < to && !this.#found.some(({ match }) => match.hits.some((hit) => hit.from === at)),
    );
  }

  #isSetAgainst(position: number): boolean {
    const apart = (at: number): boolean => !this.#isSameClause(at, position);
    if (this.#marks('set-against').some((at) => at > position || apart(at))) return true;
    if (!this.#fares(position)) return false;
    return this.#own.some(apart) || this.#isToldBefore(position) || this.#isToldBeside(position);
  }

  /** "Not the dually, it's the other one": the words that name the own truck reach over those of another. */
  #isNamedOwn(position: number): boolean {
    for (let at = Math.max(0, position - LONGEST_NAME); at < position; at++) {
      const hits = this.#scene.at[at] ?? [];
      if (hits.some(({ class: id, to }) => id === this.#lexicon.scope['own-truck'] && to > position)) return true;
    }
    return false;
  }

  /** What is said of another truck, up to the next mention of the owner's own. */
  #otherTruck(position: number): void {
    const { from, to } = sentenceAt(this.#scene, position);
    const own = this.#own;
    const clause = this.#clauseOf(position);
    // "The other one is fine, the 2016 wont crank": how it does is all that is told of it.
    const namesNext = this.#scene.words.slice(clause.to, clause.to + 2).some(({ value }) => value !== undefined);
    const end = clause.to < to && namesNext && this.#fares(position) ? clause.to : to;
    const next = own.find((at) => at > position && at < end) ?? end;
    const begins = this.#isToldBeside(position)
      ? position
      : own.some((at) => at >= from && at < position)
        ? clause.from
        : from;
    this.#add(Math.max(begins, own.findLast((at) => at < position && at >= clause.from) ?? begins), next);
  }

  /** "Tractor lost oil pressure. The pickup needs filters": a machine that a clause begins with, beside the truck. */
  #otherMachines(): void {
    const { clauses, words } = this.#scene;
    const marks = this.#marks('other-machine');
    if (marks.length === 0) return;
    const own = words.flatMap(({ text }, at) => (this.#lexicon.grammar.vehicles.has(text) ? [at] : []));
    for (const position of marks) {
      const clause = this.#clauseOf(position);
      const before = words.slice(clause.from, position).filter(({ filler }) => !filler);
      // "With the boat behind us": what is towed is told of the truck.
      if (this.#is(position - 1, 'besideAMachine') || this.#is(position - 2, 'besideAMachine')) continue;
      const leads = before.length === 0 || (before.length === 1 && this.#is(position - 2, 'joinsAMachine'));
      const within = (at: number): boolean => at >= clause.from && at < clause.to;
      const { from, to } = sentenceAt(this.#scene, position);
      // Where something else is told in another sentence, nobody has to name the truck.
      const isBeside = this.#found.some(({ match }) => match.to <= from || match.from >= to);
      if (!leads || own.some(within) || !(isBeside || own.some((at) => !within(at)))) continue;
      // "The loader has 5,000 hours, but it is the pickup I am asking about"
      const namesOwn = (other: Clause): boolean =>
        own.some((at) => at >= other.from && at < other.from + 3) ||
        this.#own.some((at) => at >= other.from && at < other.to);
      const next = clauses.find((other) => other.from > position && namesOwn(other));
      this.#add(clause.from, Math.min(to, next?.from ?? to));
    }
  }

  #add(from: number, to: number): void {
    if (from < to) this.#spans.push({ from, to });
  }

  #is(position: number, list: GrammarList): boolean {
    return this.#lexicon.grammar[list].has(this.#scene.words[position]?.text ?? '');
  }

  #clauseOf(position: number): Clause {
    return this.#scene.clauses[(this.#scene.words[position] as Word).clause] as Clause;
  }

  #isSameClause(one: number, other: number): boolean {
    return this.#scene.words[one]?.clause === this.#scene.words[other]?.clause;
  }

  /** Where the words end that name somebody's truck. */
  #endOf(position: number): number {
    const hits = this.#scene.at[position] ?? [];
    const id = this.#lexicon.scope['somebodys-truck'];
    return Math.max(position + 1, ...hits.filter((hit) => hit.class === id).map(({ to }) => to));
  }
}

/** "The neighbour had metal in his filter. Mine didn't": what another truck does is denied of the owner's own. */
export function isDeniedOfOnesOwn({ to }: Match, scene: Scene, { grammar, joints }: ComplaintLexicon): boolean {
  const textAt = (position: number): string => scene.words[position]?.text ?? '';
  const isJoint = (text: string): boolean => joints.breaks.has(text) || joints.joins.has(text);
  const clause = (scene.words[to - 1] as Word).clause;
  return scene.clauses.slice(clause + 1, clause + 3).some((next) => {
    let from = next.from;
    while (from < next.to && isJoint(textAt(from))) from++;
    // "La mía no": an article may stand before it.
    if (!grammar.mineOwn.has(textAt(from)) && grammar.mineOwn.has(textAt(from + 1))) from++;
    if (!grammar.mineOwn.has(textAt(from))) return false;
    // "Mine isn't leaking fuel" says what it denies, and nothing of the other truck's trouble.
    const rest = scene.words.slice(from + 1, next.to);
    const isNo = ({ text }: Word): boolean => grammar.notOnes.has(text);
    return rest.some(isNo) && rest.every((word) => word.filler || isNo(word));
  });
}
