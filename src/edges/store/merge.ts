import type { Kysely } from 'kysely';
import { holdOf, type ChannelName, type Instant } from '../../core/mod.ts';
import type { Database } from './schema.ts';

type Db = Kysely<Database>;

/**
 * Points one address at another owner: the owner carried a one-time code from one channel to the other. Where it was
 * the former owner's only address, trucks, requests, follow-ups and words move along. An opt-out of either stays.
 */
export async function mergeOwners(
  db: Db,
  link: { channel: ChannelName; address: string },
  into: string,
  at: Instant,
): Promise<void> {
  const here = await db
    .selectFrom('owner_links')
    .select('owner_id')
    .where('channel', '=', link.channel)
    .where('address', '=', link.address)
    .executeTakeFirst();
  await db
    .insertInto('owner_links')
    .values({ ...link, owner_id: into, linked_at: at })
    .onConflict((conflict) => conflict.columns(['channel', 'address']).doUpdateSet({ owner_id: into, linked_at: at }))
    .execute();
  const from = here?.owner_id;
  if (from === undefined || from === into) return;
  const other = await db.selectFrom('owner_links').select('address').where('owner_id', '=', from).executeTakeFirst();
  if (other) return;

  for (const table of ['vehicles', 'requests', 'follow_ups'] as const) {
    const { count } = await db
      .selectFrom(table)
      .select((eb) => eb.fn.countAll<number>().as('count'))
      .where('owner_id', '=', into)
      .executeTakeFirstOrThrow();
    await db
      .updateTable(table)
      .set((eb) => ({ owner_id: into, ordinal: eb('ordinal', '+', Number(count)) }))
      .where('owner_id', '=', from)
      .execute();
  }
  for (const table of [
    'facts',
    'readings',
    'service_records',
    'messages',
    'media',
    'unread_clauses',
    'inbox',
    'outbox',
  ] as const) {
    await db.updateTable(table).set({ owner_id: into }).where('owner_id', '=', from).execute();
  }
  const gone = await db.selectFrom('owners').selectAll().where('id', '=', from).executeTakeFirst();
  const stays = await db.selectFrom('owners').selectAll().where('id', '=', into).executeTakeFirstOrThrow();
  await db
    .updateTable('owners')
    .set((eb) => ({
      revision: eb('revision', '+', 1),
      name: stays.name ?? gone?.name ?? null,
      phone: stays.phone ?? gone?.phone ?? null,
      opted_out_at: stays.opted_out_at ?? gone?.opted_out_at ?? null,
    }))
    .where('id', '=', into)
    .execute();
  // The talk that a time was held for ends here; the owner chooses anew.
  await db.deleteFrom('claims').where('request_id', '=', holdOf(from)).execute();
  await db.deleteFrom('holds').where('owner_id', '=', from).execute();
  await db.deleteFrom('conversations').where('owner_id', '=', from).execute();
  await db.deleteFrom('owners').where('id', '=', from).execute();
}
