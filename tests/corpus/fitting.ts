import type { ComplaintLexicon } from '../../src/core/understand/complaints/mod.ts';
import { sceneOf } from '../../src/core/understand/complaints/scene.ts';
import { classesIn, saidIn } from '../../src/core/understand/complaints/second-opinion.ts';
import { featuresOf } from '../../src/core/understand/opinion/features.ts';
import { regression, type Table } from './regression.ts';
import { lengthScale } from '../../src/core/understand/opinion/mod.ts';
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
  lengthPower: number;
  weights: Map<string, Float64Array>;
}

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

/** A feature seen in fewer texts says nothing. */
const SEEN_IN = 4;

/** What was chosen for one kind of labels, judged on sets that were not fitted to. */
export interface Choice {
  /** What the square of a weight costs. */
  penalty: number;
  /** A text counts by its length in words to this power. */
  lengthPower: number;
}

/**
 * One logistic regression for each label over the features of a text, with an L2 penalty. What is rare among the texts
 * costs less, as in inverse document frequency (Spärck Jones 1972, Journal of Documentation 28:11): such words say more.
 * The same samples always give the same weights.
 */
export function fit(
  samples: readonly Sample[],
  look: (text: string) => Looked,
  { penalty, lengthPower }: Choice,
): Fitted {
  const looked = samples.map(({ text }) => look(text));
  const counts = new Map<string, number>();
  for (const { list } of looked) for (const feature of list) counts.set(feature, (counts.get(feature) ?? 0) + 1);
  const known = [...counts].filter(([, count]) => count >= SEEN_IN).sort(([one], [other]) => (one < other ? -1 : 1));
  const rarity = known.map(([, count]) => 1 + Math.log((1 + samples.length) / (1 + count)));
  const table = tableOf(looked, new Map(known.map(([feature], at) => [feature, at])), rarity, lengthPower);
  const labels = [...new Set(samples.flatMap((sample) => sample.labels))].sort();
  const fitted = labels.map((label) => {
    const holds = Uint8Array.from(samples, (sample) => (sample.labels.includes(label) ? 1 : 0));
    return regression(table, holds, penalty);
  });
  return {
    labels,
    lengthPower,
    bias: fitted.map((weights) => weights[known.length] as number),
    weights: new Map(
      known.map(([feature], at) => [
        feature,
        Float64Array.from(fitted, (weights) => (weights[at] as number) * (rarity[at] as number)),
      ]),
    ),
  };
}

function tableOf(
  looked: readonly Looked[],
  index: ReadonlyMap<string, number>,
  rarity: readonly number[],
  lengthPower: number,
): Table {
  const [columns, values, starts]: [number[], number[], number[]] = [[], [], [0]];
  for (const { list, words } of looked) {
    const scale = lengthScale(words, lengthPower);
    for (const feature of list) {
      const at = index.get(feature);
      if (at === undefined) continue;
      columns.push(at);
      values.push((rarity[at] as number) * scale);
    }
    columns.push(index.size);
    values.push(1);
    starts.push(columns.length);
  }
  return {
    width: index.size + 1,
    starts: Int32Array.from(starts),
    columns: Int32Array.from(columns),
    values: Float64Array.from(values),
  };
}
