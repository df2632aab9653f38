import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import { INTENTS, SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import { STEM, wordOf, type SeenWord } from './features.ts';

/** Weights are written as hundredths, so that the file stays short. */
export const WEIGHT_UNIT = 100;
/** What each feature of a text weighs by how many words and known features it has: long texts do not drown short ones. */
export type Scale = (words: number, features: number) => number;
/** For symptoms: a text of unknown words says less. */
export const BY_WORDS: Scale = (words) => 2.2 / Math.sqrt(Math.max(1, words));
/** For intents. */
export const BY_FEATURES: Scale = (_, features) => 3 / Math.sqrt(Math.max(1, features));

const FITTED = {
  /** One for each label, in the same order. */
  bias: z.array(z.int()),
  /** A line for each feature: the feature, a tab, and `place:weight` for each label that it speaks for or against. */
  weights: z.string(),
};
const SymptomFile = z.strictObject({ symptoms: z.array(z.enum(SYMPTOMS)).min(1), ...FITTED });
const IntentFile = z.strictObject({ intents: z.array(z.enum(INTENTS)).min(1), ...FITTED });

/**
 * Logistic regressions, one for each label (symptom or intent), over the words of a text. They are fitted to labelled
 * messages, know nothing of negation or of whose truck it is, and therefore tell nothing by themselves: they say how
 * likely is what a pattern, a hint or a name was found of.
 */
export interface Opinion<Label extends string> {
  labels: readonly Label[];
  bias: readonly number[];
  /** Weights of words, of the beginnings of long words, and of words by the one before them. */
  words: ReadonlyMap<string, Weights>;
  stems: ReadonlyMap<string, Weights>;
  /** Weights of the lexicon's classes of words. */
  classes: ReadonlyMap<string, Weights>;
  pairs: ReadonlyMap<string, ReadonlyMap<string, Weights>>;
}

/** Pairs of place and weight, one after the other. */
export type Weights = Int16Array;

const fileNamed = (files: readonly FlowFile[], name: RegExp): FlowFile | undefined =>
  files.find(({ path }) => name.test(path));

/** Reads the fitted weights of symptoms from flows/language; undefined where there is no such file. */
export function compileOpinion(files: readonly FlowFile[]): Checked<Opinion<Symptom> | undefined> {
  const file = fileNamed(files, /(^|\/)second-opinion\.ya?ml$/);
  if (!file) return sound(undefined);
  const parsed = parseFlowYaml(file, SymptomFile);
  return parsed.ok ? opinionOf(parsed.value.value.symptoms, parsed.value) : parsed;
}

/** Reads the fitted weights of intents from flows/language; undefined where there is no such file. */
export function compileIntentOpinion(files: readonly FlowFile[]): Checked<Opinion<Intent> | undefined> {
  const file = fileNamed(files, /(^|\/)second-opinion-intents\.ya?ml$/);
  if (!file) return sound(undefined);
  const parsed = parseFlowYaml(file, IntentFile);
  return parsed.ok ? opinionOf(parsed.value.value.intents, parsed.value) : parsed;
}

function opinionOf<Label extends string>(
  labels: readonly Label[],
  located: LocatedYaml<{ bias: number[]; weights: string }>,
): Checked<Opinion<Label>> {
  const { bias, weights } = located.value;
  if (bias.length !== labels.length) {
    return unsound([located.finding(['bias'], `bias: expected ${labels.length} numbers, one for each label`)]);
  }
  const words = new Map<string, Weights>();
  const stems = new Map<string, Weights>();
  const classes = new Map<string, Weights>();
  const neighbours = new Map<string, Map<string, Weights>>();
  for (const line of weights.split('\n')) {
    if (line === '') continue;
    const [feature = '', given = ''] = line.split('\t');
    const pairs = given.split(/[ :]/).map(Number);
    const places = pairs.filter((_, index) => index % 2 === 0);
    const isWrong =
      feature === '' ||
      pairs.length % 2 !== 0 ||
      !pairs.every(Number.isInteger) ||
      places.some((place) => place < 0 || place >= labels.length);
    if (isWrong) return unsound([located.finding(['weights'], `weights: "${line}" is no feature with its weights`)]);
    const own = Int16Array.from(pairs);
    const [first = '', second] = feature.split(' ');
    if (second !== undefined) {
      const after = neighbours.get(first) ?? new Map<string, Weights>();
      neighbours.set(first, after.set(second, own));
    } else if (feature.startsWith('@')) classes.set(feature.slice(1), own);
    else if (feature.endsWith('*') && feature.length === STEM + 1) stems.set(feature.slice(0, STEM), own);
    else words.set(feature, own);
  }
  return sound({ labels, bias, words, stems, classes, pairs: neighbours });
}

/** How a text is looked at: the weights of its words' classes, which words are left out, and what a feature weighs. */
export interface Sight {
  classesAt?: (position: number, count: (weights: Weights | undefined) => void) => void;
  isAside?: (position: number) => boolean;
  scale: Scale;
}

/** How likely each label is, from 0 to 1, by the words of a text alone; its features are those of `featuresOf`. */
export function likelihoods<Label extends string>(
  opinion: Opinion<Label>,
  said: readonly SeenWord[],
  { classesAt, isAside, scale }: Sight,
): Map<Label, number> {
  const { labels, bias } = opinion;
  const sums = new Float64Array(labels.length);
  const seen = new Set<Weights>();
  const count = (weights: Weights | undefined): void => {
    if (weights === undefined || seen.has(weights)) return;
    seen.add(weights);
    for (let at = 0; at < weights.length; at += 2) {
      const place = weights[at] as number;
      sums[place] = (sums[place] as number) + (weights[at + 1] as number);
    }
  };
  let after: ReadonlyMap<string, Weights> | undefined;
  let length = 0;
  said.forEach((seenWord, position) => {
    if (isAside?.(position)) {
      after = undefined;
      return;
    }
    length++;
    const word = wordOf(seenWord);
    count(opinion.words.get(word));
    if (word.length > STEM) count(opinion.stems.get(word.slice(0, STEM)));
    if (after) count(after.get(word));
    after = opinion.pairs.get(word);
    classesAt?.(position, count);
  });
  const weight = scale(length, seen.size);
  return new Map(
    labels.map((label, place) => {
      const z = ((bias[place] as number) + (sums[place] as number) * weight) / WEIGHT_UNIT;
      return [label, 1 / (1 + Math.exp(-z))];
    }),
  );
}
