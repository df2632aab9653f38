import { closeSync, copyFileSync, existsSync, fsyncSync, mkdirSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import Sqlite from 'better-sqlite3';

/** Why a backup or restore was not done; one line for whoever asked. */
export class CopyFault extends Error {
  readonly code = 'copy-fault';
}

const codeOf = (fault: unknown): string =>
  fault instanceof Error && 'code' in fault && typeof fault.code === 'string' ? fault.code : 'unknown';

/**
 * Copies a SQLite database while other processes work on it: the copy is the state at one moment, checked, and appears
 * under its name only when it is whole and on the disk. Call it in a process of its own: it works without a pause.
 *
 * @throws CopyFault where there is no database, no room, or a file of that name already
 */
export function copyDatabase(from: string, to: string): void {
  if (!existsSync(from)) throw new CopyFault(`there is no database at ${from}`);
  if (existsSync(to)) throw new CopyFault(`${to} is there already; name a new file`);
  const part = `${to}.part`;
  try {
    mkdirSync(dirname(to), { recursive: true });
    if (existsSync(part)) rmSync(part);
    const database = new Sqlite(from, { fileMustExist: true, timeout: 20_000 });
    try {
      // One read transaction: in a write-ahead log nobody waits for it, and nothing written meanwhile gets in.
      database.prepare('vacuum into ?').run(part);
    } finally {
      database.close();
    }
    const wrong = whatIsWrong(part);
    if (wrong !== undefined) throw new CopyFault(`the copy of ${from} is not sound: ${wrong}`);
    settle(part, to);
  } catch (fault) {
    if (existsSync(part)) rmSync(part);
    if (fault instanceof CopyFault) throw fault;
    throw new CopyFault(`${from} could not be copied to ${to} (${codeOf(fault)})`, { cause: fault });
  }
}

/**
 * Puts a backup in the place of a database that no process has open. What stood there is kept beside it, under the name
 * that is answered; undefined where nothing stood there.
 *
 * @throws CopyFault where the backup is not sound, or the program still runs; nothing is changed then
 */
export function restoreDatabase(backup: string, path: string, stamp: string): string | undefined {
  if (!existsSync(backup)) throw new CopyFault(`there is no backup at ${backup}`);
  const wrong = whatIsWrong(backup);
  if (wrong !== undefined) throw new CopyFault(`${backup} is not a sound backup: ${wrong}`);
  if (existsSync(path) && isInUse(path)) throw new CopyFault(`${path} is in use; stop the program first`);
  const part = `${path}.part`;
  const aside = `${path}.before-restore-${stamp}`;
  try {
    mkdirSync(dirname(path), { recursive: true });
    copyFileSync(backup, part);
    const had = existsSync(path);
    // The log of the former database belongs to it: beside the restored one it would be played into it.
    for (const end of ['-wal', '-shm', '']) {
      if (existsSync(path + end)) renameSync(path + end, aside + end);
    }
    settle(part, path);
    return had ? aside : undefined;
  } catch (fault) {
    throw new CopyFault(`${backup} could not be put in the place of ${path} (${codeOf(fault)})`, { cause: fault });
  }
}

/** What a look at every page finds, or undefined where the file is a sound database of this program. */
export function whatIsWrong(path: string): string | undefined {
  try {
    const database = new Sqlite(path, { readonly: true, fileMustExist: true });
    try {
      const [first] = database.pragma('integrity_check(1)') as { integrity_check: string }[];
      if (first?.integrity_check !== 'ok') return first?.integrity_check.split('\n')[0] ?? 'no answer';
      const ours = database.prepare("select 1 from sqlite_master where name = 'inbox'").get();
      return ours === undefined ? 'it is a database of something else' : undefined;
    } finally {
      database.close();
    }
  } catch (fault) {
    return codeOf(fault);
  }
}

/** Whether another process has the database open. One that is too damaged to be opened is in nobody's use. */
function isInUse(path: string): boolean {
  try {
    const database = new Sqlite(path, { fileMustExist: true, timeout: 0 });
    try {
      database.pragma('locking_mode = exclusive');
      database.exec('begin exclusive; rollback');
      return false;
    } finally {
      database.close();
    }
  } catch (fault) {
    return codeOf(fault).startsWith('SQLITE_BUSY');
  }
}

/** Gives a file its name for good: its bytes and its name are on the disk afterwards. */
function settle(part: string, path: string): void {
  sync(part);
  renameSync(part, path);
  sync(dirname(path));
}

function sync(path: string): void {
  const handle = openSync(path, 'r');
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}
