import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PGlite } from '@electric-sql/pglite';
import { CompiledQuery, type DatabaseConnection, type Driver, type QueryResult } from 'kysely';
import { KyselyPGlite } from 'kysely-pglite';
import { openStore } from '../../../src/edges/store/open.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { OPT_OUT_KEY } from './made-up.ts';

/** Long enough for a PostgreSQL that is compiled and started inside the test's own process. */
export const START_MILLISECONDS = 120_000;

/** One database that a test opens, more than once where it wants several handles, and throws away. */
export interface TestDatabase {
  open(): Promise<Store>;
  remove(): Promise<void>;
}

/** A SQLite file in a folder of its own; every handle is a connection of its own, as in another process. */
export function sqliteDatabase(): TestDatabase & { path: string } {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-store-'));
  const path = join(folder, 'shop.db');
  const open: Store[] = [];
  return {
    path,
    async open() {
      const store = await openStore({ kind: 'sqlite', path, optOutKey: OPT_OUT_KEY });
      open.push(store);
      return store;
    },
    async remove() {
      await Promise.all(open.map((store) => store.close()));
      rmSync(folder, { recursive: true });
    },
  };
}

const BIGINT = 20;
let client: Promise<PGlite> | undefined;

/** The one that this test file's databases share. */
export function pgliteClient(): Promise<PGlite> {
  client ??= PGlite.create({ parsers: { [BIGINT]: Number } });
  return client;
}

let postgres: Promise<Store> | undefined;

/**
 * A PostgreSQL compiled to run inside this process. Starting it takes seconds, so a test file shares one, emptied for
 * each test; it has one connection, so every handle is the same one.
 */
export function pgliteDatabase(): TestDatabase {
  let emptied: Promise<Store> | undefined;
  return {
    open() {
      emptied ??= emptiedPostgres();
      return emptied;
    },
    async remove() {},
  };
}

async function emptiedPostgres(): Promise<Store> {
  const pglite = await pgliteClient();
  const { dialect } = new KyselyPGlite(pglite);
  postgres ??= openStore({
    kind: 'dialect',
    dialect: { ...dialect, createDriver: () => oneAtATime(pglite) },
    optOutKey: OPT_OUT_KEY,
  });
  const store = await postgres;
  const { rows } = await pglite.query<{ name: string }>(
    "select tablename as name from pg_tables where schemaname = 'public' and tablename not like 'kysely%'",
  );
  await pglite.exec(`truncate ${rows.map(({ name }) => name).join(', ')} restart identity`);
  return store;
}

/**
 * The one connection goes from one user to the next; without this, transactions would begin inside one another. It also
 * tells how many rows a statement changed, which the dialect's own driver leaves out.
 */
function oneAtATime(pglite: PGlite): Driver {
  let last: Promise<void> = Promise.resolve();
  let release = (): void => {};
  const connection: DatabaseConnection = {
    async executeQuery<R>({ sql, parameters }: CompiledQuery): Promise<QueryResult<R>> {
      const { rows, affectedRows } = await pglite.query<R>(sql, [...parameters]);
      return { rows, numAffectedRows: BigInt(affectedRows ?? 0) };
    },
    streamQuery() {
      throw new Error('not needed by the tests');
    },
  };
  const run = (sql: string) => connection.executeQuery(CompiledQuery.raw(sql));
  return {
    init: async () => {},
    async acquireConnection() {
      const before = last;
      let done = (): void => {};
      last = new Promise((resolve) => (done = resolve));
      await before;
      release = done;
      return connection;
    },
    releaseConnection: async () => release(),
    beginTransaction: async () => void (await run('begin')),
    commitTransaction: async () => void (await run('commit')),
    rollbackTransaction: async () => void (await run('rollback')),
    destroy: async () => {},
  };
}
