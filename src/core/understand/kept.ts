/** The door for who has a lexicon that was compiled before: it leads to no compiler, so that little is loaded. */
import { Vocabulary } from './complaints/vocabulary.ts';
import type { VocabularyParts } from './complaints/vocabulary-builder.ts';
import type { Lexicon } from './read.ts';

export { read, type Lexicon } from './read.ts';

/** A compiled lexicon as plain data (objects, lists, maps, sets, numbers and texts), so that it can be kept. */
export interface PlainLexicon {
  complaints: Omit<Lexicon['complaints'], 'vocabulary'> & { vocabulary: VocabularyParts };
  values: Lexicon['values'];
}

/** What a lexicon is made of. */
export const plainOf = ({ complaints, values }: Lexicon): PlainLexicon => ({
  complaints: { ...complaints, vocabulary: complaints.vocabulary.parts },
  values,
});

/** The lexicon that plain data was made from. */
export const lexiconFrom = ({ complaints, values }: PlainLexicon): Lexicon => ({
  complaints: { ...complaints, vocabulary: new Vocabulary(complaints.vocabulary) },
  values,
});
