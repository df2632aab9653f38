import type { Kysely, Selectable } from 'kysely';
import {
  CHANNELS,
  FACT_KEYS,
  FACT_SOURCES,
  FOLLOW_UP_KINDS,
  LANGUAGES,
  REQUEST_STATES,
  type BookingRequest,
  type FollowUp,
  type Owner,
  type OwnerFile,
  type Vehicle,
} from '../../core/mod.ts';
import * as json from './json.ts';
import type { Database } from './schema.ts';

type Row<T extends keyof Database> = Selectable<Database[T]>;
type OwnerRow = Row<'owners'>;

/** Rows of one owner, or of several together when a page lists them. */
export interface OwnerRows {
  vehicles: Row<'vehicles'>[];
  facts: Row<'facts'>[];
  readings: Row<'readings'>[];
  records: Row<'service_records'>[];
}

/** Everything about one owner that a turn works on. */
export async function loadFileOf(db: Kysely<Database>, owner: OwnerRow): Promise<OwnerFile> {
  const conversation = await db
    .selectFrom('conversations')
    .select('body')
    .where('owner_id', '=', owner.id)
    .executeTakeFirst();
  const vehicles = await loadVehicles(db, [owner.id]);
  const requests = await db
    .selectFrom('requests')
    .selectAll()
    .where('owner_id', '=', owner.id)
    .orderBy('ordinal')
    .execute();
  const followUps = await db
    .selectFrom('follow_ups')
    .selectAll()
    .where('owner_id', '=', owner.id)
    .orderBy('ordinal')
    .execute();
  return {
    owner: ownerOf(owner),
    conversation: conversation
      ? json.readJson(json.StoredConversation, conversation.body, `conversations.body of ${owner.id}`)
      : json.newConversation(),
    vehicles: vehicles.get(owner.id) ?? [],
    requests: requests.map(requestOf),
    followUps: followUps.map(followUpOf),
    unaskedAt: json.readJson(json.Strings, owner.unasked_at, `owners.unasked_at of ${owner.id}`),
  };
}

/** The vehicles of several owners with their facts, readings and records, by owner. */
export async function loadVehicles(db: Kysely<Database>, ownerIds: string[]): Promise<Map<string, Vehicle[]>> {
  const byOwner = new Map<string, Vehicle[]>();
  if (ownerIds.length === 0) return byOwner;
  const vehicles = await db
    .selectFrom('vehicles')
    .selectAll()
    .where('owner_id', 'in', ownerIds)
    .orderBy('ordinal')
    .execute();
  if (vehicles.length === 0) return byOwner;
  const facts = await db.selectFrom('facts').selectAll().where('owner_id', 'in', ownerIds).orderBy('ordinal').execute();
  const readings = await db
    .selectFrom('readings')
    .selectAll()
    .where('owner_id', 'in', ownerIds)
    .orderBy('ordinal')
    .execute();
  const records = await db
    .selectFrom('service_records')
    .selectAll()
    .where('owner_id', 'in', ownerIds)
    .orderBy('ordinal')
    .execute();
  for (const row of vehicles) {
    const list = byOwner.get(row.owner_id) ?? [];
    byOwner.set(row.owner_id, list);
    list.push(vehicleOf(row, { vehicles, facts, readings, records }));
  }
  return byOwner;
}

function vehicleOf(row: Row<'vehicles'>, rows: OwnerRows): Vehicle {
  const where = `of vehicle ${row.id}`;
  const papers = json.readJson(json.StoredPapers, row.papers, `vehicles.papers ${where}`);
  return {
    id: row.id,
    ...(Object.keys(papers).length > 0 && { papers }),
    state: json.oneOf(['active', 'sold', 'scrapped'], row.state, `vehicles.state ${where}`),
    unknowable: json.readJson(json.Unknowable, row.unknowable, `vehicles.unknowable ${where}`),
    createdAt: row.created_at,
    facts: rows.facts
      .filter(({ vehicle_id }) => vehicle_id === row.id)
      .map((fact) => ({
        key: json.oneOf(FACT_KEYS, fact.key, `facts.key ${where}`),
        value: json.readJson(json.FactValue, fact.value, `facts.value ${where}`),
        ...(fact.words !== null && { words: fact.words }),
        source: json.oneOf(FACT_SOURCES, fact.source, `facts.source ${where}`),
        sure: fact.sure === 1,
        at: fact.at,
        ...(fact.message_ref !== null && { messageRef: fact.message_ref }),
      })),
    readings: rows.readings
      .filter(({ vehicle_id }) => vehicle_id === row.id)
      .map((reading) => ({
        id: reading.id,
        miles: reading.miles,
        date: reading.date,
        source: json.oneOf(['owner', 'staff'], reading.source, `readings.source ${where}`),
        ...(reading.message_ref !== null && { messageRef: reading.message_ref }),
        ...(reading.cluster_reset !== null && { clusterReset: reading.cluster_reset === 1 }),
      })),
    records: rows.records
      .filter(({ vehicle_id }) => vehicle_id === row.id)
      .map((record) => ({
        id: record.id,
        ...(record.request_id !== null && { requestId: record.request_id }),
        date: record.date,
        odometerMiles: record.odometer_miles,
        closedBy: record.closed_by,
        ...json.readJson(json.RecordBody, record.body, `service_records.body of ${record.id}`),
      })),
  };
}

export const ownerOf = (row: OwnerRow): Owner => ({
  id: row.id,
  language: json.oneOf(LANGUAGES, row.language, `owners.language of ${row.id}`),
  zone: row.zone,
  ...(row.name !== null && { name: row.name }),
  ...(row.phone !== null && { phone: row.phone }),
  ...(row.consent_at !== null && { consent: { at: row.consent_at, wording: row.consent_wording ?? '' } }),
  ...(row.opted_out_at !== null && { optedOutAt: row.opted_out_at }),
  ...(row.unreachable_since !== null && { unreachableSince: row.unreachable_since }),
  channel: json.oneOf(CHANNELS, row.channel, `owners.channel of ${row.id}`),
  createdAt: row.created_at,
});

export const requestOf = (row: Row<'requests'>): BookingRequest => ({
  id: row.id,
  vehicleId: row.vehicle_id,
  state: json.oneOf(REQUEST_STATES, row.state, `requests.state of ${row.id}`),
  revision: row.revision,
  createdAt: row.created_at,
  answerBy: row.answer_by,
  ...json.readJson(json.RequestBody, row.body, `requests.body of ${row.id}`),
});

export const followUpOf = (row: Row<'follow_ups'>): FollowUp => ({
  id: row.id,
  kind: json.oneOf(FOLLOW_UP_KINDS, row.kind, `follow_ups.kind of ${row.id}`),
  ...(row.vehicle_id !== null && { vehicleId: row.vehicle_id }),
  ...(row.request_id !== null && { requestId: row.request_id }),
  dueAt: row.due_at,
  state: json.oneOf(['waiting', 'sent', 'answered', 'closed', 'call-list'], row.state, `follow_ups.state of ${row.id}`),
  attempts: row.attempts,
  ...json.readJson(json.FollowUpBody, row.body, `follow_ups.body of ${row.id}`),
});
