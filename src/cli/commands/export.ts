import { existsSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { stderr, stdout } from 'node:process';
import { StoreFault } from '../../edges/store/fault.ts';
import { openStore } from '../../edges/store/open.ts';
import { copyDatabase, CopyFault } from '../../edges/store/sqlite-copy.ts';
import { settingsOrExit } from '../../settings.ts';

/** `export FOLDER`: everything that is stored, while the program runs or not. */
export async function exportAll([folder, ...more]: string[]): Promise<number> {
  const { database } = settingsOrExit();
  if (folder === undefined || more.length > 0) return refuse('export takes one folder', 2);
  if (existsSync(folder) && readdirSync(folder).length > 0) return refuse(`${folder} is not empty; name a new one`, 1);
  // From a copy, so that no owner waits while a shop's years are written out.
  const copy = database.kind === 'sqlite' ? join(folder, 'copy.sqlite') : undefined;
  try {
    if (copy !== undefined && database.kind === 'sqlite') copyDatabase(database.path, copy);
    // Hashes of forgotten people are not written out, so their key is not needed.
    const store = await openStore({
      ...(copy === undefined ? database : { kind: 'sqlite', path: copy }),
      optOutKey: '',
    });
    try {
      const counts = await store.exportTo(folder);
      for (const [table, rows] of Object.entries(counts)) stdout.write(`${table}: ${rows}\n`);
    } finally {
      await store.close();
    }
    return 0;
  } catch (fault) {
    if (fault instanceof CopyFault || fault instanceof StoreFault) return refuse(fault.message, 1);
    throw fault;
  } finally {
    for (const end of ['', '-wal', '-shm']) if (copy !== undefined) rmSync(copy + end, { force: true });
  }
}

function refuse(why: string, code: number): number {
  stderr.write(`${why}\n`);
  return code;
}
