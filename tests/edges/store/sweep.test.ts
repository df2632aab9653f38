import Sqlite from 'better-sqlite3';
import { Kysely } from 'kysely';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { dueFollowUps } from '../../../src/edges/store/due.ts';
import type { Database } from '../../../src/edges/store/schema.ts';
import { openSqliteFile, sqliteDialect } from '../../../src/edges/store/sqlite.ts';
import { sqliteDatabase } from './databases.ts';
import { storeDue, storeTrucks } from './sweep-rows.ts';

const NOW = '2026-06-01T12:00:00.000Z';
const LATER = '2027-01-01 00:00';

describe('the sweep for what is due', () => {
  let database: ReturnType<typeof sqliteDatabase>;
  let file: Sqlite.Database;
  let db: Kysely<Database>;

  beforeEach(async () => {
    database = sqliteDatabase();
    await database.open();
    file = new Sqlite(database.path);
    db = new Kysely<Database>({ dialect: sqliteDialect(openSqliteFile(database.path)) });
    storeTrucks(file, 0, 5_000, LATER);
  });
  afterEach(async () => {
    await db.destroy();
    file.close();
    await database.remove();
  });

  const plan = (behind?: { dueAt: string; id: string }): string => {
    const { sql, parameters } = dueFollowUps(db, NOW, 200, behind).compile();
    const steps = file.prepare(`explain query plan ${sql}`).all(...parameters) as { detail: string }[];
    return steps.map(({ detail }) => detail).join('\n');
  };
  const page = (behind?: { dueAt: string; id: string }) =>
    dueFollowUps(db, NOW, 200, behind)
      .execute()
      .then((rows) => rows.map(({ id, due_at: dueAt }) => ({ id, dueAt })));

  it.each([
    ['the first page', undefined],
    ['a later page', { dueAt: '2026-06-01T09:00:00.000Z', id: 'f7' }],
  ])('reads a stretch of the index by state and time, and never the whole table: %s', (_which, behind) => {
    expect(plan(behind)).toMatch(
      /SEARCH follow_ups USING INDEX follow_ups_due \(state=\? AND due_at>\? AND due_at<\?\)/,
    );
    expect(plan(behind)).not.toMatch(/SCAN/);
  });

  it('would read the whole table without the index, so that the plan says something', () => {
    file.exec('drop index follow_ups_due');
    expect(plan()).toMatch(/SCAN follow_ups/);
  });

  it('finds each that is due once over all pages, in order, many at one instant', async () => {
    storeDue(file, 450, '2026-06-01T09:00:00.000Z', 'same');
    storeDue(file, 30, '2026-05-31T09:00:00.000Z', 'before');
    const found: { id: string; dueAt: string }[] = [];
    for (let last = undefined as { dueAt: string; id: string } | undefined; ; last = found.at(-1)) {
      const rows = await page(last);
      found.push(...rows);
      if (rows.length < 200) break;
    }
    expect(found).toHaveLength(480);
    expect(new Set(found.map(({ id }) => id)).size).toBe(480);
    expect(found.map(({ dueAt, id }) => `${dueAt} ${id}`)).toEqual(
      found.map(({ dueAt, id }) => `${dueAt} ${id}`).sort(),
    );
  });
});
