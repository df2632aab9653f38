import { createHash } from 'node:crypto';
import { afterEach, describe, expect, it } from 'vitest';
import { webhookSecret } from '../../src/edges/channels/telegram/webhook.ts';
import { openShop, type RunningShop } from './shop.ts';

/** Requests that one address may make in a minute. */
const A_MINUTE = 600;
const AT_ONCE = 50;
const COOKIE = 'a'.repeat(43);

let shop: RunningShop | undefined;
afterEach(async () => {
  await shop?.close();
  shop = undefined;
});

/** Makes so many requests; answers how often each status came back. */
async function statuses(count: number, ask: (index: number) => Promise<Response>): Promise<Record<number, number>> {
  const seen: Record<number, number> = {};
  for (let from = 0; from < count; from += AT_ONCE) {
    const some = Array.from({ length: Math.min(AT_ONCE, count - from) }, async (_, index) => {
      const answer = await ask(from + index);
      await answer.arrayBuffer();
      seen[answer.status] = (seen[answer.status] ?? 0) + 1;
    });
    await Promise.all(some);
  }
  return seen;
}

describe('the pages, asked too often from one address', { timeout: 60_000 }, () => {
  it('refuse what is over the limit in words, and keep all that they took', async () => {
    shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' } });
    const { url, system } = shop;
    const send = (index: number) => {
      const body = new FormData();
      body.append('text', `word ${index}`);
      body.append('postId', `p${index}`);
      const headers = { cookie: `telltale_owner=${COOKIE}`, 'sec-fetch-site': 'same-origin' };
      return fetch(`${url}/chat/send`, { method: 'POST', headers, body });
    };
    const posts = await statuses(20, send);
    expect(posts).toEqual({ 200: 20 });
    expect(await statuses(A_MINUTE - 20, () => fetch(`${url}/healthz`))).toEqual({ 200: A_MINUTE - 20 });
    const refused = await send(99);
    expect(refused.status).toBe(429);
    expect(await refused.text()).toMatch(/\w+ \w+/);
    await system.desk.drain();
    const address = createHash('sha256').update(COOKIE).digest('base64url');
    const talk = await system.store.views.talk((await system.store.views.ownerAt('web', address)) ?? '');
    expect(talk.filter(({ from, text }) => from === 'owner' && text.startsWith('word'))).toHaveLength(20);
  });
});

describe('behind a proxy of our own', { timeout: 60_000 }, () => {
  const asked = (sender: string) => () =>
    fetch(`${shop?.url ?? ''}/healthz`, { headers: { 'x-forwarded-for': sender } });

  it('each sender that it names has a limit of its own', async () => {
    shop = await openShop({ environment: { PUBLIC_URL: 'https://shop.example' } });
    expect(await statuses(A_MINUTE + 5, asked('203.0.113.1'))).toEqual({ 200: A_MINUTE, 429: 5 });
    expect(await statuses(5, asked('203.0.113.2'))).toEqual({ 200: 5 });
  });

  it('nobody passes for many by writing the header themselves', async () => {
    shop = await openShop({ environment: { PUBLIC_URL: 'https://shop.example' } });
    const seen = await statuses(A_MINUTE + 5, (index) => asked(`198.51.100.${index % 250}, 203.0.113.1`)());
    expect(seen).toEqual({ 200: A_MINUTE, 429: 5 });
  });

  it('what the Bot API posts is held by no limit of addresses: it waits in the inbox instead', async () => {
    shop = await openShop({ environment: { PUBLIC_URL: 'https://shop.example' }, start: false });
    const { url, standIn, system } = shop;
    await system.start({ loops: false });
    const post = (index: number) =>
      fetch(`${url}/telegram`, {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          'x-telegram-bot-api-secret-token': webhookSecret(standIn.token),
        },
        body: JSON.stringify({
          update_id: index + 1,
          message: {
            ...{ message_id: index + 1, date: 1_793_635_200, text: 'hello' },
            from: { id: 5_000 + index, is_bot: false, first_name: 'Robin' },
            chat: { id: 5_000 + index, type: 'private' },
          },
        }),
      });
    expect(await statuses(A_MINUTE + 50, post)).toEqual({ 200: A_MINUTE + 50 });
    expect((await system.store.figures(system.time.now())).inboxWaiting).toBe(A_MINUTE + 50);
  });
});

describe('without a proxy', { timeout: 60_000 }, () => {
  it('the header of a sender is not believed', async () => {
    shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' } });
    const { url } = shop;
    const ask = (index: number) =>
      fetch(`${url}/healthz`, { headers: { 'x-forwarded-for': `203.0.113.${index % 250}` } });
    expect(await statuses(A_MINUTE + 5, ask)).toEqual({ 200: A_MINUTE, 429: 5 });
  });
});

describe('the chat page while the program starts', () => {
  it('asks to come again in a moment, keeps nothing half, and takes the same post then', async () => {
    shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' }, start: false });
    const { url, system } = shop;
    const headers = { cookie: `telltale_owner=${COOKIE}; telltale_zone=America/Denver`, accept: 'text/html' };
    const send = () => {
      const body = new FormData();
      body.append('text', 'hello');
      body.append('postId', 'p1');
      return fetch(`${url}/chat/send`, { method: 'POST', body, headers, redirect: 'manual' });
    };
    const open = () => fetch(`${url}/`, { headers });
    const soon = [await send(), await open()];
    expect(soon.map((answer) => [answer.status, answer.headers.get('retry-after')])).toEqual([
      [503, '1'],
      [503, '1'],
    ]);
    expect(await soon[0]?.text()).toContain(system.flows.texts.say('en', 'post-stopped'));
    expect((await system.store.figures(system.time.now())).inboxWaiting).toBe(0);
    await system.start({ loops: false });
    expect([(await send()).status, (await send()).status, (await open()).status]).toEqual([303, 303, 200]);
    expect((await system.store.figures(system.time.now())).inboxWaiting).toBe(1);
  });
});
