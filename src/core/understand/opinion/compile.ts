import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../../model/flow-yaml.ts';
import { INTENTS, SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import { isNamed, NEGATED } from './features.ts';
import { WEIGHT_UNIT, type ClassRows, type Opinion } from './mod.ts';
import { tableOf } from './table.ts';
import type { SignWeights, Weighing } from './weighing.ts';

const FITTED = {
  /** One for each label, in the same order. */
  bias: z.array(z.int()),
  /** A text counts by its length in words to this power. */
  lengthPower: z.number().min(-1).max(0),
  /** A line for each feature: the feature, a tab, and `place:weight` for each label that it speaks for or against. */
  weights: z.string(),
};
const SymptomFile = z.strictObject({ symptoms: z.array(z.enum(SYMPTOMS)).min(1), ...FITTED });
const IntentFile = z.strictObject({ intents: z.array(z.enum(INTENTS)).min(1), ...FITTED });

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
  located: LocatedYaml<{ bias: number[]; lengthPower: number; weights: string }>,
  lines = located.value.weights.split('\n'),
): Checked<Opinion<Label>> {
  const { bias, lengthPower } = located.value;
  if (bias.length !== labels.length) {
    return unsound([located.finding(['bias'], `bias: expected ${labels.length} numbers, one for each label`)]);
  }
  const table = tableOf(lines, labels.length);
  if (!('wrong' in table)) return sound({ labels, bias, lengthPower, table });
  return unsound([located.finding(['weights'], `weights: "${table.wrong}" is no feature with its weights`)]);
}

/** The rows that an opinion has for the classes of a lexicon. */
export function rowsOfClasses({ table: { rows } }: Opinion<string>, classNames: readonly string[]): ClassRows {
  const rowsOf = (mark: string): (number | undefined)[] =>
    classNames.map((name) => (isNamed(name) ? rows.get(`${mark}@${name}`) : undefined));
  return { plain: rowsOf(''), negated: rowsOf(NEGATED) };
}

const Weights = z.record(z.string(), z.int());
const WeighingFile = z.strictObject({ symptoms: Weights, intents: Weights });

const weightsOf = (given: Record<string, number>): SignWeights =>
  new Map(Object.entries(given).map(([sign, hundredths]) => [sign, hundredths / WEIGHT_UNIT]));

/** Reads what signs weigh from flows/language/weighing.yaml; undefined where there is no such file. */
export function compileWeighing(files: readonly FlowFile[]): Checked<Weighing | undefined> {
  const file = fileNamed(files, /(^|\/)weighing\.ya?ml$/);
  if (!file) return sound(undefined);
  const parsed = parseFlowYaml(file, WeighingFile);
  if (!parsed.ok) return parsed;
  const { symptoms, intents } = parsed.value.value;
  return sound({ symptoms: weightsOf(symptoms), intents: weightsOf(intents) });
}
