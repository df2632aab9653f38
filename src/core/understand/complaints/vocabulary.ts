import { slipBetween, SLIP_ORDER } from './forms.ts';
import { PhraseTree } from '../phrase-tree.ts';
import { LAST_PAST_YEAR, type VocabularyParts } from './vocabulary-builder.ts';
import type { Word, Words } from './words.ts';

/** One finding of a word class in a text. `from` and `to` are word indexes, `to` exclusive. */
export interface Hit {
  class: number;
  from: number;
  to: number;
}

/** Of two letters too many words can be meant. */
const SHORTEST_ABBREVIATION = 3;
const withoutVowels = (word: string): string => word.replace(/[aeiouáéíóúü]/g, '');

function alikeOf(forms: Iterable<string>): Map<string, string[]> {
  const alike = new Map<string, string[]>();
  for (const form of forms) {
    if (form.length < 3) continue;
    const key = `${form[0]}${form.length}`;
    const others = alike.get(key);
    if (others) others.push(form);
    else alike.set(key, [form]);
  }
  return alike;
}

/** Of shorter words many that end so are no doing. */
const SHORTEST_DOING = 5;
const MEMORY = 20_000;
const LONGEST_REMEMBERED = 40;
const LONGEST_SKIP = 2;

/**
 * All words and phrases of the lexicon, looked up in one pass over a text. A longer entry of a class that hides (things
 * do) covers the shorter ones inside it: "power steering" is no power.
 */
export class Vocabulary {
  /** What it was made of, as plain data. */
  readonly parts: VocabularyParts;
  readonly #exact: ReadonlyMap<string, number>;
  readonly #ordinary: ReadonlySet<string>;
  readonly #phrases: PhraseTree;
  /** Forms by first letter and length, where a slip of the finger is looked for; made when a text first holds one. */
  #alike: Map<string, string[]> | undefined;
  /** Forms by what is left of them without vowels; made when a text first holds such a word. */
  #bare: Map<string, string[]> | undefined;
  readonly #meanings = new Map<string, readonly string[]>();
  readonly #memory = new Map<string, readonly number[]>();

  constructor(parts: VocabularyParts) {
    this.parts = parts;
    this.#exact = parts.exact;
    this.#ordinary = parts.ordinary;
    this.#phrases = new PhraseTree(parts.phrases);
  }

  /** True where the lexicon holds the word as it is typed. */
  knows(text: string): boolean {
    return this.#exact.has(text) || this.#ordinary.has(text);
  }

  /** The ordinary words that the lexicon's words may be mistaken for; for the check of the list itself. */
  nearest(text: string): string[] {
    return this.#exact.has(text) ? [] : this.#slips(text);
  }

  /** A word as the lexicon spells it, where one word of it alone can be meant by what is typed; else the word itself. */
  mended(text: string): string {
    if (this.knows(text)) return text;
    const meant = this.#meant(text);
    return meant.length === 1 ? (meant[0] as string) : text;
  }

  /** The words of the lexicon that a word it does not hold may stand for. */
  #meant(text: string): readonly string[] {
    const known = this.#meanings.get(text);
    if (known) return known;
    const abbreviated = this.#abbreviated(text);
    const meant = abbreviated.length > 0 ? abbreviated : this.#slips(text);
    if (this.#meanings.size >= MEMORY) this.#meanings.clear();
    if (text.length <= LONGEST_REMEMBERED) this.#meanings.set(text, meant);
    return meant;
  }

