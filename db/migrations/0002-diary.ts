import { sql } from 'kysely';
import type { AnyDatabase } from './dialect.ts';

/** Blocks of bays and people, times held for owners who are not done yet, and a fleet's papers of a truck. */
export async function up(db: AnyDatabase): Promise<void> {
  const { schema } = db;
  await schema
    .createTable('blocks')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('resource', 'text', (c) => c.notNull())
    .addColumn('start_at', 'text', (c) => c.notNull())
    .addColumn('end_at', 'text', (c) => c.notNull())
    .addColumn('because', 'text', (c) => c.notNull())
    .addColumn('blocked_by', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('blocks_start').on('blocks').column('start_at').execute();

  await schema
    .createTable('holds')
    .addColumn('owner_id', 'text', (c) => c.primaryKey())
    .addColumn('bay', 'text', (c) => c.notNull())
    .addColumn('person', 'text')
    .addColumn('start_at', 'text', (c) => c.notNull())
    .addColumn('end_at', 'text', (c) => c.notNull())
    .addColumn('until', 'text', (c) => c.notNull())
    .execute();

  await schema
    .alterTable('vehicles')
    .addColumn('papers', 'text', (c) => c.notNull().defaultTo(sql.lit('{}')))
    .execute();
}
