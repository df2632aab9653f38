import { sql, type Kysely } from 'kysely';
import { HOLDING_STATES, type FollowUp, type Vehicle } from '../../core/mod.ts';
import { forecastsOf } from './forecasts.ts';
import { blocksBetween } from './diary.ts';
import { oneOf, OutboxPayload, readJson, Strings } from './json.ts';
import { followUpOf, loadVehicles, ownerOf, requestOf } from './owner-load.ts';
import { inboxSeqAt, messagePosition, outboxId } from './positions.ts';
import type { Database } from './schema.ts';
import { CHANGE_KINDS } from './store-types.ts';
import type { FollowUpView, OwnerInBrief, RequestView, TalkLine, VehicleView, Views } from './types.ts';

type Db = Kysely<Database>;

/** More rows than this on one page help nobody. */
const PAGE = 200;
/** The digits of a phone number that is written with brackets, blanks, hyphens or dots. */
const PHONE_DIGITS = sql.raw(
  ['(', ')', ' ', '-', '.', '+'].reduce((inner, sign) => `replace(${inner}, '${sign}', '')`, 'owners.phone'),
);

/** A page that missed more than this is better read anew. */
const MOST_CHANGES = 1000;

/** What the pages read. Each call is one or a few queries with indexes; nothing is counted over whole tables. */
export function viewsOf(db: Db, family: 'sqlite' | 'postgres'): Views {
  return {
    async requests(states, limit = PAGE) {
      const rows = await db
        .selectFrom('requests')
        .selectAll()
        .where('state', 'in', [...states])
        .orderBy('created_at', 'desc')
        .limit(limit)
        .execute();
      return withOwners(db, rows);
    },

    async request(id) {
      const rows = await db.selectFrom('requests').selectAll().where('id', '=', id).execute();
      return (await withOwners(db, rows))[0];
    },

    async booked(from, to) {
      const rows = await db
        .selectFrom('requests')
        .selectAll()
        .where('state', 'in', [...HOLDING_STATES, 'closed'])
        .where('slot_start', '<', to)
        .where('slot_end', '>', from)
        .orderBy('slot_start')
        .execute();
      return withOwners(db, rows);
    },

    blocks: (from, to, zone) => blocksBetween(db, from, to, zone),

    async due(before, limit = PAGE) {
      const rows = await db
        .selectFrom('follow_ups')
        .selectAll()
        .where('state', '=', 'waiting')
        // The end of a held time is the clock's own affair; nobody at the shop has to do anything about it.
        .where('kind', '!=', 'hold-ends')
        .where('due_at', '<', before)
        .orderBy('due_at')
        .limit(limit)
        .execute();
      return followUpViews(db, rows);
    },

    async callList(limit = PAGE) {
      const rows = await db
        .selectFrom('follow_ups')
        .selectAll()
        .where('state', '=', 'call-list')
        .orderBy('due_at')
        .limit(limit)
        .execute();
      return followUpViews(db, rows);
    },

    async vehicle(id) {
      const row = await db.selectFrom('vehicles').select('owner_id').where('id', '=', id).executeTakeFirst();
      if (!row) return undefined;
      return (await vehicleViews(db, [row.owner_id])).find(({ vehicle }) => vehicle.id === id);
    },

    async vehicles(limit = PAGE, after = '') {
      const rows = await db
        .selectFrom('vehicles')
        .select(['id', 'owner_id'])
        .where('id', '>', after)
        .orderBy('id')
        .limit(limit)
        .execute();
      return pick(db, rows);
    },

    async putOff(limit = PAGE) {
      const rows = await db
        .selectFrom('service_records')
        .select(['id', 'vehicle_id', 'owner_id'])
        .where('body', 'like', '%"putOff":[{%')
        .orderBy('date', 'desc')
        .limit(limit)
        .execute();
      const views = await pick(
        db,
        rows.map(({ vehicle_id, owner_id }) => ({ id: vehicle_id, owner_id })),
      );
      return views.flatMap(({ vehicle, owner }) =>
        vehicle.records.flatMap(({ id, date, odometerMiles, putOff }) =>
          putOff.map(({ service, because }) => ({
            vehicleId: vehicle.id,
            recordId: id,
            date,
            odometerMiles,
            service,
            because,
            owner,
          })),
        ),
      );
    },

    async search(words, limit = 50) {
      const wanted = words.trim().toLowerCase();
      if (wanted === '') return [];
      const like = `%${wanted.replace(/[\\%_]/g, (sign) => `\\${sign}`)}%`;
      const digits = wanted.replace(/\D/g, '');
      const rows = await db
        .selectFrom('vehicles')
        .innerJoin('owners', 'owners.id', 'vehicles.owner_id')
        .select(['vehicles.id', 'vehicles.owner_id'])
        .where((eb) =>
          eb.or([
            eb('vehicles.id', '=', words.trim()),
            sql<boolean>`lower(owners.name) like ${like} escape '\\'`,
            // A number is kept as people write it, and looked for by its digits.
            ...(digits.length >= 4 ? [sql<boolean>`${PHONE_DIGITS} like ${`%${digits}%`}`] : []),
            eb.exists(
              eb
                .selectFrom('facts')
                .select('facts.ordinal')
                .whereRef('facts.vehicle_id', '=', 'vehicles.id')
                .where('facts.key', '=', 'vin')
                .where(sql<boolean>`lower(facts.value) like ${like} escape '\\'`),
            ),
          ]),
        )
        .orderBy('vehicles.created_at', 'desc')
        .limit(limit)
        .execute();
      return pick(db, rows);
    },

    async unread(limit = PAGE) {
      const rows = await db.selectFrom('unread_clauses').selectAll().orderBy('at', 'desc').limit(limit).execute();
      return rows.map(({ id, at, text, asked, label, labelled_by }) => ({
        id,
        at,
        text,
        asked,
        label,
        labelledBy: labelled_by,
      }));
    },

    async labelUnread(id, label, by, at) {
      await db
        .updateTable('unread_clauses')
        .set({ label, labelled_by: by, labelled_at: at })
        .where('id', '=', id)
        .execute();
    },

    talk: (ownerId, after = -1, limit = PAGE) => talk(db, ownerId, after, limit),

    async ownerAt(channel, address) {
      const link = await db
        .selectFrom('owner_links')
        .select('owner_id')
        .where('channel', '=', channel)
        .where('address', '=', address)
        .executeTakeFirst();
      return link?.owner_id;
    },

    async picture(id) {
      const row = await db
        .selectFrom('media')
        .select(['owner_id', 'bytes', 'media_type'])
        .where('id', '=', id)
        .where('state', '=', 'stored')
        .executeTakeFirst();
      if (!row?.bytes) return undefined;
      return { ownerId: row.owner_id, bytes: row.bytes, mediaType: row.media_type ?? 'image/jpeg' };
    },

    changesSince: (position) => changesSince(db, family, position),

    forecasts: (limit) => forecastsOf(db, limit),

    async staffAnswer(externalId) {
      const row = await db
        .selectFrom('inbox')
        .select(['state', 'answer', 'seq'])
        .where('channel', '=', 'staff')
        .where('external_id', '=', externalId)
        .executeTakeFirst();
      if (!row || row.state === 'waiting') return undefined;
      const answer = row.answer === null ? [] : readJson(Strings, row.answer, `inbox.answer of row ${row.seq}`);
      return { state: row.state, answer };
    },
  };
}

