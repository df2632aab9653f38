import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startServer, type Server } from '../edges/store/postgres-server.ts';
import { openShop, type RunningShop } from './shop.ts';

const ROOT = resolve(import.meta.dirname, '../..');
/** More than one page of the export. */
const MESSAGES = 1_203;
const OWNERS = 7;
/** One white pixel. */
const PICTURE = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
  'base64',
);

interface Exported {
  tables: Map<string, Record<string, unknown>[]>;
  pictures: Buffer[];
}

/**
 * What a shop said and did, the same on either database. The shop is opened without its own loops: a turn that one of
 * them has under way is one that draining does not wait for.
 */
async function live({ system }: RunningShop): Promise<void> {
  await system.start({ loops: false });
  for (let index = 0; index < MESSAGES; index++) {
    const text = index < OWNERS ? '2017 6.7 V8 diesel, 92k, hard to start when cold' : `word ${index}`;
    await system.web.post({
      ...{ address: `a${index % OWNERS}`, postId: `p${index}`, at: system.time.now() },
      did: { kind: 'message', text, ...(index === 0 && { photos: [PICTURE] }) },
    });
  }
  await system.desk.drain();
}

/** What the command writes, while the shop is open. */
function exported(environment: Record<string, string>, folder: string): Exported {
  const ran = spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/telltale.ts', 'export', folder], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { PATH: process.env['PATH'], ...environment },
  });
  expect(ran).toMatchObject({ status: 0, stderr: '' });
  const names = readdirSync(folder).filter((name) => name.endsWith('.jsonl'));
  const tables = names.map((name): [string, Record<string, unknown>[]] => [
    name.replace('.jsonl', ''),
    readFileSync(join(folder, name), 'utf8')
      .split('\n')
      .filter(Boolean)
      .map((line) => JSON.parse(line) as Record<string, unknown>),
  ]);
  const pictures = readdirSync(join(folder, 'pictures')).map((name) => readFileSync(join(folder, 'pictures', name)));
  return { tables: new Map(tables), pictures };
}

describe('the export of everything from PostgreSQL', () => {
  const folder = mkdtempSync(join(tmpdir(), 'export-'));
  let server: Server;
  let onPostgres: Exported;
  let onSqlite: Exported;

  beforeAll(async () => {
    server = startServer();
    const atWeb = { TELEGRAM_TOKEN: '', STAFF_CHAT: '' };
    const postgres = await openShop({
      start: false,
      environment: { ...atWeb, DATABASE_PATH: '', DATABASE_URL: server.url },
    });
    try {
      await live(postgres);
      onPostgres = exported({ DATABASE_URL: server.url }, join(folder, 'postgres'));
    } finally {
      await postgres.close();
    }
    const sqlite = await openShop({ start: false, environment: atWeb });
    try {
      await live(sqlite);
      onSqlite = exported({ DATABASE_PATH: join(sqlite.folder, 'shop.sqlite') }, join(folder, 'sqlite'));
    } finally {
      await sqlite.close();
    }
  }, 300_000);
  afterAll(() => {
    server.stop();
    rmSync(folder, { recursive: true });
  });

  it('has the same tables, columns and numbers of rows as from SQLite', () => {
    const shape = ({ tables }: Exported) =>
      [...tables].map(([name, rows]) => [name, rows.length, Object.keys(rows[0] ?? {}).sort()]).sort();
    expect(shape(onPostgres)).toEqual(shape(onSqlite));
  });

  it('has every message once, with its words and its picture', () => {
    const texts = (onPostgres.tables.get('messages') ?? []).map(({ text }) => String(text));
    expect(texts.filter((text) => text.startsWith('word')).sort()).toEqual(
      Array.from({ length: MESSAGES - OWNERS }, (_, index) => `word ${index + OWNERS}`).sort(),
    );
    expect(onPostgres.pictures.map((bytes) => bytes.subarray(0, 3))).toEqual([Buffer.from([0xff, 0xd8, 0xff])]);
    expect(onPostgres.tables.get('vehicles')).toHaveLength(OWNERS);
  });
});
