import type { Migration } from 'kysely';
import * as ground from './0001-ground.ts';
import * as diary from './0002-diary.ts';

/** Every step of the schema by the name under which a database remembers it; the names' numbers are the order. */
export const migrations: Readonly<Record<string, Migration>> = {
  '0001-ground': ground,
  '0002-diary': diary,
};
