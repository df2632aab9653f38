import { AsyncLocalStorage } from 'node:async_hooks';
import { mkdirSync } from 'node:fs';
import { dirname } from 'node:path';
import { Kysely, sql, type Dialect } from 'kysely';
import { REQUEST_STATES } from '../../core/mod.ts';
import { accessOf } from './access.ts';
import type { Context } from './context.ts';
import { diaryPart } from './diary.ts';
import { exportEverything } from './export.ts';
import { StoreFault } from './fault.ts';
import { FileCache, FilesInHand } from './file-cache.ts';
import { housekeepingPart } from './housekeeping.ts';
import { inboxPart } from './inbox.ts';
import { migrate } from './migrate.ts';
import { outboxPart } from './outbox.ts';
import { ownersPart } from './owners.ts';
import { postgresDialect } from './postgres.ts';
import { instantOf } from './quarters.ts';
import type { Database } from './schema.ts';
import { openSqliteFile, sqliteDialect } from './sqlite.ts';
import type { Figures, Store, StoreTransaction, Views } from './types.ts';
import { viewsOf } from './views.ts';

/** Where a shop's data is kept. */
export type StoreSettings = {
  /** Keys the hashes that keep an opt-out after an owner was forgotten. Keep it out of the database and its backups. */
  optOutKey: string;
} & (
  | { kind: 'sqlite'; path: string }
  | { kind: 'postgres'; url: string; connections?: number }
  /** Any other Kysely dialect of the PostgreSQL family. */
  | { kind: 'dialect'; dialect: Dialect }
);

/**
 * Opens one shop's database and brings its schema up to date.
 *
 * @throws StoreFault where the file or server cannot be used, is no database, or cannot be migrated
 */
export async function openStore(settings: StoreSettings): Promise<Store> {
  const family = settings.kind === 'sqlite' ? 'sqlite' : 'postgres';
  const db = new Kysely<Database>({ dialect: await dialectFor(settings) });
  try {
    await migrate(db);
  } catch (error) {
    await db.destroy();
    throw error;
  }
  return storeOf(db, family, settings.optOutKey);
}

async function dialectFor(settings: StoreSettings): Promise<Dialect> {
  switch (settings.kind) {
    case 'sqlite':
      return sqliteDialect(openFile(settings.path));
    case 'postgres':
      return postgresDialect(settings.url, settings.connections ?? 10);
    case 'dialect':
      return settings.dialect;
    default:
      return settings satisfies never;
  }
}

function openFile(path: string) {
  try {
    if (path !== ':memory:') mkdirSync(dirname(path), { recursive: true });
    const file = openSqliteFile(path);
    const [first] = file.pragma('quick_check(1)') as { quick_check: string }[];
    if (first?.quick_check === 'ok') return file;
    file.close();
    throw damaged(path, first?.quick_check.split('\n')[0] ?? 'no answer');
  } catch (cause) {
    if (cause instanceof StoreFault) throw cause;
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : '';
    throw code === 'SQLITE_NOTADB' || code.startsWith('SQLITE_CORRUPT')
      ? damaged(path, code, cause)
      : new StoreFault('database-unusable', `${path} cannot be opened for writing (${code}).`, { cause });
  }
}

const damaged = (path: string, what: string, cause?: unknown): StoreFault =>
  new StoreFault(
    'database-damaged',
    `${path} is no database or is damaged (${what}): keep it as it is, and put a backup in its place with ` +
      '`npm run restore -- BACKUP`.',
    { cause },
  );

const inside = new AsyncLocalStorage<Kysely<Database>>();

