import pg from 'pg';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { openStore } from '../../../src/edges/store/open.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { storeContract } from './contract.ts';
import type { TestDatabase } from './databases.ts';
import { NOW, OPT_OUT_KEY, request, truck, ZONE } from './made-up.ts';
import { diaryContract } from './diary-contract.ts';
import { privacyContract } from './privacy-contract.ts';
import { viewsContract } from './views-contract.ts';
import { startServer, type Server } from './postgres-server.ts';
import { expectInOrder, expectOneHolder, runOnOneDiary, runProcesses } from './processes.ts';

let server: Server;
beforeAll(() => {
  server = startServer();
});
afterAll(() => server.stop());

/** A database of its own on the server, made for one test and dropped after it. */
function postgresDatabase(): TestDatabase & { url: () => Promise<string> } {
  const name = `telltale_test_${process.pid}_${Math.random().toString(36).slice(2, 10)}`;
  const open: Store[] = [];
  let made: Promise<unknown> | undefined;
  const onServer = async (command: string) => {
    const client = new pg.Client({ connectionString: server.url });
    await client.connect();
    await client.query(command);
    await client.end();
  };
  const url = async () => {
    made ??= onServer(`create database ${name}`);
    await made;
    const place = new URL(server.url);
    place.pathname = `/${name}`;
    return place.href;
  };
  return {
    url,
    async open() {
      const store = await openStore({ kind: 'postgres', url: await url(), optOutKey: OPT_OUT_KEY, connections: 5 });
      open.push(store);
      return store;
    },
    async remove() {
      await Promise.all(open.map((store) => store.close()));
      await onServer(`drop database if exists ${name} with (force)`);
    },
  };
}

storeContract('PostgreSQL', postgresDatabase);
diaryContract('PostgreSQL', postgresDatabase);
viewsContract('PostgreSQL', postgresDatabase);
privacyContract('PostgreSQL', postgresDatabase);

describe('several processes', () => {
  let db: ReturnType<typeof postgresDatabase>;
  afterEach(() => db.remove());

  it('take random steps in one diary, and leave no quarter hour to two', async () => {
    db = postgresDatabase();
    const store = await db.open();
    await expectOneHolder(store, await runOnOneDiary(await db.url(), ['p', 'q'], 120));
  });

  it('want the same quarter hour in transactions that are open together: one gets it', async () => {
    db = postgresDatabase();
    const stores = [await db.open(), await db.open()];
    const owners = stores.map((_, index) => `o${index}`);
    for (const id of owners) {
      await stores[0]?.transaction((tx) =>
        tx.addOwner({ id, channel: 'web', address: id, language: 'en', zone: ZONE, at: NOW }),
      );
    }
    let both: () => void = () => {};
    const loaded = new Promise<void>((resolve) => (both = resolve));
    let count = 0;
    const book = (store: Store, owner: string) =>
      store.transaction(async (tx) => {
        const file = await tx.loadFile(owner);
        if (!file) throw new Error('no such owner');
        if (++count === 2) both();
        await loaded;
        return tx.savepoint(async () => {
          const requests = [request(`${owner}-q`, `${owner}-v`)];
          const value = await tx.saveFile(file, { ...file, vehicles: [truck(`${owner}-v`)], requests });
          return { keep: value.outcome === 'saved', value: value.outcome };
        });
      });
    const outcomes = await Promise.all(stores.map((store, index) => book(store, owners[index] ?? '')));
    expect([...outcomes].sort()).toEqual(['saved', 'taken']);
  });

  it('take in, decide and book side by side: each message once, in order for its owner', async () => {
    db = postgresDatabase();
    const size = { owners: 4, messages: 12 };
    const names = ['p', 'q', 'r'];
    const ran = await runProcesses(await db.url(), names, size);
    await expectInOrder(await db.open(), names, ran, size);
  }, 120_000);

  it('take in what one owner wrote in one order: nothing becomes visible before what has the lower number', async () => {
    db = postgresDatabase();
    const store = await db.open();
    const add = (text: string, until?: Promise<void>) =>
      store.transaction(async (tx) => {
        const owner = {
          id: 'o1',
          channel: 'web' as const,
          address: 'a1',
          language: 'en' as const,
          zone: ZONE,
          at: NOW,
        };
        if (!(await tx.loadFile('o1'))) await tx.addOwner(owner);
        await tx.lockOwners(['o1']);
        const event = { kind: 'message' as const, channel: 'web' as const, at: NOW, messageRef: text, text };
        await tx.addToInbox([
          { source: 'web', externalId: text, ownerId: 'o1', address: 'a1', event, receivedAt: NOW },
        ]);
        await until;
      });
    await add('zeroth');
    let end: () => void = () => {};
    const slow = add('first', new Promise((resolve) => (end = resolve)));
    await new Promise((resolve) => setTimeout(resolve, 100));
    const fast = add('second');
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect((await store.figures(NOW)).inboxWaiting).toBe(1);
    end();
    await Promise.all([slow, fast]);
    const rows = await store.transaction((tx) => tx.takeWaiting(NOW, 10));
    expect(rows.map(({ event }) => event.kind === 'message' && event.text)).toEqual(['zeroth', 'first', 'second']);
  });

  it('are told of every change once, though transactions end in another order than they began', async () => {
    db = postgresDatabase();
    const store = await db.open();
    let { next } = await store.views.changesSince();
    const tell = (subject: string, until?: Promise<void>) =>
      store.transaction(async (tx) => {
        await tx.addChanges([{ at: NOW, kind: 'request', ownerId: null, subject }]);
        await until;
      });
    let end: () => void = () => {};
    const slow = tell('began first', new Promise((resolve) => (end = resolve)));
    await new Promise((resolve) => setTimeout(resolve, 50));
    await tell('ended first');
    const seen: string[] = [];
    const look = async () => {
      const { changes, next: after } = await store.views.changesSince(next);
      next = after;
      seen.push(...changes.map(({ subject }) => subject));
    };
    await look();
    end();
    await slow;
    await look();
    await look();
    expect([...seen].sort()).toEqual(['began first', 'ended first']);
  });
});
