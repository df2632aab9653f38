import { z } from 'zod';
import type { Selectable } from 'kysely';
import { CHANNELS, type InboxEvent, type Instant } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { StoreFault } from './fault.ts';
import { oneOf, readJson } from './json.ts';
import { runPrepared } from './prepared.ts';
import { isDue } from './quarters.ts';
import type { Database } from './schema.ts';
import type { NewInboxRow, StoreTransaction, WaitingRow } from './types.ts';

export type InboxPart = Pick<
  StoreTransaction,
  'lockOwners' | 'takeWaiting' | 'addToInbox' | 'inboxDone' | 'inboxLater' | 'inboxRetry' | 'inboxFailed'
>;

/** What comes from elsewhere than from an owner. */
const OTHERS = ['staff', 'clock'] as const;
const SOURCES = [...CHANNELS, ...OTHERS] as const;
/** Events were written by this release or an earlier one; what is in them the turn's own reading decides. */
const storedEvent = z.looseObject({ kind: z.string(), at: z.string() });

/** The name of an inbox row, after which everything is named that its turn creates. */
export const inboxId = (seq: number): string => `i${seq}`;

/** The one queue of owners' messages, staff actions and the clock, in order for each owner. */
export const inboxPart = (context: Context): InboxPart => ({
  async lockOwners(ownerIds) {
    const { db, family } = context;
    if (family === 'sqlite' || ownerIds.length === 0) return;
    await db.selectFrom('owners').select('id').where('id', 'in', ownerIds).orderBy('id').forUpdate().execute();
  },

  async takeWaiting(now, limit, owners = limit) {
    const { db, family } = context;
    // The first row of an owner in the order of all rows is that owner's first; so the front of the queue is enough to
    // look at, and more of it only where those at the front have to wait or are being worked on elsewhere.
    for (let front = limit * 2; ; front *= 4) {
      const rows = owners < 1 ? await withoutOwners(db, front) : await firstWaiting(db, front).execute();
      const ready = atMost(dueOf(rows, now), owners);
      const free = family === 'sqlite' ? ready : await locked(db, ready.slice(0, limit), now);
      if (free.length === 0 && rows.length === front) continue;
      const taken: WaitingRow[] = [];
      for (const row of free.slice(0, limit)) {
        const read = readable(row);
        if (read) taken.push(read);
        else await giveUp(db, row.seq, now);
      }
      return taken;
    }
  },

  async addToInbox(rows) {
    const answers: { seq: number; isNew: boolean }[] = [];
    for (const row of rows) answers.push(await addOne(context, row));
    return answers;
  },

  async inboxDone(seq, at, answer) {
    const kept = answer && answer.length > 0 ? JSON.stringify(answer) : null;
    await runPrepared(context, 'inbox done', ['done', at, kept, seq], (db) =>
      db.updateTable('inbox').set({ state: 'done', done_at: at, answer: kept }).where('seq', '=', seq),
    );
  },

  async inboxLater(seq, notBefore) {
    await context.db.updateTable('inbox').set({ not_before: notBefore }).where('seq', '=', seq).execute();
  },

  async inboxRetry(seq, notBefore, error) {
    await context.db
      .updateTable('inbox')
      .set((eb) => ({ attempts: eb('attempts', '+', 1), not_before: notBefore, error }))
      .where('seq', '=', seq)
      .execute();
  },

  async inboxFailed(seq, at, error) {
    await context.db
      .updateTable('inbox')
      .set((eb) => ({ state: 'failed', attempts: eb('attempts', '+', 1), done_at: at, error }))
      .where('seq', '=', seq)
      .execute();
  },
});

const COLUMNS = [
  'seq',
  'channel',
  'owner_id',
  'address',
  'answer_channel',
  'payload',
  'attempts',
  'received_at',
  'not_before',
] as const;
type Stored = Pick<Selectable<Database['inbox']>, (typeof COLUMNS)[number]>;

const firstWaiting = (db: Context['db'], count: number) =>
  db.selectFrom('inbox').select(COLUMNS).where('state', '=', 'waiting').orderBy('seq').limit(count);

const isOthers = ({ channel }: Stored): boolean => OTHERS.some((other) => other === channel);

