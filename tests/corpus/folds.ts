import { readdirSync, readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { DANGER_SYMPTOMS } from '../../src/core/model/ids.ts';
import { ReadRequest, type ReadResult } from '../../src/core/model/reading.ts';
import { compileLexicon, read, type Lexicon } from '../../src/core/understand/mod.ts';
import { judge, type CorpusLine, type Judged } from './score.ts';

/**
 * Reports how the reader does on each fold of the development corpus: openings by whole owners of eight lines, replies
 * by line. The lexicon is made by hand, so a fold was left out only as long as nobody had looked at it. The fresh
 * messages are two folds: 0 the lines that were looked at (odd numbers), 1 those that were not (even numbers).
 *
 * Any other set is scored with --file: labelled messages in JSON Lines, or danger wordings in lines of id, tab and text,
 * of which each must be read or asked for (the intents opt-out and tamper among them read).
 *
 * usage: tsx tests/corpus/folds.ts [--only openings|replies|fresh] [--folds 0,1,2,3] [--show] [--values] [--symptoms]
 *        tsx tests/corpus/folds.ts --file SET.jsonl --file SET.txt [--show]
 */
const { values: options } = parseArgs({
  options: {
    only: { type: 'string' },
    file: { type: 'string', multiple: true, default: [] },
    folds: { type: 'string', default: '0,1,2,3,4' },
    show: { type: 'boolean', default: false },
    values: { type: 'boolean', default: false },
    symptoms: { type: 'boolean', default: false },
  },
});

const root = new URL('../../', import.meta.url);
const say = (line: string): boolean => process.stdout.write(`${line}\n`);

function lexicon(): Lexicon {
  const folder = new URL('flows/language/', root);
  const files = readdirSync(folder)
    .sort()
    .map((name) => ({ path: `flows/language/${name}`, text: readFileSync(new URL(name, folder), 'utf8') }));
  const compiled = compileLexicon(files);
  if (compiled.ok) return compiled.value;
  throw new Error(compiled.findings.map((f) => `${f.file}:${f.line}: ${f.message}`).join('\n'));
}

const linesIn = (text: string): CorpusLine[] =>
  text
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as CorpusLine);
const linesOf = (name: string): CorpusLine[] =>
  linesIn(readFileSync(new URL(`tests/corpus/${name}.jsonl`, root), 'utf8'));

/** Fold of a line: whole owners of eight lines for the openings, single lines for the replies; both counted from 1. */
const foldOf = (name: string, index: number): number =>
  name === 'fresh' ? index % 2 : name === 'openings' ? (Math.floor(index / 8) + 5) % 5 : (index + 1) % 5;

const COMPLAINT_KEYS = new Set([
  'symptoms',
  'deniedSymptoms',
  'intent',
  'tows',
  'breatherOriginal',
  'pumpProtected',
  'pumpReplaced',
  'metalFound',
]);

function request(line: CorpusLine): ReadRequest {
  const { text, asked, lastOdometerMiles, lastReadingDate, today } = line;
  return ReadRequest.parse({ text, asked, lastOdometerMiles, lastReadingDate, today });
}

/** Wilson's 95 % interval of a share. */
function interval(hits: number, of: number): string {
  if (of === 0) return '';
  const z = 1.96;
  const p = hits / of;
  const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  return `${(100 * Math.max(0, middle - half)).toFixed(1)} to ${(100 * (middle + half)).toFixed(1)}`;
}

interface Tally {
  right: number;
  invented: number;
  missed: number;
  /** Of the missed ones those that were asked for. */
  asked: number;
}
const tallies = new Map<string, Tally>();

/** The odometer of all lines that were scored; and the questions for a danger that is not there. */
const odometer = { right: 0, asked: 0, missed: 0, wrong: 0, invented: 0 };
const questions = { lines: 0, needless: 0 };

function countOdometer(line: CorpusLine, { facts }: ReadResult): void {
  const want = line.facts['odometerMiles'];
  const got = facts.odometerMiles;
  const flagged = facts.unsure?.includes('odometerMiles') === true;
  const soft = line.mayBeUnsure?.includes('odometerMiles') === true || line.either?.includes('odometerMiles') === true;
  if (want === undefined && got === undefined) return;
  if (got === undefined) odometer[soft ? 'right' : 'missed']++;
  else if (want === undefined && !soft) odometer.invented++;
  else if (flagged) odometer[soft ? 'right' : 'asked']++;
  else odometer[got === want ? 'right' : 'wrong']++;
}

/** Counts each symptom of a line as read, invented or missed; one that is labelled as unsure is not counted. */
function count(line: CorpusLine, { facts, ask }: ReadResult): void {
  const told = (line.facts['symptoms'] as string[] | undefined) ?? [];
  questions.lines++;
  if (ask?.some((id) => DANGER_SYMPTOMS.some((danger) => danger === id) && !told.includes(id))) questions.needless++;
  if (line.mayBeUnsure?.includes('symptoms')) return;
  const want = new Set((line.facts['symptoms'] as string[] | undefined) ?? []);
  const got = new Set<string>(facts.symptoms ?? []);
  for (const id of new Set([...want, ...got])) {
    const tally = tallies.get(id) ?? { right: 0, invented: 0, missed: 0, asked: 0 };
    if (want.has(id) && got.has(id)) tally.right++;
    else if (got.has(id)) tally.invented++;
    else tally.missed++;
    if (want.has(id) && !got.has(id) && ask?.some((asked) => asked === id)) tally.asked++;
    tallies.set(id, tally);
  }
}

