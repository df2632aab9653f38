import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { ChannelName } from '../../../src/core/mod.ts';
import { createDispatcher, type Dispatcher } from '../../../src/edges/desk/dispatcher.ts';
import type { Channel, Delivery, Outgoing, Store } from '../../../src/edges/store/types.ts';
import { sqliteDatabase, type TestDatabase } from '../store/databases.ts';
import { NOW, silent, ZONE } from '../store/made-up.ts';

/** A channel whose deliveries end as the test says; it writes down what it was given and when. */
class Scripted implements Channel {
  readonly name: ChannelName;
  readonly sent: { text: string; address: string; at: number }[] = [];
  outcomes: ((message: Outgoing) => Delivery | Promise<Delivery> | undefined)[] = [];
  readonly #at: () => number;

  constructor(name: ChannelName, at: () => number) {
    this.name = name;
    this.#at = at;
  }
  async start(): Promise<void> {}
  async stop(): Promise<void> {}
  async deliver(message: Outgoing): Promise<Delivery> {
    this.sent.push({ text: message.text, address: message.address, at: this.#at() });
    for (const outcome of this.outcomes) {
      const delivery = await outcome(message);
      if (delivery) return delivery;
    }
    return { outcome: 'sent', externalMessageId: String(this.sent.length) };
  }
  get texts(): string[] {
    return this.sent.map(({ text }) => text);
  }
}

describe('the dispatcher', () => {
  let db: TestDatabase;
  let store: Store;
  let elapsed: number;
  let telegram: Scripted;
  let web: Scripted;
  let dispatcher: Dispatcher;
  const clock = () => new Date(Date.parse(NOW) + elapsed).toISOString();
  const open = (channels: Channel[] = [telegram, web]) =>
    createDispatcher({
      store,
      channels: new Map(channels.map((channel) => [channel.name, channel])),
      clock,
      log: silent,
      monotonic: () => elapsed,
    });

  beforeEach(async () => {
    db = sqliteDatabase();
    store = await db.open();
    elapsed = 0;
    telegram = new Scripted('telegram', () => elapsed);
    web = new Scripted('web', () => elapsed);
    dispatcher = open();
  });
  afterEach(() => db.remove());

  let seq = 1;
  const put = (
    address: string,
    text: string,
    more: { channel?: ChannelName; toStaff?: boolean; photos?: string[] } = {},
  ) =>
    store.transaction((tx) =>
      tx.addToOutbox([
        {
          inboxSeq: seq++,
          ordinal: 0,
          ownerId: more.toStaff ? null : 'o1',
          toStaff: more.toStaff ?? false,
          channel: more.channel ?? 'telegram',
          address,
          reply: { text, buttons: [], ...(more.photos && { photos: more.photos }) },
          unasked: false,
          createdAt: clock(),
        },
      ]),
    );
  /** Lets time pass in steps of a twentieth of a second, sending whatever may go at each. */
  const pass = async (milliseconds: number) => {
    const end = elapsed + milliseconds;
    for (;;) {
      await dispatcher.drain();
      if (elapsed >= end) return;
      elapsed += 50;
    }
  };
  const waiting = async () => (await store.figures(clock())).outboxWaiting;

  describe('paces Telegram', () => {
    it('one message a second to a chat, in order', async () => {
      for (const text of ['1', '2', '3']) await put('7', text);
      await pass(2_500);
      expect(telegram.sent.map(({ text, at }) => [text, at])).toEqual([
        ['1', 0],
        ['2', 1_000],
        ['3', 2_000],
      ]);
    });

    it('twenty a minute to a group', async () => {
      for (let index = 0; index < 25; index++) await put('-100', `${index}`);
      await pass(70_000);
      const times = telegram.sent.map(({ at }) => at);
      expect(telegram.texts).toEqual(Array.from({ length: 25 }, (_, index) => `${index}`));
      for (const from of times) {
        expect(times.filter((at) => at >= from && at < from + 60_000).length).toBeLessThanOrEqual(20);
      }
      expect(times[20]).toBe(60_000);
    });

    it('about thirty a second over all', async () => {
      for (let index = 0; index < 90; index++) await put(`${1_000 + index}`, `${index}`);
      await pass(3_000);
      const times = telegram.sent.map(({ at }) => at);
      expect(times).toHaveLength(90);
      for (const from of times) {
        expect(times.filter((at) => at >= from && at < from + 1_000).length).toBeLessThanOrEqual(30);
      }
    });

    it('and no other channel', async () => {
      for (let index = 0; index < 50; index++) await put('w1', `${index}`, { channel: 'web' });
      await dispatcher.drain();
      expect(web.texts).toEqual(Array.from({ length: 50 }, (_, index) => `${index}`));
    });
  });

  it('holds back only the chat that must wait, and keeps its order', async () => {
    telegram.outcomes = [
      ({ address }) =>
        address === '7' && elapsed < 30_000 ? { outcome: 'later', afterSeconds: 30, because: '429' } : undefined,
    ];
    await put('7', 'first');
    await put('7', 'second');
    await put('8', 'other');
    await pass(29_000);
    expect(telegram.texts).toEqual(['first', 'other']);
    await pass(3_000);
    expect(telegram.texts).toEqual(['first', 'other', 'first', 'second']);
    expect(await waiting()).toBe(0);
  });

  it('tries again, later and later, while the line is down, and loses nothing', async () => {
    let down = true;
    telegram.outcomes = [
      () => {
        if (down) throw new Error('no network');
        return undefined;
      },
    ];
    await put('7', 'hello');
    await pass(60_000);
    const tries = telegram.sent.map(({ at }) => at);
    expect(tries.length).toBeGreaterThan(4);
    expect(tries.length).toBeLessThan(10);
    const gaps = tries.slice(1).map((at, index) => at - (tries[index] ?? 0));
    expect([...gaps].sort((a, b) => a - b)).toEqual(gaps);
    down = false;
    await pass(70_000);
    expect(await waiting()).toBe(0);
  });

  it('gives up on what can never be delivered, and goes on', async () => {
    telegram.outcomes = [({ text }) => (text === 'bad' ? { outcome: 'refused', because: 'too long' } : undefined)];
    await put('7', 'bad');
    await put('7', 'good');
    await pass(2_000);
    expect(telegram.texts).toEqual(['bad', 'good']);
    expect(await waiting()).toBe(0);
  });

  it('stops writing to an owner who closed the chat, marks them and tells the turn once', async () => {
    await store.transaction((tx) =>
      tx.addOwner({ id: 'o1', channel: 'telegram', address: '7', language: 'en', zone: ZONE, at: NOW }),
    );
    telegram.outcomes = [() => ({ outcome: 'unreachable', because: 'blocked' })];
    await put('7', 'first');
    await put('7', 'second');
    await pass(5_000);
    expect(telegram.texts).toEqual(['first']);
    const file = await store.transaction((tx) => tx.loadFile('o1'));
    expect(file?.owner.unreachableSince).toBe(NOW);
    const rows = await store.transaction((tx) => tx.takeWaiting(clock(), 10));
    expect(rows.map(({ event }) => event)).toMatchObject([{ kind: 'unreachable', because: 'blocked' }]);
  });

  it('unlinks a staff chat that was closed', async () => {
    await store.access.addStaffChat({ channel: 'telegram', address: '-100' }, NOW, 'test');
    telegram.outcomes = [() => ({ outcome: 'unreachable', because: 'kicked' })];
    await put('-100', 'hello', { toStaff: true });
    await dispatcher.drain();
    expect(await store.access.isStaffChat('telegram', '-100')).toBe(false);
  });

  it('follows a chat to its new address with everything that waits', async () => {
    telegram.outcomes = [({ address }) => (address === '-1' ? { outcome: 'moved', address: '-100200' } : undefined)];
    await put('-1', 'first', { toStaff: true });
    await put('-1', 'second', { toStaff: true });
    await pass(3_000);
    expect(telegram.sent.map(({ text, address }) => [text, address])).toEqual([
      ['first', '-1'],
      ['first', '-100200'],
      ['second', '-100200'],
    ]);
  });

  it('waits for a picture that is being fetched, but not for ever', async () => {
    await store.transaction((tx) =>
      tx.addMedia(
        ['soon', 'never'].map((id) => ({
          id,
          ownerId: 'o1',
          channel: 'telegram' as const,
          at: NOW,
          content: { fileId: id },
        })),
      ),
    );
    const pictures: number[] = [];
    telegram.outcomes = [({ photos }) => void pictures.push(photos.length) as undefined];
    await put('7', 'with a picture', { photos: ['soon'] });
    await put('8', 'without', { photos: ['never'] });
    await pass(5_000);
    expect(telegram.texts).toEqual([]);
    await store.transaction((tx) => tx.mediaStored('soon', new Uint8Array([1]), 'image/jpeg'));
    await pass(2_000);
    expect(telegram.texts).toEqual(['with a picture']);
    await pass(60_000);
    expect(telegram.texts).toEqual(['with a picture', 'without']);
    expect(pictures).toEqual([1, 0]);
  });

  it('sends again only what was sent and not marked when the process died', async () => {
    await put('7', 'first');
    await put('8', 'second');
    let dying = true;
    telegram.outcomes = [
      () => {
        // The process dies after both messages left and before either is marked.
        if (dying) return new Promise<Delivery>(() => {});
        return undefined;
      },
    ];
    void dispatcher.drain();
    await expect.poll(() => telegram.sent.length).toBe(2);
    dying = false;
    dispatcher = open();
    await pass(9_000);
    expect(telegram.texts).toEqual(['first', 'second']);
    // Its lease has run out: the next process takes over.
    await pass(2_000);
    expect(telegram.texts).toEqual(['first', 'second', 'first', 'second']);
    await pass(20_000);
    expect(telegram.texts).toHaveLength(4);
  });

  it('writes down what was sent before it sends anything more, where the disk failed between', async () => {
    await put('w1', 'first', { channel: 'web' });
    await put('w1', 'second', { channel: 'web' });
    let broken = true;
    const failing: Store = {
      ...store,
      transaction: (work) => {
        if (broken && web.sent.length === 1) return Promise.reject(new Error('disk full'));
        return store.transaction(work);
      },
    };
    dispatcher = createDispatcher({
      store: failing,
      channels: new Map([['web', web]]),
      clock,
      log: silent,
      monotonic: () => elapsed,
    });
    await expect(dispatcher.drain()).rejects.toThrow('disk full');
    await expect(dispatcher.drain()).rejects.toThrow('disk full');
    expect(web.texts).toEqual(['first']);
    broken = false;
    await dispatcher.drain();
    expect(web.texts).toEqual(['first', 'second']);
  });

  it('sends on a channel from one process at a time, and leaves the others to those who run them', async () => {
    const terminal = new Scripted('terminal', () => elapsed);
    const elsewhere = open([telegram, terminal]);
    await put('7', 'a');
    await dispatcher.drain();
    elapsed += 2_000;
    await put('7', 'b');
    await put('t1', 'c', { channel: 'terminal' });
    await elsewhere.drain();
    expect(telegram.texts).toEqual(['a']);
    expect(terminal.texts).toEqual(['c']);
    await dispatcher.stop();
    await elsewhere.drain();
    expect(telegram.texts).toEqual(['a', 'b']);
  });

  it('sends by itself once it is started, and marks what is under way when it stops', async () => {
    dispatcher.start();
    await put('w1', 'hello', { channel: 'web' });
    dispatcher.wake();
    await expect.poll(() => web.texts).toEqual(['hello']);
    await dispatcher.stop();
    expect(await waiting()).toBe(0);
  });
});
