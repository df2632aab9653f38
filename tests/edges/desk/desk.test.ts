import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { InboxEvent, Known, TurnResult } from '../../../src/core/mod.ts';
import { createDesk, type Desk } from '../../../src/edges/desk/desk.ts';
import type { Log, Store } from '../../../src/edges/store/types.ts';
import { pgliteDatabase, sqliteDatabase, START_MILLISECONDS, type TestDatabase } from '../store/databases.ts';
import { after, madeUpTurn, NOW, says, ZONE } from '../store/made-up.ts';

describe.each([
  ['SQLite', sqliteDatabase],
  ['pglite', pgliteDatabase],
])('the desk on %s', (_name, database: () => TestDatabase) => {
  let db: TestDatabase;
  let store: Store;
  let desk: Desk;
  let now: string;
  let logged: string[];
  const log: Log = {
    info: (fields, message) => void logged.push(JSON.stringify({ fields, message })),
    warn: (fields, message) => void logged.push(JSON.stringify({ fields, message })),
    error: (fields, message) => void logged.push(JSON.stringify({ fields, message })),
  };

  interface More {
    turn?: typeof madeUpTurn;
    turnsACommit?: number;
    turnsAMinute?: number;
    allTurnsAMinute?: number;
  }
  const open = (more: More = {}) =>
    createDesk({
      store,
      turn: madeUpTurn,
      flows: {},
      clock: () => now,
      zone: ZONE,
      log,
      tooFast: () => 'One moment.',
      apology: (language) => (language === 'es' ? 'Perdón, algo falló.' : 'Sorry, that went wrong.'),
      ...more,
    });

  beforeEach(async () => {
    db = database();
    store = await db.open();
    now = NOW;
    logged = [];
    desk = open();
  }, START_MILLISECONDS);
  afterEach(async () => {
    await desk.stop();
    await db.remove();
  });

  const ownerAt = async (address = 'a1') => (await store.views.ownerAt('web', address)) ?? '';
  const lines = async (address = 'a1') =>
    (await store.views.talk(await ownerAt(address))).map(({ from, text }) => `${from}: ${text}`);
  const load = async (address = 'a1') => {
    const id = await ownerAt(address);
    const file = await store.transaction((tx) => tx.loadFile(id));
    if (!file) throw new Error('no such owner');
    return file;
  };
  const outgoing = async (channels: ('web' | 'telegram')[] = ['web', 'telegram']) => {
    const rows = await store.transaction((tx) => tx.outboxHeads(channels, now, 100, () => false));
    return rows.map(({ channel, address, reply }) => `${channel} ${address}: ${reply.text}`);
  };

  it('answers a message once, however often it arrives', async () => {
    await desk.receive([says('hello'), says('hello')]);
    await desk.receive([says('hello')]);
    expect(await desk.drain()).toBe(1);
    expect(await lines()).toEqual(['owner: hello', 'shop: you said: hello']);
  });

  it('lets an owner who writes faster than the limit wait, tells them once, and then goes on: nothing is lost', async () => {
    desk = open({ turnsAMinute: 3 });
    const words = Array.from({ length: 7 }, (_, index) => `w${index}`);
    await desk.receive([...words.map((text) => says(text)), says('hello', 'a2')]);
    await desk.drain();
    await desk.drain();
    const answered = async () => (await lines()).filter((line) => line.startsWith('shop: you said'));
    expect(await answered()).toHaveLength(3);
    // Somebody else is answered meanwhile, although they wrote last.
    expect(await lines('a2')).toEqual(['owner: hello', 'shop: you said: hello']);
    expect(await lines()).toContain('shop: One moment.');
    now = after(1.1);
    await desk.drain();
    expect(await answered()).toHaveLength(6);
    now = after(2.2);
    await desk.drain();
    expect(await answered()).toEqual(words.map((text) => `shop: you said: ${text}`));
    expect((await lines()).filter((line) => line === 'shop: One moment.').length).toBeLessThanOrEqual(2);
    expect((await store.figures(now)).inboxWaiting).toBe(0);
  });

  it('lets what all owners together write above the limit wait in its order, loses nothing, and goes on evenly', async () => {
    desk = open({ allTurnsAMinute: 60 });
    const addresses = Array.from({ length: 25 }, (_, index) => `b${index}`);
    for (const address of addresses) await desk.receive([says('hello', address)]);
    const answered = async () => {
      const all = await Promise.all(addresses.map(lines));
      return all.filter((said) => said.length === 2).length;
    };
    // At once a sixth of a minute's turns, then one a second; nobody overtakes, and nobody is told to slow down.
    const counts: number[] = [];
    for (const seconds of [0, 0, 3, 5, 5, 30]) {
      now = after(seconds / 60);
      await desk.drain();
      counts.push(await answered());
      expect((await outgoing(['web'])).length).toBe(counts.at(-1));
    }
    expect(counts).toEqual([10, 10, 13, 15, 15, 25]);
    expect(await lines('b24')).toEqual(['owner: hello', 'shop: you said: hello']);
    expect((await store.figures(now)).inboxWaiting).toBe(0);
    expect(logged.filter((line) => line.includes('more than is answered'))).toHaveLength(1);
  });

  it('lets staff act while owners wait, but not on an owner whose own words are still to be heard', async () => {
    await desk.receive([says('hello', 'known')]);
    await desk.drain();
    desk = open({ allTurnsAMinute: 600 });
    await desk.receive(Array.from({ length: 300 }, (_, index) => says('hello', `b${index}`)));
    await desk.receive([says('hello', 'waits')]);
    const act = async (address: string) =>
      desk.receiveStaff({
        ...{ externalId: `s-${address}`, ownerId: await ownerAt(address), at: now, by: { id: 'dana', name: 'Dana' } },
        action: { do: 'accept', requestId: 'q', revision: 1 },
      });
    await act('known');
    await act('waits');
    await desk.drain();
    const states = await Promise.all(['s-known', 's-waits'].map((id) => store.views.staffAnswer(id)));
    expect(states.map((one) => one?.state)).toEqual(['done', undefined]);
    for (let minute = 1; minute < 4; minute++) {
      now = after(minute);
      await desk.drain();
    }
    expect((await store.figures(now)).inboxWaiting).toBe(0);
    expect((await store.views.staffAnswer('s-waits'))?.state).toBe('done');
  });

  it('has taken a message in for good before it says so, also where no turn ever runs', async () => {
    await desk.receive([says('hello')]);
    const other = await db.open();
    expect((await other.figures(NOW)).inboxWaiting).toBe(1);
  });

  it('takes a crowd of calls in together and answers each of them', async () => {
    const calls = Array.from({ length: 60 }, (_, index) => desk.receive([says(`m${index}`, `a${index % 7}`)]));
    await Promise.all(calls);
    expect(await desk.drain()).toBe(60);
    for (let address = 0; address < 7; address++) {
      const said = (await lines(`a${address}`)).filter((line) => line.startsWith('owner'));
      const sent = Array.from({ length: 60 }, (_, index) => index).filter((index) => index % 7 === address);
      expect(said).toEqual(sent.map((index) => `owner: m${index}`));
    }
  });

  it('gives up a torn message that holds no words to keep, and goes on with everybody else', async () => {
    const torn = says('hello');
    await desk.receive([{ ...torn, event: { ...torn.event, text: undefined } as never }, says('hello', 'a2')]);
    for (const minutes of [0, 1, 2]) {
      now = after(minutes);
      await desk.drain();
    }
    expect(await lines()).toEqual(['shop: Sorry, that went wrong.']);
    expect(await lines('a2')).toEqual(['owner: hello', 'shop: you said: hello']);
    expect(await store.figures(now)).toMatchObject({ inboxWaiting: 0, inboxFailed: 1 });
  });

  it.each([1, 3, 64])('runs the turns of one owner in order, %i a commit', async (turnsACommit) => {
    desk = open({ turnsACommit });
    for (let miles = 1; miles <= 9; miles++) await desk.receive([says(`odometer ${miles}`), says(`m${miles}`, 'a2')]);
    await desk.drain();
    const { vehicles } = await load();
    expect(vehicles[0]?.readings.map(({ miles }) => miles)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9]);
    const ids = vehicles[0]?.readings.map(({ id }) => id) ?? [];
    expect(new Set(ids).size).toBe(9);
  });

  it('gives up a message that cannot be worked on after three attempts, says so, and goes on with the next', async () => {
    await desk.receive([{ ...says('fail badly'), language: 'es' }, says('hello'), says('hello', 'other')]);
    await desk.drain();
    expect(await lines()).toEqual([]);
    expect(await lines('other')).toEqual(['owner: hello', 'shop: you said: hello']);
    for (const minutes of [1, 2]) {
      now = after(minutes);
      await desk.drain();
    }
    expect(await lines()).toEqual([
      'owner: fail badly',
      'shop: Perdón, algo falló.',
      'owner: hello',
      'shop: you said: hello',
    ]);
    expect((await store.figures(now)).inboxFailed).toBe(1);
  });

  it('logs a fault by its kind and place, without what the owner wrote', async () => {
    await desk.receive([says('fail secretly')]);
    await desk.drain();
    expect(logged).toHaveLength(1);
    expect(logged[0]).toContain('turn put off');
    expect(logged[0]).toContain('Error at made-up.ts:');
    expect(logged[0]).not.toContain('secretly');
  });

  it('keeps nothing of a turn that fails after it has saved', async () => {
    const halfway = (known: Known, event: InboxEvent, flows: unknown, at: string): TurnResult => {
      const result = madeUpTurn(known, event, flows, at);
      if (!result.done || event.kind !== 'message' || event.text !== 'odometer 2') return result;
      // Two replies too many for one turn: the database refuses the last part of it.
      const reply = result.replies[0] ?? { to: 'owner', text: '', buttons: [] };
      return { ...result, replies: Array.from({ length: 1001 }, () => reply) };
    };
    desk = open({ turn: halfway });
    await desk.receive([says('odometer 1'), says('odometer 2'), says('odometer 3', 'other')]);
    await desk.drain();
    expect((await load()).vehicles[0]?.readings.map(({ miles }) => miles)).toEqual([1]);
    expect((await load('other')).vehicles[0]?.readings.map(({ miles }) => miles)).toEqual([3]);
    expect(await lines()).toEqual(['owner: odometer 1', 'shop: noted 1']);
  });

  it('gives up at once on a row that holds no event, and goes on', async () => {
    await desk.receive([says('hello')]);
    const torn = await ownerAt();
    await store.transaction((tx) =>
      tx.addToInbox([
        { source: 'web', externalId: 'torn', ownerId: torn, event: 'nothing' as never, receivedAt: NOW, address: 'a1' },
      ]),
    );
    await desk.receive([says('again')]);
    await desk.drain();
    expect(await lines()).toEqual(['owner: hello', 'shop: you said: hello', 'owner: again', 'shop: you said: again']);
    expect((await store.figures(NOW)).inboxFailed).toBe(1);
  });

  describe('booking', () => {
    const NOTHING_TAKEN = { from: '2026-11-01', to: '2026-11-30', taken: [], loadedAt: NOW };
    const book = 'book bay-1 2026-11-05T09:00:00-07:00 2026-11-05T10:30:00-07:00';

    it('decides with the diary of the days that the turn asks for', async () => {
      await desk.receive([says(book), says(book, 'a2')]);
      await desk.drain();
      expect(await lines()).toEqual([`owner: ${book}`, 'shop: Requested.']);
      expect(await lines('a2')).toEqual([`owner: ${book}`, 'shop: That time is gone.']);
    });

    it('decides again, with the diary as it is now, where the time was taken meanwhile', async () => {
      // The first answer comes from a diary that was loaded before somebody else took the time.
      let stale = 1;
      const blind = (known: Known, event: InboxEvent, flows: unknown, at: string): TurnResult =>
        madeUpTurn(
          known.diary && stale-- > 0 ? { ...known, diary: { ...known.diary, taken: [] } } : known,
          event,
          flows,
          at,
        );
      await desk.receive([says(book, 'first')]);
      await desk.drain();
      desk = open({ turn: blind });
      await desk.receive([says(book)]);
      await desk.drain();
      expect(await lines()).toEqual([`owner: ${book}`, 'shop: That time is gone.']);
      expect((await load()).requests).toEqual([]);
      expect(stale).toBeLessThan(0);
    });

    it('shows the diary to a turn that was refused the time without having looked at it', async () => {
      const heedless = (known: Known, event: InboxEvent, flows: unknown, at: string): TurnResult =>
        madeUpTurn(known.diary ? known : { ...known, diary: NOTHING_TAKEN }, event, flows, at);
      desk = open({ turn: heedless });
      await desk.receive([says(book), says(book, 'a2')]);
      await desk.drain();
      expect(await lines('a2')).toEqual([`owner: ${book}`, 'shop: That time is gone.']);
      expect(await store.views.requests(['requested'])).toHaveLength(1);
    });

    it('never books twice, however the turn decides: it is given up', async () => {
      const stubborn = (known: Known, event: InboxEvent, flows: unknown, at: string): TurnResult =>
        madeUpTurn(known.diary ? { ...known, diary: { ...known.diary, taken: [] } } : known, event, flows, at);
      desk = open({ turn: stubborn });
      await desk.receive([says(book), says(book, 'a2')]);
      for (const minutes of [0, 1, 2]) {
        now = after(minutes);
        await desk.drain();
      }
      expect(await lines('a2')).toEqual([`owner: ${book}`, 'shop: Sorry, that went wrong.']);
      expect(await store.views.requests(['requested'])).toHaveLength(1);
    });

    it('gives up on a turn that never has enough', async () => {
      const insatiable = (): TurnResult => ({
        done: false,
        need: { need: 'diary', from: '2026-11-05', to: '2026-11-05' },
      });
      desk = open({ turn: insatiable });
      await desk.receive([says('hello')]);
      await desk.drain();
      expect(logged[0]).toContain('needs-too-much');
    });
  });

  describe('staff', () => {
    const by = { id: 's1', name: 'Invented Advisor' };
    const accept = async (externalId: string, answerTo?: { channel: 'telegram'; address: string }) => ({
      externalId,
      ownerId: await ownerAt(),
      at: NOW,
      by,
      action: { do: 'accept' as const, requestId: 'q', revision: 1 },
      ...(answerTo && { answerTo }),
    });
    beforeEach(async () => {
      await desk.receive([says('hello')]);
      await desk.drain();
      for (const address of ['-100', '-200']) {
        await store.access.addStaffChat({ channel: 'telegram', address }, NOW, 'test');
      }
    });

    it('hear what concerns them in each of their chats', async () => {
      await desk.receive([says('tell the shop')]);
      await desk.drain();
      expect(await outgoing(['telegram'])).toEqual(['telegram -100: tell the shop', 'telegram -200: tell the shop']);
    });

    it('are answered in the chat where they pressed, and the owner on their own channel', async () => {
      await desk.receiveStaff(await accept('press-1', { channel: 'telegram', address: '-200' }));
      await desk.drain();
      expect(await outgoing(['telegram'])).toEqual(['telegram -200: done by Invented Advisor']);
      expect(await lines()).toEqual(['owner: hello', 'shop: you said: hello', 'shop: The shop accepted.']);
    });

    it('get their answer on the page that waits for it', async () => {
      desk.start();
      const action = await accept('page-1');
      expect(await desk.askStaff(action)).toEqual({ outcome: 'done', answer: ['done by Invented Advisor'] });
      expect(await desk.askStaff(action)).toEqual({ outcome: 'done', answer: ['done by Invented Advisor'] });
      expect((await lines()).filter((line) => line === 'shop: The shop accepted.')).toHaveLength(1);
    });

    it('are told that it is not done yet where no turn runs', async () => {
      expect(await desk.askStaff(await accept('page-1'), 50)).toEqual({ outcome: 'not-yet' });
    });
  });

  it('counts each unasked message, and sends it where the owner wrote last on their channel', async () => {
    await desk.receive([says('remind 10')]);
    await desk.drain();
    now = after(10);
    await desk.receiveTime('i1-f');
    await desk.receiveTime('i1-f');
    expect(await desk.drain()).toBe(1);
    expect((await load()).unaskedAt).toEqual([now]);
    expect(await lines()).toEqual(['owner: remind 10', 'shop: Will do.', 'shop: What does the odometer say?']);
  });

  it.each([
    ['a zone and a language that it knows', 'America/Denver', 'es-MX', { zone: 'America/Denver', language: 'es' }],
    ['nothing', undefined, undefined, { zone: ZONE, language: 'en' }],
    ['what is neither', '../../etc/passwd', 'tlh', { zone: ZONE, language: 'en' }],
  ])('begins with a new owner whose channel tells %s', async (_what, zone, language, expected) => {
    await desk.receive([{ ...says('hello'), ...(zone && { zone }), ...(language && { language }) }]);
    await desk.drain();
    expect((await load()).owner).toMatchObject(expected);
  });

  it('runs by itself once it is started, and ends what is under way when it stops', async () => {
    desk.start();
    await desk.receive([says('hello')]);
    await expect.poll(() => lines(), { timeout: 5_000 }).toEqual(['owner: hello', 'shop: you said: hello']);
    const last = desk.receive([says('bye')]);
    await last;
    await desk.stop();
    const { inboxWaiting } = await store.figures(NOW);
    expect([0, 1]).toContain(inboxWaiting);
  });
});
