import { copyFileSync, mkdtempSync, readdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { backupName, instantInName, isBackupDue, scheduledBackups, supernumerary } from '../../src/backups.ts';
import { copyDatabase, restoreDatabase, whatIsWrong } from '../../src/edges/store/sqlite-copy.ts';
import { openStore } from '../../src/edges/store/open.ts';
import { createLog } from '../../src/log.ts';
import { createMetrics } from '../../src/metrics.ts';
import { OPT_OUT_KEY } from '../edges/store/made-up.ts';

const HOUR = 3_600_000;
const NOON = Date.parse('2026-11-02T12:00:00.000Z');
const named = (hoursBefore: number): string => backupName(new Date(NOON - hoursBefore * HOUR));

describe('the name of a backup', () => {
  it('is its instant, and sorts by it', () => {
    expect(backupName(new Date(NOON))).toBe('telltale-20261102T120000Z.sqlite');
    expect(instantInName('telltale-20261102T120000Z.sqlite')).toBe(NOON);
    expect(named(1) < named(0)).toBe(true);
  });

  it.each([
    'telltale.sqlite',
    'telltale-20261102T120000Z.sqlite.part',
    'telltale-20261302T120000Z.sqlite',
    'notes.txt',
  ])('is not that of another file: %s', (name) => expect(instantInName(name)).toBeUndefined());
});

describe('whether a backup is due', () => {
  it.each<[string, string[], boolean]>([
    ['nothing was ever backed up', [], true],
    ['the newest is a day old', [named(24), named(48)], true],
    ['the newest is younger', [named(23), named(48)], false],
    ['the clock was set back by a year, and the newest lies in the future', [named(-8760)], true],
    ['the clock was set back by some minutes', [named(-0.2)], false],
    ['only files of others lie there', ['notes.txt'], true],
  ])('%s', (_what, names, due) => expect(isBackupDue(names, NOON, 24)).toBe(due));

  it('keeps the newest ones, and never counts files of other names', () => {
    const names = ['notes.txt', named(1), named(3), named(2), `${named(4)}.part`];
    expect(supernumerary(names, 2)).toEqual([named(3)]);
    expect(supernumerary(names, 5)).toEqual([]);
  });
});

describe('a copy of the database', () => {
  let folder: string;
  let path: string;
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'backups-'));
    path = join(folder, 'shop.sqlite');
    const store = await openStore({ kind: 'sqlite', path, optOutKey: OPT_OUT_KEY });
    await store.transaction((tx) => tx.saveSetting('told', 'before'));
    await store.close();
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  const told = async (file: string): Promise<unknown> => {
    const store = await openStore({ kind: 'sqlite', path: file, optOutKey: OPT_OUT_KEY });
    try {
      return await store.transaction((tx) => tx.setting('told'));
    } finally {
      await store.close();
    }
  };

  it('is the state of one moment, while others write, and what is written later is not in it', async () => {
    const store = await openStore({ kind: 'sqlite', path, optOutKey: OPT_OUT_KEY });
    const copy = join(folder, 'deep', 'down', 'copy.sqlite');
    copyDatabase(path, copy);
    await store.transaction((tx) => tx.saveSetting('told', 'after'));
    await store.close();
    expect(await told(copy)).toBe('before');
    expect(await told(path)).toBe('after');
    restoreDatabase(copy, path, 'stamp');
    expect(await told(path)).toBe('before');
    expect(await told(`${path}.before-restore-stamp`)).toBe('after');
  });

  it('does not play the log of the former database into the restored one', async () => {
    const copy = join(folder, 'copy.sqlite');
    copyDatabase(path, copy);
    const log = new Sqlite(path);
    log.pragma('wal_autocheckpoint = 0');
    log.exec('update settings set value = \'"in the log"\'');
    // As after a power cut: the log stays beside the file, with more in it than the file has.
    copyFileSync(path, join(folder, 'kept'));
    copyFileSync(`${path}-wal`, join(folder, 'kept-wal'));
    log.close();
    renameSync(join(folder, 'kept'), path);
    renameSync(join(folder, 'kept-wal'), `${path}-wal`);
    restoreDatabase(copy, path, 'stamp');
    expect(await told(path)).toBe('before');
    expect(await told(`${path}.before-restore-stamp`)).toBe('in the log');
  });

  it.each<[string, (copy: string) => void, string]>([
    ['there is nothing to copy', () => rmSync(path), 'there is no database'],
    ['the name is taken', (copy) => writeFileSync(copy, 'mine'), 'is there already'],
    ['it is no database', () => writeFileSync(path, 'x'.repeat(9_000)), 'SQLITE_NOTADB'],
    ['its folder is a file', () => writeFileSync(join(folder, 'in'), ''), 'EEXIST'],
  ])('is refused in one line, and nothing is left behind: %s', (_why, prepare, words) => {
    const copy = words === 'EEXIST' ? join(folder, 'in', 'copy.sqlite') : join(folder, 'copy.sqlite');
    prepare(copy);
    expect(() => copyDatabase(path, copy)).toThrow(words);
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('is not sound where its pages are not', () => {
    const copy = join(folder, 'copy.sqlite');
    copyDatabase(path, copy);
    expect(whatIsWrong(copy)).toBeUndefined();
    writeFileSync(copy, 'x'.repeat(9_000));
    expect(whatIsWrong(copy)).toBe('SQLITE_NOTADB');
  });

  it('is made by itself when it is due, counted, and the oldest goes', { timeout: 120_000 }, async () => {
    const backups = join(folder, 'backups');
    const metrics = createMetrics();
    let now = NOON;
    const log = createLog({ level: 'silent' });
    const schedule = scheduledBackups({ folder: backups, everyHours: 24, keep: 2 }, path, {
      log,
      metrics,
      now: () => now,
    });
    const made: (string | undefined)[] = [];
    for (const hours of [0, 1, 25, 49]) {
      now = NOON + hours * HOUR;
      made.push(await schedule.look());
    }
    await schedule.stop();
    expect(made.map((file) => file !== undefined)).toEqual([true, false, true, true]);
    expect(readdirSync(backups).sort()).toEqual([named(-25), named(-49)]);
    expect(whatIsWrong(join(backups, named(-49)))).toBeUndefined();
  });
});
