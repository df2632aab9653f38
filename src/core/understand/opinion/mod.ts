import { ASKS, FIRST, NEGATED, STEM, wordOf, type SeenText } from './features.ts';
import type { WeightTable } from './table.ts';

/** Weights are written as hundredths, so that the file stays short. */
export const WEIGHT_UNIT = 100;
/** What a feature of a text weighs by how many words the text has, so that long texts do not drown short ones. */
export const lengthScale = (words: number, power: number): number => Math.max(1, words) ** power;

/**
 * Logistic regressions, one for each label (symptom or intent), over the words of a text. They are fitted to labelled
 * messages and know little of whose truck it is or of what is over, so they tell nothing by themselves: the weighing
 * sets them beside what the patterns found.
 */
export interface Opinion<Label extends string> {
  labels: readonly Label[];
  bias: readonly number[];
  /** A text counts by its length in words to this power. */
  lengthPower: number;
  table: WeightTable;
}

/** The rows of the lexicon's classes by their numbers, plain and negated. */
export interface ClassRows {
  plain: readonly (number | undefined)[];
  negated: readonly (number | undefined)[];
}

/** The words of a text with the features that each gives, put together once for all opinions on it. */
export interface FeaturesOfWord {
  word: string;
  /** With the word before it. */
  pair: string;
  first?: string;
  stem?: string;
  isNegated: boolean;
}

/** The features of the words of a text, in the way of `featuresOf`. */
export function wordFeatures(said: SeenText['words']): FeaturesOfWord[] {
  let before = '';
  return said.map((seen, position) => {
    const text = wordOf(seen);
    const isNegated = seen.negated === true;
    const mark = isNegated ? NEGATED : '';
    const features: FeaturesOfWord = { word: mark + text, pair: `${mark}${before} ${text}`, isNegated };
    if (position === 0) features.first = FIRST + text;
    if (text.length > STEM) features.stem = `${mark}${text.slice(0, STEM)}*`;
    before = text;
    return features;
  });
}

/** How a text is looked at: the rows of its words' classes, and which words are left out. */
export interface Sight {
  asks: boolean;
  classesAt?: (position: number, negated: boolean, count: (row: number | undefined) => void) => void;
  isAside?: (position: number) => boolean;
}

/**
 * How each label is leaned to by the words of a text alone, in log-odds: 0 is as likely as not, 3 about 95 %. Its
 * features are those of `featuresOf`.
 */
export function leanings<Label extends string>(
  { labels, bias, lengthPower, table }: Opinion<Label>,
  said: readonly FeaturesOfWord[],
  { asks, classesAt, isAside }: Sight,
): Map<Label, number> {
  const { rows, starts, numbers } = table;
  const sums = new Float64Array(labels.length);
  const seen = new Set<number>();
  const count = (row: number | undefined): void => {
    if (row === undefined || seen.has(row)) return;
    seen.add(row);
    const end = starts[row + 1] as number;
    for (let at = starts[row] as number; at < end; at += 2) {
      const place = numbers[at] as number;
      sums[place] = (sums[place] as number) + (numbers[at + 1] as number);
    }
  };
  let isPair = false;
  let length = 0;
  for (let position = 0; position < said.length; position++) {
    if (isAside?.(position)) {
      isPair = false;
      continue;
    }
    length++;
    const { word, pair, first, stem, isNegated } = said[position] as FeaturesOfWord;
    count(rows.get(word));
    if (first !== undefined) count(rows.get(first));
    if (stem !== undefined) count(rows.get(stem));
    if (isPair) count(rows.get(pair));
    isPair = true;
    classesAt?.(position, isNegated, count);
  }
  if (asks) count(rows.get(ASKS));
  const scale = lengthScale(length, lengthPower);
  return new Map(
    labels.map((label, place) => [label, ((bias[place] as number) + (sums[place] as number) * scale) / WEIGHT_UNIT]),
  );
}
