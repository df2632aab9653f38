import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePorts } from './forwarder.ts';
import { ROOT, RunningProgram, until } from './running-program.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

/** Two shops, each with its own bot, database, flows and people, in one folder, served by one start. */
const NAMES = ['north', 'south'] as const;
type Name = (typeof NAMES)[number];

const folder = mkdtempSync(join(tmpdir(), 'telltale-shops-'));
const standIns = {} as Record<Name, TelegramStandIn>;
const urls = {} as Record<Name, string>;
let program: RunningProgram;
let pids: Record<Name, number>;

const file = (name: Name): string => join(folder, 'shops', `${name}.env`);
const database = (name: Name): string => join(folder, name, 'data', 'shop.sqlite');
const rows = (name: Name, sql: string): unknown[] => {
  const opened = new Sqlite(database(name), { readonly: true });
  try {
    return opened.prepare(sql).all();
  } finally {
    opened.close();
  }
};
const texts = (name: Name, chat: number): string =>
  standIns[name]
    .messagesTo(chat)
    .map(({ text }) => text)
    .join('\n');
const alive = async (name: Name): Promise<boolean> =>
  fetch(`${urls[name]}/healthz`).then(
    ({ status }) => status === 200,
    () => false,
  );
const command = (name: Name, ...words: string[]): string =>
  execFileSync(process.execPath, ['--import', 'tsx', 'src/cli/telltale.ts', ...words], {
    cwd: ROOT,
    encoding: 'utf8',
    env: { PATH: process.env['PATH'], SETTINGS_FILE: file(name) },
  });

/** Everything of one shop that the other tests set for the whole process is left to the shops' own files. */
const startShops = (): RunningProgram =>
  new RunningProgram({ SHOPS: join(folder, 'shops'), PORT: '', DEMO: '', LOG_LEVEL: '' });

/** Which child serves which shop, by the settings file in its environment. */
function pidsOf(parent: number): Record<Name, number> {
  const children = execFileSync('pgrep', ['-P', String(parent)], { encoding: 'utf8' })
    .trim()
    .split('\n')
    .map(Number);
  const found = {} as Record<Name, number>;
  for (const pid of children) {
    const environment = readFileSync(`/proc/${pid}/environ`, 'utf8');
    for (const name of NAMES) if (environment.includes(`SETTINGS_FILE=${file(name)}`)) found[name] = pid;
  }
  return found;
}

beforeAll(async () => {
  mkdirSync(join(folder, 'shops'));
  const ports = await freePorts(NAMES.length);
  for (const [index, name] of NAMES.entries()) {
    standIns[name] = await new TelegramStandIn({ token: `${4242 + index}:STAND-IN_${name}_abcdefghijkl` }).listen();
    urls[name] = `http://127.0.0.1:${ports[index]}`;
    const flows = join(folder, name, 'flows');
    cpSync(join(ROOT, 'flows'), flows, { recursive: true });
    const shop = readFileSync(join(flows, 'shop.yaml'), 'utf8');
    writeFileSync(join(flows, 'shop.yaml'), shop.replace(/^name: .*$/m, `name: The ${name} shop`));
    writeFileSync(
      file(name),
      [
        `TELEGRAM_TOKEN=${standIns[name].token}`,
        `TELEGRAM_API_ROOT=${standIns[name].apiRoot}`,
        `DATABASE_PATH=${database(name)}`,
        `FLOWS=${flows}`,
        `PORT=${ports[index]}`,
        'LOG_LEVEL=warn',
      ].join('\n'),
    );
  }
  program = startShops();
  await until(async () => program.ended || ((await alive('north')) && (await alive('south'))), 'both shops answer');
  if (program.ended) throw new Error(program.err);
  pids = pidsOf(program.pid);
}, 120_000);
afterAll(async () => {
  await program.stop();
  for (const name of NAMES) await standIns[name].close();
  rmSync(folder, { recursive: true });
});

