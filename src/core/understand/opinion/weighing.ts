import { z } from 'zod';
import { sound, type Checked, type FlowFile } from '../../model/checked.ts';
import { parseFlowYaml } from '../../model/flow-yaml.ts';
import { WEIGHT_UNIT } from './mod.ts';

/** What speaks for or against something in one message: signs by name, each with its strength (1 where it is just there). */
export type Signs = ReadonlyMap<string, number>;

/** What each sign weighs in log-odds. The sign `always` is there in every message. */
export type SignWeights = ReadonlyMap<string, number>;

/** What the signs of a symptom and of an intent weigh. */
export interface Weighing {
  symptoms: SignWeights;
  intents: SignWeights;
}

/** The sign that is always there. */
export const ALWAYS = 'always';

const Weights = z.record(z.string(), z.int());
const WeighingFile = z.strictObject({ symptoms: Weights, intents: Weights });

const weightsOf = (given: Record<string, number>): SignWeights =>
  new Map(Object.entries(given).map(([sign, hundredths]) => [sign, hundredths / WEIGHT_UNIT]));

/** Reads what signs weigh from flows/language/weighing.yaml; undefined where there is no such file. */
export function compileWeighing(files: readonly FlowFile[]): Checked<Weighing | undefined> {
  const file = files.find(({ path }) => /(^|\/)weighing\.ya?ml$/.test(path));
  if (!file) return sound(undefined);
  const parsed = parseFlowYaml(file, WeighingFile);
  if (!parsed.ok) return parsed;
  const { symptoms, intents } = parsed.value.value;
  return sound({ symptoms: weightsOf(symptoms), intents: weightsOf(intents) });
}

/** How likely it is, from 0 to 1, by its signs. A sign without a weight says nothing. */
export function chanceBy(signs: Signs, weights: SignWeights): number {
  let logOdds = weights.get(ALWAYS) ?? 0;
  for (const [sign, strength] of signs) logOdds += (weights.get(sign) ?? 0) * strength;
  return 1 / (1 + Math.exp(-logOdds));
}

const LEAST = -7;
const MOST = 5;

/** A leaning within the range in which the weighing was fitted: what the words say beyond it says no more. */
export const bounded = (leaning: number): number => Math.min(MOST, Math.max(LEAST, leaning));
