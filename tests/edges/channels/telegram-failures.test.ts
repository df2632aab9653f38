import nock from 'nock';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { createLog } from '../../../src/log.ts';
import { telegramChannel } from '../../../src/edges/channels/telegram/channel.ts';
import type { TelegramOptions } from '../../../src/edges/channels/telegram/channel.ts';
import type { Delivery, Outgoing } from '../../../src/edges/store/types.ts';
import { loadBotApiSpec } from '../../faults/bot-api-spec.ts';

const TOKEN = '123456789:AAF-abcdefghijklmnopqrstuvwxyz012345';
const ROOT = 'https://api.telegram.org';
const spec = loadBotApiSpec();
let logged: string[] = [];
let objections: string[] = [];

function channel(changed: Partial<TelegramOptions> = {}) {
  return telegramChannel({
    token: TOKEN,
    apiRoot: ROOT,
    staff: { isStaffChat: () => false, receive: () => Promise.resolve(), moved: () => Promise.resolve() },
    contactWords: () => ({ share: 'Share my number', hint: 'Or tap here:' }),
    now: () => '2026-11-02T16:00:00.000Z',
    log: createLog({ level: 'trace', destination: { write: (line) => void logged.push(line) } }),
    callSeconds: 1,
    backoff: { firstMs: 5, mostMs: 10 },
    ...changed,
  });
}

const outgoing = (changed: Partial<Outgoing> = {}): Outgoing => ({
  id: 'out-1',
  channel: 'telegram',
  address: '7',
  text: 'What is the odometer reading?',
  buttons: [],
  askContact: false,
  photos: [],
  ...changed,
});

/** The next call of the method is answered thus; its payload is checked by the Bot API's documentation. */
function answers(method: string, status: number, body: object): nock.Scope {
  return nock(ROOT)
    .post(`/bot${TOKEN}/${method}`, (payload: Record<string, unknown>) => {
      if (typeof payload === 'object') objections.push(...(spec?.checkCall(method, payload) ?? []));
      return true;
    })
    .reply(status, body);
}
const refuses = (method: string, error_code: number, description: string, parameters?: object): nock.Scope =>
  answers(method, error_code, { ok: false, error_code, description, ...(parameters && { parameters }) });
const sends = (method = 'sendMessage', message_id = 5): nock.Scope =>
  answers(method, 200, { ok: true, result: { message_id, date: 1, chat: { id: 7, type: 'private' } } });
const breaks = (method: string, code: string): nock.Scope =>
  nock(ROOT)
    .post(`/bot${TOKEN}/${method}`)
    .replyWithError(Object.assign(new Error(`read ${code} ${ROOT}/bot${TOKEN}/${method}`), { code }));

beforeAll(() => nock.disableNetConnect());
afterEach(() => {
  nock.cleanAll();
  // Whatever happened, neither the token nor what was said is in a log.
  expect(logged.join('')).not.toContain('AAF-');
  expect(logged.join('')).not.toContain('odometer');
  logged = [];
  expect(objections).toEqual([]);
  objections = [];
});
afterAll(() => {
  nock.restore();
  nock.enableNetConnect();
});

