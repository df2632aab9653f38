import type { Generated, GeneratedAlways } from 'kysely';

/** The tables as Kysely sees them; db/migrations makes them. JSON columns are text, flags are 0 or 1. */
export interface Database {
  inbox: {
    seq: Generated<number>;
    channel: string;
    external_id: string;
    owner_id: string;
    address: string | null;
    answer_channel: string | null;
    payload: string;
    received_at: string;
    state: 'waiting' | 'done' | 'failed';
    attempts: Generated<number>;
    not_before: string | null;
    done_at: string | null;
    answer: string | null;
    error: string | null;
  };
  outbox: {
    /** The inbox row and the ordinal of the reply in one number: see `positionOf`. */
    position: number;
    owner_id: string | null;
    to_staff: number;
    channel: string;
    address: string;
    payload: string;
    created_at: string;
    state: 'waiting' | 'sent' | 'refused' | 'unreachable';
    attempts: Generated<number>;
    not_before: string | null;
    sent_at: string | null;
    unasked: Generated<number>;
    external_message_id: string | null;
    error: string | null;
  };
  owners: {
    id: string;
    revision: number;
    channel: string;
    language: string;
    zone: string;
    name: string | null;
    phone: string | null;
    consent_at: string | null;
    consent_wording: string | null;
    opted_out_at: string | null;
    unreachable_since: string | null;
    forgotten_at: string | null;
    created_at: string;
    unasked_at: Generated<string>;
  };
  owner_links: { channel: string; address: string; owner_id: string; linked_at: string };
  conversations: { owner_id: string; body: string };
  vehicles: {
    id: string;
    owner_id: string;
    ordinal: number;
    state: string;
    unknowable: string;
    created_at: string;
    papers: Generated<string>;
  };
  facts: {
    vehicle_id: string;
    ordinal: number;
    owner_id: string;
    key: string;
    value: string;
    words: string | null;
    source: string;
    sure: number;
    at: string;
    message_ref: string | null;
  };
  readings: {
    id: string;
    vehicle_id: string;
    owner_id: string;
    ordinal: number;
    miles: number;
    date: string;
    source: string;
    message_ref: string | null;
    cluster_reset: number | null;
  };
  service_records: {
    id: string;
    vehicle_id: string;
    owner_id: string;
    ordinal: number;
    request_id: string | null;
    date: string;
    odometer_miles: number;
    closed_by: string;
    body: string;
  };
  requests: {
    id: string;
    owner_id: string;
    vehicle_id: string;
    ordinal: number;
    state: string;
    revision: number;
    created_at: string;
    answer_by: string;
    slot_bay: string | null;
    slot_person: string | null;
    /** UTC, so that text order is time order; the slot with the shop's offset stands in the body. */
    slot_start: string | null;
    slot_end: string | null;
    body: string;
  };
  /** `request_id` is the request, the block or the hold that has the quarter hour. */
  claims: { resource: string; quarter: string; request_id: string };
  /** Instants in UTC. */
  blocks: {
    id: string;
    resource: string;
    start_at: string;
    end_at: string;
    because: string;
    blocked_by: string;
    at: string;
  };
  holds: {
    owner_id: string;
    bay: string;
    person: string | null;
    start_at: string;
    end_at: string;
    until: string;
  };
  follow_ups: {
    id: string;
    owner_id: string;
    vehicle_id: string | null;
    request_id: string | null;
    ordinal: number;
    kind: string;
    due_at: string;
    state: string;
    attempts: number;
    body: string;
  };
  messages: {
    inbox_seq: number;
    owner_id: string;
    at: string;
    channel: string;
    address: string;
    kind: string;
    text: string;
    photos: string;
    message_ref: string | null;
  };
  media: {
    id: string;
    owner_id: string;
    channel: string;
    file_id: string | null;
    state: 'expected' | 'stored' | 'refused';
    media_type: string | null;
    bytes: Uint8Array | null;
    refused_because: string | null;
    attempts: Generated<number>;
    not_before: string | null;
    created_at: string;
  };
  staff: { id: string; name: string; role: string; removed_at: string | null };
  staff_sessions: { token_hash: string; staff_id: string; created_at: string; expires_at: string };
  one_time_codes: {
    code_hash: string;
    purpose: string;
    subject: string;
    created_at: string;
    expires_at: string;
    used_at: string | null;
  };
  staff_chats: { channel: string; address: string; linked_at: string; linked_by: string };
  unread_clauses: {
    id: string;
    owner_id: string | null;
    at: string;
    text: string;
    asked: string | null;
    label: string | null;
    labelled_by: string | null;
    labelled_at: string | null;
  };
  forecast_log: {
    id: string;
    vehicle_id: string;
    at: string;
    due_miles: number;
    p10: string | null;
    p50: string | null;
    p90: string | null;
  };
  opt_outs: { hash: string; at: string };
  settings: { name: string; value: string };
  leases: { name: string; holder: string; until: string };
  changes: {
    seq: Generated<number>;
    at: string;
    kind: string;
    owner_id: string | null;
    subject: string;
    /** On PostgreSQL only: the transaction that wrote the row. */
    position: GeneratedAlways<number>;
  };
}
