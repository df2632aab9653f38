import { z } from 'zod';
import { CHANNELS, type InboxEvent } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { oneOf, readJson } from './json.ts';
import type { NewInboxRow, StoreTransaction, WaitingRow } from './types.ts';

type InboxPart = Pick<
  StoreTransaction,
  'lockOwners' | 'lockWaitingOwners' | 'waitingRows' | 'addToInbox' | 'inboxDone' | 'inboxRetry' | 'inboxFailed'
>;

const SOURCES = [...CHANNELS, 'staff', 'clock'] as const;
/** Events were written by this release or an earlier one; what is in them the turn's own reading decides. */
const storedEvent = z.looseObject({ kind: z.string(), at: z.string() });

/** The name of an inbox row, after which everything is named that its turn creates. */
export const inboxId = (seq: number): string => `i${seq}`;

/** The one queue of owners' messages, staff actions and the clock, in order for each owner. */
export const inboxPart = ({ db, family }: Context): InboxPart => ({
  async lockOwners(ownerIds) {
    if (family === 'sqlite' || ownerIds.length === 0) return;
    await db.selectFrom('owners').select('id').where('id', 'in', ownerIds).orderBy('id').forUpdate().execute();
  },

  async lockWaitingOwners(now, limit) {
    const heads = await db
      .selectFrom('inbox')
      .select('owner_id')
      .where('state', '=', 'waiting')
      .where((eb) => eb.or([eb('not_before', 'is', null), eb('not_before', '<=', now)]))
      .where((eb) =>
        eb.not(
          eb.exists(
            eb
              .selectFrom('inbox as earlier')
              .select('earlier.seq')
              .whereRef('earlier.owner_id', '=', 'inbox.owner_id')
              .where('earlier.state', '=', 'waiting')
              .whereRef('earlier.seq', '<', 'inbox.seq'),
          ),
        ),
      )
      .orderBy('seq')
      .limit(limit)
      .execute();
    const ids = heads.map(({ owner_id }) => owner_id);
    if (family === 'sqlite' || ids.length === 0) return ids;
    const locked = await db
      .selectFrom('owners')
      .select('id')
      .where('id', 'in', ids)
      .orderBy('id')
      .forUpdate()
      .skipLocked()
      .execute();
    const free = new Set(locked.map(({ id }) => id));
    return ids.filter((id) => free.has(id));
  },

  async waitingRows(ownerIds, now, limit) {
    if (ownerIds.length === 0) return [];
    const rows = await db
      .selectFrom('inbox')
      .select(['seq', 'channel', 'owner_id', 'address', 'answer_channel', 'payload', 'attempts', 'not_before'])
      .where('state', '=', 'waiting')
      .where('owner_id', 'in', ownerIds)
      .orderBy('seq')
      .limit(limit)
      .execute();
    const held = new Set<string>();
    const ready: WaitingRow[] = [];
    for (const row of rows) {
      if (row.not_before !== null && row.not_before > now) held.add(row.owner_id);
      if (held.has(row.owner_id)) continue;
      const where = `inbox row ${row.seq}`;
      ready.push({
        seq: row.seq,
        ownerId: row.owner_id,
        source: oneOf(SOURCES, row.channel, where),
        address: row.address,
        answerChannel: row.answer_channel === null ? null : oneOf(CHANNELS, row.answer_channel, where),
        attempts: row.attempts,
        event: {
          ...readJson(storedEvent, row.payload, `${where}, payload`),
          id: inboxId(row.seq),
        } as unknown as InboxEvent,
      });
    }
    return ready;
  },

  async addToInbox(rows) {
    const answers: { seq: number; isNew: boolean }[] = [];
    for (const row of rows) answers.push(await addOne(db, row));
    return answers;
  },

  async inboxDone(seq, at, answer) {
    await db
      .updateTable('inbox')
      .set({ state: 'done', done_at: at, answer: answer && answer.length > 0 ? JSON.stringify(answer) : null })
      .where('seq', '=', seq)
      .execute();
  },

  async inboxRetry(seq, notBefore, error) {
    await db
      .updateTable('inbox')
      .set((eb) => ({ attempts: eb('attempts', '+', 1), not_before: notBefore, error }))
      .where('seq', '=', seq)
      .execute();
  },

  async inboxFailed(seq, at, error) {
    await db
      .updateTable('inbox')
      .set((eb) => ({ state: 'failed', attempts: eb('attempts', '+', 1), done_at: at, error }))
      .where('seq', '=', seq)
      .execute();
  },
});

async function addOne(db: Context['db'], row: NewInboxRow): Promise<{ seq: number; isNew: boolean }> {
  const added = await db
    .insertInto('inbox')
    .values({
      channel: row.source,
      external_id: row.externalId,
      owner_id: row.ownerId,
      address: row.address ?? null,
      answer_channel: row.answerChannel ?? null,
      payload: JSON.stringify(row.event),
      received_at: row.receivedAt,
      state: 'waiting',
    })
    .onConflict((conflict) => conflict.columns(['channel', 'external_id']).doNothing())
    .returning('seq')
    .executeTakeFirst();
  if (added) return { seq: added.seq, isNew: true };
  const { seq } = await db
    .selectFrom('inbox')
    .select('seq')
    .where('channel', '=', row.source)
    .where('external_id', '=', row.externalId)
    .executeTakeFirstOrThrow();
  return { seq, isNew: false };
}
