import { PostgresDialect, type Dialect } from 'kysely';

const BIGINT = 20;

/** Kysely on a pool of PostgreSQL connections; whole numbers arrive as numbers, as they do from SQLite. */
export async function postgresDialect(url: string, connections: number): Promise<Dialect> {
  const { default: pg } = await import('pg');
  const pool = new pg.Pool({
    connectionString: url,
    max: connections,
    types: {
      getTypeParser: ((oid: number, format: 'text' | 'binary') =>
        oid === BIGINT ? Number : pg.types.getTypeParser(oid, format as 'text')) as typeof pg.types.getTypeParser,
    },
  });
  // A connection that breaks while it is idle is replaced by the pool; without a listener it would end the process.
  pool.on('error', () => {});
  return new PostgresDialect({ pool });
}