describe('what becomes of a message', () => {
  it('that Telegram takes: sent, with its number there', async () => {
    sends('sendMessage', 99);
    expect(await channel().deliver(outgoing())).toEqual({ outcome: 'sent', externalMessageId: '99' });
  });

  it.each<[number, string, object | undefined, Partial<Delivery>, string]>([
    [
      429,
      'Too Many Requests: retry after 14',
      { retry_after: 14 },
      { outcome: 'later', afterSeconds: 14 },
      'as long as Telegram says',
    ],
    [429, 'Too Many Requests', undefined, { outcome: 'later', afterSeconds: 5 }, 'or a while of our own'],
    [403, 'Forbidden: bot was blocked by the user', undefined, { outcome: 'unreachable' }, 'blocked'],
    [403, 'Forbidden: user is deactivated', undefined, { outcome: 'unreachable' }, 'account closed'],
    [
      403,
      'Forbidden: bot was kicked from the group chat',
      undefined,
      { outcome: 'unreachable' },
      'put out of the group',
    ],
    [400, 'Bad Request: chat not found', undefined, { outcome: 'unreachable' }, 'no such chat'],
    [400, 'Bad Request: group chat was deactivated', undefined, { outcome: 'unreachable' }, 'group closed'],
    [
      400,
      'Bad Request: group chat was upgraded to a supergroup chat',
      { migrate_to_chat_id: -100500 },
      { outcome: 'moved', address: '-100500' },
      'the group has a new number',
    ],
    [
      400,
      'Bad Request: not enough rights to send text messages to the chat',
      undefined,
      { outcome: 'later', afterSeconds: 300 },
      'silenced in the group; rights come back',
    ],
    [400, 'Bad Request: BUTTON_DATA_INVALID', undefined, { outcome: 'refused' }, 'the fault is the message’s'],
    [413, 'Request Entity Too Large', undefined, { outcome: 'refused' }, 'too large for ever'],
    [500, 'Internal Server Error', undefined, { outcome: 'later' }, 'the server has a fault'],
    [502, 'Bad Gateway', undefined, { outcome: 'later' }, 'the server is being changed'],
    [
      401,
      'Unauthorized',
      undefined,
      { outcome: 'later', afterSeconds: 60 },
      'the token was withdrawn; the message waits for a new one',
    ],
  ])('that is answered with %i %s', async (status, description, parameters, outcome) => {
    refuses('sendMessage', status, description, parameters);
    expect(await channel().deliver(outgoing())).toMatchObject(outcome);
  });

  it.each(['ECONNRESET', 'ECONNREFUSED', 'ENOTFOUND', 'EPIPE'])(
    'when the connection fails with %s: later, and no word of the address',
    async (code) => {
      breaks('sendMessage', code);
      const delivery = await channel().deliver(outgoing());
      expect(delivery).toMatchObject({ outcome: 'later' });
      expect(JSON.stringify(delivery)).not.toContain('bot');
    },
  );

  it('when no answer comes in time: later', async () => {
    nock(ROOT).post(`/bot${TOKEN}/sendMessage`).delay(3000).reply(200, {});
    expect(await channel().deliver(outgoing())).toMatchObject({ outcome: 'later' });
  });

  it('when what comes is no JSON: later', async () => {
    nock(ROOT).post(`/bot${TOKEN}/sendMessage`).reply(200, '<html>proxy</html>');
    expect(await channel().deliver(outgoing())).toMatchObject({ outcome: 'later' });
  });

  it('of several parts goes on, after a failure, with the part that failed', async () => {
    const telegram = channel();
    const message = outgoing({ text: 'first part\n\n'.padEnd(4000, 'a').concat('\n\n', 'b'.repeat(3000)) });
    const first = sends();
    refuses('sendMessage', 429, 'Too Many Requests: retry after 1', { retry_after: 1 });
    expect(await telegram.deliver(message)).toMatchObject({ outcome: 'later', afterSeconds: 1 });
    expect(first.isDone()).toBe(true);
    const second = nock(ROOT)
      .post(`/bot${TOKEN}/sendMessage`, ({ text }: { text: string }) => text.startsWith('bbb'))
      .reply(200, { ok: true, result: { message_id: 6 } });
    expect(await telegram.deliver(message)).toEqual({ outcome: 'sent', externalMessageId: '6' });
    expect(second.isDone()).toBe(true);
  });

  it.each<[string, Partial<Outgoing>]>([
    ['nothing in it', { text: ' ' }],
    ['button data beyond 64 bytes', { buttons: [{ label: 'Yes', data: 'é'.repeat(33) }] }],
    ['a button without a label', { buttons: [{ label: '', data: 'q:1:1' }] }],
    [
      'buttons but no words',
      { text: '', buttons: [{ label: 'Yes', data: 'q:1:1' }], attachment: { name: 'a', mediaType: 'b', content: 'c' } },
    ],
  ])('with %s: refused without a call', async (_, changed) => {
    expect(await channel().deliver(outgoing(changed))).toMatchObject({ outcome: 'refused' });
  });
});

