import type { OwnerFile } from '../../core/mod.ts';
import type { Context } from './context.ts';
import { optOutHash } from './context.ts';
import { loadDiary } from './diary.ts';
import { blankInbox, forgetOwner, writtenAfter } from './forget.ts';
import { mergeOwners } from './merge.ts';
import { loadFileOf, ownerOf } from './owner-load.ts';
import { runPrepared } from './prepared.ts';
import { saveOwnerFile } from './owner-save.ts';
import type { StoreTransaction } from './types.ts';

export type OwnersPart = Pick<
  StoreTransaction,
  | 'ownersAt'
  | 'addOwner'
  | 'mergeAddress'
  | 'addressOf'
  | 'loadFile'
  | 'saveFile'
  | 'loadDiary'
  | 'forgetOwner'
  | 'markUnreachable'
>;

/** Owners, the addresses they write from, and everything about them that a turn works on. */
export const ownersPart = (context: Context): OwnersPart => {
  const { db, optOutKey, files } = context;
  const ownerAt = async (channel: string, address: string) => {
    const link = await db
      .selectFrom('owner_links')
      .select('owner_id')
      .where('channel', '=', channel)
      .where('address', '=', address)
      .executeTakeFirst();
    return link?.owner_id;
  };
  return {
    async ownersAt(addresses) {
      const owners: (string | undefined)[] = [];
      for (const { channel, address } of addresses) owners.push(await ownerAt(channel, address));
      return owners;
    },

    async addOwner({ id, channel, address, language, zone, at }) {
      if (address === null) {
        await db
          .insertInto('owners')
          .values({ id, revision: 1, channel, language, zone, created_at: at })
          .onConflict((conflict) => conflict.column('id').doNothing())
          .execute();
        return id;
      }
      const link = await db
        .insertInto('owner_links')
        .values({ channel, address, owner_id: id, linked_at: at })
        .onConflict((conflict) => conflict.columns(['channel', 'address']).doNothing())
        .executeTakeFirst();
      if (link.numInsertedOrUpdatedRows !== 1n) {
        // Another process was first with this address.
        const known = await ownerAt(channel, address);
        if (known !== undefined) return known;
      }
      const optedOut = await db
        .selectFrom('opt_outs')
        .select('at')
        .where('hash', '=', optOutHash(optOutKey, channel, address))
        .executeTakeFirst();
      await db
        .insertInto('owners')
        .values({ id, revision: 1, channel, language, zone, created_at: at, opted_out_at: optedOut?.at ?? null })
        .execute();
      return id;
    },

    mergeAddress: (link, into, at) => mergeOwners(db, link, into, at),

    async addressOf(ownerId, channel) {
      const link = await db
        .selectFrom('owner_links')
        .select('address')
        .where('owner_id', '=', ownerId)
        .where('channel', '=', channel)
        .orderBy('linked_at', 'desc')
        .executeTakeFirst();
      return link?.address;
    },

    async loadFile(ownerId) {
      const { rows } = await runPrepared(context, 'load owner', [ownerId], (handle) =>
        handle.selectFrom('owners').selectAll().where('id', '=', ownerId),
      );
      const [row] = rows;
      if (!row) return undefined;
      const file = files.get(ownerId, row.revision) ?? (await loadFileOf(db, row));
      files.put(ownerId, row.revision, file);
      return file;
    },

    async saveFile(before, after) {
      const outcome = await saveOwnerFile(context, before, after);
      const revision = files.revisionOf(before);
      if (outcome.outcome === 'saved' && revision !== undefined) {
        // As the database would give it back: the position comes from a library and may hold what JSON leaves out.
        const conversation =
          before.conversation === after.conversation
            ? after.conversation
            : (JSON.parse(JSON.stringify(after.conversation)) as OwnerFile['conversation']);
        files.put(after.owner.id, revision + 1, { ...after, conversation });
      }
      return outcome;
    },

    loadDiary: (from, to, zone, now) => loadDiary(db, from, to, zone, now),

    async forgetOwner(ownerId, seq, at) {
      const owner = await db.selectFrom('owners').selectAll().where('id', '=', ownerId).executeTakeFirst();
      if (!owner) return;
      await forgetOwner(context, owner, at);
      for (const waiting of await writtenAfter(db, ownerId, seq)) {
        const { language, zone } = ownerOf(owner);
        const next = await this.addOwner({ ...waiting, id: `${ownerId}-${waiting.seq}`, language, zone, at });
        await db.updateTable('inbox').set({ owner_id: next }).where('seq', '=', waiting.seq).execute();
      }
      await blankInbox(db, ownerId, at);
    },

    async markUnreachable(ownerId, at) {
      await db
        .updateTable('owners')
        .set((eb) => ({ unreachable_since: at, revision: eb('revision', '+', 1) }))
        .where('id', '=', ownerId)
        .where('unreachable_since', 'is', null)
        .execute();
    },
  };
};
