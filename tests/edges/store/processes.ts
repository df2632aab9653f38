import { spawn } from 'node:child_process';
import { join, resolve } from 'node:path';
import { expect } from 'vitest';
import type { Slot } from '../../../src/core/mod.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { clash, heldIn } from './diary-steps.ts';

const TSX = resolve(import.meta.dirname, '../../../node_modules/tsx/dist/cli.mjs');
const PROCESS = join(import.meta.dirname, 'booking-process.ts');
const OPENING_PROCESS = join(import.meta.dirname, 'opening-process.ts');
const DIARY_PROCESS = join(import.meta.dirname, 'diary-process.ts');

/** Runs one program several times at once, with arguments of its own each; answers what each printed. */
async function runTogether(program: string, runs: string[][]): Promise<string[]> {
  const children = runs.map((parameters) => {
    const child = spawn(process.execPath, [TSX, program, ...parameters], { stdio: ['pipe', 'pipe', 'inherit'] });
    let output = '';
    child.stdout.on('data', (data: Buffer) => (output += data.toString()));
    const done = new Promise<string>((resolve, reject) => {
      child.on('error', reject);
      child.on('exit', (code) =>
        code === 0 ? resolve(output) : reject(new Error(`${parameters.join(' ')} ended with ${code}`)),
      );
    });
    return { child, done };
  });
  for (const { child } of children) child.stdin.write('go\n');
  const printed = await Promise.all(children.map(({ done }) => done));
  for (const { child } of children) child.stdin.end();
  return printed;
}

/** Runs processes side by side on one database; answers how many turns each ran. */
export async function runProcesses(
  place: string,
  names: string[],
  { owners, messages }: { owners: number; messages: number },
): Promise<number[]> {
  const printed = await runTogether(
    PROCESS,
    names.map((name) => [place, name, String(owners), String(messages)]),
  );
  return printed.map(Number);
}

/** Several processes make the same new databases in a folder at the same moments; answers how many each opened. */
export async function openTogether(folder: string, processes: number, files: number): Promise<number[]> {
  const runs = Array.from({ length: processes }, () => [folder, String(files)]);
  return (await runTogether(OPENING_PROCESS, runs)).map(Number);
}

/** What one process on a shared diary holds in the end, by its own account. */
export interface Told {
  held: [holder: string, slot: Slot][];
  counts: { saved: number; taken: number };
}

/** Several processes take random steps in one diary at once, each with owners of its own. */
export async function runOnOneDiary(place: string, prefixes: string[], steps: number): Promise<Told[]> {
  const printed = await runTogether(
    DIARY_PROCESS,
    prefixes.map((prefix, index) => [place, prefix, String(index + 1), String(steps)]),
  );
  return printed.map((text) => JSON.parse(text) as Told);
}

/** The diary is what the processes say they hold, and no quarter hour of a bay or person is held twice. */
export async function expectOneHolder(store: Store, told: Told[]): Promise<void> {
  const held = await heldIn(store);
  const claimed = new Map(told.flatMap(({ held: own }) => own));
  expect([...held.keys()].sort()).toEqual([...claimed.keys()].sort());
  expect(held).toEqual(claimed);
  const all = [...held];
  for (const [index, [holder, slot]] of all.entries()) {
    for (const [other, taken] of all.slice(index + 1)) expect(clash(slot, taken), `${holder} and ${other}`).toBe(false);
  }
  expect(told.every(({ counts }) => counts.saved > 0 && counts.taken > 0)).toBe(true);
}

/** What must hold, whoever ran what: each message once and in the order it came in, each quarter hour one request's. */
export async function expectInOrder(
  store: Store,
  names: string[],
  ran: number[],
  { owners, messages }: { owners: number; messages: number },
): Promise<void> {
  expect(ran.reduce((sum, count) => sum + count)).toBe(names.length * owners * messages * 2);
  for (let owner = 1; owner <= owners; owner++) {
    const id = (await store.views.ownerAt('web', `a${owner}`)) ?? '';
    const file = await store.transaction((tx) => tx.loadFile(id));
    const readings = file?.vehicles[0]?.readings ?? [];
    expect(readings).toHaveLength(names.length * messages);
    // Readings are named after the rows that made them: in the order of the rows means none overtook another.
    const rows = readings.map(({ id: reading }) => Number(/^i(\d+)-r$/.exec(reading)?.[1]));
    expect(rows).toEqual([...rows].sort((a, b) => a - b));
    const said = (await store.views.talk(id, -1, 1_000)).filter(({ from }) => from === 'shop');
    expect(said).toHaveLength(names.length * messages);
  }
  const booked = (await store.views.requests(['requested'], 1_000)).map(({ request }) => request.slot?.start);
  expect(booked.length).toBe(Math.min(9, messages));
  expect(new Set(booked).size).toBe(booked.length);
  const { inboxWaiting, inboxFailed } = await store.figures('2026-11-02T16:00:00.000Z');
  expect({ inboxWaiting, inboxFailed }).toEqual({ inboxWaiting: 0, inboxFailed: 0 });
}
