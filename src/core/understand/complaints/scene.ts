import type { IsoDate } from '../../model/time.ts';
import type { Message } from '../text.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Scene } from './pattern.ts';
import { divide } from './words.ts';

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
