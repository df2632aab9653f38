import Sqlite from 'better-sqlite3';
import {
  CompiledQuery,
  SqliteAdapter,
  SqliteIntrospector,
  SqliteQueryCompiler,
  type DatabaseConnection,
  type Dialect,
  type Driver,
  type QueryResult,
} from 'kysely';

/** How long to wait for another process's transaction. */
const PATIENCE_MILLISECONDS = 20_000;

/**
 * Opens a SQLite file for durable work: write-ahead log, and every commit reaches the disk before it is answered.
 * Several processes may open the same file; each waits for the others' transactions.
 */
export function openSqliteFile(path: string): Sqlite.Database {
  const file = new Sqlite(path, { timeout: PATIENCE_MILLISECONDS });
  try {
    writeAhead(file);
    file.pragma('synchronous = FULL');
    file.pragma('foreign_keys = ON');
  } catch (error) {
    file.close();
    throw error;
  }
  return file;
}

/**
 * Turns the write-ahead log on. SQLite waits for no lock here, whatever its timeout: of two processes that make the same
 * file at once, the second would fail where it only has to try again.
 */
function writeAhead(file: Sqlite.Database): void {
  const until = performance.now() + PATIENCE_MILLISECONDS;
  for (;;) {
    try {
      file.pragma('journal_mode = WAL');
      return;
    } catch (error) {
      if (!isBusy(error) || performance.now() > until) throw error;
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 1 + Math.random() * 6);
    }
  }
}

/** Kysely on one SQLite connection whose transactions take the write lock at once and whose statements are kept. */
export const sqliteDialect = (file: Sqlite.Database): Dialect => ({
  createDriver: () => new SqliteDriver(file),
  createQueryCompiler: () => new SqliteQueryCompiler(),
  createAdapter: () => new TransactionalSqliteAdapter(),
  createIntrospector: (db) => new SqliteIntrospector(db),
});

/** SQLite rolls table changes back like any other, so a migration is one transaction and a second process waits. */
class TransactionalSqliteAdapter extends SqliteAdapter {
  override get supportsTransactionalDdl(): boolean {
    return true;
  }
}

/**
 * One connection, handed out in turn. `begin immediate`, because a transaction that only asks for the write lock at
 * its first change fails when another process wrote in between, and two processes starve each other.
 */
class SqliteDriver implements Driver {
  readonly #connection: SqliteConnection;
  readonly #file: Sqlite.Database;
  #last: Promise<void> = Promise.resolve();
  #release: (() => void) | undefined;

  constructor(file: Sqlite.Database) {
    this.#file = file;
    // Left to itself SQLite waits for a lock by sleeping, and with it everything in this process; the connection waits.
    file.pragma('busy_timeout = 0');
    this.#connection = new SqliteConnection(file);
  }
  async init(): Promise<void> {}
  async acquireConnection(): Promise<DatabaseConnection> {
    const before = this.#last;
    let release = (): void => {};
    this.#last = new Promise((resolve) => (release = resolve));
    await before;
    this.#release = release;
    return this.#connection;
  }
  async releaseConnection(): Promise<void> {
    this.#release?.();
  }
  async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }
  async commitTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('commit'));
  }
  async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    // A full disk or a damaged page makes SQLite roll back by itself; a second rollback would hide the first error.
    if (this.#file.inTransaction) await connection.executeQuery(CompiledQuery.raw('rollback'));
  }
  async destroy(): Promise<void> {
    this.#file.close();
  }
}

/** Preparing a statement costs about as much as running it, so the statements of the main path are kept. */
const KEPT_STATEMENTS = 500;

class SqliteConnection implements DatabaseConnection {
  readonly #file: Sqlite.Database;
  readonly #statements = new Map<string, Sqlite.Statement<unknown[]>>();

  constructor(file: Sqlite.Database) {
    this.#file = file;
  }
  async executeQuery<R>(query: CompiledQuery): Promise<QueryResult<R>> {
    if (this.#file.inTransaction) return this.#run<R>(query);
    const until = performance.now() + PATIENCE_MILLISECONDS;
    for (;;) {
      try {
        return this.#run<R>(query);
      } catch (error) {
        // Only what begins can find the file locked: inside a transaction the lock is held.
        if (!isBusy(error) || performance.now() > until) throw error;
        await new Promise((resolve) => setTimeout(resolve, 1 + Math.random() * 6));
      }
    }
  }
  #run<R>(query: CompiledQuery): QueryResult<R> {
    const statement = this.#prepare(query.sql);
    if (statement.reader) return { rows: statement.all(...query.parameters) as R[] };
    const { changes, lastInsertRowid } = statement.run(...query.parameters);
    return { numAffectedRows: BigInt(changes), insertId: BigInt(lastInsertRowid), rows: [] };
  }
  async *streamQuery<R>(query: CompiledQuery): AsyncIterableIterator<QueryResult<R>> {
    for (const row of this.#file.prepare(query.sql).iterate(...query.parameters)) yield { rows: [row as R] };
  }
  #prepare(sql: string): Sqlite.Statement<unknown[]> {
    const kept = this.#statements.get(sql);
    if (kept) return kept;
    const statement = this.#file.prepare(sql);
    if (this.#statements.size >= KEPT_STATEMENTS) this.#statements.clear();
    this.#statements.set(sql, statement);
    return statement;
  }
}

const isBusy = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' && error.code.startsWith('SQLITE_BUSY');
