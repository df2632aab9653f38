import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createDesk, type Desk } from '../../../src/edges/desk/desk.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { pgliteDatabase, sqliteDatabase, START_MILLISECONDS, type TestDatabase } from '../store/databases.ts';
import { after, madeUpTurn, NOW, says, silent, ZONE } from '../store/made-up.ts';

describe.each([
  ['SQLite', sqliteDatabase],
  ['pglite', pgliteDatabase],
])('the desk on %s', (_name, database: () => TestDatabase) => {
  let db: TestDatabase;
  let store: Store;
  let desk: Desk;
  let now: string;

  beforeEach(async () => {
    db = database();
    store = await db.open();
    now = NOW;
    desk = createDesk({
      store,
      turn: madeUpTurn,
      flows: {},
      clock: () => now,
      zone: ZONE,
      log: silent,
      apology: () => 'Sorry, that went wrong.',
    });
  }, START_MILLISECONDS);
  afterEach(async () => {
    await desk.stop();
    await db.remove();
  });

  const lines = async (address = 'a1') => {
    const ownerId = await store.views.ownerAt('web', address);
    return (await store.views.talk(ownerId ?? '')).map(({ from, text }) => `${from}: ${text}`);
  };

  it('answers a message once, however often it arrives', async () => {
    await desk.receive([says('hello'), says('hello')]);
    await desk.receive([says('hello')]);
    expect(await desk.drain()).toBe(1);
    expect(await lines()).toEqual(['owner: hello', 'shop: you said: hello']);
  });

  it('gives up a message that cannot be worked on after three attempts, says so, and goes on with the next', async () => {
    await desk.receive([says('fail badly'), says('hello')]);
    await desk.drain();
    expect(await lines()).toEqual([]);
    for (const minutes of [1, 2]) {
      now = after(minutes);
      await desk.drain();
    }
    expect(await lines()).toEqual([
      'owner: fail badly',
      'shop: Sorry, that went wrong.',
      'owner: hello',
      'shop: you said: hello',
    ]);
  });
});
