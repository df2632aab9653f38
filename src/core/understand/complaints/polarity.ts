import { endsIn, type GrammarList } from './grammar.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Hit } from './vocabulary.ts';
import type { Clause, Word } from './words.ts';

/** How far a "not" reaches, in words that carry meaning. */
const REACH = 8;

/** "Under the hood no smoke": how far a no may stand behind the first part that it denies. */
const CLOSE = 2;

/** Without, the doing, an article and the thing. */
const LONGEST_DOING = 4;

/** "Smoke there is none at all": how many words may follow a no that stands behind its thing. */
const MOST_AFTER_A_NO = 2;

/** "And I found none": the longest clause that only says what a search brought. */
const LONGEST_FINDING = 6;

/** "I looked hard for any leaks": how far what is looked for stands behind the looking. */
const LONGEST_SEARCH = 5;

/** "No smoke until it warms up": how far behind a match what reverses it may stand. */
const REVERSED_WITHIN = 6;

/**
 * For each word where the negation that begins there ends, unless a complaint has used it up; else 0. Entries that overlap ("does not" and
 * "not") are one negation. Apart from them the words that only answer, before a statement of its own.
 */
function freeNegations(
  scene: Scene,
  { grammar, scope: { not } }: ComplaintLexicon,
  consumed: ReadonlySet<number>,
): { free: number[]; answers: ReadonlySet<number> } {
  const free = scene.at.map(() => 0);
  const answers = new Set<number>();
  const isGoingOn = (word = ''): boolean => endsIn(word, grammar.goingOnEndings);
  let reach = 0;
  scene.at.forEach((hits, position) => {
    let to = -1;
    for (const hit of hits) if (hit.class === not && hit.to > to) to = hit.to;
    if (to < 0 || position < reach) return;
    reach = to;
    const next = scene.words[to];
    const first = scene.words[position]?.text ?? '';
    // "No it isn't leaking", "no there's no smoke": a no that only answers, before a statement of its own.
    if (to === position + 1 && next && grammar.answeringNo.has(first)) {
      const again = scene.at[to]?.some((hit) => hit.class === not) ?? false;
      if (next.clause === scene.words[position]?.clause && (again || grammar.stating.has(next.text))) {
        answers.add(position);
        return;
      }
    }
    // "It won't quit idling up and down": what does not end is there.
    if (next && grammar.ceasing.has(next.text) && isGoingOn(scene.words[to + 1]?.text)) return;
    // "To get it stopped at the bottom": only what it has stopped doing is no more.
    if (grammar.ceased.has(first) && to === position + 1 && !isGoingOn(next?.text)) return;
    for (let at = position; at < to; at++) if (consumed.has(at)) return;
    free[position] = to;
  });
  return { free, answers };
}

/** Finds out which matches are denied. Built once a message, after it is known which negations patterns have used up. */
export class Polarity {
  readonly #scene: Scene;
  readonly #lexicon: ComplaintLexicon;
  /** For each word index where the free negation that begins there ends; 0 where none begins. */
  readonly #negations: number[];
  /** The words that say no to what was asked, and to nothing behind them. */
  readonly #answers: ReadonlySet<number>;
  readonly #inherited: boolean[];

  /** `consumed` holds the word positions of negations that are part of a complaint ("won't start"). */
  constructor(scene: Scene, lexicon: ComplaintLexicon, consumed: ReadonlySet<number>) {
    this.#scene = scene;
    this.#lexicon = lexicon;
    const { free, answers } = freeNegations(scene, lexicon, consumed);
    this.#negations = free;
    this.#answers = answers;
    this.#inherited = this.#listsUnderNegation();
  }

