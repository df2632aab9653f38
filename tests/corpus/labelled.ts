import { readFileSync, readdirSync } from 'node:fs';
import { SYMPTOMS } from '../../src/core/model/ids.ts';
import type { CorpusLine } from './score.ts';
import type { Sample } from './fitting.ts';

const here = new URL('./', import.meta.url);
const specified = new URL('../core/understand/complaints/', import.meta.url);
const lines = (name: string, from: URL = here): string[] =>
  readFileSync(new URL(name, from), 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '');
const cells = (line: string): string[] => line.split('|').map((cell) => cell.trim());

const corpusLines = (name: string): CorpusLine[] => lines(name).map((line) => JSON.parse(line) as CorpusLine);
const symptomsOf = ({ facts }: CorpusLine): string[] => (facts['symptoms'] as string[] | undefined) ?? [];
/** Who labelled them as unsure did not say what they are. */
const isPlain = (line: CorpusLine): boolean => !line.mayBeUnsure?.includes('symptoms') && !line.loose?.length;

/** Whole messages of JSON Lines with the symptoms that they tell of. */
const fromCorpus = (set: string, name: string): Sample[] =>
  corpusLines(name)
    .filter(isPlain)
    .map((line) => ({ set, text: line.text, labels: symptomsOf(line) }));

/** Danger wordings: id, tab, text. An intent (opt-out, tamper) is no symptom. */
const fromDangers = (set: string, name: string): (Sample & { id: string })[] =>
  lines(name)
    .filter((line) => !line.startsWith('#'))
    .map((line) => {
      const [label = '', text = ''] = line.split('\t');
      return { set, text, id: label, labels: SYMPTOMS.some((id) => id === label) ? [label] : [] };
    });

/** What is read of each file by strangers, with the set that it belongs to. */
const ofStrangers = (read: (set: string, name: string) => Sample[]): Sample[] =>
  ['strangers', 'weighing'].flatMap((folder) =>
    readdirSync(new URL(`${folder}/`, here))
      .sort()
      .flatMap((name) => read(`${folder}-${/-(\w+)\./.exec(name)?.[1]}`, `${folder}/${name}`)),
  );

/** A line of a text file: `intent/intent`, tab, `symptom, symptom` or `-`, tab, text. */
interface Wording {
  set: string;
  intents: string[];
  symptoms: string[];
  text: string;
}

const namesIn = (folder: string): string[] => readdirSync(new URL(`${folder}/`, here)).sort();

const wordingsOf = (file: string, set: string): Wording[] =>
  lines(file).map((line) => {
    const [intents = '', symptoms = '', text = ''] = line.split('\t');
    return { set, intents: intents.split('/'), symptoms: symptoms === '-' ? [] : symptoms.split(/, */), text };
  });

/** Short wordings, and whole messages; each file of messages is a set of its own. */
const allWordings = (): Wording[] => [
  ...namesIn('wordings').flatMap((name) => wordingsOf(`wordings/${name}`, 'wordings')),
  ...namesIn('messages').flatMap((name) => wordingsOf(`messages/${name}`, name.replace('.txt', ''))),
];

/** The openings of the sets that neither patterns nor words were learnt from when they are weighed: nobody teaches by them. */
export const openingsToWeigh = (): (CorpusLine & { set: string })[] =>
  namesIn('weighing')
    .filter((name) => name.startsWith('openings-'))
    .flatMap((name) =>
      corpusLines(`weighing/${name}`).map((line) => ({ ...line, set: `weighing-${/-(\w+)\./.exec(name)?.[1]}` })),
    );

const AROUND = 'around-';

/** The sets of messages that were written around misread ones of the others. */
export const setsAroundMisread = (): string[] =>
  namesIn('messages')
    .filter((name) => name.startsWith(AROUND))
    .map((name) => name.replace('.txt', ''));

/**
 * The messages that nothing but weights is taught by, those around misread ones left out: of these only the symptoms and
 * the intents are labelled.
 */
export const messagesToWeigh = (): (CorpusLine & { set: string })[] =>
  allWordings()
    .filter(({ set }) => set !== 'wordings' && !set.startsWith(AROUND))
    .map(({ set, text, intents, symptoms }) => ({
      set,
      text,
      facts: symptoms.length > 0 ? { symptoms: [...symptoms].sort() } : {},
      intentAny: intents,
    }));

/** Every text of the tests whose symptoms are labelled, with the set that it belongs to. */
export function labelledTexts(): Sample[] {
  const told: Sample[] = [];
  for (const name of ['ways-1.txt', 'ways-2.txt', 'ways-3.txt']) {
    let label = '';
    for (const line of lines(name, specified)) {
      if (line.startsWith('#')) label = line.slice(1).trim();
      else told.push({ set: 'specified', text: line, labels: [label] });
    }
  }
  for (const name of ['messages-fresh.txt', 'messages-fresh-2.txt', 'messages-fresh-3.txt']) {
    for (const line of lines(name, specified)) {
      const [text = '', ids = '-'] = cells(line);
      told.push({ set: 'specified', text, labels: ids === '-' ? [] : ids.split(/[ ,]+/) });
    }
  }
  for (const line of lines('dangers.txt', specified).filter((one) => !one.startsWith('#'))) {
    const [label = '', text = ''] = cells(line);
    told.push({ set: 'specified', text, labels: [label] });
  }
  return [
    ...told,
    ...fromCorpus('development', 'openings.jsonl'),
    ...fromCorpus('development', 'replies.jsonl'),
    ...fromCorpus('fresh', 'fresh.jsonl'),
    ...ofStrangers((set, name) => (name.includes('/dangers-') ? fromDangers : fromCorpus)(set, name)),
    ...allWordings().map(({ set, text, symptoms }) => ({ set, text, labels: symptoms })),
  ];
}

/** Every opening of the tests with its intents (any of which is right), and danger wordings, which ask for service. */
export function labelledIntents(): Sample[] {
  const openings = (set: string, name: string): Sample[] =>
    corpusLines(name)
      .filter((line) => line.asked === undefined)
      .map((line) => ({ set, text: line.text, labels: intentsOf(line) }))
      .filter(({ labels }) => labels.length > 0);
  const wordings = (set: string, name: string): Sample[] =>
    fromDangers(set, name).map((sample) => ({ ...sample, labels: [sample.labels.length > 0 ? 'service' : sample.id] }));
  return [
    ...openings('development', 'openings.jsonl'),
    ...openings('fresh', 'fresh.jsonl'),
    ...ofStrangers((set, name) => (name.includes('/dangers-') ? wordings : openings)(set, name)),
    ...allWordings().map(({ set, text, intents }) => ({ set, text, labels: intents })),
  ];
}

const intentsOf = ({ facts, intentAny }: CorpusLine): string[] =>
  intentAny ?? (typeof facts['intent'] === 'string' ? [facts['intent']] : []);
