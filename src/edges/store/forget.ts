import type { Selectable } from 'kysely';
import { CHANNELS, holdOf, HOLDING_STATES, type ChannelName, type Instant, type MoreWork } from '../../core/mod.ts';
import { optOutHash, type Context } from './context.ts';
import { oneOf, readJson, RequestBody } from './json.ts';
import type { Database } from './schema.ts';

/**
 * Removes the person: words, contact, pictures, addresses, what waits for them. What the shop did to a truck stays, on a
 * stub without a person: the repair records, and the facts about the vehicle without VIN and without the owner's words.
 * Trucks on which nothing was done go too. A keyed hash of each address keeps an opt-out.
 */
export async function forgetOwner(
  { db, optOutKey }: Context,
  owner: Selectable<Database['owners']>,
  at: Instant,
): Promise<void> {
  const ownerId = owner.id;
  const links = await db.selectFrom('owner_links').selectAll().where('owner_id', '=', ownerId).execute();
  if (owner.opted_out_at !== null) {
    for (const { channel, address } of links) {
      await db
        .insertInto('opt_outs')
        .values({ hash: optOutHash(optOutKey, channel, address), at: owner.opted_out_at })
        .onConflict((conflict) => conflict.column('hash').doNothing())
        .execute();
    }
  }
  for (const table of [
    'owner_links',
    'conversations',
    'messages',
    'media',
    'unread_clauses',
    'follow_ups',
    'outbox',
  ] as const) {
    await db.deleteFrom(table).where('owner_id', '=', ownerId).execute();
  }
  await db.deleteFrom('claims').where('request_id', '=', holdOf(ownerId)).execute();
  await db.deleteFrom('holds').where('owner_id', '=', ownerId).execute();
  await db.updateTable('vehicles').set({ papers: '{}' }).where('owner_id', '=', ownerId).execute();
  await forgetRequests(db, ownerId);
  await forgetVehicles(db, ownerId);
  await db
    .updateTable('owners')
    .set((eb) => ({
      revision: eb('revision', '+', 1),
      name: null,
      phone: null,
      consent_at: null,
      consent_wording: null,
      opted_out_at: null,
      unasked_at: '[]',
      forgotten_at: at,
    }))
    .where('id', '=', ownerId)
    .execute();
}

async function forgetRequests(db: Context['db'], ownerId: string): Promise<void> {
  const requests = await db.selectFrom('requests').selectAll().where('owner_id', '=', ownerId).execute();
  for (const row of requests) {
    await db.deleteFrom('claims').where('request_id', '=', row.id).execute();
    const body = readJson(RequestBody, row.body, `requests.body of ${row.id}`);
    const open = HOLDING_STATES.some((state) => state === row.state);
    await db
      .updateTable('requests')
      .set({
        state: open ? 'cancelled' : row.state,
        body: JSON.stringify({
          ...body,
          // Who signed at arrival, where the keys are and what was damaged are the person's; what was approved is the shop's.
          arrival: undefined,
          ...(body.agreed && { agreed: { ...body.agreed, who: '' } }),
          ...(body.moreWork && { moreWork: body.moreWork.map(withoutWho) }),
          complaint: [],
          photos: [],
          facts: body.facts.filter(({ key }) => key !== 'vin').map(({ words: _words, ...fact }) => fact),
          history: body.history.map(({ at, by, what }) => ({ at, by, what })),
        }),
      })
      .where('id', '=', row.id)
      .execute();
  }
}

/** What was approved, when and how, without who said so. */
const withoutWho = ({ answer, because: _words, ...work }: MoreWork): MoreWork => ({
  ...work,
  ...(answer && { answer: { ...answer, who: '', wording: undefined } }),
});

async function forgetVehicles(db: Context['db'], ownerId: string): Promise<void> {
  await db.deleteFrom('facts').where('owner_id', '=', ownerId).where('key', '=', 'vin').execute();
  await db.updateTable('facts').set({ words: null, message_ref: null }).where('owner_id', '=', ownerId).execute();
  const vehicles = await db.selectFrom('vehicles').select('id').where('owner_id', '=', ownerId).execute();
  for (const { id } of vehicles) {
    const worked = await db.selectFrom('service_records').select('id').where('vehicle_id', '=', id).executeTakeFirst();
    if (worked) continue;
    for (const table of ['facts', 'readings', 'forecast_log', 'requests'] as const) {
      await db.deleteFrom(table).where('vehicle_id', '=', id).execute();
    }
    await db.deleteFrom('vehicles').where('id', '=', id).execute();
  }
}

/** What the owner wrote after the row in which they asked to be forgotten: it is from somebody the shop does not know. */
export async function writtenAfter(
  db: Context['db'],
  ownerId: string,
  seq: number,
): Promise<{ seq: number; channel: ChannelName; address: string }[]> {
  const rows = await db
    .selectFrom('inbox')
    .select(['seq', 'channel', 'address'])
    .where('owner_id', '=', ownerId)
    .where('state', '=', 'waiting')
    .where('seq', '>', seq)
    .where('channel', 'in', [...CHANNELS])
    .orderBy('seq')
    .execute();
  return rows.flatMap(({ seq: at, channel, address }) =>
    address === null ? [] : [{ seq: at, channel: oneOf(CHANNELS, channel, `inbox row ${at}`), address }],
  );
}

/**
 * Takes the words out of everything that came from the owner. The rows stay until retention takes them: they are what
 * tells a second delivery of the same message. What still waits for the owner, from staff or the clock, is over.
 */
export async function blankInbox(db: Context['db'], ownerId: string, at: Instant): Promise<void> {
  await db
    .updateTable('inbox')
    .set({
      payload: JSON.stringify({ kind: 'forgotten', at }),
      answer: null,
      address: null,
      state: 'done',
      done_at: at,
    })
    .where('owner_id', '=', ownerId)
    .execute();
}
