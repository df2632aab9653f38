import { sql } from 'kysely';
import { isPostgres, wordsFor, type AnyDatabase } from './dialect.ts';

/** The tables of the first release. Ids and JSON are text, instants 24 characters of ISO 8601 UTC, flags 0 or 1. */
export async function up(db: AnyDatabase): Promise<void> {
  const { sequence, whole, bytes } = wordsFor(db);
  const schema = db.schema;

  await schema
    .createTable('inbox')
    .addColumn('seq', sequence.type, sequence.build)
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('external_id', 'text', (c) => c.notNull())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('address', 'text')
    .addColumn('answer_channel', 'text')
    .addColumn('payload', 'text', (c) => c.notNull())
    .addColumn('received_at', 'text', (c) => c.notNull())
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('attempts', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('not_before', 'text')
    .addColumn('done_at', 'text')
    .addColumn('answer', 'text')
    .addColumn('error', 'text')
    .addUniqueConstraint('inbox_once', ['channel', 'external_id'])
    .execute();
  await schema
    .createIndex('inbox_next')
    .on('inbox')
    .column('seq')
    .where(sql.ref('state'), '=', sql.lit('waiting'))
    .execute();

  await schema
    .createTable('outbox')
    .addColumn('position', whole, (c) => c.primaryKey())
    .addColumn('owner_id', 'text')
    .addColumn('to_staff', 'integer', (c) => c.notNull())
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('address', 'text', (c) => c.notNull())
    .addColumn('payload', 'text', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('attempts', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('not_before', 'text')
    .addColumn('sent_at', 'text')
    .addColumn('unasked', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('external_message_id', 'text')
    .addColumn('error', 'text')
    .execute();
  await schema
    .createIndex('outbox_next')
    .on('outbox')
    .column('position')
    .where(sql.ref('state'), '=', sql.lit('waiting'))
    .execute();
  await schema.createIndex('outbox_owner').on('outbox').columns(['owner_id', 'position']).execute();

  await schema
    .createTable('owners')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('revision', 'integer', (c) => c.notNull())
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('language', 'text', (c) => c.notNull())
    .addColumn('zone', 'text', (c) => c.notNull())
    .addColumn('name', 'text')
    .addColumn('phone', 'text')
    .addColumn('consent_at', 'text')
    .addColumn('consent_wording', 'text')
    .addColumn('opted_out_at', 'text')
    .addColumn('unreachable_since', 'text')
    .addColumn('forgotten_at', 'text')
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('unasked_at', 'text', (c) => c.notNull().defaultTo('[]'))
    .execute();
  await schema
    .createTable('owner_links')
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('address', 'text', (c) => c.notNull())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('linked_at', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('owner_links_key', ['channel', 'address'])
    .execute();
  await schema.createIndex('owner_links_owner').on('owner_links').column('owner_id').execute();

  await schema
    .createTable('conversations')
    .addColumn('owner_id', 'text', (c) => c.primaryKey())
    .addColumn('body', 'text', (c) => c.notNull())
    .execute();

  await schema
    .createTable('vehicles')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('unknowable', 'text', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('vehicles_owner').on('vehicles').column('owner_id').execute();

  await schema
    .createTable('facts')
    .addColumn('vehicle_id', 'text', (c) => c.notNull())
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('key', 'text', (c) => c.notNull())
    .addColumn('value', 'text', (c) => c.notNull())
    .addColumn('words', 'text')
    .addColumn('source', 'text', (c) => c.notNull())
    .addColumn('sure', 'integer', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('message_ref', 'text')
    .addPrimaryKeyConstraint('facts_key', ['vehicle_id', 'ordinal'])
    .execute();
  await schema.createIndex('facts_owner').on('facts').column('owner_id').execute();

  await schema
    .createTable('readings')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('vehicle_id', 'text', (c) => c.notNull())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('miles', 'integer', (c) => c.notNull())
    .addColumn('date', 'text', (c) => c.notNull())
    .addColumn('source', 'text', (c) => c.notNull())
    .addColumn('message_ref', 'text')
    .addColumn('cluster_reset', 'integer')
    .execute();
  await schema.createIndex('readings_owner').on('readings').column('owner_id').execute();

  await schema
    .createTable('service_records')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('vehicle_id', 'text', (c) => c.notNull())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('request_id', 'text')
    .addColumn('date', 'text', (c) => c.notNull())
    .addColumn('odometer_miles', 'integer', (c) => c.notNull())
    .addColumn('closed_by', 'text', (c) => c.notNull())
    .addColumn('body', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('service_records_owner').on('service_records').column('owner_id').execute();

  await schema
    .createTable('requests')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('vehicle_id', 'text', (c) => c.notNull())
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('revision', 'integer', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('answer_by', 'text', (c) => c.notNull())
    .addColumn('slot_bay', 'text')
    .addColumn('slot_person', 'text')
    .addColumn('slot_start', 'text')
    .addColumn('slot_end', 'text')
    .addColumn('body', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('requests_owner').on('requests').column('owner_id').execute();
  await schema.createIndex('requests_state').on('requests').columns(['state', 'slot_start']).execute();

  await schema
    .createTable('claims')
    .addColumn('resource', 'text', (c) => c.notNull())
    .addColumn('quarter', 'text', (c) => c.notNull())
    .addColumn('request_id', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('claims_key', ['resource', 'quarter'])
    .execute();
  await schema.createIndex('claims_request').on('claims').column('request_id').execute();

  await schema
    .createTable('follow_ups')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('vehicle_id', 'text')
    .addColumn('request_id', 'text')
    .addColumn('ordinal', 'integer', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('due_at', 'text', (c) => c.notNull())
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('attempts', 'integer', (c) => c.notNull())
    .addColumn('body', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('follow_ups_due').on('follow_ups').columns(['state', 'due_at']).execute();
  await schema.createIndex('follow_ups_owner').on('follow_ups').column('owner_id').execute();

  await schema
    .createTable('messages')
    .addColumn('inbox_seq', whole, (c) => c.primaryKey())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('address', 'text', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('text', 'text', (c) => c.notNull())
    .addColumn('photos', 'text', (c) => c.notNull())
    .addColumn('message_ref', 'text')
    .execute();
  await schema.createIndex('messages_owner').on('messages').columns(['owner_id', 'inbox_seq']).execute();

  await schema
    .createTable('media')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('owner_id', 'text', (c) => c.notNull())
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('file_id', 'text')
    .addColumn('state', 'text', (c) => c.notNull())
    .addColumn('media_type', 'text')
    .addColumn('bytes', bytes)
    .addColumn('refused_because', 'text')
    .addColumn('attempts', 'integer', (c) => c.notNull().defaultTo(0))
    .addColumn('not_before', 'text')
    .addColumn('created_at', 'text', (c) => c.notNull())
    .execute();
  await schema.createIndex('media_owner').on('media').column('owner_id').execute();
  await schema
    .createIndex('media_expected')
    .on('media')
    .column('created_at')
    .where(sql.ref('state'), '=', sql.lit('expected'))
    .execute();

  await schema
    .createTable('staff')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('name', 'text', (c) => c.notNull())
    .addColumn('role', 'text', (c) => c.notNull())
    .addColumn('removed_at', 'text')
    .execute();
  await schema
    .createTable('staff_sessions')
    .addColumn('token_hash', 'text', (c) => c.primaryKey())
    .addColumn('staff_id', 'text', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('expires_at', 'text', (c) => c.notNull())
    .execute();
  await schema
    .createTable('one_time_codes')
    .addColumn('code_hash', 'text', (c) => c.primaryKey())
    .addColumn('purpose', 'text', (c) => c.notNull())
    .addColumn('subject', 'text', (c) => c.notNull())
    .addColumn('created_at', 'text', (c) => c.notNull())
    .addColumn('expires_at', 'text', (c) => c.notNull())
    .addColumn('used_at', 'text')
    .execute();
  await schema
    .createTable('staff_chats')
    .addColumn('channel', 'text', (c) => c.notNull())
    .addColumn('address', 'text', (c) => c.notNull())
    .addColumn('linked_at', 'text', (c) => c.notNull())
    .addColumn('linked_by', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('staff_chats_key', ['channel', 'address'])
    .execute();

  await schema
    .createTable('unread_clauses')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('owner_id', 'text')
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('text', 'text', (c) => c.notNull())
    .addColumn('asked', 'text')
    .addColumn('label', 'text')
    .addColumn('labelled_by', 'text')
    .addColumn('labelled_at', 'text')
    .execute();
  await schema
    .createTable('forecast_log')
    .addColumn('id', 'text', (c) => c.primaryKey())
    .addColumn('vehicle_id', 'text', (c) => c.notNull())
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('due_miles', 'integer', (c) => c.notNull())
    .addColumn('p10', 'text')
    .addColumn('p50', 'text')
    .addColumn('p90', 'text')
    .execute();
  await schema.createIndex('forecast_log_vehicle').on('forecast_log').columns(['vehicle_id', 'at']).execute();

  await schema
    .createTable('opt_outs')
    .addColumn('hash', 'text', (c) => c.primaryKey())
    .addColumn('at', 'text', (c) => c.notNull())
    .execute();
  await schema
    .createTable('settings')
    .addColumn('name', 'text', (c) => c.primaryKey())
    .addColumn('value', 'text', (c) => c.notNull())
    .execute();
  await schema
    .createTable('leases')
    .addColumn('name', 'text', (c) => c.primaryKey())
    .addColumn('holder', 'text', (c) => c.notNull())
    .addColumn('until', 'text', (c) => c.notNull())
    .execute();

  await schema
    .createTable('changes')
    .addColumn('seq', sequence.type, sequence.build)
    .addColumn('at', 'text', (c) => c.notNull())
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('owner_id', 'text')
    .addColumn('subject', 'text', (c) => c.notNull())
    .execute();
  if (isPostgres(db)) {
    // A row's own transaction tells what a page has seen: sequence numbers become visible out of order there.
    await sql`alter table changes add column position bigint not null default (pg_current_xact_id()::text::bigint)`.execute(
      db,
    );
    await schema.createIndex('changes_position').on('changes').column('position').execute();
  }
}
