import type { Kysely } from 'kysely';
import type { Instant } from '../../core/mod.ts';
import { instantOf } from './quarters.ts';
import type { Database } from './schema.ts';
import { hashOf } from './secrets.ts';
import type { CodePurpose } from './types.ts';

export const later = (now: Instant, minutes: number): Instant => instantOf(Date.parse(now) + minutes * 60_000);

/** Keeps a code's hash until it is used or expires. */
export async function addCode(
  db: Kysely<Database>,
  purpose: CodePurpose,
  code: string,
  subject: string,
  now: Instant,
  minutes: number,
): Promise<void> {
  await db
    .insertInto('one_time_codes')
    .values({
      code_hash: hashOf(code),
      purpose,
      subject,
      created_at: now,
      expires_at: later(now, minutes),
    })
    .execute();
}

/** Uses a code up; answers whom or what it stands for, or undefined where it is unknown, used or expired. */
export async function useCode(
  db: Kysely<Database>,
  purpose: CodePurpose,
  code: string,
  now: Instant,
): Promise<string | undefined> {
  const used = await db
    .updateTable('one_time_codes')
    .set({ used_at: now })
    .where('code_hash', '=', hashOf(code))
    .where('purpose', '=', purpose)
    .where('used_at', 'is', null)
    .where('expires_at', '>', now)
    .returning('subject')
    .executeTakeFirst();
  return used?.subject;
}
