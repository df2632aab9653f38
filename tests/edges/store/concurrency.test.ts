import { dirname } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createDesk } from '../../../src/edges/desk/desk.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { sqliteDatabase } from './databases.ts';
import { madeUpTurn, NOW, request, says, silent, truck, ZONE } from './made-up.ts';
import { expectInOrder, openTogether, runProcesses } from './processes.ts';

describe('several handles on one SQLite file', () => {
  let db: ReturnType<typeof sqliteDatabase>;
  beforeEach(() => {
    db = sqliteDatabase();
  });
  afterEach(() => db.remove());

  it('open it together, the first one making its tables', async () => {
    const stores = await Promise.all([db.open(), db.open(), db.open()]);
    for (const store of stores) expect((await store.figures(NOW)).owners).toBe(0);
  });

  it('open it together from several processes, none of which is told that it is locked', async () => {
    expect(await openTogether(dirname(db.path), 3, 80)).toEqual([80, 80, 80]);
  }, 120_000);

  it('want the same quarter hour: one gets it', async () => {
    const stores = await Promise.all([db.open(), db.open()]);
    const book = async (store: Store, owner: string) => {
      await store.transaction((tx) =>
        tx.addOwner({ id: owner, channel: 'web', address: owner, language: 'en', zone: ZONE, at: NOW }),
      );
      return store.transaction(async (tx) => {
        const file = await tx.loadFile(owner);
        if (!file) throw new Error('no such owner');
        return tx.savepoint(async () => {
          const vehicles = [truck(`${owner}-v`)];
          const value = await tx.saveFile(file, { ...file, vehicles, requests: [request(`${owner}-q`, `${owner}-v`)] });
          return { keep: value.outcome === 'saved', value: value.outcome };
        });
      });
    };
    const outcomes = await Promise.all(stores.map((store, index) => book(store, `o${index}`)));
    expect([...outcomes].sort()).toEqual(['saved', 'taken']);
    expect(await stores[0]?.views.requests(['requested'])).toHaveLength(1);
  });

  it('run the same inbox together: each row once, in order for its owner', async () => {
    const stores = await Promise.all([db.open(), db.open(), db.open()]);
    const desks = stores.map((store) =>
      createDesk({
        store,
        turn: madeUpTurn,
        flows: {},
        clock: () => NOW,
        zone: ZONE,
        log: silent,
        apology: () => 'Sorry.',
        turnsACommit: 3,
      }),
    );
    const [first] = desks;
    for (let miles = 1; miles <= 60; miles++) await first?.receive([says(`odometer ${miles}`, `a${miles % 4}`)]);
    const ran = await Promise.all(desks.map((desk) => desk.drain()));
    expect(ran.reduce((sum, count) => sum + count)).toBe(60);
    for (let address = 0; address < 4; address++) {
      const id = (await stores[0]?.views.ownerAt('web', `a${address}`)) ?? '';
      const file = await stores[0]?.transaction((tx) => tx.loadFile(id));
      const miles = file?.vehicles[0]?.readings.map((reading) => reading.miles) ?? [];
      expect(miles).toHaveLength(15);
      expect(miles).toEqual([...miles].sort((a, b) => a - b));
    }
  });

  it('two processes take in, decide and book side by side', async () => {
    const size = { owners: 3, messages: 6 };
    const names = ['p', 'q'];
    const ran = await runProcesses(db.path, names, size);
    await expectInOrder(await db.open(), names, ran, size);
  }, 120_000);
});