describe('the start', () => {
  it.each([401, 404])('with a token that is not accepted (%i) says so and gives up', async (status) => {
    refuses('getMe', status, 'Unauthorized');
    await expect(channel().start(() => Promise.resolve())).rejects.toThrow('TELEGRAM_TOKEN is wrong');
  });

  it('without a network goes on trying in the background', async () => {
    breaks('getMe', 'ENOTFOUND');
    breaks('getMe', 'ENOTFOUND');
    answers('getMe', 200, { ok: true, result: { id: 1, is_bot: true, first_name: 'Shop', username: 'shop_bot' } });
    answers('deleteWebhook', 200, { ok: true, result: true });
    const update = {
      update_id: 5,
      message: {
        message_id: 1,
        date: 1,
        chat: { id: 7, type: 'private' },
        from: { id: 7, is_bot: false, first_name: 'R' },
        text: 'the odometer says 98,000',
      },
    };
    answers('getUpdates', 200, { ok: true, result: [update] });
    const telegram = channel();
    const first = await new Promise((resolve) => {
      void telegram.start((incoming) => {
        resolve(incoming[0]?.externalId);
        return Promise.resolve();
      });
    });
    expect(first).toBe('update:123456789:5');
    await telegram.stop();
  });

  it('knows where its chat is, is patient with another program that takes the updates, and names it', async () => {
    answers('getMe', 200, { ok: true, result: { id: 1, is_bot: true, first_name: 'Shop', username: 'shop_bot' } });
    answers('deleteWebhook', 200, { ok: true, result: true });
    refuses(
      'getUpdates',
      409,
      'Conflict: terminated by other getUpdates request; make sure that only one bot instance is running',
    );
    const last = answers('getUpdates', 200, { ok: true, result: [] });
    const telegram = channel();
    // Nobody knows the bot's name before it was asked for.
    expect(telegram.linkTo('odometer-truck-1')).toBeUndefined();
    await telegram.start(() => Promise.resolve());
    expect(telegram.linkTo('odometer-truck-1')).toBe('https://t.me/shop_bot?start=odometer-truck-1');
    while (!last.isDone()) await new Promise((resolve) => setTimeout(resolve, 5));
    await telegram.stop();
    expect(logged.join('')).toContain('another program is taking the updates');
  });
});

describe('a file that a message named', () => {
  const path = `/file/bot${TOKEN}/photos/a.jpg`;
  const found = (file: object = { file_path: 'photos/a.jpg', file_size: 3 }): nock.Scope =>
    answers('getFile', 200, { ok: true, result: { file_id: 'a', file_unique_id: 'b', ...file } });

  it('is fetched', async () => {
    found();
    nock(ROOT)
      .get(path)
      .reply(200, Buffer.from([1, 2, 3]));
    expect(await channel().fetchFile('a')).toEqual({ outcome: 'fetched', bytes: new Uint8Array([1, 2, 3]) });
  });

  it.each<[string, () => void, string]>([
    ['is not known', () => refuses('getFile', 400, 'Bad Request: wrong file_id'), 'refused'],
    ['is too large by Telegram’s word', () => found({ file_path: 'photos/a.jpg', file_size: 21_000_000 }), 'refused'],
    ['lies elsewhere', () => found({ file_path: '../../etc/passwd' }), 'refused'],
    ['has no path', () => found({}), 'refused'],
    ['is gone', () => (found(), nock(ROOT).get(path).reply(404)), 'refused'],
    ['turns out too large', () => (found(), nock(ROOT).get(path).reply(200, Buffer.alloc(20_000_001))), 'refused'],
    ['cannot be had now', () => (found(), nock(ROOT).get(path).reply(503)), 'later'],
    ['breaks off', () => (found(), nock(ROOT).get(path).replyWithError({ code: 'ECONNRESET' })), 'later'],
    ['is behind too many requests', () => refuses('getFile', 429, 'Too Many Requests', { retry_after: 9 }), 'later'],
    ['is behind a lost connection', () => breaks('getFile', 'ECONNRESET'), 'later'],
  ])('that %s', async (_, prepare, outcome) => {
    prepare();
    const fetched = await channel().fetchFile('a');
    expect(fetched).toMatchObject({ outcome });
    expect(JSON.stringify(fetched)).not.toContain('AAF-');
  });
});

it.skipIf(spec)('calls were not checked here: the Bot API’s documentation is not beside the project', () => undefined);
