import { spawn } from 'node:child_process';
import { mkdirSync, readdirSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Log } from './log.ts';
import type { Metrics } from './metrics.ts';
import type { Settings } from './settings.ts';

const NAME = /^telltale-(\d{8}T\d{6})Z\.sqlite$/;
const HOUR = 3_600_000;
/** How often to see whether a backup is due; no tick may matter, so it is asked of the files. */
const LOOK_MILLISECONDS = 60_000;
/** A backup that fails is tried again after this long, or a full disk would be filled with trying. */
const AGAIN_MILLISECONDS = 15 * 60_000;

/** `telltale-20261102T160000Z.sqlite`. */
export const backupName = (at: Date): string =>
  `telltale-${at.toISOString().slice(0, 19).replace(/[-:]/g, '')}Z.sqlite`;

/** The instant in a backup's name, in milliseconds; undefined for any other file. */
export function instantInName(name: string): number | undefined {
  const [, stamp] = NAME.exec(name) ?? [];
  const iso = stamp?.replace(/(....)(..)(..)T(..)(..)(..)/, '$1-$2-$3T$4:$5:$6Z');
  const at = iso === undefined ? Number.NaN : Date.parse(iso);
  return Number.isNaN(at) ? undefined : at;
}

/**
 * Whether a backup is due: the newest is older than the interval, or stands so far in the future that the clock must
 * have been set back since.
 */
export function isBackupDue(names: readonly string[], now: number, everyHours: number): boolean {
  const made = names.flatMap((name) => instantInName(name) ?? []).filter((at) => at <= now + HOUR);
  return made.every((at) => now - at >= everyHours * HOUR);
}

/** The backups that are one too many: all but the newest ones. Files of other names are never among them. */
export const supernumerary = (names: readonly string[], keep: number): string[] =>
  names
    .filter((name) => instantInName(name) !== undefined)
    .sort()
    .reverse()
    .slice(keep);

export interface Backups {
  start(): void;
  /** Makes a backup if one is due; answers its path. */
  look(): Promise<string | undefined>;
  stop(): Promise<void>;
}

/** Backups on a schedule, in a process of their own so that no owner waits for one. */
export function scheduledBackups(
  settings: NonNullable<Settings['backups']>,
  database: string,
  means: { log: Log; metrics: Metrics; now?: () => number },
): Backups {
  const { folder, everyHours, keep } = settings;
  const { log, metrics, now = Date.now } = means;
  let timer: NodeJS.Timeout | undefined;
  let underWay: Promise<unknown> = Promise.resolve();
  let notBefore = Number.NEGATIVE_INFINITY;

  const look = async (): Promise<string | undefined> => {
    if (performance.now() < notBefore) return undefined;
    try {
      mkdirSync(folder, { recursive: true });
      if (!isBackupDue(readdirSync(folder), now(), everyHours)) return undefined;
      const at = new Date(now());
      const path = join(folder, backupName(at));
      await copyInAnotherProcess(database, path);
      metrics.backup('made', at.toISOString());
      log.info({ file: backupName(at) }, 'backup made and checked');
      for (const name of supernumerary(readdirSync(folder), keep)) rmSync(join(folder, name));
      return path;
    } catch (fault) {
      notBefore = performance.now() + AGAIN_MILLISECONDS;
      metrics.backup('failed', new Date(now()).toISOString());
      log.error({ err: fault }, 'the backup failed; it is tried again');
      return undefined;
    }
  };
  const oneAtATime = (): Promise<string | undefined> => {
    const next = underWay.then(look);
    underWay = next;
    return next;
  };

  return {
    look: oneAtATime,
    start() {
      void oneAtATime();
      timer = setInterval(() => void oneAtATime(), LOOK_MILLISECONDS);
      timer.unref();
    },
    async stop() {
      clearInterval(timer);
      await underWay;
    },
  };
}

/** Runs the backup command; resolves when it ended well. */
function copyInAnotherProcess(database: string, path: string): Promise<void> {
  const [run, command] = ['run.mjs', 'cli/telltale.ts'].map((file) => resolve(import.meta.dirname, file));
  const child = spawn(process.execPath, [String(run), String(command), 'backup', resolve(path)], {
    cwd: resolve(import.meta.dirname, '..'),
    env: { ...process.env, DATABASE_PATH: resolve(database), DATABASE_URL: '' },
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (bytes: Buffer) => (said = (said + bytes.toString('utf8')).slice(0, 500)));
  return new Promise((done, failed) => {
    child.on('error', failed);
    child.on('exit', (code) => (code === 0 ? done() : failed(new Error(said.trim() || `ended with ${String(code)}`))));
  });
}
