import { describe, expect, it } from 'vitest';
import { findingLine } from '../../../src/core/model/checked.ts';
import type { FlowFile } from '../../../src/core/model/checked.ts';
import type { ReadResult } from '../../../src/core/model/reading.ts';
import { compileLexicon, read, type Lexicon } from '../../../src/core/understand/mod.ts';
import { sceneOf } from '../../../src/core/understand/complaints/scene.ts';
import { leaningsOn } from '../../../src/core/understand/complaints/second-opinion.ts';
import { compileOpinion } from '../../../src/core/understand/opinion/compile.ts';
import { lengthScale } from '../../../src/core/understand/opinion/mod.ts';
import { readMessage } from '../../../src/core/understand/text.ts';
import { featuresIn, fit, type Fitted, type Sample } from '../../corpus/fitting.ts';
import { fileOf, LEAST, patternsAlone } from '../../corpus/refit.ts';
import { languageFiles } from './values/lexicon.ts';

const PATH = 'flows/language/second-opinion.yaml';
const patterns = languageFiles().filter(({ path }) => path !== PATH);

function lexiconWith(opinion: string | undefined): Lexicon {
  const compiled = compileLexicon(opinion === undefined ? patterns : [...patterns, { path: PATH, text: opinion }]);
  if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
  return compiled.value;
}

/** Weights made by hand, in hundredths: each case below says what they are for. */
const BY_HAND = `symptoms: [loss-of-power, brake-fault, cranks-no-start, turbo-noise]
bias: [-230, -300, -300, -300]
lengthPower: -0.3
weights: |
  hills\t0:700
  polka\t1:330 3:150
  brakes\t1:600
  turbo\t3:880
  cough\t2:1230
`;

describe('what likelihood makes of a reading', () => {
  const alone = lexiconWith(undefined);
  const weighed = lexiconWith(BY_HAND);
  const rows: [text: string, without: string, weighedAs: string, why: string][] = [
    ['gutless on flats', 'loss-of-power', '', 'one weak pattern that the words make unlikely is taken back'],
    ['gutless on hills', 'loss-of-power', 'loss-of-power', 'the same pattern where the words speak for it stays'],
    [
      'no power on hills, cant pull',
      'loss-of-power',
      'loss-of-power',
      'where two patterns agree nothing is taken back',
    ],
    ['my brakes, polka', '', 'brake-fault', 'what was only hinted at and is likely is told'],
    ['the turbo does a polka', '', 'turbo-noise', 'a part that is named and likely is taken for told'],
    ['the cough is weird', '', 'cranks-no-start', 'what no pattern found is told where the words make it very likely'],
    ['the polka is weird', '', '', 'and is not told where they only lean to it'],
    ['what if the turbo does a polka some day', '', '', 'what only might happen is not told'],
    ['no brake trouble, polka', '', '', 'what is denied is not told'],
  ];

  it.each(rows)('%j is "%s" by patterns and "%s" when weighed: %s', (text, without, weighedAs) => {
    const told = (lexicon: Lexicon): string => (read({ text }, lexicon).facts.symptoms ?? []).join(' ');
    expect([told(alone), told(weighed)]).toEqual([without, weighedAs]);
  });

  it('asks for a danger that it takes back', () => {
    const text = 'smoke under there i think';
    const against = lexiconWith(
      'symptoms: [fire-or-smoke]\nbias: [-900]\nlengthPower: -0.3\nweights: |\n  smoke\t0:-100\n',
    );
    const open = ({ facts, ask }: ReadResult): string[] => [...(facts.symptoms ?? []), ...(ask ?? [])];
    expect(open(read({ text }, alone))).toContain('fire-or-smoke');
    expect(open(read({ text }, against))).toContain('fire-or-smoke');
  });

  it('says nothing of an answer to another question', () => {
    expect(read({ text: 'turbo polka', asked: 'odometerMiles' }, weighed).facts.symptoms).toBeUndefined();
  });
});

