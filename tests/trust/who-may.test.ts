import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { seedDemo } from '../../src/demo.ts';
import { ACTIONS, ROUTES, type Who } from '../../src/edges/counter/access.ts';
import { Browser, MANAGER, onlyRequest, openStage, type Stage } from '../edges/counter-stage.ts';
import { openShop, type RunningShop } from './shop.ts';

const ROOT = resolve(import.meta.dirname, '../..');
const page = readFileSync(resolve(ROOT, 'docs/who-may-do-what.md'), 'utf8');

/** The rows of the table under a heading, as first cell and second. */
function tableUnder(heading: string): [string, string][] {
  const [, part = ''] = page.split(`\n## ${heading}\n`);
  const [own = ''] = part.split('\n## ');
  return [...own.matchAll(/^\| `([^`]+)` +\| (.+?) +\|$/gm)].map(([, what = '', who = '']) => [what, who]);
}

const WORDS: Record<Exclude<Who, readonly string[]>, string> = {
  anyone: 'anyone',
  'own-browser': "the owner's own browser",
  secret: 'whoever holds the secret',
  operator: 'whoever runs the machine',
};
const inWords = (who: Who): string => (typeof who === 'string' ? WORDS[who] : who.join(', '));

const commands = [
  ...readFileSync(resolve(ROOT, 'src/staff/commands.ts'), 'utf8').matchAll(/^ {4}case '([a-z]+)':$/gm),
].map(([, name = '']) => name);

describe('the page of who may do what', () => {
  it('names every route of the server, with whoever may use it, and no other', () => {
    expect(tableUnder('Routes')).toEqual(Object.entries(ROUTES).map(([route, who]) => [route, inWords(who)]));
  });

  it('names every action on a request, with its roles, and no other', () => {
    const listed = Object.entries(ACTIONS).map(([action, roles]) => [action, inWords(roles)]);
    expect(tableUnder('Actions on a request, at the counter')).toEqual(listed);
  });

  it('names every command of the staff chat, and no other', () => {
    expect(commands.length).toBeGreaterThan(20);
    expect(tableUnder('Commands in the staff chat').map(([name]) => name)).toEqual(commands.map((name) => `/${name}`));
  });

  it('names every command of the machine, and no other', () => {
    const help = spawnSync(process.execPath, ['--import', 'tsx', 'src/cli/telltale.ts', '--help'], {
      cwd: ROOT,
      encoding: 'utf8',
    }).stdout;
    const known = [...help.matchAll(/^ {2}([a-z-]+)(?: .*)?$/gm)].map(([, name = '']) => name);
    const listed = tableUnder('Commands on the machine').map(([name]) => name);
    expect(listed.sort()).toEqual(known.filter((name) => name !== 'echo').sort());
  });
});

describe('at the counter', () => {
  let stage: Stage;
  let other: Stage;
  beforeAll(async () => {
    [stage, other] = [await openStage(), await openStage({ seeded: false })];
  });
  afterAll(async () => {
    await stage.close();
    await other.close();
  });

  const staffRoutes = Object.entries(ROUTES).filter(([, who]) => typeof who !== 'string');
  const as = async (browser: Browser, route: string): Promise<{ status: number; body: string }> => {
    const { request } = await onlyRequest(stage, 'requested');
    const [method = '', path = ''] = route.split(' ');
    const url = path
      .replace('/:action', '/accept')
      .replace('/:kind', '/sign-in')
      .replace('/request/:id', `/request/${request.id}`)
      .replace('/truck/:id', '/truck/truck-demo-0')
      .replace(/:\w+/, 'none');
    const fields = { token: browser.token, revision: String(request.revision) };
    const answer = method === 'GET' ? await browser.get(url) : await browser.post(url, fields);
    return { status: answer.statusCode, body: answer.body };
  };

  it.each<[string, () => Promise<Browser>]>([
    ['an owner, with the cookie of their chat', () => Promise.resolve(stage.owner())],
    [
      'the manager of another shop, signed in there',
      async () => {
        const there = await other.signIn(MANAGER);
        await there.get('/counter');
        const here = new Browser(stage.server);
        for (const [name, value] of there.cookies) here.cookies.set(name, value);
        here.token = there.token;
        return here;
      },
    ],
  ])('%s gets nothing of staff on any route, and changes nothing', async (_who, make) => {
    const before = await onlyRequest(stage, 'requested');
    const browser = await make();
    await browser.get('/');
    for (const [route] of staffRoutes) {
      const { status, body } = await as(browser, route);
      expect(status, route).toBe(401);
      expect(body, route).not.toContain(before.owner.name ?? 'nobody');
    }
    expect(await onlyRequest(stage, 'requested')).toEqual(before);
  });
});

describe('a command of the staff chat', () => {
  let shop: RunningShop;
  let requestId = '';
  let ownerId = '';
  beforeAll(async () => {
    shop = await openShop({ start: false });
    await seedDemo(shop.system);
    await shop.system.start();
    const [open] = await shop.system.store.views.requests(['requested']);
    requestId = open?.request.id ?? '';
    ownerId = open?.owner.id ?? '';
    expect(requestId).toMatch(/^r-/);
    await settled();
  });
  afterAll(() => shop.close());

  async function settled(): Promise<void> {
    const { store, time } = shop.system;
    for (const end = Date.now() + 30_000; Date.now() < end; await sleep(20)) {
      const { inboxWaiting } = await store.figures(time.now());
      if (shop.standIn.queue.size === 0 && inboxWaiting === 0) return;
    }
    throw new Error('the shop is never done');
  }
  const chats = () => shop.system.store.transaction((tx) => tx.staffChats());
  const state = async () => {
    const { store, time } = shop.system;
    const { requests, vehicles, followUps } = (await store.transaction((tx) => tx.loadFile(ownerId))) ?? {};
    const diary = await store.transaction((tx) => tx.loadDiary('2026-01-01', '2028-01-01', 'UTC', time.now()));
    return JSON.stringify({ requests, vehicles, followUps, taken: diary.taken, chats: await chats() });
  };

  it.each(['an owner in their own chat', 'anybody in a group of their own'])(
    'does nothing, and tells nothing of the shop, when it is written by %s',
    async (who) => {
      const { standIn } = shop;
      const stranger = standIn.person(2002);
      const before = await state();
      const group = standIn.group(-300);
      for (const name of commands) {
        const text = `/${name} ${requestId} 92400 none`;
        if (who.startsWith('an owner')) stranger.says(text);
        else group.says(stranger, text);
      }
      await settled();
      expect(await state()).toBe(before);
      const heard = [...standIn.messagesTo(2002), ...standIn.messagesTo(-300)].map(({ text }) => text).join('\n');
      expect(heard).not.toMatch(new RegExp(`${requestId}.* (booked|accepted)|/accept ID`));
      expect(standIn.messagesTo(-300)).toEqual([]);
    },
    60_000,
  );

  it('answers in the chat that is named as the staff’s', async () => {
    const before = shop.standIn.messagesTo(-100200).length;
    shop.standIn.group(-100200).says(shop.standIn.person(9, 'Wren'), '/requests');
    await shop.standIn.until(() => shop.standIn.messagesTo(-100200).length > before, 'an answer', 30_000);
  });
});
