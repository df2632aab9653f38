import { CHANNELS } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { oneOf } from './json.ts';
import { addCode, useCode } from './codes.ts';
import { dueFollowUps } from './due.ts';
import type { DiaryPart } from './diary.ts';
import type { InboxPart } from './inbox.ts';
import type { OutboxPart } from './outbox.ts';
import type { OwnersPart } from './owners.ts';
import { insertRow } from './prepared.ts';
import { prune } from './prune.ts';
import { instantOf } from './quarters.ts';
import type { StoreTransaction } from './types.ts';

type HousekeepingPart = Omit<
  StoreTransaction,
  'savepoint' | keyof InboxPart | keyof OutboxPart | keyof OwnersPart | keyof DiaryPart
>;

/** Messages, pictures, follow-ups that are due, logs, settings, leases and what retention removes. */
export const housekeepingPart = (context: Context): HousekeepingPart => {
  const { db } = context;
  return {
    async addMessage(message) {
      await insertRow(context, 'messages', {
        inbox_seq: Number(message.id.slice(1)),
        owner_id: message.ownerId,
        at: message.at,
        channel: message.channel,
        address: message.address,
        kind: message.kind,
        text: message.text,
        photos: JSON.stringify(message.photos),
        message_ref: message.messageRef ?? null,
      });
    },

    async addMedia(media) {
      for (const { id, ownerId, channel, at, content } of media) {
        const stored = typeof content === 'object' && 'bytes' in content ? content : undefined;
        await db
          .insertInto('media')
          .values({
            id,
            owner_id: ownerId,
            channel,
            file_id: typeof content === 'object' && 'fileId' in content ? content.fileId : null,
            state: content === 'refused' ? 'refused' : stored ? 'stored' : 'expected',
            media_type: stored?.mediaType ?? null,
            bytes: stored ? Buffer.from(stored.bytes) : null,
            created_at: at,
          })
          .onConflict((conflict) => conflict.column('id').doNothing())
          .execute();
      }
    },

    addCode: (purpose, code, subject, now, minutes) => addCode(db, purpose, code, subject, now, minutes),
    useCode: (purpose, code, now) => useCode(db, purpose, code, now),

    async addUnread(rows) {
      for (const { id, ownerId, at, text, asked } of rows) {
        await db
          .insertInto('unread_clauses')
          .values({ id, owner_id: ownerId, at, text, asked: asked ?? null })
          .execute();
      }
    },

    async addForecast({ id, vehicleId, at, dueMiles, p10, p50, p90 }) {
      await db
        .insertInto('forecast_log')
        .values({ id, vehicle_id: vehicleId, at, due_miles: dueMiles, p10, p50, p90 })
        .execute();
    },

    async addChanges(changes) {
      for (const { at, kind, ownerId, subject } of changes) {
        await insertRow(context, 'changes', { at, kind, owner_id: ownerId, subject });
      }
    },

    async dueFollowUps(now, limit, behind) {
      const rows = await dueFollowUps(db, now, limit, behind).execute();
      return rows.map((row) => ({ id: row.id, ownerId: row.owner_id, attempts: row.attempts, dueAt: row.due_at }));
    },

    async followUp(id) {
      const row = await db
        .selectFrom('follow_ups')
        .select(['id', 'owner_id', 'attempts', 'due_at'])
        .where('id', '=', id)
        .executeTakeFirst();
      return row && { id: row.id, ownerId: row.owner_id, attempts: row.attempts, dueAt: row.due_at };
    },

    async takeLease(name, holder, now, until) {
      // A lease that runs longer than any is given for was written before the clock was set back.
      const tooLong = instantOf(2 * Date.parse(until) - Date.parse(now));
      const taken = await db
        .insertInto('leases')
        .values({ name, holder, until })
        .onConflict((conflict) =>
          conflict
            .column('name')
            .doUpdateSet({ holder, until })
            .where((eb) =>
              eb.or([
                eb('leases.holder', '=', holder),
                eb('leases.until', '<=', now),
                eb('leases.until', '>', tooLong),
              ]),
            ),
        )
        .executeTakeFirst();
      return taken.numInsertedOrUpdatedRows === 1n;
    },

    async dropLease(name, holder) {
      await db.deleteFrom('leases').where('name', '=', name).where('holder', '=', holder).execute();
    },

    prune: (limits) => prune(db, limits),

    async setting(name) {
      const row = await db.selectFrom('settings').select('value').where('name', '=', name).executeTakeFirst();
      return row && (JSON.parse(row.value) as unknown);
    },

    async saveSetting(name, value) {
      const text = JSON.stringify(value);
      await db
        .insertInto('settings')
        .values({ name, value: text })
        .onConflict((conflict) => conflict.column('name').doUpdateSet({ value: text }))
        .execute();
    },

    async expectedMedia(channel, now, limit) {
      const rows = await db
        .selectFrom('media')
        .select(['id', 'channel', 'file_id', 'attempts'])
        .where('state', '=', 'expected')
        .where('channel', '=', channel)
        .where((eb) => eb.or([eb('not_before', 'is', null), eb('not_before', '<=', now)]))
        .orderBy('created_at')
        .limit(limit)
        .execute();
      return rows.map((row) => ({
        id: row.id,
        channel: oneOf(CHANNELS, row.channel, `media.channel of ${row.id}`),
        fileId: row.file_id ?? '',
        attempts: row.attempts,
      }));
    },

    async mediaStored(id, bytes, mediaType) {
      await db
        .updateTable('media')
        .set({ state: 'stored', bytes: Buffer.from(bytes), media_type: mediaType })
        .where('id', '=', id)
        .execute();
    },

    async mediaLater(id, notBefore) {
      await db
        .updateTable('media')
        .set((eb) => ({ attempts: eb('attempts', '+', 1), not_before: notBefore }))
        .where('id', '=', id)
        .execute();
    },

    async mediaRefused(id, because) {
      const row = await db
        .updateTable('media')
        .set({ state: 'refused', refused_because: because })
        .where('id', '=', id)
        .returning('owner_id')
        .executeTakeFirst();
      return row?.owner_id ?? undefined;
    },

    async mediaBytes(ids) {
      if (ids.length === 0) return [];
      const rows = await db
        .selectFrom('media')
        .select(['id', 'state', 'bytes', 'media_type'])
        .where('id', 'in', ids)
        .execute();
      return ids.flatMap((id) => {
        const row = rows.find((candidate) => candidate.id === id);
        if (!row) return [];
        return [
          {
            id,
            state: row.state,
            ...(row.bytes && { bytes: row.bytes }),
            ...(row.media_type !== null && { mediaType: row.media_type }),
          },
        ];
      });
    },
  };
};