async function owners(db: Db, ids: string[]): Promise<Map<string, OwnerInBrief>> {
  if (ids.length === 0) return new Map();
  const rows = await db
    .selectFrom('owners')
    .selectAll()
    .where('id', 'in', [...new Set(ids)])
    .execute();
  return new Map(
    rows.map((row) => {
      const { id, name, phone, language, zone, channel, consent, optedOutAt, unreachableSince } = ownerOf(row);
      const brief = { id, language, zone, channel, ...(name && { name }), ...(phone && { phone }) };
      return [
        id,
        {
          ...brief,
          consented: consent !== undefined,
          optedOut: optedOutAt !== undefined,
          unreachable: unreachableSince !== undefined,
        },
      ];
    }),
  );
}

async function withOwners(db: Db, rows: Parameters<typeof requestOf>[0][]): Promise<RequestView[]> {
  const found = await owners(
    db,
    rows.map(({ owner_id }) => owner_id),
  );
  return rows.flatMap((row) => {
    const owner = found.get(row.owner_id);
    return owner ? [{ request: requestOf(row), owner }] : [];
  });
}

async function followUpViews(db: Db, rows: Parameters<typeof followUpOf>[0][]): Promise<FollowUpView[]> {
  const ids = rows.map(({ owner_id }) => owner_id);
  const found = await owners(db, ids);
  const vehicles = await loadVehicles(db, [...new Set(ids)]);
  return rows.flatMap((row) => {
    const owner = found.get(row.owner_id);
    if (!owner) return [];
    const followUp: FollowUp = followUpOf(row);
    const vehicle = vehicles.get(row.owner_id)?.find(({ id }) => id === followUp.vehicleId) ?? null;
    return [{ followUp, owner, vehicle }];
  });
}