  #lookUp(word: Word, lastYear: number): readonly number[] {
    const { value } = word;
    if (value !== undefined) {
      const ids: number[] = [];
      for (const [id, low, high] of this.parts.ranges) {
        if (value >= low && value <= (id === this.parts.pastYear ? lastYear : high)) ids.push(id);
      }
      const exact = this.#exact.get(word.text);
      if (exact !== undefined) ids.push(exact);
      return ids;
    }
    if (word.whole !== undefined) {
      const whole = this.#exact.get(word.whole);
      return whole === undefined ? this.#remember(word.text) : [...this.#remember(word.text), whole];
    }
    return this.#remember(word.text);
  }

  #remember(text: string): readonly number[] {
    const known = this.#memory.get(text);
    if (known) return known;
    const ids = this.#find(text);
    if (this.#memory.size >= MEMORY) this.#memory.clear();
    if (text.length <= LONGEST_REMEMBERED) this.#memory.set(text, ids);
    return ids;
  }

  #find(text: string): number[] {
    const ids: number[] = [];
    const exact = this.#exact.get(text);
    if (exact !== undefined) ids.push(exact);
    // "Runnin", "drippin": the last letter of a doing is often left out.
    const doing = text.length >= SHORTEST_DOING && text.endsWith('in') ? this.#exact.get(`${text}g`) : undefined;
    if (doing !== undefined) ids.push(doing);
    const longest = Math.min(text.length, 24);
    for (let length = 2; length <= longest; length++) {
      const id = this.parts.prefix.get(text.slice(0, length));
      if (id !== undefined) ids.push(id);
    }
    if (ids.length > 0 || this.#ordinary.has(text)) return ids;
    return this.#meant(text).map((form) => this.#exact.get(form) as number);
  }

  /** Words of the lexicon that are typed without their vowels ("wht smk at strt"). */
  #abbreviated(text: string): readonly string[] {
    if (text.length < SHORTEST_ABBREVIATION || withoutVowels(text) !== text) return [];
    if (!this.#bare) {
      this.#bare = new Map();
      for (const form of this.#exact.keys()) {
        const bare = withoutVowels(form);
        if (bare === form || bare.length < SHORTEST_ABBREVIATION) continue;
        const forms = this.#bare.get(bare);
        if (forms) forms.push(form);
        else this.#bare.set(bare, [form]);
      }
    }
    return this.#bare.get(text) ?? [];
  }

  /** Words of the lexicon that a slip of the finger may have turned into this one: the likeliest kind of slip only. */
  #slips(text: string): string[] {
    if (text.length < 3 || text.length > 24) return [];
    this.#alike ??= alikeOf(this.#exact.keys());
    const found = new Map<string, number>();
    const initials = text[0] === text[1] ? [text[0]] : [text[0], text[1]];
    for (const initial of initials) {
      for (let length = text.length - 1; length <= text.length + 1; length++) {
        for (const form of this.#alike.get(`${initial}${length}`) ?? []) {
          const slip = slipBetween(text, form);
          if (!slip) continue;
          if (form.length < 5 && slip !== 'swapped' && !(slip === 'added' && text.length >= 5)) continue;
          if (form.length < 6 && slip === 'changed' && text.length < 5) continue;
          if (text[0] !== form[0] && slip !== 'swapped') continue;
          found.set(form, SLIP_ORDER[slip]);
        }
      }
    }
    const best = Math.min(...found.values());
    return [...found].filter(([, order]) => order === best).map(([form]) => form);
  }

  /**
   * Every hit of every class, those inside a longer entry left out. `at[i]` holds the hits that begin at word i.
   * `lastYear` is the last year that is over.
   */
  hits({ words, clauses }: Words, lastYear = LAST_PAST_YEAR): Hit[][] {
    const ids = words.map((word) => this.#lookUp(word, lastYear));
    const at: Hit[][] = words.map(() => []);
    const tree = this.#phrases;
    const enter = (child: number | undefined, begin: number, position: number, end: number): void => {
      if (child === undefined) return;
      for (const classId of tree.classesOf(child)) {
        (at[begin] as Hit[]).push({ class: classId, from: begin, to: position + 1 });
      }
      if (tree.goesOn(child)) collect(begin, child, position + 1, 0, end);
    };
    const collect = (begin: number, from: number, position: number, skipped: number, end: number): void => {
      if (position >= end) return;
      for (const id of ids[position] as readonly number[]) {
        enter(tree.child(from, id, false), begin, position, end);
        if (skipped === 0) enter(tree.child(from, id, true), begin, position, end);
      }
      if (position > begin && skipped < LONGEST_SKIP && (words[position] as Word).filler) {
        collect(begin, from, position + 1, skipped + 1, end);
      }
    };
    for (let index = 0; index < words.length; index++) {
      const clause = clauses[(words[index] as Word).clause];
      collect(index, tree.root, index, 0, clause ? clause.to : words.length);
    }
    return this.#longest(at);
  }

  #longest(at: Hit[][]): Hit[][] {
    let reach = -1;
    return at.map((hits) => {
      if (hits.length === 0) return hits;
      let longestHere = -1;
      for (const hit of hits) if (this.parts.hiding.has(hit.class) && hit.to > longestHere) longestHere = hit.to;
      const before = reach;
      if (longestHere > reach) reach = longestHere;
      const seen = new Set<number>();
      return hits.filter((hit) => {
        if (hit.to <= before || hit.to < longestHere) return false;
        const key = hit.class * 64 + (hit.to - hit.from);
        if (seen.has(key)) return false;
        seen.add(key);
        return true;
      });
    });
  }
}
