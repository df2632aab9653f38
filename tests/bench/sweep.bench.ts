import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import Sqlite from 'better-sqlite3';
import { createClock } from '../../src/edges/clock/clock.ts';
import { createReceive } from '../../src/edges/desk/receive.ts';
import { openStore } from '../../src/edges/store/open.ts';
import { storeDue, storeTrucks } from '../edges/store/sweep-rows.ts';
import { median, table } from './report.ts';

/*
 * What a tick of the clock costs by the number of vehicles that are stored: with nothing due, and with 50 messages due,
 * which it puts into the inbox in one commit. Beside it the same question to the database without its index.
 */
const SIZES = [10_000, 100_000, 1_000_000];
const DUE = 50;
const ROUNDS = 15;
const CHUNK = 100_000;
const silent = { info: () => {}, warn: () => {}, error: () => {} };

export async function benchSweep(progress: (line: string) => void, sizes = SIZES): Promise<string[]> {
  const rows: string[][] = [];
  const first: { empty?: number; due?: number } = {};
  for (const size of sizes) {
    const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
    const path = join(folder, 'many.db');
    const store = await openStore({ kind: 'sqlite', path, optOutKey: 'bench' });
    const file = new Sqlite(path);
    try {
      for (let from = 0; from < size; from += CHUNK) {
        storeTrucks(file, from, Math.min(CHUNK, size - from), '2027-01-01 00:00');
        progress(`sweep: ${Math.min(size, from + CHUNK)} of ${size} vehicles stored`);
      }
      let now = '2026-06-01T12:00:00.000Z';
      const { time: receiveTimes } = createReceive({ store, clock: () => now, zone: 'America/Denver' });
      const clock = createClock({ store, receiveTimes, clock: () => now, log: silent });
      const empty: number[] = [];
      const withDue: number[] = [];
      for (let round = 0; round < ROUNDS; round++) {
        now = new Date(Date.parse(now) + 60_000).toISOString();
        empty.push(await timed(async () => expectCount(await clock.tick(), 0)));
        storeDue(file, DUE, now, String(round));
        withDue.push(await timed(async () => expectCount(await clock.tick(), DUE)));
        // A turn would have put them off or sent them.
        file.exec("update follow_ups set state = 'sent' where state = 'waiting' and due_at < '2026-12-31'");
      }
      const scan = file.prepare("select id from follow_ups not indexed where state = 'waiting' and due_at <= ?");
      const whole = await timed(() => void scan.all(now));
      const took = { empty: median(empty), due: median(withDue) };
      first.empty ??= took.empty;
      first.due ??= took.due;
      rows.push([
        size.toLocaleString('en-US'),
        took.empty.toFixed(2),
        (took.empty / first.empty).toFixed(2),
        took.due.toFixed(2),
        (took.due / first.due).toFixed(2),
        whole.toFixed(2),
        (statSync(path).size / 1_048_576).toFixed(0),
      ]);
    } finally {
      file.close();
      await store.close();
      rmSync(folder, { recursive: true });
    }
  }
  return [
    `a tick of the clock by the vehicles that are stored (median of ${ROUNDS}, milliseconds; ratio to the first size)`,
    ...table([['vehicles', 'nothing due', 'ratio', `${DUE} due`, 'ratio', 'without the index', 'MB'], ...rows]),
  ];
}

async function timed(work: () => Promise<void> | void): Promise<number> {
  const began = performance.now();
  await work();
  return performance.now() - began;
}

function expectCount(found: number, wanted: number): void {
  if (found !== wanted) throw new Error(`${found} were found due, not ${wanted}`);
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const line of await benchSweep((line) => process.stderr.write(`${line}\n`))) console.log(line);
}
