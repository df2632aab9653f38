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

/** How likely it is, from 0 to 1, by its signs. A sign without a weight says nothing. */
export function chanceBy(signs: Signs, weights: SignWeights): number {
  let logOdds = weights.get(ALWAYS) ?? 0;
  for (const [sign, strength] of signs) logOdds += (weights.get(sign) ?? 0) * strength;
  return 1 / (1 + Math.exp(-logOdds));
}

const LEAST = -14;
const MOST = 12;

/** A leaning within the range in which the weighing was fitted: what the words say beyond it says no more. */
export const bounded = (leaning: number): number => Math.min(MOST, Math.max(LEAST, leaning));
