import { execFileSync, spawnSync } from 'node:child_process';
import {
  chmodSync,
  closeSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  openSync,
  readdirSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import Sqlite from 'better-sqlite3';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ROOT, RunningProgram, until } from './running-program.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

let folder: string;
let path: string;
let standIn: TelegramStandIn;
let program: RunningProgram | undefined;
let mounted: string | undefined;

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'telltale-disk-'));
  path = join(folder, 'shop.sqlite');
  standIn = await new TelegramStandIn().listen();
});
afterEach(async () => {
  await program?.stop('SIGKILL');
  program = undefined;
  await standIn.close();
  if (mounted !== undefined) execFileSync('umount', ['-l', mounted]);
  mounted = undefined;
  rmSync(folder, { recursive: true });
});

const environment = (more: Record<string, string> = {}): Record<string, string> => ({
  TELEGRAM_TOKEN: standIn.token,
  TELEGRAM_API_ROOT: standIn.apiRoot,
  DATABASE_PATH: path,
  ...more,
});
const start = (more: Record<string, string> = {}): RunningProgram => (program = new RunningProgram(environment(more)));
const command = (...words: string[]) =>
  spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/telltale.ts', ...words], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { PATH: process.env['PATH'], DATABASE_PATH: path },
  });
const read = <T>(work: (database: Sqlite.Database) => T): T => {
  const database = new Sqlite(path, { readonly: true });
  try {
    return work(database);
  } finally {
    database.close();
  }
};
const count = (table: string): number =>
  read((database) => (database.prepare(`select count(*) as n from ${table}`).get() as { n: number }).n);
const arrivedAt = (id: number): string[] => standIn.messagesTo(id).map(({ text }) => text);

/** Whether this machine lets us mount a file system of our own. */
function mount(size: string, at: string): boolean {
  mkdirSync(at);
  if (spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'tmpfs', at]).status !== 0) return false;
  mounted = at;
  return true;
}

/** Sends messages of several people, and waits until each has had an answer. */
async function talk(from: number, to: number): Promise<void> {
  for (let id = from; id <= to; id++) standIn.person(id).says('2017 6.7 V8 diesel, 92k, hard to start when cold');
  await until(
    () => Array.from({ length: to - from + 1 }, (_, at) => arrivedAt(from + at)).every(({ length }) => length > 0),
    'answers',
  );
}

describe('a disk that is full', () => {
  /** Fills the rest of the file system, or keeps the process from writing longer files where none can be mounted. */
  function fill(pid: number): () => void {
    if (mounted === undefined) {
      const largest = Math.max(statSync(path).size, statSync(`${path}-wal`).size);
      const limit = (soft: string) => execFileSync('prlimit', ['--pid', String(pid), `--fsize=${soft}:unlimited`]);
      limit(String(largest + 4096));
      return () => void limit('unlimited');
    }
    const ballast = join(mounted, 'ballast');
    const file = openSync(ballast, 'w');
    try {
      for (;;) writeSync(file, Buffer.alloc(4096));
    } catch {
      closeSync(file);
      return () => rmSync(ballast);
    }
  }

  it('answers clearly, loses nothing, and goes on by itself when there is room again', async () => {
    const place = join(folder, 'small');
    mount('24m', place);
    path = join(place, 'shop.sqlite');
    const running = start();
    const url = await running.listens();
    await talk(1001, 1002);
    const makeRoom = fill(running.pid);
    // Enough people that their messages cannot all fit into what is left of a page.
    for (let id = 1003; id <= 1042; id++) standIn.person(id).says(`hello ${'x'.repeat(3000)}`);
    await until(async () => (await fetch(`${url}/readyz`)).status === 503, 'not ready');
    expect((await fetch(`${url}/healthz`)).status).toBe(200);
    const refused = await fetch(`${url}/chat/send`, { method: 'POST', body: form({ text: 'hello '.repeat(600) }) });
    expect(refused.status).toBe(500);
    expect(await refused.text()).toMatch(/\d{3}/);
    expect(running.ended).toBe(false);
    expect(running.err).toMatch(/SQLITE_(FULL|IOERR)/);

    makeRoom();
    await until(
      () => Array.from({ length: 40 }, (_, at) => arrivedAt(1003 + at)).every(({ length }) => length > 0),
      'answers',
    );
    await until(async () => (await fetch(`${url}/readyz`)).status === 200, 'ready again');
    expect(await running.stop()).toBe(0);
    expect(read((database) => database.pragma('integrity_check'))).toEqual([{ integrity_check: 'ok' }]);
    expect(count('owners')).toBe(42);
    expect(count(`inbox where state <> 'done'`)).toBe(0);
    expect(count('inbox')).toBe(42);
  });
});

const form = (fields: Record<string, string>): FormData => {
  const data = new FormData();
  for (const [name, value] of Object.entries(fields)) data.append(name, value);
  return data;
};