describe('two shops in one installation', () => {
  it('each answer under their own name, by a process of their own', async () => {
    expect(Object.keys(pids).sort()).toEqual([...NAMES]);
    for (const name of NAMES) {
      expect(await (await fetch(urls[name])).text()).toContain(`The ${name} shop`);
      expect(program.out).toContain(`${name}: The owner's chat page:   ${urls[name]}/`);
    }
  });

  it('know nothing of what their common owner told the other one', async () => {
    standIns.north.person(1001).says('2017 6.7 V8 diesel, 92k, it stalls at idle');
    await until(() => texts('north', 1001) !== '', 'the north answers');
    standIns.south.person(1001).says('what do you know about me');
    standIns.south.person(1002).says('hello');
    await until(() => texts('south', 1001) !== '' && texts('south', 1002) !== '', 'the south answers');
    expect(texts('south', 1001)).not.toMatch(/2017|92,000|stall/);
    expect(rows('north', 'select address from owner_links')).toEqual([{ address: '1001' }]);
    expect(rows('south', 'select address from owner_links order by address')).toEqual([
      { address: '1001' },
      { address: '1002' },
    ]);
    const held =
      readFileSync(database('south')).toString('latin1') + readFileSync(`${database('south')}-wal`).toString('latin1');
    expect(held).not.toContain('it stalls at idle');
  });

  it("take no sign-in of the other's staff", async () => {
    const [person] = rows('north', `select id from staff where role = 'manager'`) as { id: string }[];
    const link = new URL(command('north', 'sign-in', person?.id ?? '').trim());
    const enter = (name: Name) =>
      fetch(`${urls[name]}${link.pathname}`, { method: 'POST', redirect: 'manual', headers: { origin: urls[name] } });
    expect((await enter('south')).headers.get('set-cookie') ?? '').not.toContain('telltale_staff=');
    const signedIn = await enter('north');
    const cookie = /telltale_staff=[^;]+/.exec(signedIn.headers.get('set-cookie') ?? '')?.[0] ?? '';
    expect(cookie).not.toBe('');
    const counter = (name: Name) => fetch(`${urls[name]}/counter`, { redirect: 'manual', headers: { cookie } });
    expect((await counter('north')).status).toBe(200);
    expect((await counter('south')).status).not.toBe(200);
  });

  it('take no update that is meant for the other', async () => {
    const post = await fetch(`${urls.south}/telegram`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-telegram-bot-api-secret-token': 'of the other' },
      body: JSON.stringify({ update_id: 1, message: { text: 'hello' } }),
    });
    expect(post.status).toBe(401);
  });

  it('go on when the other one is killed, which is started again', async () => {
    process.kill(pids.north, 'SIGKILL');
    await until(async () => !(await alive('north')), 'the north is gone');
    expect(await alive('south')).toBe(true);
    standIns.south.person(1003).says('hello');
    await until(() => texts('south', 1003) !== '', 'the south answers meanwhile');
    await until(() => alive('north'), 'the north is back');
    expect(pidsOf(program.pid).north).not.toBe(pids.north);
    expect(program.err).toMatch(/\{"shop":"north",.*started again/);
  }, 120_000);

  it('end together when the one start is asked to', async () => {
    const left = Object.values(pidsOf(program.pid));
    expect(await program.stop()).toBe(0);
    for (const pid of left) expect(() => process.kill(pid, 0)).toThrow('ESRCH');
  }, 60_000);
});

describe('the shops of a start that is killed', () => {
  it('end by themselves, so that the next start finds their ports and databases free', async () => {
    const killed = startShops();
    await until(async () => killed.ended || ((await alive('north')) && (await alive('south'))), 'both answer');
    const left = Object.values(pidsOf(killed.pid));
    expect(left).toHaveLength(NAMES.length);
    await killed.stop('SIGKILL');
    const gone = (pid: number): boolean => {
      try {
        return !process.kill(pid, 0);
      } catch {
        return true;
      }
    };
    await until(() => left.every(gone), 'both have ended');
  }, 120_000);
});

describe('a folder of shops with something wrong in it', () => {
  it('is refused in a line each with exit code 2, and nothing is started', async () => {
    const text = readFileSync(file('south'), 'utf8');
    writeFileSync(file('south'), `${text}\nLOG_LEVEL=loud\nDATABASE_PATH=${database('north')}\n`);
    const refused = startShops();
    expect(await refused.ends()).toBe(2);
    expect(refused.err.trim().split('\n')).toEqual([expect.stringMatching(/south\.env: LOG_LEVEL is wrong/)]);
  });
});
