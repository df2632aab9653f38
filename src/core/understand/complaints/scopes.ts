import type { Symptom } from '../../model/ids.ts';
import { beginsWith, type Grammar, type GrammarList } from './grammar.ts';
import type { ComplaintLexicon, ScopeClass } from './lexicon.ts';
import { otherVehicles } from './other-vehicles.ts';
import type { Match, Scene } from './pattern.ts';
import { sentenceAt, type Span } from './scene.ts';
import type { Found, Scope, ScopeKind } from './types.ts';
import { QUOTES, type Clause, type Word } from './words.ts';

const NO_SYMPTOMS: ReadonlySet<Symptom> = new Set();

/** A stretch of words under a scope; `to` is exclusive. */
interface Stretch {
  kind: ScopeKind;
  from: number;
  to: number;
}

/** Words after which what is said belongs to something else. */
const NEAR = 16;

/** "Used to be only 600": how far the figure stands behind the words of what was. */
const NEAR_FIGURE = 4;

/** "Back again...", "me again": it is the writer who is back. */
const isGreeting = ({ words }: Scene, position: number, { greetings }: Grammar): boolean =>
  position < LONGEST_GREETING && words.slice(0, position + 1).every(({ text }) => greetings.has(text));
const LONGEST_GREETING = 4;

/** "Out the back when I start it" is a place; "in 2012" with more after it may name the truck. */
function isNoPast({ words, clauses }: Scene, from: number, to: number, grammar: Grammar): boolean {
  const word = words[from] as Word;
  if (grammar.placeOrTime.has(word.text)) return grammar.beforeAPlace.has(words[from - 1]?.text ?? '');
  const isYear = words[to - 1]?.value !== undefined && grammar.inAYear.has(word.text);
  return isYear && to < (clauses[word.clause]?.to ?? to);
}

/** The spans of a message that do not speak of the owner's truck as it is now. */
export class Scopes {
  readonly #scene: Scene;
  readonly #lexicon: ComplaintLexicon;
  readonly #stretches: Stretch[] = [];
  readonly #marks = new Map<ScopeClass, number[]>();
  readonly #found: readonly Found[];
  readonly #after = new Map<number, ReadonlySet<Symptom>>();
  #kindAt: (ScopeKind | undefined)[] = [];
  readonly #mended = new Set<number>();

  constructor(scene: Scene, lexicon: ComplaintLexicon, found: readonly Found[]) {
    this.#scene = scene;
    this.#lexicon = lexicon;
    this.#found = found;
    scene.at.forEach((hits, position) => {
      // "Back at 88,000" is long ago, not back again.
      const long =
        hits.some((hit) => hit.class === lexicon.scope['in-the-past']) || isGreeting(scene, position, lexicon.grammar);
      for (const hit of hits) {
        const name = lexicon.scopeOf.get(hit.class);
        if (name === undefined || (long && name === 'is-back')) continue;
        if (name === 'in-the-past' && isNoPast(scene, position, hit.to, lexicon.grammar)) continue;
        const marks = this.#marks.get(name);
        if (!marks) this.#marks.set(name, [position]);
        else if (marks[marks.length - 1] !== position) marks.push(position);
      }
    });
    for (const { from, to } of otherVehicles(scene, lexicon, found, (name) => this.#all(name))) {
      this.#add('other-truck', from, to);
    }
    this.#sellers();
    this.#hypotheses();
    this.#past();
    this.#settle();
  }

  /** The scope that a match stands in, if any. `own` are the word positions that its pattern used. */
  of(match: Match, own: ReadonlySet<number>): ScopeKind | undefined {
    for (const hit of match.hits) {
      const kind = this.#kindAt[hit.from];
      if (kind === undefined) continue;
      // "Used to get 18", "a month ago it was 18": the past that a complaint compares with belongs to it.
      const compares = (name: ScopeClass): boolean =>
        this.#marksWithin(name, match.from, match.to).some((at) => own.has(at));
      if (kind === 'past' && (compares('used-to') || compares('then-it-was'))) continue;
      return kind;
    }
    return undefined;
  }

  /** The scope that a word stands in, if any. */
  at(position: number): ScopeKind | undefined {
    return this.#kindAt[position];
  }

  /** True where something is over since it was mended or went by itself: what was absent then is absent now. */
  isMended({ from }: Match): boolean {
    return this.#mended.has(from);
  }

  /** The scopes as spans of the text. */
  spans(): Scope[] {
    return this.#stretches
      .map(({ kind, from, to }) => ({
        kind,
        start: (this.#scene.words[from] as Word).start,
        end: (this.#scene.words[to - 1] as Word).end,
      }))
      .sort((one, other) => one.start - other.start || one.end - other.end);
  }

  #is(position: number, list: GrammarList): boolean {
    return this.#lexicon.grammar[list].has(this.#scene.words[position]?.text ?? '');
  }

  #all(name: ScopeClass): readonly number[] {
    return this.#marks.get(name) ?? [];
  }

  #marksWithin(name: ScopeClass, from: number, to: number): number[] {
    const marks = this.#all(name);
    let first = 0;
    let last = marks.length;
    while (first < last) {
      const middle = (first + last) >> 1;
      if ((marks[middle] as number) < from) first = middle + 1;
      else last = middle;
    }
    let end = first;
    while (end < marks.length && (marks[end] as number) < to) end++;
    return marks.slice(first, end);
  }

