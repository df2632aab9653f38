import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { KEEP_DAYS } from '../../src/edges/clock/clock.ts';
import { openShop, type RunningShop } from './shop.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const PAGE = readFileSync(join(ROOT, 'docs/personal-data.md'), 'utf8');
/** On PostgreSQL only. */
const OTHER_FAMILY = ['changes.position'];

/** Rows of the page's table: the table's name, its columns, and the rest in words. */
const rows = PAGE.split('\n').flatMap((line) => {
  const [, table, columns, person, what, kept] =
    /^\| `(\w+)` \| ((?:`\w+` ?)+) ?\| (.+?) \| (.+?) \| (.+?) \|$/.exec(line) ?? [];
  if (table === undefined || columns === undefined) return [];
  return [
    { table, columns: [...columns.matchAll(/`(\w+)`/g)].map(([, name]) => `${table}.${name}`), person, what, kept },
  ];
});

describe('the list of what is stored', () => {
  let shop: RunningShop;
  beforeAll(async () => {
    shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' } });
  }, 60_000);
  afterAll(() => shop.close());

  it('names every column of every table once, and no other', () => {
    const database = new Sqlite(join(shop.folder, 'shop.sqlite'), { readonly: true });
    const tables = database
      .prepare(
        `select name from sqlite_master where type = 'table' and name not like 'kysely%' and name not like 'sqlite%'`,
      )
      .all() as { name: string }[];
    const columns = tables.flatMap(({ name }) =>
      (database.pragma(`table_info(${name})`) as { name: string }[]).map((column) => `${name}.${column.name}`),
    );
    database.close();
    const listed = rows.flatMap((row) => row.columns).filter((column) => !OTHER_FAMILY.includes(column));
    expect(listed.sort()).toEqual(columns.sort());
  });

  it('says for each for what, whose and how long', () => {
    for (const { columns, person, what, kept } of rows) {
      for (const words of [person, what, kept]) expect(words, String(columns)).toMatch(/\w/);
    }
  });

  it.each([
    ['inbox', `${KEEP_DAYS.inbox} days`],
    ['messages', `${KEEP_DAYS.messages} days`],
    ['outbox', `${KEEP_DAYS.messages} days`],
    ['media', `${KEEP_DAYS.pictures} days`],
    ['unread_clauses', `${KEEP_DAYS.unread} days`],
  ])('tells the same time for %s as the clock keeps', (table, kept) => {
    expect(rows.find((row) => row.table === table)?.kept).toContain(kept);
  });

  it('holds: what is older is gone when the clock has passed, and the truck stays', async () => {
    const { system } = shop;
    const { store } = system;
    const post = (postId: string, text: string) =>
      system.web.post({ address: 'a1', postId, at: system.time.now(), did: { kind: 'message', text } });
    await post('p1', 'zwrk 2017 6.7 V8 diesel, 92k, qqqq blorp');
    await system.desk.drain();
    const ownerId = (await store.views.ownerAt('web', 'a1')) ?? '';
    expect(await store.views.talk(ownerId)).not.toEqual([]);
    // What still waits to be sent is kept until it is.
    await expect.poll(async () => (await store.figures(system.time.now())).outboxWaiting, { timeout: 20_000 }).toBe(0);
    await system.time.advance((KEEP_DAYS.messages + 1) * 86_400_000);
    await system.clock.prune();
    expect(await store.views.talk(ownerId)).toEqual([]);
    expect(await store.views.unread()).toEqual([]);
    const file = await store.transaction((tx) => tx.loadFile(ownerId));
    expect(file?.vehicles[0]?.facts.length).toBeGreaterThan(0);
  });
});

describe('the export of everything', () => {
  it(
    'writes every table that holds more than hashes, a row a line, while the shop is open',
    { timeout: 120_000 },
    async () => {
      const shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' } });
      const folder = mkdtempSync(join(tmpdir(), 'export-'));
      try {
        const { system } = shop;
        const picture = Buffer.from(
          'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
          'base64',
        );
        await system.web.post({
          ...{ address: 'a1', postId: 'p1', at: system.time.now() },
          did: { kind: 'message', text: '2017 6.7 V8 diesel, 92k', photos: [picture] },
        });
        await system.desk.drain();
        const out = join(folder, 'all');
        const ran = spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/telltale.ts', 'export', out], {
          cwd: ROOT,
          encoding: 'utf8',
          env: { PATH: process.env['PATH'], DATABASE_PATH: join(shop.folder, 'shop.sqlite') },
        });
        expect(ran).toMatchObject({ status: 0, stderr: '' });
        const expected = rows.map(({ table }) => table).filter((table) => !LEFT_OUT.includes(table));
        const files = readdirSync(out).sort();
        expect(files).toEqual([...new Set(expected.map((table) => `${table}.jsonl`)), 'pictures'].sort());
        const lines = (table: string): Record<string, unknown>[] =>
          readFileSync(join(out, `${table}.jsonl`), 'utf8')
            .split('\n')
            .filter(Boolean)
            .map((line) => JSON.parse(line) as Record<string, unknown>);
        expect(lines('messages')).toMatchObject([{ text: '2017 6.7 V8 diesel, 92k' }]);
        expect(lines('vehicles')).toHaveLength(1);
        const [media] = lines('media');
        expect(readFileSync(join(out, String(media?.['bytes']))).subarray(0, 3)).toEqual(
          Buffer.from([0xff, 0xd8, 0xff]),
        );
      } finally {
        await shop.close();
        rmSync(folder, { recursive: true });
      }
    },
  );
});
const LEFT_OUT = ['staff_sessions', 'one_time_codes', 'opt_outs', 'leases', 'changes'];
