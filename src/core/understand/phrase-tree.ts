const NONE: readonly number[] = [];
const FIRST_SIZE = 1 << 12;
const NEXT = 1;
const TIGHT = 2;

/** A tree of phrases as plain data. */
export interface PhraseTreeParts {
  /** Three numbers for each edge: the node that it leaves plus one, its word and kind, and the node that it leads to. */
  table: Int32Array;
  /** For each node the classes of the phrases that end there. */
  classes: (readonly number[])[];
  /** For each node what kinds of edges leave it. */
  kinds: number[];
}

export const emptyTree = (): PhraseTreeParts => ({
  table: new Int32Array(3 * FIRST_SIZE),
  classes: [NONE],
  kinds: [0],
});

/**
 * Phrases as a tree of word numbers, with the classes that each phrase belongs to. Nodes are numbers and their edges lie
 * in one table, found by hashing: a map for each of the fifty thousand nodes took a third of the time of a start.
 */
export class PhraseTree {
  readonly root = 0;
  readonly #parts: PhraseTreeParts;
  readonly #classes: (readonly number[])[];
  readonly #kinds: number[];
  #table: Int32Array;

  constructor(parts: PhraseTreeParts) {
    this.#parts = parts;
    this.#classes = parts.classes;
    this.#kinds = parts.kinds;
    this.#table = parts.table;
  }

  /** The node behind a word, made where it is not there. `tight` allows no filler word before that word. */
  grown(from: number, word: number, tight: boolean): number {
    const slot = this.#slotOf(from, word, tight);
    if (this.#table[slot] !== 0) return this.#table[slot + 2] as number;
    const child = this.#classes.length;
    this.#classes.push(NONE);
    this.#kinds.push(0);
    this.#kinds[from] = (this.#kinds[from] as number) | (tight ? TIGHT : NEXT);
    this.#put(slot, from + 1, word * 2 + Number(tight), child);
    if (child * 6 > this.#table.length) this.#enlarge();
    return child;
  }

  /** Lets a phrase that ends at a node belong to these classes too. */
  end(node: number, classIds: readonly number[]): void {
    const known = this.#classes[node] as readonly number[];
    this.#classes[node] = known.length === 0 ? classIds : [...new Set([...known, ...classIds])];
  }

  /** The node behind a word, or undefined. */
  child(from: number, word: number, tight: boolean): number | undefined {
    if (((this.#kinds[from] as number) & (tight ? TIGHT : NEXT)) === 0) return undefined;
    const slot = this.#slotOf(from, word, tight);
    return this.#table[slot] === 0 ? undefined : this.#table[slot + 2];
  }

  classesOf(node: number): readonly number[] {
    return this.#classes[node] as readonly number[];
  }

  /** False where no phrase goes on beyond a node. */
  goesOn(node: number): boolean {
    return this.#kinds[node] !== 0;
  }

  /** Where an edge lies in the table, or the free place for it. */
  #slotOf(from: number, word: number, tight: boolean): number {
    const table = this.#table;
    const edge = word * 2 + Number(tight);
    const mask = table.length / 3 - 1;
    let place = (Math.imul(from, 0x9e3779b1) ^ Math.imul(edge, 0x85ebca6b)) >>> 0;
    place = (place ^ (place >>> 15)) & mask;
    while (table[3 * place] !== 0 && !(table[3 * place] === from + 1 && table[3 * place + 1] === edge)) {
      place = (place + 1) & mask;
    }
    return 3 * place;
  }

  #put(slot: number, from: number, edge: number, to: number): void {
    this.#table[slot] = from;
    this.#table[slot + 1] = edge;
    this.#table[slot + 2] = to;
  }

  #enlarge(): void {
    const before = this.#table;
    this.#table = this.#parts.table = new Int32Array(2 * before.length);
    for (let at = 0; at < before.length; at += 3) {
      const from = before[at] as number;
      const edge = before[at + 1] as number;
      if (from !== 0)
        this.#put(this.#slotOf(from - 1, edge >> 1, (edge & 1) === 1), from, edge, before[at + 2] as number);
    }
  }
}
