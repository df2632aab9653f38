import { createWriteStream, mkdirSync, writeFileSync } from 'node:fs';
import { once } from 'node:events';
import { join } from 'node:path';
import { finished } from 'node:stream/promises';
import type { Kysely } from 'kysely';

/** Tables that hold nothing but hashes, rights that end within seconds, and the migrations' own notes. */
const LEFT_OUT = ['staff_sessions', 'one_time_codes', 'opt_outs', 'leases', 'changes'];
const AT_ONCE = 500;

/**
 * Writes every table into the folder as JSON Lines, a row a line, and every picture as a file of its own. Answers how
 * many rows of each table. All of it is read in one transaction: the state at one moment.
 */
export async function exportEverything(
  db: Kysely<never>,
  family: 'sqlite' | 'postgres',
  folder: string,
): Promise<Record<string, number>> {
  mkdirSync(join(folder, 'pictures'), { recursive: true });
  const tables = (await db.introspection.getTables()).filter(
    ({ name, isView }) => !isView && !name.startsWith('kysely') && !LEFT_OUT.includes(name),
  );
  const counts: Record<string, number> = {};
  const transaction = db.transaction();
  const snapshot = family === 'sqlite' ? transaction : transaction.setIsolationLevel('repeatable read');
  await snapshot.execute(async (trx) => {
    for (const { name, columns } of tables) {
      const file = createWriteStream(join(folder, `${name}.jsonl`));
      let rows = 0;
      for (let some = AT_ONCE; some === AT_ONCE; rows += some) {
        let query = (trx as unknown as Kysely<Record<string, Record<string, unknown>>>).selectFrom(name).selectAll();
        for (const column of columns.filter(({ dataType }) => !/blob|bytea/i.test(dataType)).slice(0, 2)) {
          query = query.orderBy(column.name);
        }
        const page = await query.limit(AT_ONCE).offset(rows).execute();
        for (const row of page)
          if (!file.write(`${JSON.stringify(withoutBytes(row, folder))}\n`)) await once(file, 'drain');
        some = page.length;
      }
      file.end();
      await finished(file);
      counts[name] = rows;
    }
  });
  return counts;
}

/** A picture goes into a file named after its id; the row says which. */
function withoutBytes(row: Record<string, unknown>, folder: string): Record<string, unknown> {
  const { bytes } = row;
  if (!(bytes instanceof Uint8Array)) return row;
  const name = `${String(row['id']).replace(/[^\w-]/g, '_')}.jpg`;
  writeFileSync(join(folder, 'pictures', name), bytes);
  return { ...row, bytes: `pictures/${name}` };
}
