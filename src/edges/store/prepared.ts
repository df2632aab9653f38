import type { CompiledQuery, Insertable, Kysely, QueryResult } from 'kysely';
import type { Context } from './context.ts';
import type { Database } from './schema.ts';

type Db = Kysely<Database>;

/** What every turn asks of the database, as text that was built once for each kind of database. */
const built = new Map<string, CompiledQuery<unknown>>();

/**
 * Runs a query whose text is built only the first time. Building takes longer than running, and every turn runs the same
 * few queries. `build` must put exactly these parameters in, in this order; it is checked when it is built.
 *
 * @param name tells this query from all others
 */
export async function runPrepared<R>(
  { db, family }: Context,
  name: string,
  parameters: readonly unknown[],
  build: (db: Db) => { compile(): CompiledQuery<R> },
): Promise<QueryResult<R>> {
  const key = `${family} ${name}`;
  let query = built.get(key) as CompiledQuery<R> | undefined;
  if (!query) {
    query = build(db).compile();
    const same =
      query.parameters.length === parameters.length &&
      query.parameters.every((parameter, index) => Object.is(parameter, parameters[index]));
    if (!same) throw new Error(`the query ${name} does not take its parameters in the order they are given`);
    built.set(key, query);
  }
  return db.executeQuery({ ...query, parameters });
}

/** Adds one row; the row must name its columns always in the same order and leave none out. */
export async function insertRow<T extends keyof Database>(
  context: Context,
  table: T,
  row: Insertable<Database[T]>,
): Promise<void> {
  await runPrepared(context, `insert ${table}`, Object.values(row), (db) => db.insertInto(table).values(row));
}
