import type { Symptom } from '../../model/ids.ts';
import { slipBetween } from './forms.ts';

/** Example messages as weighted word vectors; used to offer, never to assert. */
export interface Likeness {
  weights: ReadonlyMap<string, number>;
  /** For each word the examples that hold it, with the word's share of the example's vector. */
  postings: ReadonlyMap<string, readonly { symptom: Symptom; share: number; example: number }[]>;
  words: readonly string[];
}

/** Builds the vectors: a word weighs the more the fewer symptoms use it (inverse document frequency). */
export function likenessOf(
  examples: readonly { symptom: Symptom; text: string }[],
  skipped: ReadonlySet<string>,
): Likeness {
  const bags = examples.map(({ symptom, text }) => ({ symptom, bag: [...new Set(wordsOf(text, skipped))] }));
  const frequency = new Map<string, number>();
  for (const { bag } of bags) for (const word of bag) frequency.set(word, (frequency.get(word) ?? 0) + 1);
  const weights = new Map<string, number>();
  for (const [word, count] of frequency) weights.set(word, Math.log(1 + bags.length / count));
  const postings = new Map<string, { symptom: Symptom; share: number; example: number }[]>();
  bags.forEach(({ symptom, bag }, example) => {
    const length = Math.hypot(...bag.map((word) => weights.get(word) ?? 0));
    for (const word of bag) {
      const posting = { symptom, share: (weights.get(word) ?? 0) / length, example };
      const list = postings.get(word);
      if (list) list.push(posting);
      else postings.set(word, [posting]);
    }
  });
  return { weights, postings, words: [...frequency.keys()].filter((word) => word.length >= 5) };
}

const wordsOf = (text: string, skipped: ReadonlySet<string>): string[] =>
  text.split(/[^\p{L}\p{N}]+/u).filter((word) => word.length > 2 && !skipped.has(word) && !/\d/.test(word));

const MOST_WORDS = 60;
const LEAST_LIKENESS = 0.2;

/** Up to three symptoms whose examples are most like these words (cosine), the likest first. */
export function mostLike(words: readonly string[], likeness: Likeness): Symptom[] {
  const bag = [...new Set(words)].slice(0, MOST_WORDS).flatMap((word) => known(word, likeness));
  const scores = new Map<number, { symptom: Symptom; score: number }>();
  let length = 0;
  for (const word of bag) {
    const weight = likeness.weights.get(word) ?? 0;
    length += weight * weight;
    for (const { symptom, share, example } of likeness.postings.get(word) ?? []) {
      const entry = scores.get(example) ?? { symptom, score: 0 };
      entry.score += weight * share;
      scores.set(example, entry);
    }
  }
  const best = new Map<Symptom, number>();
  for (const { symptom, score } of scores.values()) {
    const cosine = score / Math.sqrt(length || 1);
    if (cosine >= LEAST_LIKENESS && cosine > (best.get(symptom) ?? 0)) best.set(symptom, cosine);
  }
  return [...best]
    .sort(([one, left], [other, right]) => right - left || (one < other ? -1 : 1))
    .slice(0, 3)
    .map(([symptom]) => symptom);
}

function known(word: string, likeness: Likeness): string[] {
  if (likeness.weights.has(word)) return [word];
  if (word.length < 5) return [];
  const near = likeness.words.find((other) => other[0] === word[0] && slipBetween(word, other) !== undefined);
  return near === undefined ? [] : [near];
}
