import type { Intent, Symptom } from '../../model/ids.ts';
import type { ClassesAt, SeenText, SeenWord } from '../opinion/features.ts';
import { leanings, wordFeatures, type ClassRows, type Opinion, type Sight } from '../opinion/mod.ts';
import { weightFor } from '../opinion/table.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';

/** In a longer message the few words of a complaint or a wish do not show; its patterns stand as they are. */
const MOST_WORDS = 150;
/** How many words a "no" reaches within its clause. */
const NEGATION_REACH = 4;

/**
 * The words of a scene as the lexicon spells them, the negated ones marked, and whether the message asks. `isAffirmed`
 * names words that a "no" of their clause does not deny ("no it smokes all the time").
 */
export function saidIn(
  scene: Scene,
  { vocabulary, scope }: ComplaintLexicon,
  isAffirmed: (position: number) => boolean = () => false,
): SeenText {
  let reach = 0;
  let clause = -1;
  const words = scene.words.map((word, position): SeenWord => {
    if (word.clause !== clause) reach = 0;
    clause = word.clause;
    const isNegation = (scene.at[position] ?? []).some((hit) => hit.class === scope.not);
    const negated = reach > 0 && !isNegation && !isAffirmed(position);
    reach = isNegation ? NEGATION_REACH : Math.max(0, reach - 1);
    const seen: SeenWord = { text: word.value === undefined ? vocabulary.mended(word.text) : word.text };
    if (word.value !== undefined) seen.value = word.value;
    if (negated) seen.negated = true;
    return seen;
  });
  return { words, asks: scene.clauses.some(({ question }) => question) };
}

/** The names of the classes that begin at each word of a scene. */
export const classesIn =
  (scene: Scene, { classNames }: ComplaintLexicon): ClassesAt =>
  (position) =>
    (scene.at[position] ?? []).map(({ class: id }) => classNames[id] ?? '');

const classesSeen =
  (scene: Scene, rows: ClassRows): NonNullable<Sight['classesAt']> =>
  (position, negated, count) => {
    const known = negated ? rows.negated : rows.plain;
    for (const { class: id } of scene.at[position] ?? []) count(known[id]);
  };

/**
 * How the words of a message lean to each symptom, those that are aside left out and those that are affirmed taken as
 * such, and to each intent; undefined where nothing was fitted or the message is too long to tell by its words.
 */
export function leaningsOn(
  scene: Scene,
  lexicon: ComplaintLexicon,
  isAside: (position: number) => boolean,
  isAffirmed: (position: number) => boolean = () => false,
): { symptoms: Map<Symptom, number>; intents: Map<Intent, number> } | undefined {
  const { opinions } = lexicon;
  if (!opinions || scene.words.length > MOST_WORDS) return undefined;
  const { words, asks } = saidIn(scene, lexicon, isAffirmed);
  const features = wordFeatures(words);
  const { symptoms, intents } = opinions;
  return {
    symptoms: leanings(symptoms.opinion, features, {
      asks,
      classesAt: classesSeen(scene, symptoms.classes),
      isAside,
    }),
    intents: leanings(intents.opinion, features, {
      asks,
      classesAt: classesSeen(scene, intents.classes),
    }),
  };
}

const MOST_TELLING = 3;

/** The words that speak most for a symptom: what is told by words alone was read from them. */
export function tellingWords(symptom: Symptom, scene: Scene, lexicon: ComplaintLexicon): Match[] {
  const opinion = lexicon.opinions?.symptoms.opinion;
  if (!opinion) return [];
  return saidIn(scene, lexicon)
    .words.map((word, at) => ({ at, weight: weightOf(word, symptom, opinion) }))
    .filter(({ weight }) => weight > 0)
    .sort((one, other) => other.weight - one.weight || one.at - other.at)
    .slice(0, MOST_TELLING)
    .map(({ at }) => ({ hits: [], from: at, to: at + 1 }));
}

function weightOf({ text, value, negated }: SeenWord, symptom: Symptom, opinion: Opinion<Symptom>): number {
  if (negated || value !== undefined) return 0;
  return weightFor(opinion.table, text, opinion.labels.indexOf(symptom));
}
