import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { WEIGHT_UNIT } from '../../src/core/understand/opinion/mod.ts';
import { fit, type Fitted } from './fitting.ts';
import { labelledIntents, labelledTexts } from './labelled.ts';

/**
 * Fits the second opinion, on symptoms and on intents, to every labelled text of the tests and writes it to
 * flows/language.
 *
 * usage: tsx tests/corpus/refit.ts
 */
const FOLDER = 'flows/language';
/** Weights of fewer hundredths are left out: judged on sets that were not fitted to, that cost nothing. */
const LEAST = 50;

const headOf = (
  kind: string,
): string => `# How likely each ${kind} is by the words of a message alone: logistic regressions fitted to labelled messages. Nobody
# edits this by hand; \`npx tsx tests/corpus/refit.ts\` fits it again. A feature is a word, the first five letters of a
# longer one (leaka*), or two neighbouring words; # is any number. Weights are hundredths, each with its ${kind}'s place.
`;

/** The file of fitted weights. */
export function fileOf({ labels, bias, weights }: Fitted, kind: 'symptom' | 'intent' = 'symptom'): string {
  const hundredths = (value: number): number => Math.round(value * WEIGHT_UNIT);
  const lines = [...weights].flatMap(([feature, row]) => {
    const pairs = [...row].flatMap((weight, place) => {
      const whole = hundredths(weight);
      return Math.abs(whole) < LEAST ? [] : [`${place}:${whole}`];
    });
    return pairs.length === 0 ? [] : [`  ${feature}\t${pairs.join(' ')}`];
  });
  return [
    `${headOf(kind)}${kind}s: [${labels.join(', ')}]`,
    `bias: [${bias.map(hundredths).join(', ')}]`,
    'weights: |',
    ...lines,
    '',
  ].join('\n');
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const { file, kind, samples } of [
    { file: `${FOLDER}/second-opinion.yaml`, kind: 'symptom' as const, samples: labelledTexts() },
    { file: `${FOLDER}/second-opinion-intents.yaml`, kind: 'intent' as const, samples: labelledIntents() },
  ]) {
    const text = fileOf(fit(samples), kind);
    writeFileSync(new URL(`../../${file}`, import.meta.url), text);
    process.stdout.write(`${file}: fitted to ${samples.length} texts, ${Math.round(text.length / 1024)} KB\n`);
  }
}