/** The first rows that no owner caused, of those owners who wrote nothing before that still waits. */
async function withoutOwners(db: Context['db'], count: number): Promise<Stored[]> {
  const rows = await firstWaiting(db, count).where('channel', 'in', OTHERS).execute();
  if (rows.length === 0) return [];
  const written = await db
    .selectFrom('inbox')
    .select((eb) => ['owner_id', eb.fn.min('seq').as('first')])
    .where('state', '=', 'waiting')
    .where('channel', 'not in', OTHERS)
    .where('owner_id', 'in', [...new Set(rows.map(({ owner_id }) => owner_id))])
    .groupBy('owner_id')
    .execute();
  const first = new Map(written.map((one) => [one.owner_id, Number(one.first)]));
  return rows.filter(({ owner_id, seq }) => seq < (first.get(owner_id) ?? Number.POSITIVE_INFINITY));
}

/** At most so many rows that owners caused, and none of an owner behind one that is left out. */
function atMost(rows: Stored[], owners: number): Stored[] {
  const left = new Set<string>();
  let taken = 0;
  return rows.filter((row) => {
    if (!isOthers(row) && (taken += 1) > owners) left.add(row.owner_id);
    return !left.has(row.owner_id);
  });
}

/** Rows that may run now: of each owner none behind one that has to wait. */
function dueOf(rows: Stored[], now: Instant): Stored[] {
  const held = new Set<string>();
  return rows.filter(({ owner_id, not_before }) => {
    if (!isDue(not_before, now)) held.add(owner_id);
    return !held.has(owner_id);
  });
}

/**
 * Of these rows those whose owner no other process works on, read again now that the owner is locked. Rows of one owner
 * come in under the same lock, so none can have appeared before them meanwhile.
 */
async function locked(db: Context['db'], rows: Stored[], now: Instant): Promise<Stored[]> {
  if (rows.length === 0) return [];
  const free = await db
    .selectFrom('owners')
    .select('id')
    .where('id', 'in', [...new Set(rows.map(({ owner_id }) => owner_id))])
    .orderBy('id')
    .forUpdate()
    .skipLocked()
    .execute();
  const mine = new Set(free.map(({ id }) => id));
  const seqs = rows.filter(({ owner_id }) => mine.has(owner_id)).map(({ seq }) => seq);
  if (seqs.length === 0) return [];
  const again = await db
    .selectFrom('inbox')
    .select(COLUMNS)
    .where('seq', 'in', seqs)
    .where('state', '=', 'waiting')
    .orderBy('seq')
    .execute();
  return dueOf(again, now);
}

/** The row as an event; undefined where it does not hold one, which no attempt will mend. */
function readable(row: Stored): WaitingRow | undefined {
  const where = `inbox row ${row.seq}`;
  try {
    return {
      seq: row.seq,
      ownerId: row.owner_id,
      source: oneOf(SOURCES, row.channel, where),
      address: row.address,
      answerChannel: row.answer_channel === null ? null : oneOf(CHANNELS, row.answer_channel, where),
      attempts: row.attempts,
      receivedAt: row.received_at,
      event: { ...readJson(storedEvent, row.payload, where), id: inboxId(row.seq) } as unknown as InboxEvent,
    };
  } catch (error) {
    if (error instanceof StoreFault) return undefined;
    throw error;
  }
}

const giveUp = (db: Context['db'], seq: number, at: Instant) =>
  db.updateTable('inbox').set({ state: 'failed', done_at: at, error: 'torn-row' }).where('seq', '=', seq).execute();

async function addOne(context: Context, row: NewInboxRow): Promise<{ seq: number; isNew: boolean }> {
  const values = {
    channel: row.source,
    external_id: row.externalId,
    owner_id: row.ownerId,
    address: row.address ?? null,
    answer_channel: row.answerChannel ?? null,
    payload: JSON.stringify(row.event),
    received_at: row.receivedAt,
    state: 'waiting' as const,
  };
  const { rows } = await runPrepared(context, 'add to inbox', Object.values(values), (db) =>
    db
      .insertInto('inbox')
      .values(values)
      .onConflict((conflict) => conflict.columns(['channel', 'external_id']).doNothing())
      .returning('seq'),
  );
  const [added] = rows;
  if (added) return { seq: added.seq, isNew: true };
  const { seq } = await context.db
    .selectFrom('inbox')
    .select('seq')
    .where('channel', '=', row.source)
    .where('external_id', '=', row.externalId)
    .executeTakeFirstOrThrow();
  return { seq, isNew: false };
}
