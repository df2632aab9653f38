import { existsSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import pg from 'pg';
import { openStore } from '../../src/edges/store/open.ts';
import { startServer } from '../edges/store/postgres-server.ts';
import { endLeases, tornState, waitingRows } from './ledger.ts';

/** Where the killed shop keeps its data, and how it is looked into from outside. */
export interface ShopData {
  /** What the program is told of it. */
  environment: Record<string, string>;
  /** What is half written; of a SQLite file only while no process has it open. */
  torn(): Promise<string[]>;
  /** Gives a dead process's rights back at once, where no living one can hold any. */
  endLeases(): void;
  waiting(): Promise<number>;
  /** The path of a SQLite file that holds everything as it is now. */
  file(): Promise<string>;
  close(): Promise<void>;
}

export function sqliteData(folder: string): ShopData {
  const path = join(folder, 'shop.sqlite');
  const there = (): boolean => existsSync(path);
  return {
    environment: { DATABASE_PATH: path, DATABASE_URL: '' },
    torn: () => Promise.resolve(there() ? tornState(path) : []),
    endLeases: () => void (there() && endLeases(path)),
    waiting: () => Promise.resolve(waitingRows(path)),
    file: () => Promise.resolve(path),
    close: () => Promise.resolve(),
  };
}

/** A PostgreSQL server of its own; what is in it is copied into a SQLite file to be looked at, all of one moment. */
export function postgresData(folder: string): ShopData {
  const server = startServer();
  const path = join(folder, 'copy.sqlite');
  const ask = async <T>(work: (client: pg.Client) => Promise<T>): Promise<T> => {
    const client = new pg.Client({ connectionString: server.url });
    await client.connect();
    try {
      return await work(client);
    } finally {
      await client.end();
    }
  };
  const copy = async (): Promise<string> => {
    rmSync(path, { force: true });
    await (await openStore({ kind: 'sqlite', path, optOutKey: 'only for the copy' })).close();
    const database = new Sqlite(path);
    database.pragma('foreign_keys = off');
    try {
      const tables = database
        .prepare(`select name from sqlite_master where type = 'table' and name not like 'sqlite%'`)
        .pluck()
        .all() as string[];
      await ask(async (client) => {
        await client.query('begin isolation level repeatable read');
        for (const table of tables.filter((name) => !name.startsWith('kysely'))) {
          // A column that only one kind of database needs is nothing to look at.
          const known = database.pragma(`table_info(${table})`) as { name: string }[];
          const { rows } = await client.query<Record<string, unknown>>(`select * from ${table}`);
          for (const row of rows) {
            const names = Object.keys(row).filter((column) => known.some(({ name }) => name === column));
            database
              .prepare(`insert into ${table} (${names.join(', ')}) values (${names.map(() => '?').join(', ')})`)
              .run(...names.map((name) => row[name]));
          }
        }
      });
    } finally {
      database.close();
    }
    return path;
  };
  const migrated = (): Promise<boolean> =>
    ask(async (client) => {
      const { rows } = await client.query(`select 1 from pg_tables where tablename = 'leases'`);
      return rows.length > 0;
    });
  return {
    environment: { DATABASE_URL: server.url, DATABASE_PATH: '', SECRET_KEY: 'a key that only this test knows, long' },
    torn: async () => ((await migrated()) ? tornState(await copy()) : []),
    endLeases: () => undefined,
    waiting: async () => waitingRows(await copy()),
    file: copy,
    close: () => Promise.resolve(server.stop()),
  };
}
