import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import pg from 'pg';
import type { OwnerFile } from '../../src/core/mod.ts';
import { openStore } from '../../src/edges/store/open.ts';
import type { Store } from '../../src/edges/store/types.ts';
import { ownerFile, pickup, waiting } from '../core/owner-files.ts';
import { startServer, type Server } from '../edges/store/postgres-server.ts';
import { freePorts } from './forwarder.ts';
import { RunningProgram, until } from './running-program.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

const SECRET_KEY = 'a key that only this test knows, long enough';
const OWNERS = 25;
/** A dead process holds the clock for up to 90 seconds, the next tick may be a minute away, and a busy machine miss one. */
const TAKEN_OVER_MILLISECONDS = 240_000;

const dateBefore = (days: number): string => new Date(Date.now() - days * 86_400_000).toISOString().slice(0, 10);

/** A zone in which it is about one in the afternoon now, so that the hours of writing unasked are kept at any time. */
function afternoonZone(): string {
  const ahead = 13 - new Date().getUTCHours();
  return `Etc/GMT${ahead > 0 ? '-' : '+'}${Math.abs(ahead)}`;
}

describe('two processes of the whole program on one PostgreSQL', () => {
  let server: Server;
  let standIn: TelegramStandIn;
  let store: Store;
  let client: pg.Client;
  let programs: Record<'one' | 'other', RunningProgram>;
  let next = 1001;

  beforeAll(async () => {
    server = startServer();
    standIn = await new TelegramStandIn().listen();
    store = await openStore({ kind: 'postgres', url: server.url, optOutKey: SECRET_KEY, connections: 2 });
    client = new pg.Client({ connectionString: server.url });
    await client.connect();
    // Which process put a follow-up into the inbox: each gives its connections its own name.
    await client.query(`
      create table seen (process text not null);
      create function note_process() returns trigger language plpgsql as $$
        begin insert into seen values (current_setting('application_name')); return new; end $$;
      create trigger note_clock after insert on inbox for each row when (new.channel = 'clock')
        execute function note_process();`);
  });
  afterAll(async () => {
    for (const program of Object.values(programs)) await program.stop('SIGKILL');
    await client.end();
    await store.close();
    await standIn.close();
    server.stop();
  });

  /** New owners with a truck each, whose question about the odometer was due a minute ago. */
  async function ownersWithDueQuestions(): Promise<number[]> {
    const ids = Array.from({ length: OWNERS }, () => next++);
    const zone = afternoonZone();
    const at = new Date(Date.now() - 60 * 86_400_000).toISOString();
    for (const person of ids) {
      standIn.person(person);
      const id = `o-${person}`;
      await store.transaction(async (tx) => {
        await tx.addOwner({ id, channel: 'telegram', address: String(person), language: 'en', zone, at });
        const before = (await tx.loadFile(id)) as OwnerFile;
        const truck = pickup(`t-${person}`, 97_000, 76_000);
        const readings = truck.readings.map((one, index) => ({ ...one, date: dateBefore(index === 0 ? 110 : 40) }));
        const due = new Date(Date.now() - 60_000).toISOString();
        const question = waiting(`f-${person}`, 'odometer-check', truck.id, due);
        const made = ownerFile([{ ...truck, readings }], [question], { id, zone });
        await tx.saveFile(before, { ...made, owner: { ...made.owner, createdAt: before.owner.createdAt } });
      });
    }
    return ids;
  }

  const allAsked = (people: number[], milliseconds: number) =>
    until(() => people.every((person) => standIn.messagesTo(person).length > 0), 'everybody is asked', milliseconds);
  const nothingWaits = () =>
    until(async () => {
      const { rows } = await client.query(`select 1 from inbox where state = 'waiting'
        union all select 1 from outbox where state = 'waiting'`);
      return rows.length === 0;
    }, 'everything is sent and marked');
  /** The processes that put something into the inbox since the last look, each once. */
  async function whoTicked(): Promise<string[]> {
    const { rows } = await client.query<{ process: string }>(`with gone as (delete from seen returning process)
      select process from gone`);
    expect(rows.length).toBe(OWNERS);
    return [...new Set(rows.map(({ process }) => process))];
  }
  async function start(name: string, port: number): Promise<RunningProgram> {
    const program = new RunningProgram({
      DATABASE_URL: server.url,
      SECRET_KEY,
      TELEGRAM_TOKEN: standIn.token,
      TELEGRAM_API_ROOT: standIn.apiRoot,
      PUBLIC_URL: `http://127.0.0.1:${port}`,
      PORT: String(port),
      PGAPPNAME: name,
    });
    await program.listens();
    return program;
  }

  it(
    'send what is due exactly once, by one clock at a time, at the start, at a tick of both, and when one is killed',
    { timeout: 480_000 },
    async () => {
      const atStart = await ownersWithDueQuestions();
      const [port = 0, otherPort = 0] = await freePorts(2);
      const [one, other] = await Promise.all([start('one', port), start('other', otherPort)]);
      programs = { one, other };
      await allAsked(atStart, 60_000);
      await nothingWaits();
      const first = await whoTicked();
      expect(first).toHaveLength(1);

      const atTick = await ownersWithDueQuestions();
      await allAsked(atTick, 90_000);
      await nothingWaits();
      expect(await whoTicked()).toEqual(first);

      const [holder, left] = first[0] === 'one' ? ([one, 'other'] as const) : ([other, 'one'] as const);
      await holder.stop('SIGKILL');
      const afterKill = await ownersWithDueQuestions();
      await allAsked(afterKill, TAKEN_OVER_MILLISECONDS);
      await nothingWaits();
      expect(await whoTicked()).toEqual([left]);

      const people = [...atStart, ...atTick, ...afterKill];
      expect(people.map((person) => standIn.messagesTo(person).length)).toEqual(people.map(() => 1));
      expect([one.err, other.err]).toEqual(['', '']);
    },
  );
});
