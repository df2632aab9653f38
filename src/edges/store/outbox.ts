import { CHANNELS } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { oneOf, OutboxPayload, readJson } from './json.ts';
import type { StoreTransaction } from './types.ts';

type OutboxPart = Pick<
  StoreTransaction,
  | 'addToOutbox'
  | 'outboxHeads'
  | 'outboxSent'
  | 'outboxLater'
  | 'outboxRefused'
  | 'outboxUnreachable'
  | 'moveAddress'
  | 'staffChats'
  | 'unlinkStaffChat'
>;

/** What is to be sent, in order for each address. */
export const outboxPart = ({ db }: Context): OutboxPart => ({
  async addToOutbox(rows) {
    for (const row of rows) {
      await db
        .insertInto('outbox')
        .values({
          id: `i${row.inboxSeq}-${row.ordinal}`,
          inbox_seq: row.inboxSeq,
          owner_id: row.ownerId,
          to_staff: row.toStaff ? 1 : 0,
          channel: row.channel,
          address: row.address,
          payload: JSON.stringify(row.reply),
          created_at: row.createdAt,
          state: 'waiting',
          unasked: row.unasked ? 1 : 0,
        })
        .execute();
    }
  },

  async outboxHeads(now, limit) {
    const rows = await db
      .selectFrom('outbox')
      .selectAll()
      .where('state', '=', 'waiting')
      .where((eb) => eb.or([eb('not_before', 'is', null), eb('not_before', '<=', now)]))
      .where((eb) =>
        eb.not(
          eb.exists(
            eb
              .selectFrom('outbox as earlier')
              .select('earlier.seq')
              .whereRef('earlier.channel', '=', 'outbox.channel')
              .whereRef('earlier.address', '=', 'outbox.address')
              .where('earlier.state', '=', 'waiting')
              .whereRef('earlier.seq', '<', 'outbox.seq'),
          ),
        ),
      )
      .orderBy('seq')
      .limit(limit)
      .execute();
    return rows.map((row) => ({
      seq: row.seq,
      id: row.id,
      ownerId: row.owner_id,
      toStaff: row.to_staff === 1,
      channel: oneOf(CHANNELS, row.channel, `outbox.channel of ${row.id}`),
      address: row.address,
      reply: readJson(OutboxPayload, row.payload, `outbox.payload of ${row.id}`),
      attempts: row.attempts,
      notBefore: row.not_before,
      createdAt: row.created_at,
    }));
  },

  async outboxSent(id, at, externalMessageId) {
    // The last words to an owner who asked to be forgotten: once they are sent, nothing holds them.
    const forgotten = await db
      .deleteFrom('outbox')
      .where('id', '=', id)
      .where('owner_id', 'is', null)
      .where('to_staff', '=', 0)
      .executeTakeFirst();
    if (forgotten.numDeletedRows > 0n) return;
    await db
      .updateTable('outbox')
      .set({ state: 'sent', sent_at: at, external_message_id: externalMessageId ?? null, error: null })
      .where('id', '=', id)
      .execute();
  },

  async outboxLater(id, notBefore, because, counts) {
    await db
      .updateTable('outbox')
      .set((eb) => ({ not_before: notBefore, error: because, attempts: eb('attempts', '+', counts ? 1 : 0) }))
      .where('id', '=', id)
      .execute();
  },

  async outboxRefused(id, at, because) {
    await db
      .updateTable('outbox')
      .set({ state: 'refused', sent_at: at, error: because })
      .where('id', '=', id)
      .execute();
  },

  async outboxUnreachable(channel, address, at, because) {
    await db
      .updateTable('outbox')
      .set({ state: 'unreachable', sent_at: at, error: because })
      .where('channel', '=', channel)
      .where('address', '=', address)
      .where('state', '=', 'waiting')
      .execute();
  },

  async moveAddress(channel, from, to) {
    for (const table of ['owner_links', 'staff_chats'] as const) {
      // The new address may have written already and be known: then the old one only goes.
      const known = await db
        .selectFrom(table)
        .select('address')
        .where('channel', '=', channel)
        .where('address', '=', to)
        .executeTakeFirst();
      const old = db.updateTable(table).set({ address: to });
      if (known) await db.deleteFrom(table).where('channel', '=', channel).where('address', '=', from).execute();
      else await old.where('channel', '=', channel).where('address', '=', from).execute();
    }
    await db
      .updateTable('outbox')
      .set({ address: to })
      .where('channel', '=', channel)
      .where('address', '=', from)
      .execute();
  },

  async staffChats() {
    const rows = await db.selectFrom('staff_chats').select(['channel', 'address']).orderBy('linked_at').execute();
    return rows.map(({ channel, address }) => ({
      channel: oneOf(CHANNELS, channel, 'staff_chats.channel'),
      address,
    }));
  },

  async unlinkStaffChat(channel, address) {
    await db.deleteFrom('staff_chats').where('channel', '=', channel).where('address', '=', address).execute();
  },
});
