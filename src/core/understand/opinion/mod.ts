import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml } from '../../model/flow-yaml.ts';
import { SYMPTOMS, type Symptom } from '../../model/ids.ts';
import type { Token } from '../text.ts';
import { STEM, wordOf } from './features.ts';

/** Weights are written as hundredths, so that the file stays short. */
export const WEIGHT_UNIT = 100;
/** Each feature of a text weighs this over the root of their number: long messages do not drown short ones. */
export const SCALE = 3;

const OpinionFile = z.strictObject({
  symptoms: z.array(z.enum(SYMPTOMS)).min(1),
  /** One for each symptom, in the same order. */
  bias: z.array(z.int()),
  /** A line for each feature: the feature, a tab, and `place:weight` for each symptom that it speaks for or against. */
  weights: z.string(),
});

/**
 * Logistic regressions, one for each symptom, over the words of a text. They are fitted to labelled messages, know
 * nothing of negation or of whose truck it is, and therefore tell nothing by themselves: they say how likely a symptom
 * is of which a pattern, a hint or a name was found.
 */
export interface Opinion {
  symptoms: readonly Symptom[];
  bias: readonly number[];
  /** Weights of words, of the beginnings of long words, and of words by the one before them. */
  words: ReadonlyMap<string, Weights>;
  stems: ReadonlyMap<string, Weights>;
  pairs: ReadonlyMap<string, ReadonlyMap<string, Weights>>;
}

/** Pairs of place and weight, one after the other. */
type Weights = Int16Array;

const isOpinionFile = ({ path }: FlowFile): boolean => /(^|\/)second-opinion\.ya?ml$/.test(path);

/** Reads the fitted weights from flows/language; undefined where there is no such file. */
export function compileOpinion(files: readonly FlowFile[]): Checked<Opinion | undefined> {
  const file = files.find(isOpinionFile);
  if (!file) return sound(undefined);
  const parsed = parseFlowYaml(file, OpinionFile);
  if (!parsed.ok) return parsed;
  const { symptoms, bias, weights } = parsed.value.value;
  if (bias.length !== symptoms.length) {
    return unsound([parsed.value.finding(['bias'], `bias: expected ${symptoms.length} numbers, one for each symptom`)]);
  }
  const words = new Map<string, Weights>();
  const stems = new Map<string, Weights>();
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
      places.some((place) => place < 0 || place >= symptoms.length);
    if (isWrong)
      return unsound([parsed.value.finding(['weights'], `weights: "${line}" is no feature with its weights`)]);
    const own = Int16Array.from(pairs);
    const [first = '', second] = feature.split(' ');
    if (second !== undefined) {
      const after = neighbours.get(first) ?? new Map<string, Weights>();
      neighbours.set(first, after.set(second, own));
    } else if (feature.endsWith('*') && feature.length === STEM + 1) stems.set(feature.slice(0, STEM), own);
    else words.set(feature, own);
  }
  return sound({ symptoms, bias, words, stems, pairs: neighbours });
}

/** How likely each symptom is, from 0 to 1, by the words of a text alone; its features are those of `featuresOf`. */
export function likelihoods(opinion: Opinion, tokens: readonly Token[]): Map<Symptom, number> {
  const { symptoms, bias } = opinion;
  const sums = new Float64Array(symptoms.length);
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
  for (const token of tokens) {
    if (token.kind === 'mark') continue;
    const word = wordOf(token);
    count(opinion.words.get(word));
    if (word.length > STEM) count(opinion.stems.get(word.slice(0, STEM)));
    if (after) count(after.get(word));
    after = opinion.pairs.get(word);
  }
  const scale = SCALE / Math.sqrt(Math.max(1, seen.size));
  return new Map(
    symptoms.map((symptom, place) => {
      const z = ((bias[place] as number) + (sums[place] as number) * scale) / WEIGHT_UNIT;
      return [symptom, 1 / (1 + Math.exp(-z))];
    }),
  );
}
