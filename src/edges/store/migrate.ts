import { Migrator, type Kysely } from 'kysely';
import { migrations } from '../../../db/migrations/mod.ts';
import type { Database } from './schema.ts';
import { StoreFault } from './fault.ts';

/**
 * Brings the schema up to date. Several processes may start at once: the first one migrates, the others wait, and
 * whoever fell over another's first step tries again.
 *
 * @throws StoreFault `migration-failed` where a step fails; nothing of the steps of this call is kept then.
 */
export async function migrate(db: Kysely<Database>): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: () => Promise.resolve({ ...migrations }) } });
  for (let attempt = 1; ; attempt++) {
    const { error, results } = await migrator.migrateToLatest();
    if (!error) return;
    if (attempt >= 3) {
      const step = results?.find(({ status }) => status === 'Error')?.migrationName ?? 'before the first step';
      throw new StoreFault('migration-failed', `The database schema could not be brought up to date (${step}).`, {
        cause: error,
      });
    }
  }
}
