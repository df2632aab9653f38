import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { findingLine, type FlowFile } from '../../src/core/model/checked.ts';
import { compileComplaints, type ComplaintLexicon } from '../../src/core/understand/complaints/mod.ts';
import { WEIGHT_UNIT } from '../../src/core/understand/opinion/mod.ts';
import { compileLexicon, read, type Lexicon } from '../../src/core/understand/mod.ts';
import { featuresIn, fit, type Fitted, type Sample } from './fitting.ts';
import { labelledIntents, labelledTexts, messagesToWeigh, openingsToWeigh, setsAroundMisread } from './labelled.ts';
import { judge, type CorpusLine } from './score.ts';
import { intentCases, symptomCases, weightsOf, type Case } from './weigh.ts';

/**
 * Fits the second opinion, on symptoms and on intents, to every labelled text of the tests, and what signs weigh to the
 * openings of tests/corpus/weighing, and writes them to flows/language.
 *
 * usage: tsx tests/corpus/refit.ts
 */
const FOLDER = 'flows/language';
/** Weights of fewer hundredths are left out: judged on sets that were not fitted to. */
export const LEAST = { symptom: 20, intent: 10 };
/** Long messages tell of more trouble, but wish for no more than short ones do. */
const CHOICES = { symptom: { penalty: 0.5, lengthPower: -0.1 }, intent: { penalty: 3, lengthPower: -0.3 } };

const headOf = (
  kind: string,
): string => `# How likely each ${kind} is by the words of a message alone: logistic regressions fitted to labelled messages. Nobody
# edits this by hand; \`npx tsx tests/corpus/refit.ts\` fits it again. A feature is a word, the first five letters of a
# longer one (leaka*), two neighbouring words, or a class of the lexicon (@brakes); # is any number. Weights are hundredths, each with its ${kind}'s place.
`;

/** The file of fitted weights. */
export function fileOf({ labels, bias, lengthPower, weights }: Fitted, kind: 'symptom' | 'intent'): string {
  const hundredths = (value: number): number => Math.round(value * WEIGHT_UNIT);
  const lines = [...weights].flatMap(([feature, row]) => {
    const pairs = [...row].flatMap((weight, place) => {
      const whole = hundredths(weight);
      return Math.abs(whole) < LEAST[kind] ? [] : [`${place}:${whole}`];
    });
    return pairs.length === 0 ? [] : [`  ${feature}\t${pairs.join(' ')}`];
  });
  return [
    `${headOf(kind)}${kind}s: [${labels.join(', ')}]`,
    `bias: [${bias.map(hundredths).join(', ')}]`,
    `lengthPower: ${lengthPower}`,
    'weights: |',
    ...lines,
    '',
  ].join('\n');
}

const isFitted = ({ path }: FlowFile): boolean => /(second-opinion[^/]*|weighing)\.yaml$/.test(path);

/** The files of flows/language, without any fitted weights. */
export function unfittedFiles(): FlowFile[] {
  const folder = new URL(`../../${FOLDER}/`, import.meta.url);
  return readdirSync(folder)
    .map((name) => ({ path: `${FOLDER}/${name}`, text: readFileSync(new URL(name, folder), 'utf8') }))
    .filter((file) => !isFitted(file));
}

/** The lexicon of flows/language without any fitted weights. */
export function patternsAlone(): ComplaintLexicon {
  const compiled = compileComplaints(unfittedFiles());
  if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
  return compiled.value;
}

/** The file of weights on symptoms that is fitted to these samples. */
export const symptomsFitted = (samples: readonly Sample[], lexicon: ComplaintLexicon): string =>
  fileOf(
    fit(samples, (text) => featuresIn(text, lexicon), CHOICES.symptom),
    'symptom',
  );

/** The file of weights on intents that is fitted to these samples. */
export const intentsFitted = (samples: readonly Sample[], lexicon: ComplaintLexicon): string =>
  fileOf(
    fit(samples, (text) => featuresIn(text, lexicon), CHOICES.intent),
    'intent',
  );

/** The two files of fitted weights, with these sets left out. */
export function opinionsWithout(sets: ReadonlySet<string>, lexicon: ComplaintLexicon): FlowFile[] {
  const kept = (samples: readonly Sample[]): Sample[] => samples.filter(({ set }) => !sets.has(set));
  return [
    { path: `${FOLDER}/second-opinion.yaml`, text: symptomsFitted(kept(labelledTexts()), lexicon) },
    { path: `${FOLDER}/second-opinion-intents.yaml`, text: intentsFitted(kept(labelledIntents()), lexicon) },
  ];
}

const WEIGHING_HEAD = `# What each sign weighs, in hundredths of log-odds: how firmly a pattern tells of a symptom or a wish, how the words lean to
# it, what else the message tells. Nobody edits this by hand; \`npx tsx tests/corpus/refit.ts\` fits it again, to openings
# of tests/corpus/weighing, each set judged by words fitted to all the others. No pattern is ever taught by these sets.
`;

