import { closeSync, fsyncSync, mkdtempSync, openSync, rmSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { InboxEvent, Known, TurnResult } from '../../src/core/mod.ts';
import { createDesk } from '../../src/edges/desk/desk.ts';
import { openStore } from '../../src/edges/store/open.ts';
import { openSqliteFile } from '../../src/edges/store/sqlite.ts';
import type { Incoming, Log } from '../../src/edges/store/types.ts';

/**
 * Durable turns a second: the desk with its store, against the same rows written by bare prepared statements, and
 * against a file that is appended to and synced. All three take each message in with one durable commit and answer it
 * with a second one, one by one; under a backlog all three share commits by the same numbers.
 */

const OWNERS = 50;
const ONE_BY_ONE = 1_500;
const BACKLOG = 5_000;
const TAKEN_IN_TOGETHER = 100;
const TURNS_A_COMMIT = 64;
const ROUNDS = 3;

const silent: Log = { info: () => {}, warn: () => {}, error: () => {} };
const NOW = '2026-11-02T16:00:00.000Z';

const message = (index: number): Incoming => ({
  channel: 'telegram',
  address: String(1_000 + (index % OWNERS)),
  externalId: `bot:${index}`,
  event: {
    kind: 'message',
    channel: 'telegram',
    at: NOW,
    messageRef: String(index),
    text: `it has ${90_000 + index} miles on it and stalls now and then`,
  },
});

/** As much as a question of the write-up changes: the position, one answered question, and one reply with buttons. */
function turn({ file }: Known, event: InboxEvent, _flows: unknown, now: string): TurnResult {
  const { conversation } = file;
  const answered = [...conversation.answered.slice(-4), { id: event.id, about: 'odometerMiles', recorded: '97000' }];
  const position = { flow: 'write-up', version: 1, snapshot: { value: { gathering: 'odometer' }, status: 'active' } };
  return {
    done: true,
    next: { ...file, conversation: { ...conversation, position, answered, greeted: true, lastHeardAt: now } },
    replies: [
      {
        to: 'owner',
        text: 'Thanks. Which model year is the truck? It stands on the sticker in the door frame.',
        buttons: [{ label: "I don't know", data: `q:${event.id}:unknown` }],
      },
    ],
    effects: [],
    trace: [],
  };
}

interface Contestant {
  oneByOne(from: number, count: number): Promise<void>;
  backlog(from: number, count: number): Promise<void>;
  close(): Promise<void>;
}

async function ours(folder: string): Promise<Contestant> {
  const store = await openStore({ kind: 'sqlite', path: join(folder, 'ours.db'), optOutKey: 'bench' });
  const desk = createDesk({
    store,
    turn,
    flows: {},
    clock: () => NOW,
    zone: 'America/Denver',
    log: silent,
    apology: () => 'Sorry.',
    turnsACommit: TURNS_A_COMMIT,
  });
  return {
    async oneByOne(from, count) {
      for (let index = from; index < from + count; index++) {
        await desk.receive([message(index)]);
        await desk.drain();
      }
    },
    async backlog(from, count) {
      for (let index = from; index < from + count; index += TAKEN_IN_TOGETHER) {
        await desk.receive(Array.from({ length: TAKEN_IN_TOGETHER }, (_, offset) => message(index + offset)));
      }
      await desk.drain();
    },
    close: () => store.close(),
  };
}

/** The rows that one message and its turn leave, by prepared statements without any library in between. */
async function bare(folder: string): Promise<Contestant> {
  const path = join(folder, 'bare.db');
  await (await openStore({ kind: 'sqlite', path, optOutKey: 'bench' })).close();
  const file = openSqliteFile(path);
  const begin = file.prepare('begin immediate');
  const commit = file.prepare('commit');
  const addInbox = file.prepare(
    `insert into inbox (channel, external_id, owner_id, address, payload, received_at, state)
     values (?, ?, ?, ?, ?, ?, 'waiting') on conflict (channel, external_id) do nothing`,
  );
  const addOwner = file.prepare(
    `insert into owners (id, revision, channel, language, zone, created_at) values (?, 1, 'telegram', 'en', 'UTC', ?)
     on conflict (id) do nothing`,
  );
  const next = file.prepare(
    `select seq, owner_id, address, payload from inbox where state = 'waiting' order by seq limit ?`,
  );
  const readOwner = file.prepare('select * from owners where id = ?');
  const bumpOwner = file.prepare('update owners set revision = revision + 1 where id = ?');
  const saveConversation = file.prepare(
    'insert into conversations (owner_id, body) values (?, ?) on conflict (owner_id) do update set body = excluded.body',
  );
  const addMessage = file.prepare(
    `insert into messages (inbox_seq, owner_id, at, channel, address, kind, text, photos, message_ref)
     values (?, ?, ?, 'telegram', ?, 'message', ?, '[]', ?)`,
  );
  const addOutbox = file.prepare(
    `insert into outbox (position, owner_id, to_staff, channel, address, payload, created_at, state)
     values (?, ?, 0, 'telegram', ?, ?, ?, 'waiting')`,
  );
  const addChange = file.prepare(`insert into changes (at, kind, owner_id, subject) values (?, 'message', ?, ?)`);
  const done = file.prepare(`update inbox set state = 'done', done_at = ? where seq = ?`);

  const takeIn = (index: number) => {
    const { externalId, address, event } = message(index);
    addOwner.run(`o-${address}`, NOW);
    addInbox.run('telegram', externalId, `o-${address}`, address, JSON.stringify(event), NOW);
  };
  const answer = (limit: number): number => {
    begin.run();
    const rows = next.all(limit) as { seq: number; owner_id: string; address: string; payload: string }[];
    for (const row of rows) {
      readOwner.get(row.owner_id);
      const event = JSON.parse(row.payload) as { text: string; messageRef: string };
      saveConversation.run(
        row.owner_id,
        JSON.stringify({ position: { flow: 'write-up', version: 1 }, answered: [row.seq] }),
      );
      bumpOwner.run(row.owner_id);
      addMessage.run(row.seq, row.owner_id, NOW, row.address, event.text, event.messageRef);
      addOutbox.run(
        row.seq * 1000 + 1,
        row.owner_id,
        row.address,
        JSON.stringify({ text: event.text, buttons: [] }),
        NOW,
      );
      addChange.run(NOW, row.owner_id, `i${row.seq}`);
      done.run(NOW, row.seq);
    }
    commit.run();
    return rows.length;
  };
  return {
    async oneByOne(from, count) {
      for (let index = from; index < from + count; index++) {
        begin.run();
        takeIn(index);
        commit.run();
        answer(1);
      }
    },
    async backlog(from, count) {
      for (let index = from; index < from + count; index += TAKEN_IN_TOGETHER) {
        begin.run();
        for (let offset = 0; offset < TAKEN_IN_TOGETHER; offset++) takeIn(index + offset);
        commit.run();
      }
      while (answer(TURNS_A_COMMIT) > 0);
    },
    async close() {
      file.close();
    },
  };
}

/** No database at all: a line for the message, a line for its answer, each synced. */
async function appended(folder: string): Promise<Contestant> {
  const file = openSync(join(folder, 'appended.jsonl'), 'a');
  const lines = (from: number, count: number): string =>
    Array.from({ length: count }, (_, offset) => `${JSON.stringify(message(from + offset))}\n`).join('');
  const append = (from: number, count: number) => {
    writeSync(file, lines(from, count));
    fsyncSync(file);
  };
  return {
    async oneByOne(from, count) {
      for (let index = from; index < from + count; index++) {
        append(index, 1);
        append(index, 1);
      }
    },
    async backlog(from, count) {
      for (let index = from; index < from + count; index += TAKEN_IN_TOGETHER) append(index, TAKEN_IN_TOGETHER);
      for (let index = from; index < from + count; index += TURNS_A_COMMIT) append(index, TURNS_A_COMMIT);
    },
    async close() {
      closeSync(file);
    },
  };
}

async function rate(count: number, work: () => Promise<void>): Promise<number> {
  const started = performance.now();
  await work();
  return (count * 1000) / (performance.now() - started);
}

const median = (values: number[]): number => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;

/** Runs all contestants in turn, several rounds, and answers the lines to print. */
export async function benchTurns(): Promise<string[]> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  const names = ['telltale', 'bare statements', 'synced append'] as const;
  const contestants = [await ours(folder), await bare(folder), await appended(folder)];
  const rates = contestants.map(() => ({ oneByOne: [] as number[], backlog: [] as number[] }));
  let from = 0;
  try {
    for (let round = 0; round <= ROUNDS; round++) {
      for (const [index, contestant] of contestants.entries()) {
        const one = await rate(ONE_BY_ONE, () => contestant.oneByOne(from, ONE_BY_ONE));
        const many = await rate(BACKLOG, () => contestant.backlog(from + ONE_BY_ONE, BACKLOG));
        // The first round warms up.
        if (round === 0) continue;
        rates[index]?.oneByOne.push(one);
        rates[index]?.backlog.push(many);
      }
      from += ONE_BY_ONE + BACKLOG;
    }
  } finally {
    for (const contestant of contestants) await contestant.close();
    rmSync(folder, { recursive: true });
  }
  const of = (kind: 'oneByOne' | 'backlog') => rates.map((each) => median(each[kind]));
  const line = (title: string, values: number[]): string[] => {
    const [first = 0] = values;
    return values.map((value, index) => {
      const ratio = index === 0 ? '' : `  telltale is ${(first / value).toFixed(2)} of it`;
      return `${title} ${(names[index] ?? '').padEnd(16)} ${value.toFixed(0).padStart(7)} a second${ratio}`;
    });
  };
  const [oneByOne, backlog] = [of('oneByOne'), of('backlog')];
  return [
    `durable turns, ${OWNERS} owners, median of ${ROUNDS} rounds`,
    ...line('one by one ', oneByOne),
    ...line('backlog    ', backlog),
    `sharing a commit (${TURNS_A_COMMIT} turns) makes telltale ${((backlog[0] ?? 0) / (oneByOne[0] ?? 1)).toFixed(2)} times as fast`,
  ];
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  for (const line of await benchTurns()) console.log(line);
}
