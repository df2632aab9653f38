import { featuresOf } from '../../src/core/understand/opinion/features.ts';
import { SCALE } from '../../src/core/understand/opinion/mod.ts';
import { tokenise } from '../../src/core/understand/text.ts';

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

/**
 * One logistic regression for each label over the features of a text, each text's features weighing alike in sum
 * (`SCALE`/√n). Fitted by stochastic gradient descent with AdaGrad steps and an L2 penalty; the
 * order of the texts is shuffled by a fixed sequence, so the same samples always give the same weights.
 */
export function fit(samples: readonly Sample[], { rounds = 20, penalty = 0.005, step = 0.3 } = {}): Fitted {
  const counts = new Map<string, number>();
  const features = samples.map(({ text }) => featuresOf(tokenise(text)));
  for (const list of features) for (const f of list) counts.set(f, (counts.get(f) ?? 0) + 1);
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
  const rows = features.map((list) => list.flatMap((f) => index.get(f) ?? []));
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
      const scale = SCALE / Math.sqrt(Math.max(1, row.length));
      for (let label = 0; label < size; label++) {
        let z = bias[label] as number;
        for (const f of row) z += (weights[f * size + label] as number) * scale;
        const wrongBy = 1 / (1 + Math.exp(-z)) - (target[label] as number);
        biasSquares[label] = (biasSquares[label] as number) + wrongBy * wrongBy;
        bias[label] = (bias[label] as number) - (step * wrongBy) / Math.sqrt(biasSquares[label] as number);
        for (const f of row) {
          const k = f * size + label;
          const slope = wrongBy * scale + penalty * (weights[k] as number);
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

/** The fitted probability of each label for a list of features. */
export function probabilities({ labels, bias, weights }: Fitted, list: readonly string[]): Map<string, number> {
  const rows = list.flatMap((f) => weights.get(f) ?? []);
  const scale = SCALE / Math.sqrt(Math.max(1, rows.length));
  return new Map(
    labels.map((label, i) => {
      let z = bias[i] as number;
      for (const row of rows) z += (row[i] as number) * scale;
      return [label, 1 / (1 + Math.exp(-z))];
    }),
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
