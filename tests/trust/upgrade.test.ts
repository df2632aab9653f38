import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openShop, type RunningShop } from './shop.ts';

/*
 * A database as an earlier version left it, written by that version with the flows of its day: the schema is at its
 * first step, and three owners are in the middle. 1001 told of a truck that stalls and was asked whether a kit is
 * fitted; 1002 told of metal in the fuel and was asked whether the truck comes on a tow truck; 1003 only said hello.
 */
const EARLIER = readFileSync(join(import.meta.dirname, 'earlier-version.sql'), 'utf8');
const OWNERS = [1001, 1002, 1003] as const;

let folder: string;
let path: string;
let shop: RunningShop | undefined;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'upgrade-'));
  path = join(folder, 'shop.sqlite');
  const database = new Sqlite(path);
  database.exec(EARLIER);
  database.close();
});
afterEach(async () => {
  await shop?.close();
  shop = undefined;
  rmSync(folder, { recursive: true });
});

const inDatabase = <T>(work: (database: Sqlite.Database) => T): T => {
  const database = new Sqlite(path);
  try {
    return work(database);
  } finally {
    database.close();
  }
};
const open = async (): Promise<RunningShop> =>
  (shop = await openShop({ environment: { DATABASE_PATH: path }, standIn: { firstUpdateId: 20_000 } }));
const factsOf = async ({ system }: RunningShop, chat: number): Promise<Record<string, unknown>> => {
  const id = (await system.store.views.ownerAt('telegram', String(chat))) ?? '';
  const file = await system.store.transaction((tx) => tx.loadFile(id));
  return Object.fromEntries(file?.vehicles[0]?.facts.map(({ key, value }) => [key, value]) ?? []);
};
/** Everybody says something; resolves when each has an answer. */
async function everybodySays({ standIn, system }: RunningShop, words: string): Promise<void> {
  for (const chat of OWNERS) standIn.person(chat).says(words);
  for (const end = Date.now() + 60_000; Date.now() < end; await sleep(25)) {
    const { inboxWaiting, outboxWaiting } = await system.store.figures(system.time.now());
    const heard = OWNERS.every((chat) => standIn.messagesTo(chat).length > 0);
    if (heard && inboxWaiting === 0 && outboxWaiting === 0) return;
  }
  throw new Error('somebody was never answered');
}

describe('a database of an earlier version', () => {
  it('is really of an earlier version', () => {
    const steps = inDatabase((database) => database.prepare('select name from kysely_migration').pluck().all());
    expect(steps).toEqual(['0001-ground']);
  });

  it('is brought up to date with everything that its owners have told', async () => {
    const running = await open();
    const steps = inDatabase((database) => database.prepare('select name from kysely_migration').pluck().all());
    expect(steps.length).toBeGreaterThan(1);
    expect(await factsOf(running, 1001)).toMatchObject({ modelYear: 2017, engineLitres: 6.7, symptoms: ['stalls'] });
    expect(await factsOf(running, 1002)).toMatchObject({ modelYear: 2015, symptoms: ['metal-in-fuel'] });
    expect(inDatabase((database) => database.pragma('integrity_check'))).toEqual([{ integrity_check: 'ok' }]);
  });

  it('is talked on with under the flows of today: each conversation goes on, and nobody gets an apology', async () => {
    const running = await open();
    await everybodySays(running, 'it has 101,000 miles on it now');
    expect((await running.system.store.figures(running.system.time.now())).inboxFailed).toBe(0);
    expect(running.logged()).not.toMatch(/turn (put off|given up)/);
    expect(await factsOf(running, 1001)).toMatchObject({ modelYear: 2017, symptoms: ['stalls'] });
    expect(await factsOf(running, 1003)).toMatchObject({ odometerMiles: 101_000 });
  });

  it('takes the press of a button that the earlier version has sent', async () => {
    const data = inDatabase((database) => {
      const payloads = database.prepare(`select payload from outbox where address = '1002' order by position`).pluck();
      const [button] = (JSON.parse(String(payloads.all().at(-1))) as { buttons: { data: string }[] }).buttons;
      return button?.data ?? '';
    });
    const running = await open();
    running.standIn.person(1001);
    running.standIn.person(1003);
    running.standIn.person(1002).pressesData(data);
    await running.standIn.until(() => running.standIn.messagesTo(1002).length > 0, 'an answer', 30_000);
    expect((await running.system.store.figures(running.system.time.now())).inboxFailed).toBe(0);
    expect(running.logged()).not.toMatch(/turn (put off|given up)/);
  });

  it('is talked on with where the place in the conversation is gone from the flows: nothing told is lost', async () => {
    inDatabase((database) => {
      for (const { owner_id, body } of database.prepare('select * from conversations').all() as Record<
        string,
        string
      >[]) {
        const talk = JSON.parse(body ?? '{}') as { position: { snapshot: { value: unknown } } | null };
        if (talk.position) talk.position.snapshot.value = 'a-place-of-long-ago';
        database.prepare('update conversations set body = ? where owner_id = ?').run(JSON.stringify(talk), owner_id);
      }
    });
    const running = await open();
    await everybodySays(running, 'it has 101,000 miles on it now');
    expect((await running.system.store.figures(running.system.time.now())).inboxFailed).toBe(0);
    expect(running.logged()).not.toMatch(/turn (put off|given up)/);
    expect(await factsOf(running, 1001)).toMatchObject({ modelYear: 2017, engineLitres: 6.7, symptoms: ['stalls'] });
  });
});
