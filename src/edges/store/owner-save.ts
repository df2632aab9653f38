import { isDeepStrictEqual } from 'node:util';
import { sql, type Kysely } from 'kysely';
import {
  holdOf,
  type BookingRequest,
  type FollowUp,
  type Owner,
  type OwnerFile,
  type Vehicle,
} from '../../core/mod.ts';
import type { Context } from './context.ts';
import { runPrepared } from './prepared.ts';
import { claimsOf, instantOfIso, quartersOfSlot } from './quarters.ts';
import type { Database } from './schema.ts';
import type { SaveOutcome } from './types.ts';

type Db = Kysely<Database>;

/**
 * Writes what differs between two states of one owner's file; what is equal is not touched. Slots of requests that hold
 * a bay's time are claimed first, a quarter hour at a time: where one is another request's, `taken` is answered and the
 * caller must roll back.
 */
export async function saveOwnerFile(context: Context, before: OwnerFile, after: OwnerFile): Promise<SaveOutcome> {
  const { db } = context;
  const outcome = await saveClaims(db, before, after);
  if (outcome.outcome === 'taken') return outcome;

  await saveOwner(context, before, after);
  if (!isDeepStrictEqual(before.conversation, after.conversation)) {
    const row = { owner_id: after.owner.id, body: JSON.stringify(after.conversation) };
    await runPrepared(context, 'save conversation', Object.values(row), (handle) =>
      handle
        .insertInto('conversations')
        .values(row)
        .onConflict((conflict) => conflict.column('owner_id').doUpdateSet({ body: sql`excluded.body` })),
    );
  }
  await saveVehicles(db, after.owner.id, before.vehicles, after.vehicles);
  await saveRequests(db, after.owner.id, before.requests, after.requests);
  await saveFollowUps(db, after.owner.id, before.followUps, after.followUps);
  return { outcome: 'saved' };
}

/** The quarter hours that an owner's requests take, and the time that is held for them. */
function claimsOfFile({ owner, requests, conversation: { hold } }: OwnerFile) {
  const requested = requests.flatMap((request) => claimsOf(request).map((claim) => ({ ...claim, holder: request.id })));
  const held = hold ? quartersOfSlot(hold.slot).map((claim) => ({ ...claim, holder: holdOf(owner.id) })) : [];
  return new Map([...requested, ...held].map((claim) => [`${claim.quarter} ${claim.resource} ${claim.holder}`, claim]));
}

async function saveClaims(db: Db, before: OwnerFile, after: OwnerFile): Promise<SaveOutcome> {
  if (before.requests === after.requests && before.conversation.hold === after.conversation.hold) {
    return { outcome: 'saved' };
  }
  const had = claimsOfFile(before);
  const wants = claimsOfFile(after);
  for (const [key, { resource, quarter, holder }] of had) {
    if (wants.has(key)) continue;
    await db
      .deleteFrom('claims')
      .where('resource', '=', resource)
      .where('quarter', '=', quarter)
      .where('request_id', '=', holder)
      .execute();
  }
  // In one order everywhere, so that two processes that want the same bay cannot wait for each other.
  const added = [...wants].filter(([key]) => !had.has(key)).sort(([a], [b]) => (a < b ? -1 : 1));
  for (const [, { resource, quarter, holder }] of added) {
    const { numInsertedOrUpdatedRows } = await db
      .insertInto('claims')
      .values({ resource, quarter, request_id: holder })
      .onConflict((conflict) => conflict.doNothing())
      .executeTakeFirstOrThrow();
    if (numInsertedOrUpdatedRows !== 1n) return { outcome: 'taken', bay: resource, quarter };
  }
  await saveHold(db, before, after);
  return { outcome: 'saved' };
}

async function saveHold(db: Db, before: OwnerFile, after: OwnerFile): Promise<void> {
  const { hold } = after.conversation;
  if (isDeepStrictEqual(before.conversation.hold, hold)) return;
  const owner_id = after.owner.id;
  if (!hold) {
    await db.deleteFrom('holds').where('owner_id', '=', owner_id).execute();
    return;
  }
  const { slot, until } = hold;
  const columns = {
    bay: slot.bay,
    person: slot.person ?? null,
    start_at: instantOfIso(slot.start),
    end_at: instantOfIso(slot.end),
    until,
  };
  await db
    .insertInto('holds')
    .values({ owner_id, ...columns })
    .onConflict((conflict) => conflict.column('owner_id').doUpdateSet(columns))
    .execute();
}