/** The vehicles named by rows, in the rows' order. */
async function pick(db: Db, rows: { id: string; owner_id: string }[]): Promise<VehicleView[]> {
  const views = await vehicleViews(db, [...new Set(rows.map(({ owner_id }) => owner_id))]);
  const byId = new Map(views.map((view) => [view.vehicle.id, view]));
  return [...new Set(rows.map(({ id }) => id))].flatMap((id) => byId.get(id) ?? []);
}

async function vehicleViews(db: Db, ownerIds: string[]): Promise<VehicleView[]> {
  if (ownerIds.length === 0) return [];
  const found = await owners(db, ownerIds);
  const vehicles = await loadVehicles(db, ownerIds);
  const requests = (
    await db.selectFrom('requests').selectAll().where('owner_id', 'in', ownerIds).orderBy('ordinal').execute()
  ).map(requestOf);
  const followUps = (
    await db.selectFrom('follow_ups').selectAll().where('owner_id', 'in', ownerIds).orderBy('ordinal').execute()
  ).map(followUpOf);
  return [...vehicles].flatMap(([ownerId, list]) => {
    const owner = found.get(ownerId);
    if (!owner) return [];
    return list.map((vehicle: Vehicle) => ({
      vehicle,
      owner,
      requests: requests.filter(({ vehicleId }) => vehicleId === vehicle.id),
      followUps: followUps.filter(({ vehicleId }) => vehicleId === vehicle.id),
    }));
  });
}

async function talk(db: Db, ownerId: string, after: number, limit: number): Promise<TalkLine[]> {
  const said = await db
    .selectFrom('messages')
    .selectAll()
    .where('owner_id', '=', ownerId)
    .where('inbox_seq', '>=', inboxSeqAt(after))
    .orderBy('inbox_seq', 'desc')
    .limit(limit)
    .execute();
  const sent = await db
    .selectFrom('outbox')
    .select(['position', 'payload', 'created_at'])
    .where('owner_id', '=', ownerId)
    .where('to_staff', '=', 0)
    .where('position', '>', after)
    .orderBy('position', 'desc')
    .limit(limit)
    .execute();
  const lines: TalkLine[] = said.map((row) => ({
    position: messagePosition(row.inbox_seq),
    id: `i${row.inbox_seq}`,
    at: row.at,
    from: 'owner',
    text: row.text,
    buttons: [],
    photos: readJson(Strings, row.photos, `messages.photos of ${row.inbox_seq}`),
    askContact: false,
  }));
  for (const row of sent) {
    const id = outboxId(row.position);
    const payload = readJson(OutboxPayload, row.payload, `outbox.payload of ${id}`);
    lines.push({
      position: row.position,
      id,
      at: row.created_at,
      from: 'shop',
      text: payload.text,
      buttons: payload.buttons,
      photos: payload.photos ?? [],
      askContact: payload.askContact ?? false,
      ...(payload.attachment && { attachment: payload.attachment }),
    });
  }
  return lines
    .filter(({ position }) => position > after)
    .sort((a, b) => a.position - b.position)
    .slice(-limit);
}

/**
 * On PostgreSQL numbers become visible out of order, so what was written by transactions that were over before the
 * oldest running one is told, and the rest the next time; on SQLite the sequence itself tells.
 */
async function changesSince(db: Db, family: 'sqlite' | 'postgres', position: number | undefined) {
  const place = family === 'postgres' ? ('position' as const) : ('seq' as const);
  const { rows } = await (
    family === 'postgres'
      ? sql<{ horizon: number }>`select (pg_snapshot_xmin(pg_current_snapshot())::text::bigint - 1) as horizon`
      : sql<{ horizon: number }>`select coalesce(max(seq), 0) as horizon from changes`
  ).execute(db);
  const horizon = Number(rows[0]?.horizon ?? 0);
  if (position === undefined) return { changes: [], next: horizon };
  const found = await db
    .selectFrom('changes')
    .select(['at', 'kind', 'owner_id', 'subject'])
    .where(place, '>', position)
    .where(place, '<=', horizon)
    .orderBy(place)
    .orderBy('seq')
    .limit(MOST_CHANGES)
    .execute();
  const changes = found.map(({ at, kind, owner_id, subject }) => ({
    at,
    kind: oneOf(CHANGE_KINDS, kind, 'changes.kind'),
    ownerId: owner_id,
    subject,
  }));
  return { changes, next: Math.max(position, horizon), ...(found.length === MOST_CHANGES && { more: true }) };
}
