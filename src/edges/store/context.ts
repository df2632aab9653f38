import { createHmac } from 'node:crypto';
import type { Kysely } from 'kysely';
import type { ChannelName } from '../../core/mod.ts';
import type { FilesInHand } from './file-cache.ts';
import type { Database } from './schema.ts';

/** What the parts of a transaction share. `db` is the transaction's own handle, never the outer one. */
export interface Context {
  db: Kysely<Database>;
  family: 'sqlite' | 'postgres';
  /** Keys the hashes that keep an opt-out after the owner was forgotten; it is not in the database. */
  optOutKey: string;
  files: FilesInHand;
}

/** What remains of an address after its owner was forgotten: without the key nobody can tell whose it was. */
export const optOutHash = (key: string, channel: ChannelName | string, address: string): string =>
  createHmac('sha256', key).update(`${channel}:${address}`).digest('hex');