  #clauseOf(position: number): Clause {
    return this.#scene.clauses[(this.#scene.words[position] as Word).clause] as Clause;
  }

  #sentenceOf(position: number): Span {
    return sentenceAt(this.#scene, position);
  }

  /** Where the longest words of a class that begin at a position end. */
  #endOf(name: ScopeClass, position: number): number {
    const hits = this.#scene.at[position] ?? [];
    return Math.max(position, ...hits.filter((hit) => hit.class === this.#lexicon.scope[name]).map(({ to }) => to));
  }

  #nextSentenceEnd(to: number): number {
    return to < this.#scene.words.length ? this.#sentenceOf(to).to : to;
  }

  #add(kind: ScopeKind, from: number, to: number): void {
    if (from < to) this.#stretches.push({ kind, from, to });
  }

  #sellers(): void {
    for (const position of this.#all('seller-says')) {
      const { to } = this.#sentenceOf(position);
      const contradiction = this.#scene.clauses.find(
        (clause) => clause.from > position && clause.from < to && this.#turns(clause),
      );
      const from = this.#clauseOf(position).from;
      this.#add('seller', from, Math.min(contradiction?.from ?? to, this.#quoteEnd(position, to) ?? to));
    }
  }

  /** Where the words that are quoted after a position end; undefined where none are. */
  #quoteEnd(position: number, to: number): number | undefined {
    const { clauses, words } = this.#scene;
    const marks: Clause[] = [];
    for (let index = (words[position] as Word).clause; index < clauses.length; index++) {
      const clause = clauses[index] as Clause;
      if (clause.from >= to || marks.length === 2) break;
      if (QUOTES.has(clause.endsWith)) marks.push(clause);
    }
    return marks[1]?.to;
  }

  /** "Swore it never smoked... well, first cold start today": what the owner found. */
  #turns(clause: Clause): boolean {
    const before = this.#scene.clauses[(this.#scene.words[clause.from] as Word).clause - 1];
    const trailing = before?.endsWith === '.' && before.sentence === clause.sentence;
    return this.#beginsWithBut(clause) || (trailing && this.#is(clause.from, 'foundOut'));
  }

  #beginsWithBut(clause: Clause): boolean {
    return this.#lexicon.joints.breaks.has((this.#scene.words[clause.from] as Word).text);
  }

  #hypotheses(): void {
    for (const position of this.#all('what-if')) {
      const { from, to } = this.#sentenceOf(position);
      const clause = this.#clauseOf(position);
      // "I'm not worried about that, but it's hard to start": what follows is told.
      const but = this.#scene.clauses.find(
        (other) => other.from > position && other.from < to && this.#beginsWithBut(other),
      );
      this.#add('hypothetical', position === from || clause.from === from ? from : clause.from, but?.from ?? to);
      const isSupposed = beginsWith(this.#scene.words[position]?.text ?? '', this.#lexicon.grammar.supposingStems);
      if (isSupposed) this.#add('question', to, this.#askedUntil(to));
    }
    for (const position of this.#all('in-general')) {
      const { from, to } = this.#sentenceOf(position);
      if (this.#clauseOf(position).question) this.#add('question', from, to);
    }
    for (const position of this.#all('asks-in-general')) {
      const { from, to } = this.#sentenceOf(position);
      // Many leave the mark out; the verb in front asks as well.
      const asks = this.#clauseOf(position).question || this.#is(from, 'askingYesOrNo');
      // "On these? Mine is the factory one": what is asked of all is meant of the owner's truck.
      const isOfOnesOwn = this.#marksWithin('own-truck', from, this.#nextSentenceEnd(to)).length > 0;
      if (asks && !isOfOnesOwn) this.#add('question', from, to);
    }
  }

  /** Where the questions end that follow a supposition, before the owner's own truck is spoken of. */
  #askedUntil(to: number): number {
    let end = to;
    while (end < this.#scene.words.length) {
      const next = this.#sentenceOf(end);
      const asks = this.#clauseOf(end).question || this.#is(end, 'asking');
      if (!asks || this.#marksWithin('own-truck', next.from, next.to).length > 0) break;
      end = next.to;
    }
    return end;
  }

  /**
   * Over is what was fixed ("it smoked, that turned out to be an injector, fixed") and what used to be, unless it is
   * back. A wish ("need it fixed") or a past without an end ("died on me yesterday") is not over.
   */
  #past(): void {
    for (const position of this.#all('was-fixed')) {
      const { from, to } = this.#sentenceOf(position);
      const before = this.#scene.clauses[(this.#scene.words[position] as Word).clause - 1];
      const wished = this.#marksWithin('wants-fixed', Math.max(from, before?.from ?? 0), position).length > 0;
      const end = this.#endOf('was-fixed', position);
      // "Went away when I gave it gas": what comes and goes is not mended.
      if (this.#is(end, 'comesAndGoes')) continue;
      // "Power is gone", "a new whistle": the words of mending are the complaint's own.
      if (this.#isComplaint(end)) continue;
      // "It dont start no more": what it no longer can is the trouble.
      if (this.#endOf('any-more', position) > position && this.#isUnable(position)) continue;
      // "You said it was fixed. It drips again": the sentence after it counts too.
      // "Still good", "back to normal": what stands inside the words of mending brings nothing back.
      const [others, backs] = this.#backs(from, this.#nextSentenceEnd(to), position, end);
      const back = backs[0];
      const returned = back !== undefined && (back < to || !this.#namesAnother(from, to, back));
      const denied = this.#scene.at[position - 1]?.some((hit) => hit.class === this.#lexicon.scope.not) ?? false;
      if (wished || returned || denied || this.#clauseOf(position).question) continue;
      const clause = this.#clauseOf(position);
      const now = this.#marksWithin('right-now', from, to).filter((at) => at < position);
      const begin = now.length > 0 ? clause.from : from;
      const after = this.#marksWithin('right-now', position, clause.to)[0] ?? clause.to;
      const until = Math.min(after, ...others);
      this.#add('past', begin, until);
      for (let at = begin; at < until; at++) this.#mended.add(at);
    }
    for (const position of this.#all('used-to')) {
      const clause = this.#clauseOf(position);
      const after = this.#marksWithin('right-now', position, clause.to)[0] ?? clause.to;
      // "Used to be 600 fuel mileage went to heck": a figure ends what was.
      const figure = this.#scene.words.findIndex(({ value }, at) => at > position && value !== undefined);
      const isNear = figure > position && figure <= position + NEAR_FIGURE;
      this.#add('past', position, isNear ? Math.min(after, figure + 1) : after);
    }
    for (const position of this.#all('in-the-past')) {
      const clause = this.#clauseOf(position);
      const { from, to } = this.#sentenceOf(position);
      // "Its still the factory one", said long after, brings nothing back.
      if (this.#marksWithin('is-back', from, Math.min(to, position + NEAR)).length > 0) continue;
      if (this.#marksWithin('right-now', clause.from, clause.to).length > 0) continue;
      this.#add('past', clause.from, clause.to);
      // "Overheated in 2017, new radiator then": what goes on of that time.
      const index = (this.#scene.words[position] as Word).clause;
      const next = this.#scene.clauses[index + 1];
      const goesOn = next?.sentence === clause.sentence && this.#is(next.to - 1, 'ofThatTime');
      if (next && goesOn) this.#add('past', next.from, next.to);
    }
  }

  /**
   * "Power is gone" has lost what a truck needs, and "got a new whistle" has what nobody fitted: the words that look like
   * mending are the complaint's own, or name as new what is no thing.
   */
  #isComplaint(end: number): boolean {
    const isNew = this.#is(end - 1, 'isNew');
    return this.#found.some(({ match: { hits } }) =>
      hits.some(
        (hit) =>
          (hit.from < end && hit.to === end) ||
          (isNew && hit.from === end && this.#scene.kinds[hit.class] === undefined),
      ),
    );
  }

  /** True where a complaint of the same clause is that something cannot be done. */
  #isUnable(position: number): boolean {
    const { from } = this.#clauseOf(position);
    return this.#found.some(
      ({ match }) =>
        match.from >= from &&
        match.from < position &&
        match.hits.some((hit) => hit.class === this.#lexicon.scope.not && hit.from < position),
    );
  }

  /**
   * The words around a mending that bring something back: those of another complaint than the mended one ("the smell
   * is gone, still starts hard"), and those that bring back what was mended.
   */
  #backs(from: number, to: number, position: number, end: number): [others: number[], backs: number[]] {
    const mended = this.#toldWithin(this.#sentenceOf(position).from, position);
    const others: number[] = [];
    const backs: number[] = [];
    for (const at of this.#marksWithin('is-back', from, to)) {
      if (at >= position && at < end) continue;
      const another =
        at < end || mended.size === 0 ? NO_SYMPTOMS : this.#toldFrom(Math.max(this.#clauseOf(at).from, end));
      const isOther = another.size > 0 && ![...another].some((symptom) => mended.has(symptom));
      (isOther ? others : backs).push(at);
    }
    return [others, backs];
  }

  #toldWithin(from: number, to: number): ReadonlySet<Symptom> {
    const within = this.#found.filter(({ match }) => match.from >= from && match.to <= to);
    return new Set(within.map(({ symptom }) => symptom));
  }

  /** The symptoms from a word to the end of its clause; each word is looked up once, however often it is asked for. */
  #toldFrom(position: number): ReadonlySet<Symptom> {
    let told = this.#after.get(position);
    if (!told) this.#after.set(position, (told = this.#toldWithin(position, this.#clauseOf(position).to)));
    return told;
  }

  /** True where between a sentence's end and a word a thing is named that the sentence does not name. */
  #namesAnother(from: number, to: number, until: number): boolean {
    const things = (first: number, last: number): Set<number> => {
      const found = new Set<number>();
      for (let at = first; at < last; at++) {
        for (const { class: id } of this.#scene.at[at] ?? []) if (this.#scene.kinds[id] !== undefined) found.add(id);
      }
      return found;
    };
    const spokenOf = things(from, to);
    return [...things(to, until)].some((id) => !spokenOf.has(id));
  }

  #settle(): void {
    this.#kindAt = this.#scene.words.map(() => undefined);
    for (const { kind, from, to } of this.#stretches) {
      for (let at = from; at < to; at++) this.#kindAt[at] ??= kind;
    }
  }
}
