import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { telegramChannel } from '../../../src/edges/channels/telegram/channel.ts';
import type { StaffDesk, TelegramChannel, TelegramOptions } from '../../../src/edges/channels/telegram/channel.ts';
import type { FromStaff } from '../../../src/edges/channels/telegram/updates.ts';
import { sameSecret, webhookSecret } from '../../../src/edges/channels/telegram/webhook.ts';
import type { Incoming } from '../../../src/edges/store/types.ts';
import { loadBotApiSpec } from '../../faults/bot-api-spec.ts';
import type { Group, Person } from '../../faults/telegram-people.ts';
import { TelegramStandIn } from '../../faults/telegram-stand-in.ts';

const spec = loadBotApiSpec();
let standIn: TelegramStandIn;
let robin: Person;
let counter: Group;
let running: TelegramChannel[];
/** What is durable: as an inbox keeps it, one of each id. */
let inbox: Map<string, Incoming>;
let staffInbox: Map<string, FromStaff>;
let linked: Set<string>;
let moves: string[][];
let arrivals: string[];

const staff: StaffDesk = {
  isStaffChat: (chat) => linked.has(chat),
  receive: (event) => {
    arrivals.push(event.externalId);
    staffInbox.set(event.externalId, event);
    if (event.kind === 'link' && event.code === 'RIGHT-CODE') linked.add(event.chat);
    return Promise.resolve();
  },
  moved: (from, to) => {
    moves.push([from, to]);
    return Promise.resolve();
  },
};
const keep = (incoming: Incoming[]): Promise<void> => {
  for (const one of incoming) {
    arrivals.push(one.externalId);
    inbox.set(one.externalId, one);
  }
  return Promise.resolve();
};

function telegram(changed: Partial<TelegramOptions> = {}): TelegramChannel {
  const channel = telegramChannel({
    token: standIn.token,
    apiRoot: standIn.apiRoot,
    staff,
    contactWords: () => ({ share: 'Share my number', hint: 'Or tap below:' }),
    now: () => new Date().toISOString(),
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
    pollSeconds: 5,
    callSeconds: 2,
    backoff: { firstMs: 5, mostMs: 20 },
    ...changed,
  });
  running.push(channel);
  return channel;
}

beforeEach(async () => {
  standIn = await new TelegramStandIn(
    spec && { inspect: (method, payload) => spec.checkCall(method, payload) },
  ).listen();
  robin = standIn.person(7);
  counter = standIn.group(-100500);
  [running, inbox, staffInbox, linked, moves, arrivals] = [[], new Map(), new Map(), new Set(), [], []];
});
afterEach(async () => {
  await Promise.all(running.map((channel) => channel.stop()));
  await standIn.close();
  expect(standIn.objections).toEqual([]);
});

const texts = (): string[] =>
  [...inbox.values()].flatMap(({ event }) => (event.kind === 'message' ? [event.text] : []));

