import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { storeContract } from './contract.ts';
import { pgliteClient, pgliteDatabase, sqliteDatabase, START_MILLISECONDS } from './databases.ts';
import { diaryContract } from './diary-contract.ts';
import { privacyContract } from './privacy-contract.ts';
import { viewsContract } from './views-contract.ts';

storeContract('SQLite', sqliteDatabase);
storeContract('pglite', pgliteDatabase);
diaryContract('SQLite', sqliteDatabase);
diaryContract('pglite', pgliteDatabase);
viewsContract('SQLite', sqliteDatabase);
viewsContract('pglite', pgliteDatabase);
privacyContract('SQLite', sqliteDatabase);
privacyContract('pglite', pgliteDatabase);

describe('the migrations', () => {
  it(
    'make the same tables with the same columns on both databases',
    async () => {
      const sqlite = sqliteDatabase();
      await sqlite.open();
      const file = new Sqlite(sqlite.path, { readonly: true });
      const ours = file
        .prepare(
          `select m.name || '.' || c.name as name from sqlite_master m join pragma_table_info(m.name) c
           where m.type = 'table' and m.name not like 'sqlite%' and m.name not like 'kysely%'`,
        )
        .all() as { name: string }[];
      file.close();
      await sqlite.remove();
      await pgliteDatabase().open();
      const { rows } = await (
        await pgliteClient()
      ).query<{ name: string }>(
        `select table_name || '.' || column_name as name from information_schema.columns
         where table_schema = 'public' and table_name not like 'kysely%'`,
      );
      const names = (found: { name: string }[]) => found.map(({ name }) => name).sort();
      // One column is PostgreSQL's own: SQLite's sequence already tells what a page has seen.
      expect(names(rows).filter((name) => name !== 'changes.position')).toEqual(names(ours));
      expect(names(ours).length).toBeGreaterThan(100);
    },
    START_MILLISECONDS,
  );
});
