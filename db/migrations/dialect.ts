import { sql, type ColumnDataType, type ColumnDefinitionBuilder, type Kysely } from 'kysely';

/** A migration does not know the tables' types: it is what makes them. */
export type AnyDatabase = Kysely<unknown>;

type Build = (column: ColumnDefinitionBuilder) => ColumnDefinitionBuilder;
type Type = ColumnDataType | ReturnType<typeof sql>;

/** The few places where SQLite and PostgreSQL want other words for the same column. */
export interface ColumnWords {
  /** An own rising sequence as primary key, never used again after a row is gone. */
  sequence: { type: Type; build: Build };
  /** A whole number as large as the sequence. */
  whole: Type;
  /** Bytes of any length. */
  bytes: Type;
}

/** Asks the handle which of the two databases it speaks to. */
export const wordsFor = (db: AnyDatabase): ColumnWords =>
  isPostgres(db)
    ? { sequence: { type: 'bigserial', build: (column) => column.primaryKey() }, whole: 'bigint', bytes: 'bytea' }
    : {
        sequence: { type: 'integer', build: (column) => column.primaryKey().autoIncrement() },
        whole: 'integer',
        bytes: 'blob',
      };

/** PostgreSQL numbers its parameters, SQLite writes `?`. */
export const isPostgres = (db: AnyDatabase): boolean => sql`select ${1}`.compile(db).sql.includes('$1');