const compiled = lexicon();

interface Scored {
  line: CorpusLine;
  verdict: Judged;
  number: number;
}

function score(line: CorpusLine, number: number): Scored {
  const result = read(request(line), compiled);
  const keys = options.values ? (key: string): boolean => !COMPLAINT_KEYS.has(key) : undefined;
  countOdometer(line, result);
  count(line, result);
  return { line, verdict: judge(line, result, keys), number };
}

/** One line on these messages, and their failures where they are to be shown. */
function report(title: string, judged: readonly Scored[], show = options.show): void {
  const right = judged.filter(({ verdict }) => verdict.right).length;
  const wrong = judged.filter(({ verdict }) => verdict.silentlyWrong).length;
  say(
    `${title}: ${right} of ${judged.length} wholly right, ${((100 * right) / judged.length).toFixed(1)} % ` +
      `(95 %: ${interval(right, judged.length)}), ${wrong} silently wrong, ` +
      `${((100 * wrong) / judged.length).toFixed(1)} % (95 %: ${interval(wrong, judged.length)})`,
  );
  if (!show) return;
  for (const { line, verdict, number } of judged.filter((one) => !one.verdict.right)) {
    say(`  ${number} ${line.asked ?? ''} ${JSON.stringify(line.text)}`);
    say(`     wrong: ${verdict.wrong.join('; ') || 'none'} | missed: ${verdict.missed.join('; ') || 'none'}`);
  }
}

/** Danger wordings: how many are read, how many are asked for, and which are neither. */
function reportDangers(title: string, text: string): void {
  const rows = text.split('\n').filter((line) => line.trim() !== '' && !line.startsWith('#'));
  const missed: string[] = [];
  let told = 0;
  let asked = 0;
  for (const row of rows) {
    const [id = '', said = ''] = row.split('\t');
    const { facts, ask } = read({ text: said }, compiled);
    if (facts.intent === id || facts.symptoms?.some((symptom) => symptom === id)) told++;
    else if (ask?.some((symptom) => symptom === id)) asked++;
    else
      missed.push(
        `  ${id} ${JSON.stringify(said)} (${[facts.intent, ...(facts.symptoms ?? [])].join(', ')} ? ${ask?.join(', ')})`,
      );
  }
  const caught = told + asked;
  say(
    `${title}: ${caught} of ${rows.length} dangers caught, ${((100 * caught) / rows.length).toFixed(1)} % ` +
      `(95 %: ${interval(caught, rows.length)}), ${told} read, ${asked} asked for`,
  );
  if (options.show) for (const line of missed) say(line);
}

for (const path of options.file) {
  const text = readFileSync(path, 'utf8');
  if (path.endsWith('.txt')) reportDangers(path, text);
  else
    report(
      path,
      linesIn(text).map((line, index) => score(line, index + 1)),
    );
}

const wanted = (options.folds ?? '').split(',').map(Number);
for (const name of options.file.length > 0 ? [] : ['replies', 'openings', 'fresh']) {
  if (options.only && options.only !== name) continue;
  const all: Scored[] = [];
  for (const fold of wanted) {
    const judged = linesOf(name).flatMap((line, index) =>
      foldOf(name, index) === fold ? [score(line, index + 1)] : [],
    );
    if (judged.length > 0) report(`${name} fold ${fold}`, judged);
    all.push(...judged);
  }
  report(name, all, false);
}

/** Dangers and the odometer, where a miss costs most, over all lines that were scored. */
function reportApart(): void {
  const dangers = { right: 0, invented: 0, missed: 0, asked: 0 };
  for (const id of DANGER_SYMPTOMS) {
    const tally = tallies.get(id);
    if (tally) for (const key of ['right', 'invented', 'missed', 'asked'] as const) dangers[key] += tally[key];
  }
  const labelled = dangers.right + dangers.missed;
  if (labelled > 0) {
    say(
      `dangers: ${dangers.right} of ${labelled} read, ${dangers.asked} asked for, ` +
        `${dangers.missed - dangers.asked} neither, ${dangers.invented} invented; ` +
        `a danger asked for that is not there in ${questions.needless} of ${questions.lines} messages ` +
        `(95 %: ${interval(questions.needless, questions.lines)})`,
    );
  }
  const read = odometer.right + odometer.asked + odometer.missed + odometer.wrong;
  if (read + odometer.invented > 0) {
    say(
      `odometer: ${odometer.right} of ${read} right (95 %: ${interval(odometer.right, read)}), ${odometer.asked} needlessly ` +
        `asked, ${odometer.missed} missed, ${odometer.wrong} wrong, ${odometer.invented} invented`,
    );
  }
}
reportApart();
if (options.symptoms) {
  say('symptom | precision | recall | read | invented | missed (of these asked for)');
  for (const [id, { right, invented, missed, asked }] of [...tallies].sort(([one], [other]) =>
    one < other ? -1 : 1,
  )) {
    const share = (of: number): string => (of === 0 ? '-' : (right / of).toFixed(3));
    say(
      `${id} | ${share(right + invented)} | ${share(right + missed)} | ${right} | ${invented} | ${missed} (${asked})`,
    );
  }
}
