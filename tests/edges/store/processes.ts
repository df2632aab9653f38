import { spawn } from 'node:child_process';
import { join, resolve } from 'node:path';
import { expect } from 'vitest';
import type { Store } from '../../../src/edges/store/types.ts';

const TSX = resolve(import.meta.dirname, '../../../node_modules/tsx/dist/cli.mjs');
const PROCESS = join(import.meta.dirname, 'booking-process.ts');

/** Runs processes side by side on one database; answers how many turns each ran. */
export async function runProcesses(
  place: string,
  names: string[],
  { owners, messages }: { owners: number; messages: number },
): Promise<number[]> {
  const children = names.map((name) => {
    const child = spawn(process.execPath, [TSX, PROCESS, place, name, String(owners), String(messages)], {
      stdio: ['pipe', 'pipe', 'inherit'],
    });
    let output = '';
    child.stdout.on('data', (data: Buffer) => (output += data.toString()));
    const done = new Promise<number>((resolve, reject) => {
      child.on('error', reject);
      child.on('exit', (code) =>
        code === 0 ? resolve(Number(output)) : reject(new Error(`${name} ended with ${code}`)),
      );
    });
    return { child, done };
  });
  for (const { child } of children) child.stdin.write('go\n');
  const ran = await Promise.all(children.map(({ done }) => done));
  for (const { child } of children) child.stdin.end();
  return ran;
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