function storeOf(db: Kysely<Database>, family: 'sqlite' | 'postgres', optOutKey: string): Store {
  /** SQLite has one connection: whoever asks for it from inside a transaction would wait for themselves for ever. */
  const outer = (): Kysely<Database> => {
    if (inside.getStore() === db) {
      throw new StoreFault('outer-handle-inside-transaction', 'The store was used inside its own transaction.');
    }
    return db;
  };
  const cache = new FileCache();
  const inTransaction = async <T>(work: (context: Context) => Promise<T>): Promise<T> => {
    const files = new FilesInHand(cache);
    const done = await outer()
      .transaction()
      .execute((trx) => inside.run(db, () => work({ db: trx, family, optOutKey, files })));
    files.committed();
    return done;
  };

  return {
    family,
    transaction: (work) => inTransaction((context) => work(transactionOf(context))),
    views: guarded(viewsOf(db, family), outer),
    access: accessOf(inTransaction),
    figures: (now) => figures(outer(), now),
    exportTo: (folder) => exportEverything(outer() as unknown as Kysely<never>, family, folder),
    close: () => outer().destroy(),
  };
}

/** Every query of the pages goes through the check that it is not inside a transaction. */
function guarded(views: Views, check: () => unknown): Views {
  const entries = Object.entries(views).map(([name, query]) => [
    name,
    async (...parameters: unknown[]) => {
      check();
      return (query as (...all: unknown[]) => Promise<unknown>)(...parameters);
    },
  ]);
  return Object.fromEntries(entries) as Views;
}

let savepoints = 0;

function transactionOf(context: Context): StoreTransaction {
  return {
    async savepoint(work) {
      const name = sql.raw(`s${savepoints++ % 8}`);
      await sql`savepoint ${name}`.execute(context.db);
      const asBefore = context.files.snapshot();
      let keep = false;
      try {
        const done = await work();
        keep = done.keep;
        return done.value;
      } finally {
        if (!keep) {
          asBefore();
          await sql`rollback to savepoint ${name}`.execute(context.db);
        }
        await sql`release savepoint ${name}`.execute(context.db);
      }
    },
    ...inboxPart(context),
    ...outboxPart(context),
    ...ownersPart(context),
    ...diaryPart(context),
    ...housekeepingPart(context),
  };
}

/** The clock ticks every minute; a follow-up that waits much longer shows that nothing works on it. */
const LATE_MILLISECONDS = 3_600_000;

async function figures(db: Kysely<Database>, now: string): Promise<Figures> {
  const count = async (table: 'inbox' | 'outbox', state: 'waiting' | 'failed') => {
    const row = await db
      .selectFrom(table)
      .select((eb) => [eb.fn.countAll<number>().as('count')])
      .where('state', '=', state as never)
      .executeTakeFirstOrThrow();
    return Number(row.count);
  };
  const oldestInbox = await db
    .selectFrom('inbox')
    .select('received_at')
    .where('state', '=', 'waiting')
    .orderBy('seq')
    .limit(1)
    .executeTakeFirst();
  const oldestOutbox = await db
    .selectFrom('outbox')
    .select('created_at')
    .where('state', '=', 'waiting')
    .orderBy('position')
    .limit(1)
    .executeTakeFirst();
  const dueBefore = async (instant: string): Promise<number> => {
    const row = await db
      .selectFrom('follow_ups')
      .select((eb) => eb.fn.countAll<number>().as('count'))
      .where('state', '=', 'waiting')
      .where('due_at', '<=', instant)
      .executeTakeFirstOrThrow();
    return Number(row.count);
  };
  const owners = await db
    .selectFrom('owners')
    .select((eb) => eb.fn.countAll<number>().as('count'))
    .executeTakeFirstOrThrow();
  const requests = await db
    .selectFrom('requests')
    .select((eb) => ['state', eb.fn.countAll<number>().as('count')])
    .groupBy('state')
    .execute();
  return {
    inboxWaiting: await count('inbox', 'waiting'),
    inboxOldest: oldestInbox?.received_at ?? null,
    inboxFailed: await count('inbox', 'failed'),
    outboxWaiting: await count('outbox', 'waiting'),
    outboxOldest: oldestOutbox?.created_at ?? null,
    followUpsDue: await dueBefore(now),
    followUpsLate: await dueBefore(instantOf(Date.parse(now) - LATE_MILLISECONDS)),
    owners: Number(owners.count),
    requests: Object.fromEntries(
      requests.flatMap(({ state, count }) =>
        REQUEST_STATES.some((known) => known === state) ? [[state, Number(count)]] : [],
      ),
    ),
  };
}
