import { mkdirSync, mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore } from '../../../src/edges/store/open.ts';
import { NOW, OPT_OUT_KEY, ZONE } from './made-up.ts';

describe('opening a database', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'telltale-open-'));
  });
  afterEach(() => rmSync(folder, { recursive: true }));
  const open = (path: string) => openStore({ kind: 'sqlite', path, optOutKey: OPT_OUT_KEY });

  it('makes the folder and the file where there are none', async () => {
    const store = await open(join(folder, 'new', 'shop.db'));
    expect((await store.figures(NOW)).owners).toBe(0);
    await store.close();
  });

  it('finds everything again', async () => {
    const path = join(folder, 'shop.db');
    const first = await open(path);
    await first.transaction((tx) =>
      tx.addOwner({ id: 'o1', channel: 'web', address: 'a1', language: 'en', zone: ZONE, at: NOW }),
    );
    await first.close();
    const second = await open(path);
    expect(await second.views.ownerAt('web', 'a1')).toBe('o1');
    await second.close();
  });

  it.each([
    [
      'is no database',
      'database-damaged',
      (path: string) => writeFileSync(path, 'a shopping list, long enough to be read'.repeat(99)),
    ],
    ['is a folder', 'database-unusable', (path: string) => mkdirSync(path)],
    [
      'comes from a newer release',
      'migration-failed',
      (path: string) => {
        const file = new Sqlite(path);
        file.exec(`create table kysely_migration (name text primary key, timestamp text not null);
          insert into kysely_migration values ('9999-from-the-future', '2030-01-01T00:00:00.000Z');`);
        file.close();
      },
    ],
  ])('says so where what stands there %s', async (_what, code, make) => {
    const path = join(folder, 'shop.db');
    make(path);
    await expect(open(path)).rejects.toMatchObject({ code });
  });

  it('says so where half of the file is gone', async () => {
    const path = join(folder, 'shop.db');
    await (await open(path)).close();
    truncateSync(path, Math.floor(readFileSync(path).length / 2 / 4096) * 4096);
    await expect(open(path)).rejects.toMatchObject({ name: 'StoreFault' });
  });
});
