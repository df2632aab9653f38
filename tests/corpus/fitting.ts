import type { ComplaintLexicon } from '../../src/core/understand/complaints/mod.ts';
import { sceneOf } from '../../src/core/understand/complaints/scene.ts';
import { classesIn, saidIn } from '../../src/core/understand/complaints/second-opinion.ts';
import { featuresOf } from '../../src/core/understand/opinion/features.ts';
import type { Scale } from '../../src/core/understand/opinion/mod.ts';
import { readMessage } from '../../src/core/understand/text.ts';

/** One labelled text: what it tells of, and the set that it belongs to. */
export interface Sample {
  set: string;
  text: string;
  labels: readonly string[];
}

/** Fitted weights: for each feature the labels that it speaks for or against. */
export interface Fitted {
  labels: string[];
  bias: number[];
  weights: Map<string, Float64Array>;
}

/** A feature seen in fewer texts says nothing. */
const SEEN_IN = 2;

/** A text as it is looked at: its features and its length in words. */
export interface Looked {
  list: string[];
  words: number;
}

/** The features of a text: words, and the classes that the lexicon has for them. */
export function featuresIn(text: string, lexicon: ComplaintLexicon): Looked {
  const scene = sceneOf(readMessage(text), lexicon);
  return { list: featuresOf(saidIn(scene, lexicon), classesIn(scene, lexicon)), words: scene.words.length };
}

/**
 * One logistic regression for each label over the features of a text, weighed by its length (`scale`). Fitted by stochastic gradient descent with AdaGrad steps and an L2 penalty; the
 * order of the texts is shuffled by a fixed sequence, so the same samples always give the same weights.
 */
export function fit(
  samples: readonly Sample[],
  look: (text: string) => Looked,
  { scale, penalty, rounds = 20, step = 0.3 }: { scale: Scale; penalty: number; rounds?: number; step?: number },
): Fitted {
  const counts = new Map<string, number>();
  const features = samples.map(({ text }) => look(text));
  for (const { list } of features) for (const f of list) counts.set(f, (counts.get(f) ?? 0) + 1);
  const known = [...counts]
    .filter(([, n]) => n >= SEEN_IN)
    .map(([f]) => f)
    .sort();
  const index = new Map(known.map((f, i) => [f, i]));
  const labels = [...new Set(samples.flatMap((s) => s.labels))].sort();
  const size = labels.length;
  const weights = new Float64Array(known.length * size);
  const squares = new Float64Array(known.length * size).fill(0.01);
  const bias = new Float64Array(size).fill(-3);
  const biasSquares = new Float64Array(size).fill(0.01);
  const rows = features.map(({ list }) => list.flatMap((f) => index.get(f) ?? []));
  const targets = samples.map(({ labels: own }) => labels.map((label) => (own.includes(label) ? 1 : 0)));
  const order = samples.map((_, i) => i);
  const random = sequence(20_261_125);
  for (let round = 0; round < rounds; round++) {
    for (let i = order.length - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1));
      [order[i], order[j]] = [order[j] as number, order[i] as number];
    }
    for (const at of order) {
      const row = rows[at] as number[];
      const target = targets[at] as number[];
      const weight = scale((features[at] as Looked).words, row.length);
      for (let label = 0; label < size; label++) {
        let z = bias[label] as number;
        for (const f of row) z += (weights[f * size + label] as number) * weight;
        const wrongBy = 1 / (1 + Math.exp(-z)) - (target[label] as number);
        biasSquares[label] = (biasSquares[label] as number) + wrongBy * wrongBy;
        bias[label] = (bias[label] as number) - (step * wrongBy) / Math.sqrt(biasSquares[label] as number);
        for (const f of row) {
          const k = f * size + label;
          const slope = wrongBy * weight + penalty * (weights[k] as number);
          squares[k] = (squares[k] as number) + slope * slope;
          weights[k] = (weights[k] as number) - (step * slope) / Math.sqrt(squares[k] as number);
        }
      }
    }
  }
  return {
    labels,
    bias: [...bias],
    weights: new Map(known.map((f, i) => [f, weights.slice(i * size, (i + 1) * size)])),
  };
}

/** The fitted log-odds of each label for a list of features. */
export function logOdds({ labels, bias, weights }: Fitted, { list, words }: Looked, scale: Scale): Map<string, number> {
  const rows = list.flatMap((f) => weights.get(f) ?? []);
  const weight = scale(words, rows.length);
  return new Map(
    labels.map((label, i) => [label, rows.reduce((z, row) => z + (row[i] as number) * weight, bias[i] as number)]),
  );
}

/** A fixed sequence of numbers from 0 to 1 (mulberry32). */
function sequence(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  };
}