describe('what likelihood makes of an intent', () => {
  const PATHS = ['flows/language/second-opinion-intents.yaml', 'flows/language/weighing.yaml'] as const;
  const without = languageFiles().filter(({ path }) => !PATHS.some((other) => other === path));
  /** Weights made by hand, in hundredths: "fife" speaks for a booking, "lute" against a price, "harp" for an opt-out. */
  const weights =
    'intents: [book, opt-out, price, service]\nbias: [-300, -300, -300, 0]\nlengthPower: -0.3\nweights: |\n  fife\t0:700 3:-700\n  lute\t2:-520\n  harp\t1:50 3:-700\n';
  /** Signs weighed by hand: how the words lean counts, what was read a little, and a complaint speaks for service. */
  const weighing = `symptoms: {}
intents:
  always: -100
  read: 200
  complaint and service: 300
  book leaning: 100
  opt-out leaning: 100
  price leaning: 100
  service leaning: 100
`;
  const compiledWith = (files: FlowFile[]): Lexicon => {
    const compiled = compileLexicon(files);
    if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
    return compiled.value;
  };
  const alone = compiledWith(without);
  const weighed = compiledWith([...without, { path: PATHS[0], text: weights }, { path: PATHS[1], text: weighing }]);

  it.each<[text: string, read: string | undefined, weighedAs: string | undefined, why: string]>([
    ['fuel filters fife', 'service', 'book', 'what is all but impossible gives way to what is likely'],
    ['pay lute', 'price', undefined, 'and is left out where nothing is likely'],
    ['oil leak harp', 'service', 'service', 'who complains wants service unless another wish is likely'],
    ['fife fife', undefined, 'book', 'what no pattern read and is likely is taken'],
    ['quote lute', 'price', undefined, 'the same for another word'],
    ['unsubscribe', 'opt-out', 'opt-out', 'a message that is known as a whole stands'],
  ])('%j is %s by patterns and %s when weighed: %s', (text, expected, weighedAs) => {
    const intent = (lexicon: Lexicon) => read({ text }, lexicon).facts.intent;
    expect([intent(alone), intent(weighed)]).toEqual([expected, weighedAs]);
  });

  it('is not weighed in an answer', () => {
    expect(read({ text: 'quote lute', asked: 'engine' }, weighed).facts.intent).toBe(
      read({ text: 'quote lute', asked: 'engine' }, alone).facts.intent,
    );
  });
});

describe('the file of fitted weights', () => {
  const finding = (text: string): string | undefined => {
    const compiled = compileOpinion([{ path: PATH, text }]);
    return compiled.ok ? undefined : compiled.findings.map(findingLine)[0];
  };

  it.each<[text: string, why: string, expected: RegExp]>([
    [
      'symptoms: [bang]\nbias: [1]\nlengthPower: -0.3\nweights: ""\n',
      'a symptom that does not exist',
      /second-opinion\.yaml:1: symptoms\.0/,
    ],
    [
      'symptoms: [knock]\nbias: [1, 2]\nlengthPower: -0.3\nweights: ""\n',
      'more numbers than symptoms',
      /second-opinion\.yaml:2: bias/,
    ],
    [
      'symptoms: [knock]\nbias: [1]\nlengthPower: -0.3\nweights: |\n  rod\t1:5\n',
      'a place without a symptom',
      /second-opinion\.yaml:4: weights/,
    ],
    [
      'symptoms: [knock]\nbias: [1]\nlengthPower: -0.3\nweights: |\n  rod\t0:x\n',
      'a weight that is no number',
      /"rod\t0:x" is no feature/,
    ],
  ])('%j is refused with its line: %s', (text, _why, expected) => {
    expect(finding(text)).toMatch(expected);
  });

  const SAID = ['oil drips', 'oil leak', 'leaks oil', 'rod knock', 'knocks loud', 'loud knock', 'hello'];
  const sampleOf = (text: string): Sample => ({
    set: 'a',
    text,
    labels: text === 'hello' ? [] : [text.includes('knock') ? 'knock' : 'oil-leak'],
  });

  const words = patternsAlone();
  const LENGTH_POWER = -0.3;

  it('is the same for the same samples, and leans as it was fitted', () => {
    const samples = SAID.flatMap((text) => Array.from({ length: 4 }, () => sampleOf(text)));
    const refit = (): Fitted =>
      fit(samples, (text) => featuresIn(text, words), { penalty: 3, lengthPower: LENGTH_POWER });
    const fitted = refit();
    expect(fileOf(refit(), 'symptom')).toBe(fileOf(fitted, 'symptom'));
    const read = lexiconWith(fileOf(fitted, 'symptom')).complaints;
    const leanings = (text: string): Map<string, number> =>
      leaningsOn(sceneOf(readMessage(text), read), read, () => false)?.symptoms ?? new Map();
    for (const text of ['the oil leak', 'a loud knock']) {
      const { list, words: length } = featuresIn(text, words);
      fitted.labels.forEach((label, place) => {
        const kept = (weight: number): number => (Math.abs(Math.round(weight * 100)) < LEAST.symptom ? 0 : weight);
        const sum = list.reduce((total, feature) => total + kept(fitted.weights.get(feature)?.[place] ?? 0), 0);
        const leaning = (fitted.bias[place] as number) + sum * lengthScale(length, LENGTH_POWER);
        expect(leanings(text).get(label)).toBeCloseTo(leaning, 1);
      });
    }
    expect(leanings('a loud knock').get('knock')).toBeGreaterThan(0);
    expect(leanings('a loud knock').get('oil-leak')).toBeLessThan(0);
  });
});
