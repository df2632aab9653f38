import { inflections } from './forms.ts';
import { emptyTree, PhraseTree, type PhraseTreeParts } from '../phrase-tree.ts';

/** The last year that is over, where the day of the message is not known. */
export const LAST_PAST_YEAR = 2024;

/** Number ranges that an entry may ask for, such as `<speed>`; `<n>` is any number. */
const RANGES: Readonly<Record<string, readonly [low: number, high: number]>> = {
  '<n>': [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY],
  '<speed>': [15, 125],
  '<volts>': [5, 12.4],
  '<hot>': [213, 300],
  '<hot-celsius>': [106, 140],
  '<short>': [0, 250],
  '<few>': [0, 15],
  '<odometer>': [2_000, 1_500_000],
  '<past-year>': [1980, LAST_PAST_YEAR],
};
export const isRange = (word: string): boolean => Object.hasOwn(RANGES, word);

/** The words and phrases of the lexicon as plain data. Every word has a number, by which the phrases know it. */
export interface VocabularyParts {
  exact: Map<string, number>;
  prefix: Map<string, number>;
  ranges: [id: number, low: number, high: number][];
  /** The range that reaches up to the last year that is over. */
  pastYear: number | undefined;
  /** Classes whose entries cover the shorter ones inside them. */
  hiding: Set<number>;
  /** Everyday words, never taken for a slip of another. */
  ordinary: Set<string>;
  phrases: PhraseTreeParts;
}

/**
 * Collects the entries of the lexicon. An entry is one or several words. `leak~` stands for its inflections, `gote*` for
 * every word that begins so, `_` between two words allows no filler in between, `<n>` is a number.
 */
export class VocabularyBuilder {
  readonly parts: VocabularyParts;
  readonly #phrases: PhraseTree;
  #ids = 0;

  constructor(ordinary: Iterable<string>) {
    this.parts = {
      exact: new Map(),
      prefix: new Map(),
      ranges: [],
      pastYear: undefined,
      hiding: new Set(),
      ordinary: new Set(ordinary),
      phrases: emptyTree(),
    };
    this.#phrases = new PhraseTree(this.parts.phrases);
  }

  /** Lets the entries of a class cover the shorter ones inside them. */
  hide(classId: number): void {
    this.parts.hiding.add(classId);
  }

  /** Adds an entry of these words, already folded, to all the classes that hold it. */
  add(words: readonly string[], classIds: readonly number[]): void {
    let ends: readonly number[] = [this.#phrases.root];
    for (const word of words) {
      if (word.includes('_')) {
        word.split('_').forEach((part, index) => (ends = this.#grown(ends, part, index > 0)));
      } else ends = this.#grown(ends, word, false);
    }
    for (const end of ends) this.#phrases.end(end, classIds);
  }

  #grown(ends: readonly number[], word: string, tight: boolean): readonly number[] {
    const ids = this.#idsOf(word);
    const [id] = ids;
    const [end] = ends;
    if (id !== undefined && end !== undefined && ids.length === 1 && ends.length === 1) {
      return [this.#phrases.grown(end, id, tight)];
    }
    return ids.flatMap((each) => ends.map((from) => this.#phrases.grown(from, each, tight)));
  }

  #idsOf(word: string): number[] {
    const last = word[word.length - 1];
    if (last === '*') return [this.#idIn(this.parts.prefix, word.slice(0, -1))];
    if (last === '~') return inflections(word.slice(0, -1)).map((form) => this.#idIn(this.parts.exact, form));
    return [last === '>' && isRange(word) ? this.#rangeId(word) : this.#idIn(this.parts.exact, word)];
  }

  #idIn(known: Map<string, number>, text: string): number {
    let id = known.get(text);
    if (id === undefined) known.set(text, (id = this.#ids++));
    return id;
  }

  #rangeId(word: string): number {
    const [low, high] = RANGES[word] as readonly [number, number];
    const known = this.parts.ranges.find(([, from, to]) => from === low && to === high);
    if (known) return known[0];
    const id = this.#ids++;
    this.parts.ranges.push([id, low, high]);
    if (word === '<past-year>') this.parts.pastYear = id;
    return id;
  }
}
