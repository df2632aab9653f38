import type { Selectable } from 'kysely';
import { CHANNELS, type Instant } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { StoreFault } from './fault.ts';
import { oneOf, OutboxPayload, readJson } from './json.ts';
import { outboxId, positionOf, positionOfId } from './positions.ts';
import { insertRow } from './prepared.ts';
import { isDue } from './quarters.ts';
import type { Database } from './schema.ts';
import type { OutboxRow, StoreTransaction } from './types.ts';

export type OutboxPart = Pick<
  StoreTransaction,
  | 'addToOutbox'
  | 'addNotice'
  | 'outboxHeads'
  | 'outboxSent'
  | 'outboxLater'
  | 'outboxRefused'
  | 'outboxUnreachable'
  | 'moveAddress'
  | 'staffChats'
  | 'unlinkStaffChat'
>;

/** How far to look for an address that may be sent to. */
const FARTHEST = 20_000;

/** What is to be sent, in order for each address. */
export const outboxPart = (context: Context): OutboxPart => ({
  async addToOutbox(rows) {
    for (const row of rows) {
      await insertRow(context, 'outbox', {
        position: positionOf(row.inboxSeq, row.ordinal),
        owner_id: row.ownerId,
        to_staff: row.toStaff ? 1 : 0,
        channel: row.channel,
        address: row.address,
        payload: JSON.stringify(row.reply),
        created_at: row.createdAt,
        state: 'waiting',
        unasked: row.unasked ? 1 : 0,
      });
    }
  },

  async addNotice({ externalId, channel, address, text, at }) {
    const row = await context.db
      .insertInto('inbox')
      .values({
        channel: 'staff',
        external_id: `notice:${externalId}`,
        owner_id: '',
        payload: JSON.stringify({ kind: 'notice', at }),
        received_at: at,
        done_at: at,
        state: 'done',
      })
      .onConflict((conflict) => conflict.columns(['channel', 'external_id']).doNothing())
      .returning('seq')
      .executeTakeFirst();
    if (!row) return;
    const notice = { inboxSeq: row.seq, ordinal: 0, ownerId: null, toStaff: true, unasked: false, createdAt: at };
    await this.addToOutbox([{ ...notice, channel, address, reply: { text, buttons: [] } }]);
  },

  async outboxHeads(channels, now, limit, passOver) {
    // The first row of an address in the order of all rows is that address's first; see the inbox.
    for (let front = limit * 2; ; front *= 4) {
      const rows = await context.db
        .selectFrom('outbox')
        .select(['position', 'channel', 'address', 'not_before'])
        .where('state', '=', 'waiting')
        .where('channel', 'in', channels)
        .orderBy('position')
        .limit(front)
        .execute();
      const seen = new Set<string>();
      const heads = rows.filter(({ channel, address, not_before }) => {
        const key = `${channel} ${address}`;
        if (seen.has(key)) return false;
        seen.add(key);
        return isDue(not_before, now) && !passOver(channel, address);
      });
      if (heads.length < limit && rows.length === front && front < FARTHEST) continue;
      const positions = heads.slice(0, limit).map(({ position }) => position);
      return positions.length === 0 ? [] : readRows(context.db, positions, now);
    }
  },

  async outboxSent(id, at, externalMessageId) {
    // The last words to an owner who asked to be forgotten: once they are sent, nothing holds them.
    const forgotten = await context.db
      .deleteFrom('outbox')
      .where('position', '=', positionOfId(id))
      .where('owner_id', 'is', null)
      .where('to_staff', '=', 0)
      .executeTakeFirst();
    if (forgotten.numDeletedRows > 0n) return;
    await context.db
      .updateTable('outbox')
      .set({ state: 'sent', sent_at: at, external_message_id: externalMessageId ?? null, error: null })
      .where('position', '=', positionOfId(id))
      .execute();
  },

  async outboxLater(id, notBefore, because, counts) {
    await context.db
      .updateTable('outbox')
      .set((eb) => ({ not_before: notBefore, error: because, attempts: eb('attempts', '+', counts ? 1 : 0) }))
      .where('position', '=', positionOfId(id))
      .execute();
  },

  outboxRefused: (id, at, because) => refuse(context.db, positionOfId(id), at, because),

  async outboxUnreachable(channel, address, at, because) {
    await context.db
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
      const known = await context.db
        .selectFrom(table)
        .select('address')
        .where('channel', '=', channel)
        .where('address', '=', to)
        .executeTakeFirst();
      if (known) {
        await context.db.deleteFrom(table).where('channel', '=', channel).where('address', '=', from).execute();
        continue;
      }
      await context.db
        .updateTable(table)
        .set({ address: to })
        .where('channel', '=', channel)
        .where('address', '=', from)
        .execute();
    }
    await context.db
      .updateTable('outbox')
      .set({ address: to })
      .where('channel', '=', channel)
      .where('address', '=', from)
      .where('state', '=', 'waiting')
      .execute();
  },

  async staffChats() {
    const rows = await context.db
      .selectFrom('staff_chats')
      .select(['channel', 'address'])
      .orderBy('linked_at')
      .execute();
    return rows.map(({ channel, address }) => ({
      channel: oneOf(CHANNELS, channel, 'staff_chats.channel'),
      address,
    }));
  },

  async unlinkStaffChat(channel, address) {
    await context.db.deleteFrom('staff_chats').where('channel', '=', channel).where('address', '=', address).execute();
  },
});

async function readRows(db: Context['db'], positions: number[], now: Instant): Promise<OutboxRow[]> {
  const rows = await db
    .selectFrom('outbox')
    .selectAll()
    .where('position', 'in', positions)
    .orderBy('position')
    .execute();
  const heads: OutboxRow[] = [];
  for (const row of rows) {
    const read = readable(row);
    if (read) heads.push(read);
    else await refuse(db, row.position, now, 'torn-row');
  }
  return heads;
}

/** The row as a message; undefined where it does not hold one, which no attempt will mend. */
function readable(row: Selectable<Database['outbox']>): OutboxRow | undefined {
  const id = outboxId(row.position);
  const where = `outbox row ${id}`;
  try {
    return {
      id,
      ownerId: row.owner_id,
      toStaff: row.to_staff === 1,
      channel: oneOf(CHANNELS, row.channel, where),
      address: row.address,
      reply: readJson(OutboxPayload, row.payload, where),
      attempts: row.attempts,
      notBefore: row.not_before,
      createdAt: row.created_at,
    };
  } catch (error) {
    if (error instanceof StoreFault) return undefined;
    throw error;
  }
}

async function refuse(db: Context['db'], position: number, at: Instant, because: string): Promise<void> {
  await db
    .updateTable('outbox')
    .set({ state: 'refused', sent_at: at, error: because })
    .where('position', '=', position)
    .execute();
}
