import { readdirSync, readFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { findingLine } from '../../src/core/model/checked.ts';
import type { ReadRequest } from '../../src/core/model/reading.ts';
import { compileLexicon, read } from '../../src/core/understand/mod.ts';

/*
 * How fast the reader reads: messages a second on one core over the whole corpus, and the longest texts that anybody
 * could send, with shapes on which a careless pattern would take minutes.
 *
 *   npx tsx tests/bench/read.bench.ts
 */
const ROUNDS = 12;
const LONG = 100_000;
const WANTED_A_SECOND = 3000;
const WANTED_LONG_MS = 50;

const root = new URL('../../', import.meta.url);
const folder = new URL('flows/language/', root);
const files = readdirSync(folder)
  .sort()
  .map((name) => ({ path: `flows/language/${name}`, text: readFileSync(new URL(name, folder), 'utf8') }));

const compiling = performance.now();
const compiled = compileLexicon(files);
if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
const lexicon = compiled.value;
console.log(`lexicon compiled in ${(performance.now() - compiling).toFixed(0)} ms`);

const requests = ['openings', 'replies', 'fresh'].flatMap((name) =>
  readFileSync(new URL(`tests/corpus/${name}.jsonl`, root), 'utf8')
    .trim()
    .split('\n')
    .map((line): ReadRequest => {
      const { text, asked, lastOdometerMiles, lastReadingDate, today } = JSON.parse(line) as ReadRequest;
      return { text, asked, lastOdometerMiles, lastReadingDate, today };
    }),
);

let best = Infinity;
for (let round = 0; round < ROUNDS; round++) {
  const start = performance.now();
  for (const request of requests) read(request, lexicon);
  best = Math.min(best, performance.now() - start);
}
const aSecond = (1000 * requests.length) / best;
console.log(`${aSecond.toFixed(0)} messages a second, ${(aSecond / WANTED_A_SECOND).toFixed(2)} of what is wanted`);

const shapes: Record<string, string> = {
  'one word': 'a',
  'one number': '1',
  'digits read out': '1 ',
  'groups without end': '1,111,',
  'half codes': 'p0',
  'half VINs': '5ZZ8WRBT6F-',
  corrections: '118k no wait 119k ',
  negations: 'no ',
  complaints: 'black smoke and no power, ',
  'empty sentences': '. ',
  emoji: '👍',
  'combining accents': 'e\u0301',
  apostrophes: "'",
  'a whole letter': requests.map(({ text }) => text).join(' '),
};
for (const [name, bit] of Object.entries(shapes)) {
  const text = bit.repeat(Math.ceil(LONG / bit.length)).slice(0, LONG);
  let least = Infinity;
  for (let round = 0; round < 5; round++) {
    const start = performance.now();
    read({ text, today: '2026-08-02' }, lexicon);
    least = Math.min(least, performance.now() - start);
  }
  const share = `${(least / WANTED_LONG_MS).toFixed(2)} of what is allowed`;
  console.log(`${LONG} characters, ${name.padEnd(20)}${least.toFixed(1).padStart(8)} ms, ${share}`);
}