const ownerColumns = (owner: Owner) => ({
  channel: owner.channel,
  language: owner.language,
  zone: owner.zone,
  name: owner.name ?? null,
  phone: owner.phone ?? null,
  consent_at: owner.consent?.at ?? null,
  consent_wording: owner.consent?.wording ?? null,
  opted_out_at: owner.optedOutAt ?? null,
  unreachable_since: owner.unreachableSince ?? null,
});

async function saveOwner(context: Context, before: OwnerFile, after: OwnerFile): Promise<void> {
  const { id } = after.owner;
  const columns = {
    ...(!isDeepStrictEqual(before.owner, after.owner) && ownerColumns(after.owner)),
    ...(!isDeepStrictEqual(before.unaskedAt, after.unaskedAt) && { unasked_at: JSON.stringify(after.unaskedAt) }),
  };
  if (Object.keys(columns).length === 0) {
    await runPrepared(context, 'raise revision', [id], (db) =>
      db
        .updateTable('owners')
        .set({ revision: sql`revision + 1` })
        .where('id', '=', id),
    );
    return;
  }
  await context.db
    .updateTable('owners')
    .set({ ...columns, revision: sql`revision + 1` })
    .where('id', '=', id)
    .execute();
}

async function saveVehicles(db: Db, ownerId: string, before: Vehicle[], after: Vehicle[]): Promise<void> {
  if (before === after) return;
  const had = new Map(before.map((vehicle, ordinal) => [vehicle.id, { vehicle, ordinal }]));
  for (const [ordinal, vehicle] of after.entries()) {
    const old = had.get(vehicle.id);
    had.delete(vehicle.id);
    if (old && old.ordinal === ordinal && old.vehicle === vehicle) continue;
    await saveVehicle(db, ownerId, vehicle, ordinal, old);
  }
  for (const id of had.keys()) {
    await db.deleteFrom('facts').where('vehicle_id', '=', id).execute();
    await db.deleteFrom('readings').where('vehicle_id', '=', id).execute();
    await db.deleteFrom('service_records').where('vehicle_id', '=', id).execute();
    await db.deleteFrom('vehicles').where('id', '=', id).execute();
  }
}

async function saveVehicle(
  db: Db,
  ownerId: string,
  vehicle: Vehicle,
  ordinal: number,
  old: { vehicle: Vehicle; ordinal: number } | undefined,
): Promise<void> {
  const columns = (of: Vehicle, at: number) => ({
    ordinal: at,
    state: of.state,
    unknowable: JSON.stringify(of.unknowable),
    created_at: of.createdAt,
    papers: JSON.stringify(of.papers ?? {}),
  });
  const now = columns(vehicle, ordinal);
  if (!old) {
    await db
      .insertInto('vehicles')
      .values({ id: vehicle.id, owner_id: ownerId, ...now })
      .execute();
  } else if (!isDeepStrictEqual(columns(old.vehicle, old.ordinal), now)) {
    await db.updateTable('vehicles').set(now).where('id', '=', vehicle.id).execute();
  }
  await saveFacts(db, ownerId, vehicle, old?.vehicle.facts ?? []);
  await saveReadings(db, ownerId, vehicle, old?.vehicle.readings ?? []);
  await saveRecords(db, ownerId, vehicle, old?.vehicle.records ?? []);
}

async function saveFacts(db: Db, ownerId: string, vehicle: Vehicle, before: Vehicle['facts']): Promise<void> {
  for (const [ordinal, fact] of vehicle.facts.entries()) {
    if (isDeepStrictEqual(before[ordinal], fact)) continue;
    const columns = {
      owner_id: ownerId,
      key: fact.key,
      value: JSON.stringify(fact.value),
      words: fact.words ?? null,
      source: fact.source,
      sure: fact.sure ? 1 : 0,
      at: fact.at,
      message_ref: fact.messageRef ?? null,
    };
    await db
      .insertInto('facts')
      .values({ vehicle_id: vehicle.id, ordinal, ...columns })
      .onConflict((conflict) => conflict.columns(['vehicle_id', 'ordinal']).doUpdateSet(columns))
      .execute();
  }
  if (before.length > vehicle.facts.length) {
    await db
      .deleteFrom('facts')
      .where('vehicle_id', '=', vehicle.id)
      .where('ordinal', '>=', vehicle.facts.length)
      .execute();
  }
}

