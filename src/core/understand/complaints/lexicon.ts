import type { Intent, Symptom } from '../../model/ids.ts';
import type { ClassRows, Opinion } from '../opinion/mod.ts';
import type { Weighing } from '../opinion/weighing.ts';
import type { Grammar } from './grammar.ts';
import type { Pattern } from './pattern.ts';
import type { Likeness } from './likeness.ts';
import type { ComplaintBoolean } from './types.ts';
import type { Vocabulary } from './vocabulary.ts';
import type { Joints } from './words.ts';

/** What a pattern says when it is found. */
export type Meaning =
  /** `sure`: so plain that it is seldom anything else. `taught`: as the shop has labelled it. */
  | { says: 'symptom' | 'hint' | 'absent'; symptom: Symptom; sure?: true; taught?: true }
  /** Counts only where it is denied. */
  | { says: 'denial'; denies: readonly Symptom[] }
  | { says: 'danger'; ask: readonly Symptom[] }
  | { says: 'intent'; intent: Intent; otherwise: boolean }
  | { says: 'fact'; fact: ComplaintBoolean; value: boolean; asked: boolean; unsure: boolean }
  /** What a fact is called; counts only with what answers it. */
  | { says: 'topic'; fact: ComplaintBoolean };

export interface Rule {
  meaning: Meaning;
  pattern: Pattern;
  /** As it is written in the lexicon. */
  written: string;
}

/** Classes that the scopes rest on; the lexicon must hold them. */
export const SCOPE_CLASSES = [
  'not',
  'want-of',
  'stops-negation',
  'reverses-negation',
  'none-answer',
  'used-to',
  'then-it-was',
  'in-the-past',
  'was-fixed',
  'any-more',
  'passed-by-itself',
  'wants-fixed',
  'is-back',
  'right-now',
  'other-truck',
  'one-of-trucks',
  'named-truck',
  'somebodys-truck',
  'own-truck',
  'set-against',
  'fares-otherwise',
  'other-machine',
  'often-days',
  'seller-says',
  'what-if',
  'in-general',
  'asks-in-general',
  'not-sure',
  'other-cause',
  'half-sure',
  'not-known-whether',
  'once-only',
  'answer-yes',
  'answer-no',
  'simile',
  'beside-the-point',
  'sign-of-work',
  'a-time',
  'all-is-well',
  'cannot-come',
  'day-is-out',
  'cant-make',
  'visit',
  'wants-the-same',
  'asks-for-work',
] as const;
export type ScopeClass = (typeof SCOPE_CLASSES)[number];

/** The complaint lexicon, ready to read with. */
export interface ComplaintLexicon {
  vocabulary: Vocabulary;
  joints: Joints;
  grammar: Grammar;
  /** Fillers and words of politeness: left out of a whole message that is looked up. */
  skipped: ReadonlySet<string>;
  kinds: readonly (string | undefined)[];
  classNames: readonly string[];
  /** Rules by the class of their rarest part. */
  rules: ReadonlyMap<number, readonly Rule[]>;
  scope: Readonly<Record<ScopeClass, number>>;
  /** For each class number whether the scopes rest on it. */
  scopeOf: ReadonlyMap<number, ScopeClass>;
  trouble: ReadonlySet<number>;
  calm: ReadonlySet<number>;
  /** The classes that the patterns of each symptom use. */
  wordsOf: ReadonlyMap<Symptom, ReadonlySet<number>>;
  /** For each class the symptoms whose patterns use it. */
  classMeans: ReadonlyMap<number, readonly Symptom[]>;
  over: ReadonlyMap<Symptom, ReadonlySet<Symptom>>;
  /** For each symptom those that its words lean to and mean only where a pattern finds them. */
  leansTo: ReadonlyMap<Symptom, ReadonlySet<Symptom>>;
  intentOver: ReadonlyMap<Intent, ReadonlySet<Intent>>;
  /** Whole messages, fillers and politeness left out. */
  alone: ReadonlyMap<string, Intent>;
  likeness: Likeness;
  /** What fitted weights make of the words; undefined where flows/language does not hold them. */
  opinions: Opinions | undefined;
  /** What signs weigh; undefined where flows/language does not hold it. */
  weighing: Weighing | undefined;
}

/** The fitted weights of symptoms and of intents, with their rows of the lexicon's classes. */
export interface Opinions {
  symptoms: { opinion: Opinion<Symptom>; classes: ClassRows };
  intents: { opinion: Opinion<Intent>; classes: ClassRows };
}

/** The key under which a whole message is known: its folded words without fillers. */
export const aloneKey = (words: readonly string[], skipped: ReadonlySet<string>): string => {
  const kept = words.filter((word) => !skipped.has(word));
  return (kept.length > 0 ? kept : words).join(' ');
};
