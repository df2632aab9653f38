import type { IsoDate } from '../../model/time.ts';
import type { Message } from '../text.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Scene } from './pattern.ts';
import { divide, type Clause, type Word } from './words.ts';

/**
 * A message divided into words and clauses, with every class of the lexicon that is found in it. `today` is the day
 * that it was written on, where that is known.
 */
export function sceneOf(message: Message, lexicon: ComplaintLexicon, today?: IsoDate): Scene {
  const { vocabulary, joints, kinds } = lexicon;
  const words = divide(message, joints, (text) => vocabulary.knows(text));
  const lastYear = today === undefined ? undefined : Number(today.slice(0, 4)) - 1;
  return { ...words, at: vocabulary.hits(words, lastYear), kinds, joins: joints.joins };
}

/** First word and the word after the last of a stretch of the message. */
export interface Span {
  from: number;
  to: number;
}

/** The sentence that a word stands in. */
export function sentenceAt({ words, clauses }: Scene, position: number): Span {
  const index = (words[position] as Word).clause;
  const { sentence } = clauses[index] as Clause;
  let first = index;
  let last = index;
  while (first > 0 && clauses[first - 1]?.sentence === sentence) first--;
  while (last + 1 < clauses.length && clauses[last + 1]?.sentence === sentence) last++;
  return { from: (clauses[first] as Clause).from, to: (clauses[last] as Clause).to };
}
