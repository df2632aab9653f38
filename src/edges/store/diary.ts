import { DateTime } from 'luxon';
import type { Kysely } from 'kysely';
import {
  holdOf,
  HOLDING_STATES,
  type Block,
  type Diary,
  type Instant,
  type IsoDate,
  type Zone,
} from '../../core/mod.ts';
import type { Context } from './context.ts';
import { instantOfIso, quartersBetween } from './quarters.ts';
import type { Database } from './schema.ts';
import type { StoreTransaction } from './types.ts';

type Db = Kysely<Database>;

export type DiaryPart = Pick<StoreTransaction, 'addBlock' | 'endBlock'>;

/** Rows that one statement inserts at most: SQLite bears some thousands of parameters. */
const ROWS_A_STATEMENT = 300;

/** Blocks of bays and people. They take their quarter hours by the same unique key as requests do. */
export const diaryPart = ({ db }: Context): DiaryPart => ({
  async addBlock({ id, resource, start, end, because, by, at }) {
    const quarters = quartersBetween({ start, end });
    const [first, last] = [quarters[0], quarters.at(-1)];
    if (first === undefined || last === undefined) return { outcome: 'taken', holders: [] };
    const holders = async () => {
      const rows = await db
        .selectFrom('claims')
        .select('request_id')
        .distinct()
        .where('resource', '=', resource)
        .where('quarter', '>=', first)
        .where('quarter', '<=', last)
        .where('request_id', '!=', id)
        .execute();
      return rows.map(({ request_id }) => request_id);
    };
    const standing = await holders();
    if (standing.length > 0) return { outcome: 'taken', holders: standing };
    for (let from = 0; from < quarters.length; from += ROWS_A_STATEMENT) {
      const rows = quarters
        .slice(from, from + ROWS_A_STATEMENT)
        .map((quarter) => ({ resource, quarter, request_id: id }));
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('claims')
        .values(rows)
        .onConflict((conflict) => conflict.doNothing())
        .executeTakeFirstOrThrow();
      if (numInsertedOrUpdatedRows === BigInt(rows.length)) continue;
      // Another process was first with one of them.
      const others = await holders();
      await db.deleteFrom('claims').where('request_id', '=', id).execute();
      return { outcome: 'taken', holders: others };
    }
    await db
      .insertInto('blocks')
      .values({ id, resource, start_at: instantOfIso(start), end_at: instantOfIso(end), because, blocked_by: by, at })
      .execute();
    return { outcome: 'saved' };
  },

  async endBlock(id) {
    const { numDeletedRows } = await db.deleteFrom('blocks').where('id', '=', id).executeTakeFirstOrThrow();
    if (numDeletedRows === 0n) return false;
    await db.deleteFrom('claims').where('request_id', '=', id).execute();
    return true;
  },
});

const inZone = (zone: Zone) => (at: Instant) =>
  DateTime.fromISO(at, { zone }).toISO({ suppressMilliseconds: true }) ?? at;

/** Everything that takes bays and people between two days of the zone, with whose it is. */
export async function loadDiary(db: Db, from: IsoDate, to: IsoDate, zone: Zone, now: Instant): Promise<Diary> {
  const first = DateTime.fromISO(from, { zone }).startOf('day').toUTC().toISO() ?? from;
  const last = DateTime.fromISO(to, { zone }).endOf('day').toUTC().toISO() ?? to;
  const requests = await db
    .selectFrom('requests')
    .select(['id', 'slot_bay as bay', 'slot_person as person', 'slot_start as start', 'slot_end as end'])
    .where('state', 'in', [...HOLDING_STATES])
    .where('slot_start', '<=', last)
    .where('slot_end', '>=', first)
    .orderBy('slot_start')
    .orderBy('id')
    .execute();
  const blocks = await db
    .selectFrom('blocks')
    .select(['id', 'resource', 'start_at', 'end_at'])
    .where('start_at', '<=', last)
    .where('end_at', '>=', first)
    .orderBy('start_at')
    .orderBy('id')
    .execute();
  const holds = await db.selectFrom('holds').selectAll().orderBy('start_at').orderBy('owner_id').execute();
  const local = inZone(zone);
  const taken = [
    ...requests.flatMap(({ id, bay, person, start, end }) =>
      bay !== null && start !== null && end !== null ? [{ id, bay, person, start, end }] : [],
    ),
    ...blocks.map(({ id, resource, start_at: start, end_at: end }) => ({
      id,
      bay: resource,
      person: null,
      start,
      end,
    })),
    ...holds.map(({ owner_id, bay, person, start_at: start, end_at: end }) => ({
      id: holdOf(owner_id),
      bay,
      person,
      start,
      end,
    })),
  ].map(({ id, bay, person, start, end }) => ({
    bay,
    start: local(start),
    end: local(end),
    ...(person !== null && { person }),
    holder: id,
  }));
  return { from, to, taken, loadedAt: now };
}

/** What blocks bays and people between two instants, in time order. */
export async function blocksBetween(db: Db, from: Instant, to: Instant, zone: Zone): Promise<Block[]> {
  const rows = await db
    .selectFrom('blocks')
    .selectAll()
    .where('start_at', '<', to)
    .where('end_at', '>', from)
    .orderBy('start_at')
    .orderBy('id')
    .execute();
  const local = inZone(zone);
  return rows.map(({ id, resource, start_at, end_at, because, blocked_by, at }) => ({
    id,
    resource,
    start: local(start_at),
    end: local(end_at),
    because,
    by: blocked_by,
    at,
  }));
}
