import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { diceOf } from './dice.ts';
import { RunningProgram, until } from './running-program.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

const STOPS = 5;
const PEOPLE_A_TIME = 6;
const WORDS = ['2017 6.7 V8 diesel, 92k', 'hard to start when cold', 'no, nothing else', 'what does the kit cost?'];

describe(`the program, asked ${STOPS} times to end while people write`, () => {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-stop-'));
  const path = join(folder, 'shop.sqlite');
  const codes: (number | string)[] = [];
  const written: number[] = [];
  let standIn: TelegramStandIn;
  let seconds = 0;

  beforeAll(async () => {
    standIn = await new TelegramStandIn().listen();
    const roll = diceOf(7);
    const start = () =>
      new RunningProgram({ TELEGRAM_TOKEN: standIn.token, TELEGRAM_API_ROOT: standIn.apiRoot, DATABASE_PATH: path });
    let next = 1001;
    for (let stop = 0; stop < STOPS; stop++) {
      const program = start();
      await program.listens();
      for (let person = 0; person < PEOPLE_A_TIME; person++, next++) {
        const owner = standIn.person(next);
        for (const words of WORDS) written.push(owner.says(words));
      }
      await sleep(1_500 * roll());
      const asked = performance.now();
      codes.push(await program.stop());
      seconds = Math.max(seconds, (performance.now() - asked) / 1000);
    }
    const last = start();
    await last.listens();
    await until(() => standIn.queue.size === 0, 'every update is taken in');
    await until(() => waiting(path) === 0, 'everything is answered and sent', 120_000);
    codes.push(await last.stop());
  }, 600_000);
  afterAll(async () => {
    await standIn.close();
    rmSync(folder, { recursive: true });
  });

  it('ends with exit code 0 each time, within the time that a service unit gives it', () => {
    expect(codes).toEqual(Array.from({ length: STOPS + 1 }, () => 0));
    expect(seconds).toBeLessThan(30);
  });

  it('has worked on every message once', () => {
    const rows = read(path, 'select external_id, state from inbox') as { external_id: string; state: string }[];
    expect(rows.filter(({ state }) => state !== 'done')).toEqual([]);
    expect(rows.map(({ external_id }) => external_id).sort()).toEqual(
      written.map((id) => `update:${standIn.bot.id}:${id}`).sort(),
    );
  });

  it('has sent every answer exactly once and in order: a stop is no crash', () => {
    const rows = read(path, 'select address, payload from outbox order by position') as Record<string, string>[];
    for (const address of new Set(rows.map((row) => row['address'] ?? ''))) {
      const texts = rows
        .filter((row) => row['address'] === address)
        .map((row) => (JSON.parse(row['payload'] ?? '{}') as { text: string }).text);
      const arrived = standIn.messagesTo(Number(address)).map(({ text }) => text);
      expect(arrived.filter((text) => text !== '' && !text.startsWith('Tap the button'))).toEqual(texts);
    }
  });
});

describe('the program, asked to end while it starts', () => {
  it('ends quietly whenever it is asked, with 0 or by the signal itself, and the next start runs', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'telltale-stop-'));
    const start = () => new RunningProgram({ DATABASE_PATH: join(folder, 'shop.sqlite'), DEMO: 'on' });
    try {
      for (let milliseconds = 200; milliseconds <= 3_200; milliseconds += 250) {
        const program = start();
        await sleep(milliseconds);
        expect([0, 'SIGTERM'], `after ${milliseconds} ms`).toContain(await program.stop());
        expect(program.err).toBe('');
      }
      const last = start();
      await last.listens();
      expect(await last.stop()).toBe(0);
    } finally {
      rmSync(folder, { recursive: true });
    }
  }, 120_000);
});

function read(path: string, sql: string): unknown[] {
  const database = new Sqlite(path, { readonly: true });
  try {
    return database.prepare(sql).all();
  } finally {
    database.close();
  }
}

const waiting = (path: string): number =>
  read(path, `select 1 from inbox where state = 'waiting' union all select 1 from outbox where state = 'waiting'`)
    .length;
