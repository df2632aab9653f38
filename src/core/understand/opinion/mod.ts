import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import { INTENTS, SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import { ASKS, FIRST, NEGATED, STEM, wordOf, type SeenText } from './features.ts';

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
 * messages and know little of whose truck it is or of what is over, so they tell nothing by themselves: the weighing
 * sets them beside what the patterns found.
 */
export interface Opinion<Label extends string> {
  labels: readonly Label[];
  bias: readonly number[];
  /** Weights of what is said as it is, and of what is negated. */
  plain: FeatureWeights;
  negated: FeatureWeights;
  first: ReadonlyMap<string, Weights>;
  asks: Weights | undefined;
}

/** Weights of words, of the beginnings of long words, of the lexicon's classes, and of words by the one before them. */
export interface FeatureWeights {
  words: ReadonlyMap<string, Weights>;
  stems: ReadonlyMap<string, Weights>;
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
  const [plain, negated] = [noWeights(), noWeights()];
  const first = new Map<string, Weights>();
  let asks: Weights | undefined;
  for (const line of weights.split('\n')) {
    if (line === '') continue;
    const tab = line.indexOf('\t');
    const feature = line.slice(0, Math.max(0, tab));
    const own = feature === '' ? undefined : weightsIn(line, tab + 1, labels.length);
    if (!own) return unsound([located.finding(['weights'], `weights: "${line}" is no feature with its weights`)]);
    if (feature === ASKS) asks = own;
    else if (feature.startsWith(FIRST)) first.set(feature.slice(FIRST.length), own);
    else if (feature.startsWith(NEGATED) && feature.length > 1) put(negated, feature.slice(NEGATED.length), own);
    else put(plain, feature, own);
  }
  return sound({ labels, bias, plain, negated, first, asks });
}

/** The whole numbers of `place:weight place:weight` from a position on; undefined where it is anything else. */
function weightsIn(line: string, from: number, places: number): Weights | undefined {
  const numbers = line.slice(from).split(SEPARATORS);
  const own = new Int16Array(numbers.length);
  for (let at = 0; at < numbers.length; at++) {
    const number = Number(numbers[at]);
    if (!Number.isInteger(number) || numbers[at] === '') return undefined;
    if (at % 2 === 0 && (number < 0 || number >= places)) return undefined;
    own[at] = number;
  }
  return numbers.length % 2 === 0 ? own : undefined;
}
const SEPARATORS = /[ :]/;

interface Growing {
  words: Map<string, Weights>;
  stems: Map<string, Weights>;
  classes: Map<string, Weights>;
  pairs: Map<string, Map<string, Weights>>;
}
const noWeights = (): Growing => ({ words: new Map(), stems: new Map(), classes: new Map(), pairs: new Map() });

function put({ words, stems, classes, pairs }: Growing, feature: string, own: Weights): void {
  const [first = '', second] = feature.split(' ');
  if (second !== undefined) {
    const after = pairs.get(first) ?? new Map<string, Weights>();
    pairs.set(first, after.set(second, own));
  } else if (feature.startsWith('@')) classes.set(feature.slice(1), own);
  else if (feature.endsWith('*') && feature.length === STEM + 1) stems.set(feature.slice(0, STEM), own);
  else words.set(feature, own);
}

/** Weights of the lexicon's classes by their numbers, plain and negated. */
export interface ClassWeights {
  plain: readonly (Weights | undefined)[];
  negated: readonly (Weights | undefined)[];
}

/** The weights that an opinion gives the classes of a lexicon. */
export const weightsOfClasses = (
  opinion: Opinion<string> | undefined,
  classNames: readonly string[],
): ClassWeights => ({
  plain: classNames.map((name) => opinion?.plain.classes.get(name)),
  negated: classNames.map((name) => opinion?.negated.classes.get(name)),
});

/** How a text is looked at: the weights of its words' classes, which words are left out, and what a feature weighs. */
export interface Sight {
  classesAt?: (position: number, negated: boolean, count: (weights: Weights | undefined) => void) => void;
  isAside?: (position: number) => boolean;
  scale: Scale;
}

/**
 * How each label is leaned to by the words of a text alone, in log-odds: 0 is as likely as not, 3 about 95 %. Its
 * features are those of `featuresOf`.
 */
export function leanings<Label extends string>(
  opinion: Opinion<Label>,
  { words: said, asks }: SeenText,
  { classesAt, isAside, scale }: Sight,
): Map<Label, number> {
  const { labels, bias, plain, negated } = opinion;
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
  let before: string | undefined;
  let length = 0;
  said.forEach((seenWord, position) => {
    if (isAside?.(position)) {
      before = undefined;
      return;
    }
    length++;
    const word = wordOf(seenWord);
    const isNegated = seenWord.negated === true;
    const known = isNegated ? negated : plain;
    count(known.words.get(word));
    if (position === 0) count(opinion.first.get(word));
    if (word.length > STEM) count(known.stems.get(word.slice(0, STEM)));
    if (before !== undefined) count(known.pairs.get(before)?.get(word));
    before = word;
    classesAt?.(position, isNegated, count);
  });
  if (asks) count(opinion.asks);
  const weight = scale(length, seen.size);
  return new Map(
    labels.map((label, place) => [label, ((bias[place] as number) + (sums[place] as number) * weight) / WEIGHT_UNIT]),
  );
}
