import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import { INTENTS, SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import { ASKS, FIRST, isNamed, NEGATED, STEM, wordOf, type SeenText } from './features.ts';
import { tableOf, type WeightTable } from './table.ts';

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
  table: WeightTable;
}

const fileNamed = (files: readonly FlowFile[], name: RegExp): FlowFile | undefined =>
  files.find(({ path }) => name.test(path));

/** Reads the fitted weights of symptoms from flows/language; undefined where there is no such file. */
export function compileOpinion(files: readonly FlowFile[]): Checked<Opinion<Symptom> | undefined> {
  const file = fileNamed(files, /(^|\/)second-opinion\.ya?ml$/);
  if (!file) return sound(undefined);
  const { head, lines } = apart(file);
  const parsed = parseFlowYaml(head, SymptomFile);
  return parsed.ok ? opinionOf(parsed.value.value.symptoms, parsed.value, lines) : parsed;
}

/** Reads the fitted weights of intents from flows/language; undefined where there is no such file. */
export function compileIntentOpinion(files: readonly FlowFile[]): Checked<Opinion<Intent> | undefined> {
  const file = fileNamed(files, /(^|\/)second-opinion-intents\.ya?ml$/);
  if (!file) return sound(undefined);
  const { head, lines } = apart(file);
  const parsed = parseFlowYaml(head, IntentFile);
  return parsed.ok ? opinionOf(parsed.value.value.intents, parsed.value, lines) : parsed;
}

const LIST = '\nweights: |\n';
const INDENT = '  ';

/**
 * The file without its list of weights, and the lines of the list: it is most of what flows/language holds, and needs
 * nothing of YAML. A list that is laid out in any other way stays in the file.
 */
function apart(file: FlowFile): { head: FlowFile; lines?: string[] } {
  const at = file.text.indexOf(LIST);
  if (at < 0) return { head: file };
  const lines = file.text.slice(at + LIST.length).split('\n');
  const isIndented = lines.every((line) => line === '' || line.startsWith(INDENT));
  if (!isIndented || lines[0]?.startsWith(' ', INDENT.length)) return { head: file };
  const head = { path: file.path, text: `${file.text.slice(0, at)}\nweights: ""\n` };
  return { head, lines: lines.map((line) => line.slice(INDENT.length)) };
}

function opinionOf<Label extends string>(
  labels: readonly Label[],
  located: LocatedYaml<{ bias: number[]; weights: string }>,
  lines = located.value.weights.split('\n'),
): Checked<Opinion<Label>> {
  const { bias } = located.value;
  if (bias.length !== labels.length) {
    return unsound([located.finding(['bias'], `bias: expected ${labels.length} numbers, one for each label`)]);
  }
  const table = tableOf(lines, labels.length);
  if (!('wrong' in table)) return sound({ labels, bias, table });
  return unsound([located.finding(['weights'], `weights: "${table.wrong}" is no feature with its weights`)]);
}

/** The rows of the lexicon's classes by their numbers, plain and negated. */
export interface ClassRows {
  plain: readonly (number | undefined)[];
  negated: readonly (number | undefined)[];
}

/** The rows that an opinion has for the classes of a lexicon. */
export function rowsOfClasses({ table: { rows } }: Opinion<string>, classNames: readonly string[]): ClassRows {
  const rowsOf = (mark: string): (number | undefined)[] =>
    classNames.map((name) => (isNamed(name) ? rows.get(`${mark}@${name}`) : undefined));
  return { plain: rowsOf(''), negated: rowsOf(NEGATED) };
}

/** How a text is looked at: the rows of its words' classes, which words are left out, and what a feature weighs. */
export interface Sight {
  classesAt?: (position: number, negated: boolean, count: (row: number | undefined) => void) => void;
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
  const { labels, bias, table } = opinion;
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
    const mark = isNegated ? NEGATED : '';
    count(rows.get(mark + word));
    if (position === 0) count(rows.get(FIRST + word));
    if (word.length > STEM) count(rows.get(`${mark}${word.slice(0, STEM)}*`));
    if (before !== undefined) count(rows.get(`${mark}${before} ${word}`));
    before = word;
    classesAt?.(position, isNegated, count);
  });
  if (asks) count(rows.get(ASKS));
  const weight = scale(length, seen.size);
  return new Map(
    labels.map((label, place) => [label, ((bias[place] as number) + (sums[place] as number) * weight) / WEIGHT_UNIT]),
  );
}