  /** True where an odd number of negations covers the match. `own` are the word positions that its pattern used. */
  isDenied(match: Match, own: ReadonlySet<number>): boolean {
    // "Won't shut off, not even with the key": a complaint that holds a negation is not denied by one more inside it.
    const negative = match.hits.some((hit) => hit.class === this.#lexicon.scope.not);
    if (match.hits.some((hit) => this.#isWhatItIs(hit.from))) return false;
    const first = match.hits.reduce((one, other) => (other.from < one.from ? other : one));
    // "No steam and it never ran hot" denies twice and affirms nothing: each part has its own negation.
    let count = 0;
    for (const hit of negative ? [first] : match.hits) {
      if (this.#isBeforeException(hit, match)) continue;
      let negations = 0;
      for (const position of this.#before(hit.from, this.#scene.words[hit.from] as Word)) {
        if (!this.#isOwn(position, own)) negations++;
      }
      if (negations % 2 === 1) count = 1;
      else count = Math.max(count, negations === 0 ? 0 : 2);
      if (count === 1) break;
    }
    const begin = this.#scene.words[match.from] as Word;
    if (
      count === 0 &&
      this.#inherited[begin.clause] &&
      !this.#hasNegation(this.#scene.clauses[begin.clause] as Clause)
    ) {
      count = 1;
    }
    if (count === 0 && this.#saidAfter(match)) count = 1;
    if (count > 0 && this.#isReversed(match)) count++;
    return count % 2 === 1;
  }

  /** "Empty under the hood, no smoke though": the no denies the last part alone, and nothing of where the first stands. */
  isDeniedInPart(match: Match): boolean {
    // "Oil pressure held, never dropped": the thing itself is what the no is said of.
    if (match.hits.some(({ from, class: id }) => from === match.from && this.#scene.kinds[id] !== undefined))
      return false;
    const first = this.#scene.words[match.from] as Word;
    for (let at = match.from + 1; at < match.to; at++) {
      const word = this.#scene.words[at] as Word;
      if (this.#negations[at] && (word.clause !== first.clause || word.depth - first.depth > CLOSE)) return true;
    }
    return false;
  }

  /** "No smoke except white when cold": what is excepted is there, though the trouble that it belongs to is denied. */
  #isBeforeException(hit: Hit, { hits, to }: Match): boolean {
    if (!this.#lexicon.trouble.has(hit.class)) return false;
    for (let at = hit.to; at < to; at++) {
      if (!this.#is(at, 'allBut')) continue;
      return hits.some((other) => other.from > at && !this.#lexicon.trouble.has(other.class));
    }
    return false;
  }

  #isOwn(position: number, own: ReadonlySet<number>): boolean {
    for (let at = position; at < (this.#negations[position] ?? 0); at++) if (own.has(at)) return true;
    return false;
  }

  /** Free negations before a word in its clause, up to the first word that ends their reach. */
  *#before(position: number, word: Word): Generator<number> {
    const clause = this.#scene.clauses[word.clause] as Clause;
    const { beginsAnother } = this.#lexicon.grammar;
    let denied = false;
    for (let at = position - 1; at >= clause.from; at--) {
      const other = this.#scene.words[at] as Word;
      if (word.depth - other.depth > REACH) return;
      // "It's not flashing no it doesn't run rough": a no that answers begins another statement.
      if (this.#answers.has(at)) return;
      if (this.#has(at, this.#lexicon.scope['stops-negation'])) return;
      // "Dont drive it the brake pedal drops": what is done to it is said to its end, and another thing begins.
      if (beginsAnother.has(other.text) && at - 1 > clause.from && this.#is(at - 1, 'doneTo')) return;
      // "no smoke no check engine light": the first "no" has a thing of its own.
      if (denied && this.#isThing(at)) return;
      if (this.#negations[at] && !(position - at > LONGEST_DOING && this.#isWithoutDoing(at))) {
        yield at;
        denied = true;
        // "Neither white nor black": each says no for itself.
        if (this.#is(at, 'alternatives')) return;
      }
    }
  }

  /** "Ain't popcorn im smelling its diesel": what it is not comes first, then what it is. */
  #isWhatItIs(position: number): boolean {
    const clause = this.#scene.clauses[(this.#scene.words[position] as Word).clause] as Clause;
    const first = this.#is(clause.from, 'pointsAtIt') ? clause.from + 1 : clause.from;
    if (!this.#is(first, 'whatItIsNot')) return false;
    for (let at = first + 2; at < position; at++) if (this.#is(at, 'whatItIs')) return true;
    return false;
  }

  /** "Without touching the pedal the engine surges", "sin mover el pie": what is not done, and what it is done to. */
  #isWithoutDoing(at: number): boolean {
    const next = this.#scene.words[at + 1]?.text ?? '';
    return this.#is(at, 'without') && endsIn(next, this.#lexicon.grammar.doingEndings);
  }

  #isThing(position: number): boolean {
    return (this.#scene.at[position] ?? []).some(
      (hit) => this.#lexicon.trouble.has(hit.class) || this.#scene.kinds[hit.class] !== undefined,
    );
  }

  #is(position: number, list: GrammarList): boolean {
    return this.#lexicon.grammar[list].has(this.#scene.words[position]?.text ?? '');
  }

  #has(position: number, classId: number): boolean {
    return (this.#scene.at[position] ?? []).some((hit) => hit.class === classId);
  }

  /** "It does not smoke until it is warm": then it smokes. */
  #isReversed(match: Match): boolean {
    const last = this.#scene.words[match.to - 1] as Word;
    const clause = this.#scene.clauses[last.clause] as Clause;
    const end = Math.min(clause.to, match.to + REVERSED_WITHIN);
    // "No smoke until it warms up, then white": it stands between the parts.
    const first = Math.min(...match.hits.map(({ to }) => to));
    for (let at = first; at < end; at++) {
      if (!this.#has(at, this.#lexicon.scope['reverses-negation'])) continue;
      if (at < match.to && match.hits.some(({ from, to }) => at >= from && at < to)) continue;
      if (this.#isUpToNow(at)) continue;
      // "No smoke, before you ask": what somebody does next reverses nothing.
      if (!(this.#is(at, 'beforeSomebodyActs') && this.#is(at + 1, 'actingPeople'))) return true;
    }
    return false;
  }

  /** "No smoke and no water in the fuel till now": behind things that are absent it says since when nobody saw any. */
  #isUpToNow(position: number): boolean {
    const clause = this.#scene.clauses[(this.#scene.words[position] as Word).clause] as Clause;
    if (position + 2 !== clause.to || !this.#is(position + 1, 'untilNow')) return false;
    const first = this.#scene.joins.has(this.#scene.words[clause.from]?.text ?? '') ? clause.from + 1 : clause.from;
    return this.#is(first, 'ownNo');
  }

  /** "Smoke: none", "leaks? no", "humo no": a bare no right after a clause that only names things. */
  #saidAfter(match: Match): boolean {
    const none = this.#lexicon.scope['none-answer'];
    const last = this.#scene.words[match.to - 1] as Word;
    const clause = this.#scene.clauses[last.clause] as Clause;
    if (match.to < clause.to) {
      if (this.#endsInItsNo(match, clause)) return true;
      if (clause.to - clause.from > 5) return false;
      // "White smoke also no", "humo azul tampoco".
      const no = this.#is(match.to, 'alsoNo') ? match.to + 1 : match.to;
      // "Humo no sale", "ruido no hace": the thing, the no, and that it is there.
      const isThere = no >= clause.to - 3 && this.#is(clause.to - 1, 'isThere');
      return this.#has(no, none) && (no === clause.to - 1 || isThere);
    }
    const next = this.#scene.clauses[last.clause + 1];
    if (next && this.#isLookedFor(match, clause) && this.#foundNone(next.from, next)) return true;
    if (clause.to - clause.from > 5) return false;
    if (next && this.#isAlsoNone(next)) return !this.#says(clause);
    if (!next || !['?', ':', '-', ','].includes(clause.endsWith)) return false;
    if (clause.endsWith === ',' && next.endsWith === ',') return false;
    return this.#isNone(next) && !this.#says(clause);
  }

  /**
   * "Smoke there is none", "oil loses it not": the clause ends in the no, and between it and its thing stands only that
   * somebody sees it or that it happens. "I looked for leaks and found none" says it of a search.
   */
  #endsInItsNo(match: Match, clause: Clause): boolean {
    // "Brakes there are none": a part that is not there is a complaint.
    if (!match.hits.some((hit) => this.#scene.kinds[hit.class] === undefined)) return false;
    if (this.#isLookedFor(match, clause) && this.#foundNone(match.to, clause)) return true;
    const no = this.#noAtEnd(match.to, clause);
    for (let at = match.to; at < no; at++) if (!this.#is(at, 'beforeItsNo')) return false;
    return no >= match.to;
  }

  /** Where the no stands that a clause ends in; -1 where it ends in none, or where a complaint has used it up. */
  #noAtEnd(from: number, clause: Clause): number {
    for (let no = clause.to - 1; no >= Math.max(from, clause.to - 1 - MOST_AFTER_A_NO); no--) {
      const isNo = this.#has(no, this.#lexicon.scope['none-answer']) || this.#is(no, 'endsInNot');
      if (isNo) return this.#isFree(no, from) ? no : -1;
      if (!this.#is(no, 'afterABareNo')) return -1;
    }
    return -1;
  }

  /** True where a free negation that begins between two words covers the latter. */
  #isFree(no: number, from: number): boolean {
    for (let at = no; at >= from; at--) if ((this.#negations[at] ?? 0) > no) return true;
    return false;
  }

  #isLookedFor(match: Match, clause: Clause): boolean {
    for (let at = Math.max(clause.from, match.from - LONGEST_SEARCH); at < match.from; at++) {
      if (this.#is(at, 'lookingFor')) return true;
    }
    return false;
  }

  /** "And I found none", "saw nothing at all": what a search brought, and no word more. */
  #foundNone(from: number, clause: Clause): boolean {
    if (clause.to - from > LONGEST_FINDING) return false;
    const no = this.#noAtEnd(from, clause);
    for (let at = from; at < no; at++) {
      const joins = this.#scene.joins.has(this.#scene.words[at]?.text ?? '');
      // "Y no encontré nada": one more no in it says the same.
      if (!joins && !this.#is(at, 'beforeItsNo') && !this.#is(at, 'ownNo')) return false;
    }
    return no >= from;
  }

  /** "Oil leak | also not": the little word begins a clause of its own. */
  #isAlsoNone({ from, to }: Clause): boolean {
    return to - from === 2 && this.#is(from, 'alsoNo') && this.#has(from + 1, this.#lexicon.scope['none-answer']);
  }

  /** "No", "none here", "no sir", "not that I have seen", and not "no smoke" or "not always". */
  #isNone({ from, to }: Clause): boolean {
    if (!this.#has(from, this.#lexicon.scope['none-answer'])) return to - from === 1 && this.#is(from, 'offAsAnswer');
    if (to - from === 1) return true;
    if (this.#is(from, 'whatItIsNot')) return this.#isNotAtAll(from + 1, to);
    return to - from === 2 && (this.#scene.words[from + 1]?.filler === true || this.#is(from + 1, 'afterABareNo'));
  }

  /** "At all", "yet", "that I can see": what makes an answer of a "not" before it. */
  #isNotAtAll(from: number, to: number): boolean {
    if (to - from > LONGEST_FINDING || !this.#is(from, 'notAtAll')) return false;
    for (let at = from + 1; at < to; at++) {
      if (!this.#scene.words[at]?.filler && !this.#is(at, 'beforeItsNo') && !this.#is(at, 'afterABareNo')) return false;
    }
    return true;
  }

  /** A clause says something of itself where a word in it is no thing, no filler and no part of the match. */
  #says(clause: Clause): boolean {
    for (let at = clause.from; at < clause.to; at++) if (this.#negations[at]) return true;
    return false;
  }

  /** "No smoke, leaks or knocks": clauses that only go on with the list of a denied one. */
  #listsUnderNegation(): boolean[] {
    const { clauses } = this.#scene;
    const inherited = clauses.map(() => false);
    let last = clauses.length - 1;
    while (last > 0) {
      let first = last;
      if (this.#isAlternative(clauses[last] as Clause) || this.#endsListing(last)) {
        while (
          first > 0 &&
          (clauses[first - 1] as Clause).endsWith === ',' &&
          this.#isBareList(clauses[first] as Clause)
        ) {
          first--;
          if (this.#hasNegation(clauses[first] as Clause)) break;
        }
        if (first < last && this.#hasNegation(clauses[first] as Clause)) {
          for (let at = first + 1; at <= last; at++) inherited[at] = true;
        }
      }
      last = first < last ? first : last - 1;
    }
    return inherited;
  }

  /** True for the last of the bare clauses that follow a "denies": a list needs no "or" after it. */
  #endsListing(last: number): boolean {
    const { clauses, words } = this.#scene;
    const { sentence } = clauses[last] as Clause;
    let first = last;
    while (first > 0 && clauses[first - 1]?.sentence === sentence && this.#isBareList(clauses[first] as Clause))
      first--;
    const { from, to } = clauses[first] as Clause;
    return first < last && words.slice(from, to).some(({ text }) => this.#lexicon.grammar.listsDenials.has(text));
  }

  #hasNegation(clause: Clause): boolean {
    for (let at = clause.from; at < clause.to; at++) if (this.#negations[at]) return true;
    return false;
  }

  #isAlternative(clause: Clause): boolean {
    if (!this.#isBareList(clause)) return false;
    for (let at = clause.from; at < clause.to; at++) {
      if (this.#lexicon.grammar.alternatives.has((this.#scene.words[at] as Word).text)) return true;
    }
    return false;
  }

  /** Short, and every word is a filler, a joining word or known to the lexicon; no negation of its own. */
  #isBareList(clause: Clause): boolean {
    if (clause.to - clause.from > 7) return false;
    let covered = clause.from;
    for (let at = clause.from; at < clause.to; at++) {
      if (this.#negations[at]) return false;
      const word = this.#scene.words[at] as Word;
      for (const hit of this.#scene.at[at] ?? []) covered = Math.max(covered, hit.to);
      const joins = this.#scene.joins.has(word.text) || this.#lexicon.grammar.alternatives.has(word.text);
      if (covered <= at && !word.filler && !joins) return false;
    }
    return true;
  }
}
