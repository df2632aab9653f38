import type { Finding } from './finding.ts';
import type { GrammarList } from './grammar.ts';
import type { ComplaintLexicon, ScopeClass } from './lexicon.ts';
import type { Scene } from './pattern.ts';
import type { ComplaintBoolean } from './types.ts';
import type { Clause, Word } from './words.ts';

/** A yes-or-no fact that a clause gives by answering what stands before it, with the findings that it settles. */
export interface FactReply {
  fact: ComplaintBoolean;
  value: boolean;
  finding: Finding;
  settles: ReadonlySet<Finding>;
}

/** After these marks a yes or a no answers what a list names: "towing: no", "protection kit? yes". */
const HEADS: ReadonlySet<string> = new Set([':', '?', '-', ',', '(']);

/** The facts that are answered on a list, and those that one's own truck is told of by contrast. */
export function factReplies(findings: readonly Finding[], scene: Scene, lexicon: ComplaintLexicon): FactReply[] {
  const reader = new Replies(findings, scene, lexicon);
  return scene.clauses.flatMap((_, index) => reader.headed(index) ?? reader.contrasted(index) ?? []);
}

class Replies {
  readonly #facts: readonly Finding[];
  readonly #symptoms: readonly Finding[];
  readonly #scene: Scene;
  readonly #lexicon: ComplaintLexicon;

  constructor(findings: readonly Finding[], scene: Scene, lexicon: ComplaintLexicon) {
    this.#facts = findings.filter(
      ({ rule: { meaning } }) => meaning.says === 'topic' || (meaning.says === 'fact' && !meaning.asked),
    );
    this.#symptoms = findings.filter(({ rule: { meaning } }) => meaning.says === 'symptom');
    this.#scene = scene;
    this.#lexicon = lexicon;
  }

  /** "Towing: no", "protection kit? yes, since May", "tows - never". */
  headed(index: number): FactReply | undefined {
    const clause = this.#scene.clauses[index] as Clause;
    const before = this.#scene.clauses[index - 1];
    if (!before || !HEADS.has(before.endsWith)) return undefined;
    const answer = this.#answer(clause, before.endsWith);
    if (answer === undefined) return undefined;
    const head = this.#facts.filter(({ match }) => match.from >= before.from && match.to === before.to);
    return this.#reply(head, answer);
  }

  /** "My buddy's tows, mine doesn't", "the old one pulls it, not this one", "None of them has it on". */
  contrasted(index: number): FactReply | undefined {
    const clause = this.#scene.clauses[index] as Clause;
    const does = this.#doesSo(clause);
    if (does === undefined) return undefined;
    const told = this.#facts.filter(({ match }) => match.to <= clause.from && this.#isNear(match.from, clause));
    const last = Math.max(-1, ...told.map(({ match }) => match.to));
    const between = this.#symptoms.some(({ match }) => match.to > last && match.to <= clause.from);
    if (last < 0 || between) return undefined;
    const at = this.#scene.words[last - 1]?.clause;
    return this.#reply(
      told.filter(({ match }) => this.#scene.words[match.to - 1]?.clause === at),
      does,
    );
  }

  /** What the answer makes of what is named: a fact that holds its own no says without it what is affirmed. */
  #reply(named: readonly Finding[], answer: boolean): FactReply | undefined {
    const finding = named.find(({ rule }) => rule.meaning.says === 'fact') ?? named[0];
    if (!finding) return undefined;
    const { meaning } = finding.rule;
    if (meaning.says !== 'fact' && meaning.says !== 'topic') return undefined;
    const affirmed = meaning.says === 'topic' || meaning.value !== this.#holdsNo(finding);
    const settles = new Set(
      named.filter(({ rule }) => rule.meaning.says === 'fact' && rule.meaning.fact === meaning.fact),
    );
    return { fact: meaning.fact, value: affirmed === answer, finding, settles };
  }

  #holdsNo({ match }: Finding): boolean {
    for (let at = match.from; at < match.to; at++) if (this.#has(at, 'not')) return true;
    return false;
  }

  #answer(clause: Clause, mark: string): boolean | undefined {
    const alone = clause.to - clause.from === 1;
    if (alone && mark !== ',' && this.#is(clause.from, 'listedYes')) return true;
    if (alone && mark !== ',' && this.#is(clause.from, 'listedNo')) return false;
    const isYes = this.#has(clause.from, 'answer-yes');
    const isNo = this.#has(clause.from, 'answer-no') || this.#has(clause.from, 'none-answer');
    if (isYes === isNo) return undefined;
    return mark !== ',' || alone ? isYes : undefined;
  }

  /** Whether a clause says no more than that one's own truck does so, or does not. */
  #doesSo({ from, to }: Clause): boolean | undefined {
    const denies = this.#is(from, 'soNot');
    const subject = denies ? from + 1 : from;
    const none = this.#is(subject, 'noneOf');
    let at = this.#afterSubject(subject, to);
    if (at === undefined) return undefined;
    if (denies) return at === to && !none ? false : undefined;
    const isNot = this.#is(at, 'doesNotSo');
    if (at >= to || !(isNot || this.#is(at, 'doesSo'))) return undefined;
    const again = !isNot && this.#is(at + 1, 'doesNotSo');
    for (at += again ? 2 : 1; at < to; at++) if (!this.#is(at, 'afterDoesSo')) return undefined;
    return !(isNot || again || none);
  }

  /** Where the words end that name one's own truck from a word on. */
  #afterSubject(from: number, to: number): number | undefined {
    let at = from;
    while (at < to && this.#scene.joins.has(this.#scene.words[at]?.text ?? '')) at++;
    if (this.#is(at, 'noneOf')) {
      at++;
      while (at < to && this.#is(at, 'ofThem')) at++;
      return at;
    }
    if (this.#is(at, 'owning')) return at + 1;
    if (this.#is(at + 1, 'owning') && this.#scene.words[at]?.filler) return at + 2;
    if (!this.#is(at, 'pointing')) return undefined;
    return this.#is(at + 1, 'pointedAt') ? at + 2 : at + 1;
  }

  /** In the same sentence, or the one before. */
  #isNear(position: number, clause: Clause): boolean {
    const there = this.#scene.clauses[(this.#scene.words[position] as Word).clause] as Clause;
    return clause.sentence - there.sentence <= 1;
  }

  #is(position: number, list: GrammarList): boolean {
    return this.#lexicon.grammar[list].has(this.#scene.words[position]?.text ?? '');
  }

  #has(position: number, name: ScopeClass): boolean {
    return (this.#scene.at[position] ?? []).some((hit) => hit.class === this.#lexicon.scope[name]);
  }
}