/** What of a list by id is new or different, with its place, and what is gone. */
function difference<T extends { id: string }>(before: T[], after: T[]) {
  const had = new Map(before.map((item, ordinal) => [item.id, { item, ordinal }]));
  const changed: { item: T; ordinal: number }[] = [];
  for (const [ordinal, item] of after.entries()) {
    const old = had.get(item.id);
    had.delete(item.id);
    if (!old || old.ordinal !== ordinal || !isDeepStrictEqual(old.item, item)) changed.push({ item, ordinal });
  }
  return { changed, gone: [...had.keys()] };
}

async function saveReadings(db: Db, ownerId: string, vehicle: Vehicle, before: Vehicle['readings']): Promise<void> {
  const { changed, gone } = difference(before, vehicle.readings);
  for (const { item, ordinal } of changed) {
    const columns = {
      ordinal,
      miles: item.miles,
      date: item.date,
      source: item.source,
      message_ref: item.messageRef ?? null,
      cluster_reset: item.clusterReset === undefined ? null : item.clusterReset ? 1 : 0,
    };
    await db
      .insertInto('readings')
      .values({ id: item.id, vehicle_id: vehicle.id, owner_id: ownerId, ...columns })
      .onConflict((conflict) => conflict.column('id').doUpdateSet(columns))
      .execute();
  }
  if (gone.length > 0) await db.deleteFrom('readings').where('id', 'in', gone).execute();
}

async function saveRecords(db: Db, ownerId: string, vehicle: Vehicle, before: Vehicle['records']): Promise<void> {
  const { changed, gone } = difference(before, vehicle.records);
  for (const { item, ordinal } of changed) {
    const { services, findings, putOff, note, parts, torques, photos } = item;
    const columns = {
      ordinal,
      request_id: item.requestId ?? null,
      date: item.date,
      odometer_miles: item.odometerMiles,
      closed_by: item.closedBy,
      body: JSON.stringify({ services, findings, putOff, note, parts, torques, photos }),
    };
    await db
      .insertInto('service_records')
      .values({ id: item.id, vehicle_id: vehicle.id, owner_id: ownerId, ...columns })
      .onConflict((conflict) => conflict.column('id').doUpdateSet(columns))
      .execute();
  }
  if (gone.length > 0) await db.deleteFrom('service_records').where('id', 'in', gone).execute();
}

async function saveRequests(db: Db, ownerId: string, before: BookingRequest[], after: BookingRequest[]): Promise<void> {
  if (before === after) return;
  const { changed, gone } = difference(before, after);
  for (const { item, ordinal } of changed) {
    const { id, vehicleId, state, revision, createdAt, answerBy, ...body } = item;
    const columns = {
      vehicle_id: vehicleId,
      ordinal,
      state,
      revision,
      created_at: createdAt,
      answer_by: answerBy,
      slot_bay: item.slot?.bay ?? null,
      slot_person: item.slot?.person ?? null,
      slot_start: item.slot ? instantOfIso(item.slot.start) : null,
      slot_end: item.slot ? instantOfIso(item.slot.end) : null,
      body: JSON.stringify(body),
    };
    await db
      .insertInto('requests')
      .values({ id, owner_id: ownerId, ...columns })
      .onConflict((conflict) => conflict.column('id').doUpdateSet(columns))
      .execute();
  }
  if (gone.length > 0) await db.deleteFrom('requests').where('id', 'in', gone).execute();
}

async function saveFollowUps(db: Db, ownerId: string, before: FollowUp[], after: FollowUp[]): Promise<void> {
  if (before === after) return;
  const { changed, gone } = difference(before, after);
  for (const { item, ordinal } of changed) {
    const { id, kind, vehicleId, requestId, dueAt, state, attempts, ...body } = item;
    const columns = {
      vehicle_id: vehicleId ?? null,
      request_id: requestId ?? null,
      ordinal,
      kind,
      due_at: dueAt,
      state,
      attempts,
      body: JSON.stringify(body),
    };
    await db
      .insertInto('follow_ups')
      .values({ id, owner_id: ownerId, ...columns })
      .onConflict((conflict) => conflict.column('id').doUpdateSet(columns))
      .execute();
  }
  if (gone.length > 0) await db.deleteFrom('follow_ups').where('id', 'in', gone).execute();
}