describe('polling', () => {
  it('hands over what waited and what comes, in order, and the server forgets it', async () => {
    robin.says('one');
    robin.says('two');
    await telegram().start(keep);
    await standIn.until(() => inbox.size === 2, 'two messages');
    robin.says('three');
    await standIn.until(() => inbox.size === 3 && standIn.queue.size === 0, 'the third, confirmed');
    expect(texts()).toEqual(['one', 'two', 'three']);
    expect([...standIn.queue.handedOut.values()]).toEqual([1, 1, 1]);
  });

  it('moves the offset only once the batch is durable: what could not be kept is asked for again', async () => {
    robin.says('one');
    let failures = 3;
    await telegram().start((incoming) => {
      if (failures-- > 0) return Promise.reject(new Error('the disk is full'));
      return keep(incoming);
    });
    await standIn.until(() => inbox.size === 1, 'the message');
    await standIn.until(() => standIn.queue.size === 0, 'its confirmation');
    expect(texts()).toEqual(['one']);
    expect([...standIn.queue.handedOut.values()]).toEqual([4]);
  });

  it('loses nothing when it is stopped while a batch is being kept, and hands nothing over twice after a restart', async () => {
    robin.says('one');
    let finish = (): void => undefined;
    const slow = new Promise<void>((resolve) => {
      finish = resolve;
    });
    const first = telegram();
    let taking = false;
    await first.start(async (incoming) => {
      taking = true;
      await slow;
      await keep(incoming);
    });
    await standIn.until(() => taking, 'the batch being kept');
    const stopped = first.stop();
    expect(inbox.size).toBe(0);
    finish();
    await stopped;
    expect(texts()).toEqual(['one']);
    robin.says('two');
    await telegram().start(keep);
    await standIn.until(() => inbox.size === 2, 'the second message');
    expect(texts()).toEqual(['one', 'two']);
    expect(arrivals).toHaveLength(2);
  });

  it('gets again what was kept but not confirmed by a process that died, under the same id', async () => {
    robin.says('one');
    const died = telegram();
    // Kept, but the process never returns to confirm it.
    let kept = (): void => undefined;
    const isKept = new Promise<void>((resolve) => {
      kept = resolve;
    });
    void died.start(async (incoming) => {
      await keep(incoming);
      kept();
      await new Promise(() => undefined);
    });
    await isKept;
    running = [];
    await telegram().start(keep);
    await standIn.until(() => arrivals.length === 2, 'the second arrival');
    expect(new Set(arrivals).size).toBe(1);
    expect(inbox.size).toBe(1);
  });

  it.each([
    ['a reset connection', 'reset' as const],
    ['a fault of the server', { status: 500, description: 'Internal Server Error' }],
    [
      'too many requests',
      { status: 429, description: 'Too Many Requests: retry after 0', parameters: { retry_after: 0 } },
    ],
    ['another poller', { status: 409, description: 'Conflict: terminated by other getUpdates request' }],
    ['an answer that is lost on its way', 'reset-after' as const],
  ])('goes on after %s', async (_, failure) => {
    standIn.fail('getUpdates', failure, 3);
    await telegram().start(keep);
    robin.says('one');
    await standIn.until(() => inbox.size === 1, 'the message');
    expect(texts()).toEqual(['one']);
  });

  it('takes back the updates from a webhook that was set before', async () => {
    standIn.queue.setWebhook({ url: 'http://127.0.0.1:9/none', secret: undefined, connections: 1 });
    await telegram().start(keep);
    robin.says('one');
    await standIn.until(() => inbox.size === 1, 'the message');
  });

  it('a damaged update holds up nothing', async () => {
    standIn.queue.add({ message: { message_id: 'x', text: 5 } });
    robin.says('one');
    await telegram().start(keep);
    await standIn.until(() => standIn.queue.size === 0 && inbox.size === 1, 'the one behind it');
  });

  it('answers every press, at once and without a word', async () => {
    robin.pressesData('q:1:2');
    robin.pressesData('rubbish'.repeat(20));
    counter.pressesData(robin, 's:1:1:accept');
    await telegram().start(keep);
    await standIn.until(() => standIn.answeredPresses.length === 3, 'three answers');
    expect(
      standIn.calls
        .filter(({ method }) => method === 'answerCallbackQuery')
        .every(({ payload }) => !('text' in payload)),
    ).toBe(true);
    expect([...inbox.values()].map(({ event }) => event.kind)).toEqual(['button']);
    expect(staffInbox.size).toBe(0);
  });

  it('a press is no worse when it cannot be answered any more', async () => {
    standIn.fail('answerCallbackQuery', { status: 400, description: 'Bad Request: query is too old' });
    robin.pressesData('q:1:2');
    await telegram().start(keep);
    await standIn.until(() => inbox.size === 1 && standIn.queue.size === 0, 'the press');
  });
});

describe('the staff chat', () => {
  it('is the group in which the right code was given; from the next message on it is listened to', async () => {
    counter.pressesData(robin, 's:1:1:accept');
    counter.says(robin, '/today');
    counter.says(robin, '/link WRONG-CODE');
    counter.says(robin, '/today');
    counter.says(robin, '/link RIGHT-CODE');
    counter.says(robin, '/today');
    counter.pressesData(robin, 's:412-1:3:accept');
    robin.says('an owner in between');
    counter.becomes(-1_000_000_000_900);
    await telegram().start(keep);
    await standIn.until(() => standIn.queue.size === 0, 'all of it');
    expect([...staffInbox.values()].map((event) => [event.kind, event.by.name])).toEqual([
      ['link', 'Robin'],
      ['link', 'Robin'],
      ['text', 'Robin'],
      ['press', 'Robin'],
    ]);
    expect(moves).toEqual([['-100500', '-1000000000900']]);
    expect(texts()).toEqual(['an owner in between']);
  });
});

