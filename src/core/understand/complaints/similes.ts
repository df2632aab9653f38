import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Word } from './words.ts';

/** "Like somebody with a hammer and blows white smoke": after the joining word the truck is spoken of again. */
function goesOn(
  { words, joins, at: hits }: Scene,
  at: number,
  end: number,
  { grammar, trouble }: ComplaintLexicon,
): boolean {
  if (!joins.has(words[at]?.text ?? '') || grammar.namesAnotherThing.has(words[at + 1]?.text ?? '')) return false;
  return hits.slice(at + 1, end).some((here) => here.some((hit) => trouble.has(hit.class)));
}

/**
 * What something is compared with ("slips like a bald tire on ice") is no complaint of its own where the sentence tells
 * one already. A comparison reaches from its first word to the end of its clause.
 */
export class Similes {
  readonly #scene: Scene;
  /** True for each word of a comparison. */
  readonly within: readonly boolean[];

  constructor(scene: Scene, lexicon: ComplaintLexicon) {
    this.#scene = scene;
    const within = scene.words.map(() => false);
    scene.at.forEach((hits, position) => {
      if (!hits.some((hit) => hit.class === lexicon.scope.simile)) return;
      const clause = scene.clauses[(scene.words[position] as Word).clause];
      const end = clause?.to ?? 0;
      for (let at = position; at < end; at++) {
        if (goesOn(scene, at, end, lexicon)) break;
        within[at] = true;
      }
    });
    this.within = within;
  }

  /** True where a word is part of a comparison. */
  at(position: number): boolean {
    return this.within[position] ?? false;
  }

  /** True where a match lies wholly in a comparison. */
  holds(match: Match): boolean {
    return match.hits.every((hit) => this.at(hit.from));
  }

  /** True where one of these matches stands before this one in its sentence, outside of any comparison. */
  explains(match: Match, told: Iterable<Match>): boolean {
    const sentence = this.#sentence(match.from);
    for (const other of told) {
      if (other.from < match.from && !this.holds(other) && this.#sentence(other.from) === sentence) return true;
    }
    return false;
  }

  #sentence(position: number): number | undefined {
    return this.#scene.clauses[(this.#scene.words[position] as Word).clause]?.sentence;
  }
}
