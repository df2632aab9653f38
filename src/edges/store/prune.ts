import type { Kysely } from 'kysely';
import type { Instant } from '../../core/mod.ts';
import type { Database } from './schema.ts';
import type { Retention } from './types.ts';

type Db = Kysely<Database>;

/** Rows that one call looks at of each kind, so that no turn waits long for it; the next call goes on. */
const AT_ONCE = 5_000;

/** Removes what has been kept long enough, the oldest first; answers how many rows of each kind. */
export async function prune(db: Db, limits: Retention): Promise<Record<string, number>> {
  const removed = async (work: { executeTakeFirst(): Promise<{ numDeletedRows: bigint }> }) =>
    Number((await work.executeTakeFirst()).numDeletedRows);
  return {
    inbox: await pruneInbox(db, limits.inboxBefore),
    outbox: await pruneOutbox(db, limits.outboxBefore),
    messages: await pruneMessages(db, limits.messagesBefore),
    changes: await pruneChanges(db, limits.changesBefore),
    media: await removed(db.deleteFrom('media').where('created_at', '<', limits.mediaBefore)),
    unread: await removed(db.deleteFrom('unread_clauses').where('at', '<', limits.unreadBefore)),
    sessions: await removed(db.deleteFrom('staff_sessions').where('expires_at', '<', limits.now)),
    codes: await removed(db.deleteFrom('one_time_codes').where('expires_at', '<', limits.now)),
  };
}

/*
 * The queues and the words grow in the order of their keys, so the oldest rows are the first ones: they are looked at
 * from the front, without an index over their times. A row whose time is out of line only stays a little longer.
 */

async function pruneInbox(db: Db, before: Instant): Promise<number> {
  const front = await db
    .selectFrom('inbox')
    .select(['seq', 'received_at', 'state'])
    .orderBy('seq')
    .limit(AT_ONCE)
    .execute();
  const old = front.filter(({ received_at, state }) => received_at < before && state !== 'waiting');
  return inChunks(
    old.map(({ seq }) => seq),
    (seqs) => db.deleteFrom('inbox').where('seq', 'in', seqs).execute(),
  );
}

async function pruneOutbox(db: Db, before: Instant): Promise<number> {
  const front = await db
    .selectFrom('outbox')
    .select(['position', 'created_at', 'state'])
    .orderBy('position')
    .limit(AT_ONCE)
    .execute();
  const old = front.filter(({ created_at, state }) => created_at < before && state !== 'waiting');
  return inChunks(
    old.map(({ position }) => position),
    (positions) => db.deleteFrom('outbox').where('position', 'in', positions).execute(),
  );
}

async function pruneMessages(db: Db, before: Instant): Promise<number> {
  const front = await db
    .selectFrom('messages')
    .select(['inbox_seq', 'at'])
    .orderBy('inbox_seq')
    .limit(AT_ONCE)
    .execute();
  const old = front.filter(({ at }) => at < before);
  return inChunks(
    old.map(({ inbox_seq }) => inbox_seq),
    (seqs) => db.deleteFrom('messages').where('inbox_seq', 'in', seqs).execute(),
  );
}

async function pruneChanges(db: Db, before: Instant): Promise<number> {
  const front = await db.selectFrom('changes').select(['seq', 'at']).orderBy('seq').limit(AT_ONCE).execute();
  const old = front.filter(({ at }) => at < before);
  return inChunks(
    old.map(({ seq }) => seq),
    (seqs) => db.deleteFrom('changes').where('seq', 'in', seqs).execute(),
  );
}

/** A database takes only so many parameters in one statement. */
async function inChunks(keys: number[], remove: (chunk: number[]) => Promise<unknown>): Promise<number> {
  const CHUNK = 500;
  for (let from = 0; from < keys.length; from += CHUNK) await remove(keys.slice(from, from + CHUNK));
  return keys.length;
}
