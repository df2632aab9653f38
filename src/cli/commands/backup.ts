import { join } from 'node:path';
import { stderr, stdout } from 'node:process';
import { backupName } from '../../backups.ts';
import { copyDatabase, CopyFault, restoreDatabase } from '../../edges/store/sqlite-copy.ts';
import { settingsOrExit, type Settings } from '../../settings.ts';

/** Where a backup goes without a name and without a folder in the settings. */
const FOLDER = 'backups';

/** `backup [FILE]`: a checked copy of the database, while the program runs or not. */
export function backup([file, ...more]: string[]): number {
  const settings = settingsOrExit();
  const path = sqlitePath(settings);
  if (more.length > 0) return refuse('backup takes one file, or none', 2);
  if (path === undefined) return refuse(ON_POSTGRES, 2);
  const to = file ?? join(settings.backups?.folder ?? FOLDER, backupName(new Date()));
  return told(() => {
    copyDatabase(path, to);
    return `${path} is backed up to ${to}`;
  });
}

/** `restore FILE`: puts a backup in the place of the database; the program must not run. */
export function restore([file, ...more]: string[]): number {
  const settings = settingsOrExit();
  const path = sqlitePath(settings);
  if (file === undefined || more.length > 0) return refuse('restore takes one file: a backup', 2);
  if (path === undefined) return refuse(ON_POSTGRES, 2);
  const stamp = new Date().toISOString().slice(0, 19).replace(/[-:]/g, '');
  return told(() => {
    const aside = restoreDatabase(file, path, stamp);
    return `${path} is restored from ${file}${aside === undefined ? '' : `; what was there is now ${aside}`}`;
  });
}

const ON_POSTGRES =
  'DATABASE_URL is set: PostgreSQL is backed up and restored by its own pg_dump and pg_restore; see docs/when-it-goes-wrong.md';

const sqlitePath = ({ database }: Settings): string | undefined =>
  database.kind === 'sqlite' ? database.path : undefined;

function told(work: () => string): number {
  try {
    stdout.write(`${work()}\n`);
    return 0;
  } catch (fault) {
    if (fault instanceof CopyFault) return refuse(fault.message, 1);
    throw fault;
  }
}

function refuse(why: string, code: number): number {
  stderr.write(`${why}\n`);
  return code;
}
