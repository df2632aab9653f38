import { readdirSync, readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { ReadRequest, type ReadResult } from '../../src/core/model/reading.ts';
import { compileLexicon, read, type Lexicon } from '../../src/core/understand/read.ts';
import { judge, type CorpusLine, type Judged } from './score.ts';

/**
 * Reports how the reader does on each fold of the development corpus: openings by whole owners of eight lines, replies
 * by line. The lexicon is made by hand, so a fold was left out only as long as nobody had looked at it. The fresh
 * messages are two folds: 0 the lines that were looked at (odd numbers), 1 those that were not (even numbers).
 *
 * usage: tsx tests/corpus/folds.ts [--only openings|replies|fresh] [--folds 0,1,2,3] [--show] [--values] [--symptoms]
 */
const { values: options } = parseArgs({
  options: {
    only: { type: 'string' },
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

const linesOf = (name: string): CorpusLine[] =>
  readFileSync(new URL(`tests/corpus/${name}.jsonl`, root), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as CorpusLine);

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
  return `${(100 * (middle - half)).toFixed(1)} to ${(100 * (middle + half)).toFixed(1)}`;
}

interface Tally {
  right: number;
  invented: number;
  missed: number;
  /** Of the missed ones those that were asked for. */
  asked: number;
}
const tallies = new Map<string, Tally>();

/** Counts each symptom of a line as read, invented or missed; one that is labelled as unsure is not counted. */
function count(line: CorpusLine, { facts, ask }: ReadResult): void {
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
const wanted = (options.folds ?? '').split(',').map(Number);
for (const name of ['replies', 'openings', 'fresh']) {
  if (options.only && options.only !== name) continue;
  const lines = linesOf(name);
  const totals = { right: 0, wrong: 0, of: 0 };
  for (const fold of wanted) {
    const judged: { line: CorpusLine; verdict: Judged; result: ReadResult; number: number }[] = [];
    lines.forEach((line, index) => {
      if (foldOf(name, index) !== fold) return;
      const result = read(request(line), compiled);
      const keys = options.values ? (key: string): boolean => !COMPLAINT_KEYS.has(key) : undefined;
      count(line, result);
      judged.push({ line, result, verdict: judge(line, result, keys), number: index + 1 });
    });
    if (judged.length === 0) continue;
    const right = judged.filter(({ verdict }) => verdict.right).length;
    const wrong = judged.filter(({ verdict }) => verdict.silentlyWrong).length;
    totals.right += right;
    totals.wrong += wrong;
    totals.of += judged.length;
    const share = (100 * right) / judged.length;
    say(
      `${name} fold ${fold}: ${right} of ${judged.length} wholly right, ${share.toFixed(1)} % ` +
        `(95 %: ${interval(right, judged.length)}), ${wrong} silently wrong, ${((100 * wrong) / judged.length).toFixed(1)} %`,
    );
    if (!options.show) continue;
    for (const { line, verdict, number } of judged.filter((one) => !one.verdict.right)) {
      say(`  ${number} ${line.asked ?? ''} ${JSON.stringify(line.text)}`);
      say(`     wrong: ${verdict.wrong.join('; ') || 'none'} | missed: ${verdict.missed.join('; ') || 'none'}`);
    }
  }
  say(
    `${name}: ${totals.right} of ${totals.of} wholly right, ${((100 * totals.right) / totals.of).toFixed(1)} % ` +
      `(95 %: ${interval(totals.right, totals.of)}), ${totals.wrong} silently wrong, ` +
      `${((100 * totals.wrong) / totals.of).toFixed(1)} %`,
  );
}
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