const listed = (weights: ReadonlyMap<string, number>): string[] =>
  [...weights].map(([sign, weight]) => `  ${sign}: ${Math.round(weight * WEIGHT_UNIT)}`);

/** The file of what signs weigh. */
export const weighingFile = (
  symptoms: ReadonlyMap<string, number>,
  intents: ReadonlyMap<string, number>,
): FlowFile => ({
  path: `${FOLDER}/weighing.yaml`,
  text: [WEIGHING_HEAD.trimEnd(), 'symptoms:', ...listed(symptoms), 'intents:', ...listed(intents), ''].join('\n'),
});

const compiledWith = (fitted: readonly FlowFile[]): Lexicon => {
  const compiled = compileLexicon([...unfittedFiles(), ...fitted]);
  if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
  return compiled.value;
};

/** Some weighing sets, with the lexicon whose weights on words know nothing of them. */
interface Fold {
  sets: string[];
  lines: (CorpusLine & { set: string })[];
  opinions: FlowFile[];
  lexicon: Lexicon;
}

/** What the square of a sign's weight costs for symptoms, judged on sets that were not fitted to. */
const SYMPTOM_PENALTY = 5;

/** So many times are the words fitted without some of the openings, and without some of the messages. */
const FOLDS = { openings: 7, messages: 4 };

/** Signs that weigh nothing, so that evidence is gathered. */
const NOTHING_WEIGHED: FlowFile = { path: `${FOLDER}/weighing.yaml`, text: 'symptoms: {}\nintents: {}\n' };

function foldsOf(
  lines: readonly (CorpusLine & { set: string })[],
  count: number,
  patterns: ComplaintLexicon,
  alsoWithout: readonly string[] = [],
): Fold[] {
  const all = [...new Set(lines.map(({ set }) => set))];
  return Array.from({ length: count }, (_, fold) => {
    const sets = all.filter((__, at) => at % count === fold);
    process.stderr.write(`  words without ${sets.join(', ')}\n`);
    const opinions = opinionsWithout(new Set([...sets, ...alsoWithout]), patterns);
    const own = lines.filter(({ set }) => sets.includes(set));
    return { sets, lines: own, opinions, lexicon: compiledWith([...opinions, NOTHING_WEIGHED]) };
  });
}

const casesOf = (folds: readonly Fold[], cases: typeof symptomCases): Case[][] =>
  folds.map(({ lines, lexicon }) => lines.flatMap((line) => cases(line, lexicon)));

/**
 * The cases of symptoms in whole messages. Each is judged by words that were fitted without its file, and without the
 * messages that were written around misread ones: those say the same in other words.
 */
function messageCases(patterns: ComplaintLexicon): Case[] {
  return casesOf(foldsOf(messagesToWeigh(), FOLDS.messages, patterns, setsAroundMisread()), symptomCases).flat();
}

/** Fits everything, and reports how each weighing set is read by what was fitted to the others alone. */
function refit(): FlowFile[] {
  const patterns = patternsAlone();
  const folds = foldsOf(openingsToWeigh(), FOLDS.openings, patterns);
  const symptoms = casesOf(folds, symptomCases);
  const intents = casesOf(folds, intentCases);
  const inMessages = messageCases(patterns);
  const fittedWithout = (left?: number): FlowFile => {
    const kept = (cases: Case[][]): Case[] => cases.flatMap((own, fold) => (fold === left ? [] : own));
    const ofSymptoms = [...kept(symptoms), ...inMessages];
    return weighingFile(weightsOf(ofSymptoms, { penalty: SYMPTOM_PENALTY }), weightsOf(kept(intents)));
  };
  let [right, wrong, count] = [0, 0, 0];
  folds.forEach(({ sets, lines, opinions }, fold) => {
    const lexicon = compiledWith([...opinions, fittedWithout(fold)]);
    for (const set of sets) {
      const judged = lines
        .filter((line) => line.set === set)
        .map((line) => judge(line, read({ text: line.text }, lexicon)));
      const own = [judged.filter((one) => one.right).length, judged.filter((one) => one.silentlyWrong).length] as const;
      [right, wrong, count] = [right + own[0], wrong + own[1], count + judged.length];
      process.stdout.write(`${set} left out: ${own[0]} of ${judged.length} wholly right, ${own[1]} silently wrong\n`);
    }
  });
  process.stdout.write(`all, each left out: ${right} of ${count} wholly right, ${wrong} silently wrong\n`);
  return [...opinionsWithout(new Set(), patterns), fittedWithout()];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const { path, text } of refit()) {
    writeFileSync(new URL(`../../${path}`, import.meta.url), text);
    process.stdout.write(`${path}: ${Math.round(text.length / 1024)} KB\n`);
  }
}