describe('the webhook', () => {
  /** A server with the one route, as the program's own web server has it. */
  async function serve(channel: () => TelegramChannel): Promise<{ url: string; close: () => Promise<void> }> {
    const server = createServer((request, response) => {
      void (async () => {
        const chunks: Buffer[] = [];
        for await (const chunk of request) chunks.push(chunk as Buffer);
        const body: unknown = JSON.parse(Buffer.concat(chunks).toString('utf8'));
        const secretToken = request.headers['x-telegram-bot-api-secret-token'];
        response.writeHead(await channel().webhook({ secretToken, body })).end();
      })();
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    return {
      url: `http://127.0.0.1:${(server.address() as AddressInfo).port}/telegram`,
      close: () => {
        server.closeAllConnections();
        return new Promise((resolve) => server.close(() => resolve()));
      },
    };
  }

  it('takes what is posted, in order, and is posted again what it could not keep', async () => {
    const routes: { channel?: TelegramChannel } = {};
    const server = await serve(() => routes.channel as TelegramChannel);
    routes.channel = telegram({ webhookUrl: server.url });
    let failures = 2;
    await routes.channel.start((incoming) => (failures-- > 0 ? Promise.reject(new Error('locked')) : keep(incoming)));
    for (const word of ['one', 'two', 'three']) robin.says(word);
    robin.pressesData('q:1:2');
    await standIn.until(() => standIn.queue.size === 0, 'everything taken');
    expect(texts()).toEqual(['one', 'two', 'three']);
    expect(standIn.queue.posts).toEqual([500, 500, 200, 200, 200, 200]);
    await standIn.until(() => standIn.answeredPresses.length === 1, 'the press answered');
    expect(standIn.calls.some(({ method }) => method === 'getUpdates')).toBe(false);
    await server.close();
  });

  it('puts off what is posted while the program still starts, and has no fault to report', async () => {
    const faults: string[] = [];
    const report = (_fields: object, sentence: string) => void faults.push(sentence);
    const channel = telegram({ log: { info: () => undefined, warn: report, error: report } });
    const chat = { id: robin.id, type: 'private' };
    const update = { update_id: 1, message: { message_id: 1, date: 1, text: 'early', from: robin.user, chat } };
    const post = () => channel.webhook({ secretToken: webhookSecret(standIn.token), body: update });
    expect(await post()).toBe(500);
    await channel.start(keep);
    expect(await post()).toBe(200);
    expect(texts()).toEqual(['early']);
    expect(faults).toEqual([]);
  });

  it('stays set when the program stops, so that what comes meanwhile waits at Telegram', async () => {
    const server = await serve(() => channel);
    const channel = telegram({ webhookUrl: server.url });
    await channel.start(keep);
    await channel.stop();
    robin.says('meanwhile');
    await standIn.until(() => standIn.queue.posts.includes(500), 'a post that is not taken');
    expect(standIn.queue.webhookUrl).toBe(server.url);
    expect(standIn.queue.size).toBe(1);
    await server.close();
  });

  it.each([
    ['no secret', undefined],
    ['an empty one', ''],
    ['a wrong one', 'x'.repeat(43)],
    ['one of another length', 'short'],
    ['a list', ['a', 'b']],
  ])('is closed to strangers: %s', async (_, secretToken) => {
    const channel = telegram();
    await channel.start(keep);
    expect(await channel.webhook({ secretToken, body: { update_id: 1 } })).toBe(401);
    expect(arrivals).toEqual([]);
  });

  it.each([
    ['nothing', undefined],
    ['a word', 'hello'],
    ['a list', [1, 2]],
    ['no number', { message: {} }],
  ])('takes %s for done: posting it again would help nobody', async (_, body) => {
    const channel = telegram();
    await channel.start(keep);
    expect(await channel.webhook({ secretToken: webhookSecret(standIn.token), body })).toBe(200);
    expect(arrivals).toEqual([]);
  });

  it('has a secret that Telegram accepts, that differs by token and does not contain it', () => {
    expect(webhookSecret(standIn.token)).toMatch(/^[A-Za-z0-9_-]{1,256}$/);
    expect(webhookSecret('1:abc')).not.toBe(webhookSecret('1:abd'));
    expect(standIn.token).not.toContain(webhookSecret(standIn.token));
    expect(sameSecret(webhookSecret('1:abc'), webhookSecret('1:abc'))).toBe(true);
  });
});

it.skipIf(spec)('calls were not checked here: the Bot API’s documentation is not beside the project', () => undefined);