describe('a place that cannot be written', () => {
  it.each(['a new database', 'a database that is there'])(
    'is refused in one line with exit code 2: %s',
    async (which) => {
      const place = join(folder, 'still');
      const asMount = mount('8m', place);
      path = join(place, 'shop.sqlite');
      if (which !== 'a new database') {
        const first = start();
        await first.listens();
        expect(await first.stop()).toBe(0);
      }
      if (asMount) execFileSync('mount', ['-o', 'remount,ro', place]);
      else chmodSync(place, 0o555);
      const running = start();
      expect(await running.ends()).toBe(2);
      expect(running.err.trim().split('\n')).toHaveLength(1);
      expect(running.err).toContain(place);
      expect(running.err).toMatch(/writ/);
      if (!asMount) chmodSync(place, 0o755);
    },
  );
});

describe('a database file that is damaged', () => {
  it.each<[string, (size: number) => { at: number; bytes: Buffer }]>([
    ['at its head', () => ({ at: 0, bytes: Buffer.alloc(64, 0x5a) })],
    ['in the middle', (size) => ({ at: Math.floor(size / 4096 / 2) * 4096, bytes: Buffer.alloc(8192, 0x5a) })],
  ])('%s is refused in one line that says what to do, and a backup takes its place', async (_where, damage) => {
    const first = start();
    await first.listens();
    await talk(1001, 1003);
    const copy = join(folder, 'copies', 'copy.sqlite');
    expect(command('backup', copy)).toMatchObject({ status: 0, stderr: '' });
    await talk(1004, 1004);
    // Nothing can be put in its place while it runs.
    expect(command('restore', copy)).toMatchObject({
      status: 1,
      stderr: `${path} is in use; stop the program first\n`,
    });
    expect(await first.stop()).toBe(0);

    const { at, bytes } = damage(statSync(path).size);
    const file = openSync(path, 'r+');
    writeSync(file, bytes, 0, bytes.length, at);
    closeSync(file);
    const broken = start();
    expect(await broken.ends()).toBe(2);
    expect(broken.err.trim().split('\n')).toHaveLength(1);
    expect(broken.err).toContain('is damaged');
    expect(broken.err).toContain('npm run restore -- BACKUP');

    const restored = command('restore', copy);
    expect(restored).toMatchObject({ status: 0, stderr: '' });
    const [, aside] = /what was there is now (\S+)/.exec(restored.stdout) ?? [];
    expect(existsSync(aside ?? '')).toBe(true);
    const again = start();
    await again.listens();
    const before = arrivedAt(1001).length;
    standIn.person(1001).says('no, nothing else');
    await until(() => arrivedAt(1001).length > before, 'an answer to somebody whom the backup knows');
    expect(await again.stop()).toBe(0);
    // The fourth person wrote after the backup was made.
    expect(count('owners')).toBe(3);
    expect(existsSync(copy)).toBe(true);
  });

  it('does not take a damaged backup, nor a database of something else', () => {
    const other = join(folder, 'other.sqlite');
    const database = new Sqlite(other);
    database.exec('create table notes (text)');
    database.close();
    const torn = join(folder, 'torn.sqlite');
    writeSync(openSync(torn, 'w'), Buffer.alloc(8192, 0x5a));
    for (const [file, why] of [
      [other, 'a database of something else'],
      [torn, 'SQLITE_NOTADB'],
      [join(folder, 'none.sqlite'), 'there is no backup'],
    ] as const) {
      const ran = command('restore', file);
      expect(ran.status).toBe(1);
      expect(ran.stderr).toContain(why);
      expect(existsSync(path)).toBe(false);
    }
  });
});

describe('backups by themselves', () => {
  it('are made at the start, checked, and the program runs on one', async () => {
    const backups = join(folder, 'backups');
    const running = start({ BACKUP_FOLDER: backups, LOG_LEVEL: 'info' });
    await running.listens();
    await talk(1001, 1001);
    const files = () => (existsSync(backups) ? readdirSync(backups).filter((name) => name.endsWith('.sqlite')) : []);
    await until(() => files().length === 1, 'a backup');
    await until(() => running.err.includes('backup made and checked'), 'its line in the log');
    expect(await running.stop()).toBe(0);
    path = join(backups, files()[0] ?? '');
    const onIt = start();
    await onIt.listens();
    expect(await onIt.stop()).toBe(0);
  });
});

describe('a database that another process has locked', () => {
  it('is waited for: the message is answered when the lock is gone, and nothing ends', async () => {
    const running = start();
    await running.listens();
    await talk(1001, 1001);
    const other = new Sqlite(path);
    other.exec('begin exclusive');
    standIn.person(1002).says('2017 6.7 V8 diesel, 92k');
    await sleep(3_000);
    expect(arrivedAt(1002)).toEqual([]);
    expect(running.ended).toBe(false);
    other.exec('rollback');
    other.close();
    await until(() => arrivedAt(1002).length > 0, 'an answer');
    expect(await running.stop()).toBe(0);
    expect(count(`inbox where state <> 'done'`)).toBe(0);
  });
});
