import { readdir } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Migrator, type Kysely, type Migration } from 'kysely';
import type { Database } from './schema.ts';
import { StoreFault } from './fault.ts';

const FOLDER = resolve(import.meta.dirname, '../../../db/migrations');

/** The migrations of db/migrations, by file name; their numbers are their order. */
async function migrations(): Promise<Record<string, Migration>> {
  const names = (await readdir(FOLDER)).filter((name) => /^\d{4}-.*\.ts$/.test(name)).sort();
  const found: Record<string, Migration> = {};
  for (const name of names) {
    found[name.replace(/\.ts$/, '')] = (await import(pathToFileURL(join(FOLDER, name)).href)) as Migration;
  }
  return found;
}

/**
 * Brings the schema up to date. Several processes may start at once: the first one migrates, the others wait, and
 * whoever fell over another's first step tries again.
 *
 * @throws StoreFault `migration-failed` where a step fails; nothing of the steps of this call is kept then.
 */
export async function migrate(db: Kysely<Database>): Promise<void> {
  // Read before the first step: nothing but the steps themselves happens while the others wait.
  const steps = await migrations();
  const migrator = new Migrator({ db, provider: { getMigrations: async () => steps } });
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
