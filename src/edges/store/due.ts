import type { Kysely } from 'kysely';
import type { Instant } from '../../core/mod.ts';
import type { Database } from './schema.ts';

/**
 * The sweep: follow-ups that are due, in order, a page behind the last one. It reads one stretch of the index by state
 * and time, from where the last page ended until now, so that it costs what is due and not what is stored.
 */
export const dueFollowUps = (
  db: Kysely<Database>,
  now: Instant,
  limit: number,
  behind: { dueAt: Instant; id: string } = { dueAt: '', id: '' },
) =>
  db
    .selectFrom('follow_ups')
    .select(['id', 'owner_id', 'attempts', 'due_at'])
    .where('state', '=', 'waiting')
    .where('due_at', '>=', behind.dueAt)
    .where('due_at', '<=', now)
    .where((eb) => eb.or([eb('due_at', '>', behind.dueAt), eb('id', '>', behind.id)]))
    .orderBy('due_at')
    .orderBy('id')
    .limit(limit);
