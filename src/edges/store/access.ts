import type { Kysely } from 'kysely';
import type { Instant } from '../../core/mod.ts';
import { addCode, later, useCode } from './codes.ts';
import type { Context } from './context.ts';
import type { Database } from './schema.ts';
import { hashOf, newToken, newTypedCode } from './secrets.ts';
import type { Access, StaffAccount } from './types.ts';

/** Runs a short piece of work in a transaction of its own. */
export type InTransaction = <T>(work: (context: Context) => Promise<T>) => Promise<T>;

export function accessOf(inTransaction: InTransaction): Access {
  const staffById = (db: Kysely<Database>, id: string): Promise<StaffAccount | undefined> =>
    db
      .selectFrom('staff')
      .select(['id', 'name', 'role'])
      .where('id', '=', id)
      .where('removed_at', 'is', null)
      .executeTakeFirst();

  return {
    syncStaff: (people, now) =>
      inTransaction(async ({ db }) => {
        for (const { id, name, role } of people) {
          await db
            .insertInto('staff')
            .values({ id, name, role, removed_at: null })
            .onConflict((conflict) => conflict.column('id').doUpdateSet({ name, role, removed_at: null }))
            .execute();
        }
        const ids = people.map(({ id }) => id);
        const gone = await db
          .updateTable('staff')
          .set({ removed_at: now })
          .where('removed_at', 'is', null)
          .$if(ids.length > 0, (query) => query.where('id', 'not in', ids))
          .returning('id')
          .execute();
        for (const { id } of gone) await db.deleteFrom('staff_sessions').where('staff_id', '=', id).execute();
      }),

    staff: () =>
      inTransaction(({ db }) =>
        db.selectFrom('staff').select(['id', 'name', 'role']).where('removed_at', 'is', null).orderBy('name').execute(),
      ),

    createCode: (purpose, subject, now, minutes) =>
      inTransaction(async ({ db }) => {
        // A sign-in link is followed, the other codes are typed or carried by hand.
        const code = purpose === 'sign-in' ? newToken() : newTypedCode();
        await addCode(db, purpose, code, subject, now, minutes);
        return code;
      }),

    signIn: (code, now, hours) =>
      inTransaction(async ({ db }) => {
        const staffId = await useCode(db, 'sign-in', code, now);
        const staff = staffId === undefined ? undefined : await staffById(db, staffId);
        if (!staff) return undefined;
        const token = newToken();
        await db
          .insertInto('staff_sessions')
          .values({
            token_hash: hashOf(token),
            staff_id: staff.id,
            created_at: now,
            expires_at: later(now, hours * 60),
          })
          .execute();
        return { token, staff };
      }),

    session: (token, now) =>
      inTransaction(async ({ db }) => {
        const session = await db
          .selectFrom('staff_sessions')
          .select('staff_id')
          .where('token_hash', '=', hashOf(token))
          .where('expires_at', '>', now)
          .executeTakeFirst();
        return session && staffById(db, session.staff_id);
      }),

    signOut: (token) =>
      inTransaction(async ({ db }) => {
        await db.deleteFrom('staff_sessions').where('token_hash', '=', hashOf(token)).execute();
      }),

    linkStaffChat: (code, { channel, address }, now) =>
      inTransaction(async ({ db }) => {
        const by = await useCode(db, 'staff-chat', code, now);
        if (by === undefined) return { linked: false };
        await addChat(db, channel, address, now, by);
        return { linked: true, by };
      }),

    addStaffChat: ({ channel, address }, now, by) => inTransaction(({ db }) => addChat(db, channel, address, now, by)),

    isStaffChat: (channel, address) =>
      inTransaction(async ({ db }) => {
        const chat = await db
          .selectFrom('staff_chats')
          .select('address')
          .where('channel', '=', channel)
          .where('address', '=', address)
          .executeTakeFirst();
        return chat !== undefined;
      }),
  };
}

async function addChat(
  db: Kysely<Database>,
  channel: string,
  address: string,
  now: Instant,
  by: string,
): Promise<void> {
  await db
    .insertInto('staff_chats')
    .values({ channel, address, linked_at: now, linked_by: by })
    .onConflict((conflict) => conflict.columns(['channel', 'address']).doNothing())
    .execute();
}
