import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { findingLine } from '../../src/core/model/checked.ts';
import { DANGER_SYMPTOMS } from '../../src/core/model/ids.ts';
import { compileComplaints, type ComplaintLexicon } from '../../src/core/understand/complaints/mod.ts';
import { BY_FEATURES, BY_WORDS, WEIGHT_UNIT } from '../../src/core/understand/opinion/mod.ts';
import { featuresIn, fit, wordsIn, type Fitted, type Sample } from './fitting.ts';
import { labelledIntents, labelledTexts } from './labelled.ts';

/**
 * Fits the second opinion, on symptoms and on intents, to every labelled text of the tests and writes it to
 * flows/language.
 *
 * usage: tsx tests/corpus/refit.ts
 */
const FOLDER = 'flows/language';
/** Weights of fewer hundredths are left out, of dangers only very small ones: judged on sets that were not fitted to. */
const LEAST = { symptom: 60, danger: 25, intent: 50 };

const headOf = (
  kind: string,
): string => `# How likely each ${kind} is by the words of a message alone: logistic regressions fitted to labelled messages. Nobody
# edits this by hand; \`npx tsx tests/corpus/refit.ts\` fits it again. A feature is a word, the first five letters of a
# longer one (leaka*), two neighbouring words, or a class of the lexicon (@brakes); # is any number. Weights are hundredths, each with its ${kind}'s place.
`;

/** The file of fitted weights. */
export function fileOf({ labels, bias, weights }: Fitted, kind: 'symptom' | 'intent', least = LEAST): string {
  const hundredths = (value: number): number => Math.round(value * WEIGHT_UNIT);
  const leastOf = labels.map((label) => (DANGER_SYMPTOMS.some((id) => id === label) ? least.danger : least[kind]));
  const lines = [...weights].flatMap(([feature, row]) => {
    const pairs = [...row].flatMap((weight, place) => {
      const whole = hundredths(weight);
      return Math.abs(whole) < (leastOf[place] as number) ? [] : [`${place}:${whole}`];
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

/** The lexicon of flows/language without any fitted weights. */
export function patternsAlone(): ComplaintLexicon {
  const folder = new URL(`../../${FOLDER}/`, import.meta.url);
  const files = readdirSync(folder)
    .filter((name) => !name.startsWith('second-opinion'))
    .map((name) => ({ path: `${FOLDER}/${name}`, text: readFileSync(new URL(name, folder), 'utf8') }));
  const compiled = compileComplaints(files);
  if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
  return compiled.value;
}

/** The file of weights on symptoms that is fitted to these samples. */
export const symptomsFitted = (samples: readonly Sample[], lexicon: ComplaintLexicon): string =>
  fileOf(
    fit(samples, (text) => featuresIn(text, lexicon), { scale: BY_WORDS, penalty: 0.001 }),
    'symptom',
  );

/** The file of weights on intents that is fitted to these samples. */
export const intentsFitted = (samples: readonly Sample[]): string =>
  fileOf(fit(samples, wordsIn, { scale: BY_FEATURES, penalty: 0.005 }), 'intent');

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const [name, text] of [
    ['second-opinion.yaml', symptomsFitted(labelledTexts(), patternsAlone())],
    ['second-opinion-intents.yaml', intentsFitted(labelledIntents())],
  ] as const) {
    writeFileSync(new URL(`../../${FOLDER}/${name}`, import.meta.url), text);
    process.stdout.write(`${FOLDER}/${name}: ${Math.round(text.length / 1024)} KB\n`);
  }
}
