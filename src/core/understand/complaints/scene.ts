import type { Message } from '../text.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Scene } from './pattern.ts';
import { divide } from './words.ts';

/**
 * A message divided into words and clauses, with every class of the lexicon that is found in it. `lastYear` is the last
 * year that was over when it was written, where that is known.
 */
export function sceneOf(message: Message, lexicon: ComplaintLexicon, lastYear?: number): Scene {
  const words = divide(message, lexicon.joints);
  return { ...words, at: lexicon.vocabulary.hits(words, lastYear), kinds: lexicon.kinds, joins: lexicon.joints.joins };
}
