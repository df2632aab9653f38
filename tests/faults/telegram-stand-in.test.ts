import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { parseMultipart } from './multipart.ts';
import type { Person } from './telegram-people.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

// What the Bot API's documentation of getUpdates and setWebhook promises (core.telegram.org/bots/api); the tests that use
// the stand-in are worth as much as this.
let standIn: TelegramStandIn;
let robin: Person;
beforeEach(async () => {
  standIn = await new TelegramStandIn({ firstUpdateId: 100 }).listen();
  robin = standIn.person(7);
});
afterEach(() => standIn.close());

async function call(method: string, payload: object = {}): Promise<{ ok: boolean; [key: string]: unknown }> {
  const response = await fetch(`${standIn.apiRoot}/bot${standIn.token}/${method}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(payload),
  });
  return (await response.json()) as { ok: boolean };
}
const updates = async (payload: object = {}): Promise<number[]> =>
  ((await call('getUpdates', payload))['result'] as { update_id: number }[]).map(({ update_id }) => update_id);

describe('getUpdates of the stand-in', () => {
  it('hands the same updates out until a higher offset confirms them', async () => {
    for (const word of ['one', 'two', 'three']) robin.says(word);
    expect(await updates()).toEqual([100, 101, 102]);
    expect(await updates()).toEqual([100, 101, 102]);
    expect(await updates({ offset: 101, limit: 1 })).toEqual([101]);
    expect(standIn.queue.size).toBe(2);
    expect(await updates({ offset: 103 })).toEqual([]);
    expect(standIn.queue.size).toBe(0);
  });

  it('forgets all but the last ones at a negative offset', async () => {
    for (const word of ['one', 'two', 'three']) robin.says(word);
    expect(await updates({ offset: -1 })).toEqual([102]);
    expect(await updates()).toEqual([102]);
  });

  it('waits for what comes', async () => {
    const waiting = updates({ timeout: 10 });
    await standIn.until(() => standIn.calls.length === 1, 'the call');
    robin.says('hello');
    expect(await waiting).toEqual([100]);
  });

  it('ends for the first when a second asks', async () => {
    const first = call('getUpdates', { timeout: 10 });
    await standIn.until(() => standIn.calls.length === 1, 'the first');
    expect(await updates({ timeout: 0 })).toEqual([]);
    expect(await first).toMatchObject({ ok: false, error_code: 409 });
  });

  it('is refused while a webhook is set, and with another token', async () => {
    await call('setWebhook', { url: 'http://127.0.0.1:9/' });
    expect(await call('getUpdates')).toMatchObject({ ok: false, error_code: 409 });
    const stranger = await fetch(`${standIn.apiRoot}/bot1:other/getUpdates`, { method: 'POST' });
    expect(stranger.status).toBe(401);
  });
});

describe('the webhook of the stand-in', () => {
  it('posts in order with the secret, and again until it is answered with 2xx', async () => {
    const posted: unknown[] = [];
    const statuses = [500, 301, 204, 200];
    const server = createServer((request, response) => {
      void (async () => {
        const chunks: Buffer[] = [];
        for await (const chunk of request) chunks.push(chunk as Buffer);
        const { update_id } = JSON.parse(Buffer.concat(chunks).toString('utf8')) as { update_id: number };
        posted.push([update_id, request.headers['x-telegram-bot-api-secret-token']]);
        response.writeHead(statuses.shift() ?? 500).end();
      })();
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
    await call('setWebhook', { url, secret_token: 'secret', max_connections: 1 });
    robin.says('one');
    robin.says('two');
    await standIn.until(() => standIn.queue.size === 0, 'both taken');
    expect(posted).toEqual([100, 100, 100, 101].map((id) => [id, 'secret']));
    server.close();
  });
});

describe('the failures of the stand-in', () => {
  it('come as often as they were ordered, and stop', async () => {
    standIn.fail('sendMessage', { status: 429, description: 'Too Many Requests', parameters: { retry_after: 2 } });
    standIn.fail('sendMessage', 'reset');
    standIn.fail('sendMessage', 'reset-after');
    const send = () => call('sendMessage', { chat_id: 7, text: 'hello' });
    expect(await send()).toMatchObject({ ok: false, error_code: 429, parameters: { retry_after: 2 } });
    await expect(send()).rejects.toThrow();
    expect(standIn.messagesTo(7)).toHaveLength(0);
    await expect(send()).rejects.toThrow();
    expect(standIn.messagesTo(7)).toHaveLength(1);
    expect(await send()).toMatchObject({ ok: true });
  });

  it.each<[object, number, string]>([
    [{ chat_id: 8, text: 'x' }, 400, 'a chat that never wrote'],
    [{ chat_id: 7, text: ' ' }, 400, 'nothing to say'],
    [{ chat_id: 7, text: 'x'.repeat(4097) }, 400, 'too long'],
    [
      { chat_id: 7, text: 'x', reply_markup: { inline_keyboard: [[{ text: 'a', callback_data: 'x'.repeat(65) }]] } },
      400,
      'a button that holds too much',
    ],
  ])('are those of the Bot API: %j', async (payload, error_code) => {
    expect(await call('sendMessage', payload)).toMatchObject({ ok: false, error_code });
  });

  it('close a chat, move a group, and count the seconds between messages', async () => {
    robin.blocks();
    expect(await call('sendMessage', { chat_id: 7, text: 'x' })).toMatchObject({ error_code: 403 });
    standIn.group(-5).becomes(-1_000_000_000_005);
    expect(await call('sendMessage', { chat_id: -5, text: 'x' })).toMatchObject({
      error_code: 400,
      parameters: { migrate_to_chat_id: -1_000_000_000_005 },
    });
    const strict = await new TelegramStandIn({ leastMsBetween: 60_000 }).listen();
    strict.person(7);
    const send = async () =>
      (
        await fetch(`${strict.apiRoot}/bot${strict.token}/sendMessage`, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ chat_id: 7, text: 'x' }),
        })
      ).status;
    expect([await send(), await send()]).toEqual([200, 429]);
    await strict.close();
  });
});

describe('a multipart body', () => {
  it('is read the same as the platform writes it', async () => {
    const form = new FormData();
    form.set('chat_id', '7');
    form.set('document', new File([new Uint8Array([1, 13, 10, 45, 45, 2])], 'visit.ics'));
    const request = new Request('http://x', { method: 'POST', body: form });
    const body = Buffer.from(await request.arrayBuffer());
    expect(parseMultipart(body, request.headers.get('content-type') ?? '')).toEqual({
      fields: { chat_id: '7' },
      files: { document: { fileName: 'visit.ics', bytes: Buffer.from([1, 13, 10, 45, 45, 2]) } },
    });
  });

  it.each([
    ['cut off', '--b\r\ncontent-disposition:form-data;name="a"\r\n\r\n1'],
    ['without its boundary', 'hello'],
  ])('that is %s is refused', (_, body) => {
    expect(() => parseMultipart(Buffer.from(body), 'multipart/form-data; boundary=b')).toThrow('cut off');
  });
});
