import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { diceOf } from '../faults/dice.ts';
import { median, table } from './report.ts';
import { atQuantile, Contestant, Load, type Run } from './whole-load.ts';

/*
 * The whole program: updates of a Bot API on this machine in, replies out, everything durable in between. Beside it the
 * same write-up on the framework's conversations plug-in with its file storage, as it comes and with every write synced.
 * Their loads alternate in one run, so that whatever else the machine does falls on all of them.
 *
 *   npm run bench -- whole             throughput, latency at half of it, a backlog of 5,000
 *   npm run bench -- long              memory and speed over many turns
 */
const WARM_UP = 1_000;
const TURNS = 2_000;
const ROUNDS = 3;
const WAITING = 64;
const BACKLOG = 5_000;
const LATENCY_TURNS = 1_000;
const LOOKS = 10;

interface Side {
  name: string;
  load: Load;
  program: Contestant;
  rates: number[];
}

let bots = 0;

/** Starts one program with a Bot API of its own. */
async function side(name: string, file: string, parameters: string[]): Promise<Side> {
  const load = new Load(`${424_000 + ++bots}:BENCH_abcdefghijklmnopqrstuvwxyz`);
  await load.standIn.listen();
  const program = new Contestant(name, file, [load.standIn.apiRoot, load.standIn.token, ...parameters]);
  return { name, load, program: await program.ready(), rates: [] };
}

const close = async ({ program, load }: Side): Promise<void> => {
  await program.stop();
  await load.standIn.close();
};

const rate = ({ turns, seconds }: Run): number => turns / seconds;

const milliseconds = ({ latencies }: Run): string[] => [
  atQuantile(latencies, 0.5).toFixed(1),
  atQuantile(latencies, 0.99).toFixed(1),
];

/** Turns a second with work always waiting, then latency at half of that. */
async function speed(folder: string, progress: (line: string) => void): Promise<string[]> {
  const sides = [
    await side('telltale', 'whole-telltale.ts', [join(folder, 'speed.sqlite')]),
    await side('plug-in, files', 'whole-plugin.ts', [join(folder, 'files')]),
    await side('plug-in, files synced', 'whole-plugin.ts', [join(folder, 'synced'), 'synced']),
  ];
  try {
    const messages = new Map<string, number>();
    for (let round = 0; round <= ROUNDS; round++) {
      for (const { name, load, rates } of sides) {
        const run = await load.sustained(round === 0 ? WARM_UP : TURNS, WAITING);
        if (round > 0) rates.push(rate(run));
        messages.set(name, run.arrived / run.turns);
        progress(`${name}: ${rate(run).toFixed(0)} a second`);
      }
    }
    const rates = sides.map((one) => median(one.rates));
    const [own = 0] = rates;
    const rows: string[][] = [];
    for (const [index, { name, load }] of sides.entries()) {
      const alone = await load.sustained(500, 1);
      const half = await load.atRate(LATENCY_TURNS, (rates[index] ?? 0) / 2, diceOf(7));
      const same = index === 0 ? half : await load.atRate(LATENCY_TURNS, own / 2, diceOf(7));
      progress(`${name}: latencies measured`);
      rows.push([
        name,
        (rates[index] ?? 0).toFixed(0),
        (own / (rates[index] ?? 1)).toFixed(2),
        (messages.get(name) ?? 0).toFixed(2),
        milliseconds(alone)[0] ?? '',
        ...milliseconds(half),
        ...milliseconds(same),
      ]);
    }
    return [
      `${WAITING} messages always waiting, ${TURNS} turns a round, median of ${ROUNDS} rounds; latency from the update to its first reply`,
      ...table([
        [
          '',
          'turns a second',
          'telltale to it',
          'messages a turn',
          'ms alone',
          'p50 at half',
          'p99 at half',
          `p50 at ${(own / 2).toFixed(0)}/s`,
          `p99 at ${(own / 2).toFixed(0)}/s`,
        ],
        ...rows,
      ]),
    ];
  } finally {
    for (const one of sides) await close(one);
  }
}

/** So many updates at once, with commits shared by up to 64 turns and with one commit a turn. */
async function backlog(folder: string, progress: (line: string) => void): Promise<string[]> {
  const sides = [
    await side('commits shared', 'whole-telltale.ts', [join(folder, 'shared.sqlite'), '64']),
    await side('one by one', 'whole-telltale.ts', [join(folder, 'single.sqlite'), '1']),
  ];
  try {
    for (const { load } of sides) await load.sustained(WARM_UP, WAITING);
    for (let round = 1; round <= ROUNDS; round++) {
      for (const { name, load, rates } of sides) {
        const run = await load.backlog(BACKLOG);
        rates.push(rate(run));
        progress(`${name}: ${run.seconds.toFixed(1)} seconds for ${BACKLOG}`);
      }
    }
    const [shared = 0, single = 1] = sides.map((one) => median(one.rates));
    return [
      `a backlog of ${BACKLOG} updates, until the last reply, median of ${ROUNDS} rounds`,
      ...table([
        ['', 'turns a second', 'seconds'],
        ...sides.map((one) => [one.name, median(one.rates).toFixed(0), (BACKLOG / median(one.rates)).toFixed(1)]),
      ]),
      `sharing a commit is ${(shared / single).toFixed(2)} times as fast as one by one`,
    ];
  } finally {
    for (const one of sides) await close(one);
  }
}

/** Whether memory and speed stay where they are over very many turns. */
export async function manyTurns(turns: number, progress: (line: string) => void): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  const path = join(folder, 'long.sqlite');
  const one = await side('telltale', 'whole-telltale.ts', [path]);
  try {
    const rows: string[][] = [];
    const began = performance.now();
    for (let look = 0; look <= LOOKS; look++) {
      const run = await one.load.sustained(look === 0 ? WARM_UP : turns / LOOKS, WAITING);
      const { resident, heap } = await one.program.memory();
      const done = look === 0 ? WARM_UP : WARM_UP + (turns / LOOKS) * look;
      rows.push([String(done), resident.toFixed(0), heap.toFixed(0), rate(run).toFixed(0), size(path)]);
      progress(`after ${done} turns: ${resident.toFixed(0)} MB, ${rate(run).toFixed(0)} a second`);
    }
    return [
      `${turns} turns of ${turns / 4} owners in ${((performance.now() - began) / 60_000).toFixed(0)} minutes`,
      ...table([['turns', 'resident MB', 'heap MB', 'turns a second', 'database MB'], ...rows]),
    ];
  } finally {
    await close(one);
    rmSync(folder, { recursive: true });
  }
}

const size = (path: string): string => (statSync(path).size / 1_048_576).toFixed(0);

export async function benchWhole(progress: (line: string) => void): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  try {
    return [...(await speed(folder, progress)), '', ...(await backlog(folder, progress))];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const progress = (line: string) => process.stderr.write(`${line}\n`);
  const [word, count] = process.argv.slice(2);
  const lines = word === '--long' ? await manyTurns(Number(count), progress) : await benchWhole(progress);
  for (const line of lines) console.log(line);
}
