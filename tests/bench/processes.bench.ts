import { availableParallelism } from 'node:os';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import pg from 'pg';
import { startServer } from '../edges/store/postgres-server.ts';
import { webhookSecret } from '../../src/edges/channels/telegram/webhook.ts';
import { freePorts } from '../faults/forwarder.ts';
import { RunningProgram } from '../faults/running-program.ts';
import { TelegramStandIn } from '../faults/telegram-stand-in.ts';
import { TALK } from './conversation.bench.ts';
import { median, table } from './report.ts';

/*
 * One, two and four processes of the whole program on one PostgreSQL server, side by side in one run. Updates are posted
 * to the processes in turn, an owner's one after the other and each to another process, without waiting for answers; so
 * what one owner wrote is in the hands of several processes at once. A turn counts when it is committed. Sending has
 * Telegram's pace and is no part of it.
 *
 *   npm run bench -- processes
 */
const PROCESSES = [1, 2, 4];
const ROUNDS = 3;
const WARM_UP_OWNERS = 100;
const OWNERS = 500;
/** Owners whose messages are posted at the same time. */
const AT_ONCE = 64;
const PATIENCE_MILLISECONDS = 120_000;

interface Round {
  rate: number;
  turns: number;
  violations: Violations;
}

/** What must not be, counted over owners. */
export interface Violations {
  /** Taken in in another order than posted, or not once each. */
  takenIn: number;
  /** A turn committed before one that came in earlier. */
  ran: number;
  /** Answered otherwise than an owner who waited for each answer. */
  answered: number;
}

/** One owner's messages as they are in the database, in the order of the inbox. */
export interface OwnersRows {
  /** Numbers of the updates, as they were posted. */
  updates: number[];
  doneAt: string[];
  /** Texts of the answers in their order. */
  answers: string[];
}

/** Counts owners to whom something happened out of order; `posted` is each owner's updates in the order of posting. */
export function violationsIn(
  rows: Map<string, OwnersRows>,
  posted: Map<string, number[]>,
  asAlone: readonly string[],
): Violations {
  const found = { takenIn: 0, ran: 0, answered: 0 };
  for (const [owner, updates] of posted) {
    const own = rows.get(owner) ?? { updates: [], doneAt: [], answers: [] };
    if (own.updates.join() !== updates.join()) found.takenIn += 1;
    if (own.doneAt.some((at, index) => index > 0 && at < (own.doneAt[index - 1] ?? ''))) found.ran += 1;
    if (own.answers.join('\n') !== asAlone.join('\n')) found.answered += 1;
  }
  return found;
}

/** The whole program in several processes on a database of its own. */
class Side {
  readonly #standIn: TelegramStandIn;
  readonly #client: pg.Client;
  readonly #programs: RunningProgram[];
  readonly #urls: string[];
  readonly #secret: string;
  #nextUpdate = 1;
  #nextOwner = 1_000;
  #nextProcess = 0;

  private constructor(standIn: TelegramStandIn, client: pg.Client, programs: RunningProgram[], urls: string[]) {
    this.#standIn = standIn;
    this.#client = client;
    this.#programs = programs;
    this.#urls = urls;
    this.#secret = webhookSecret(standIn.token);
  }

  static async open(server: string, database: string, processes: number): Promise<Side> {
    const admin = new pg.Client({ connectionString: server });
    await admin.connect();
    await admin.query(`create database ${database}`);
    await admin.end();
    const place = new URL(server);
    place.pathname = `/${database}`;
    const standIn = await new TelegramStandIn({ keepAll: false }).listen();
    const ports = await freePorts(processes);
    const programs: RunningProgram[] = [];
    const urls: string[] = [];
    for (const port of ports) {
      const program = new RunningProgram({
        DATABASE_URL: place.href,
        SECRET_KEY: 'only for the bench, and long enough for a key',
        TELEGRAM_TOKEN: standIn.token,
        TELEGRAM_API_ROOT: standIn.apiRoot,
        PUBLIC_URL: `http://127.0.0.1:${port}`,
        PORT: String(port),
        TURNS_A_MINUTE: '999999',
      });
      programs.push(program);
      await program.listens();
      urls.push(`http://127.0.0.1:${port}/telegram`);
    }
    const client = new pg.Client({ connectionString: place.href });
    await client.connect();
    return new Side(standIn, client, programs, urls);
  }

  /** Posts one message to the next process, until it is taken. */
  async #post(owner: number, text: string): Promise<number> {
    const update_id = this.#nextUpdate++;
    const from = { id: owner, is_bot: false, first_name: 'Robin', language_code: 'en' };
    const chat = { id: owner, type: 'private', first_name: 'Robin' };
    const message = { message_id: update_id, from, chat, date: Math.floor(Date.now() / 1000), text };
    const answer = await fetch(this.#urls[this.#nextProcess++ % this.#urls.length] ?? '', {
      method: 'POST',
      headers: { 'content-type': 'application/json', 'x-telegram-bot-api-secret-token': this.#secret },
      body: JSON.stringify({ update_id, message }),
    });
    await answer.arrayBuffer();
    if (answer.status !== 200) throw new Error(`an update was answered with ${answer.status}`);
    return update_id;
  }

  /** So many new owners say all that they have to say; answers each one's updates in the order of posting. */
  async talk(owners: number, waitEach = false): Promise<Map<string, number[]>> {
    const posted = new Map<string, number[]>();
    for (let from = 0; from < owners; from += AT_ONCE) {
      const some = Array.from({ length: Math.min(AT_ONCE, owners - from) }, () => this.#nextOwner++);
      for (const owner of some) {
        this.#standIn.person(owner);
        posted.set(String(owner), []);
      }
      for (const text of TALK) {
        await Promise.all(some.map(async (owner) => posted.get(String(owner))?.push(await this.#post(owner, text))));
        if (waitEach) await this.settled();
      }
    }
    return posted;
  }

  /** Waits until every message has had its turn. */
  async settled(): Promise<void> {
    const end = performance.now() + PATIENCE_MILLISECONDS;
    for (;;) {
      const { rows } = await this.#client.query(`select 1 from inbox where state = 'waiting' limit 1`);
      if (rows.length === 0) return;
      if (performance.now() > end) throw new Error('a message never had its turn');
      await sleep(50);
    }
  }

  async rows(): Promise<Map<string, OwnersRows>> {
    const found = new Map<string, OwnersRows>();
    const of = (address: string): OwnersRows => {
      const own = found.get(address) ?? { updates: [], doneAt: [], answers: [] };
      found.set(address, own);
      return own;
    };
    const inbox = await this.#client.query<{ address: string; external_id: string; done_at: string; state: string }>(
      `select address, external_id, done_at, state from inbox where channel = 'telegram' order by seq`,
    );
    for (const { address, external_id, done_at, state } of inbox.rows) {
      if (state !== 'done') throw new Error('a turn was given up');
      const own = of(address);
      own.updates.push(Number(external_id.split(':').at(-1)));
      own.doneAt.push(done_at);
    }
    const outbox = await this.#client.query<{ address: string; payload: string }>(
      `select address, payload from outbox order by position`,
    );
    for (const { address, payload } of outbox.rows)
      of(address).answers.push((JSON.parse(payload) as { text: string }).text);
    return found;
  }

  async close(): Promise<void> {
    await Promise.all(this.#programs.map((program) => program.stop()));
    await this.#client.end();
    await this.#standIn.close();
    for (const { err } of this.#programs) if (err !== '') throw new Error(err);
  }
}

/** Warms the processes up, then measures how long they take for all turns of many owners. */
async function measured(server: string, database: string, processes: number): Promise<Round> {
  const side = await Side.open(server, database, processes);
  try {
    const [alone = ''] = (await side.talk(1, true)).keys();
    const posted = await side.talk(WARM_UP_OWNERS);
    await side.settled();
    const began = performance.now();
    for (const [owner, updates] of await side.talk(OWNERS)) posted.set(owner, updates);
    await side.settled();
    const seconds = (performance.now() - began) / 1000;
    const rows = await side.rows();
    const turns = OWNERS * TALK.length;
    return { rate: turns / seconds, turns, violations: violationsIn(rows, posted, rows.get(alone)?.answers ?? []) };
  } finally {
    await side.close();
  }
}

export async function benchProcesses(progress: (line: string) => void): Promise<string[]> {
  const server = startServer();
  const rounds = new Map(PROCESSES.map((processes): [number, Round[]] => [processes, []]));
  try {
    for (let round = 0; round < ROUNDS; round++) {
      // Each round begins with another one, so that what else the machine does falls on all alike.
      for (const index of PROCESSES.keys()) {
        const processes = PROCESSES[(index + round) % PROCESSES.length] ?? 1;
        const one = await measured(server.url, `bench_${processes}_${round}`, processes);
        rounds.get(processes)?.push(one);
        progress(`${processes} of ${PROCESSES.join(', ')}: ${one.rate.toFixed(0)} turns a second`);
      }
    }
  } finally {
    server.stop();
  }
  const rate = (processes: number): number => median((rounds.get(processes) ?? []).map((one) => one.rate));
  const wrong = (processes: number): string => {
    const all = (rounds.get(processes) ?? []).map(({ violations }) => violations);
    const sum = (of: keyof Violations): number => all.reduce((total, one) => total + one[of], 0);
    return `${sum('takenIn')}, ${sum('ran')}, ${sum('answered')}`;
  };
  const owners = ROUNDS * (WARM_UP_OWNERS + OWNERS);
  const sound = PROCESSES.every((processes) => wrong(processes) === '0, 0, 0');
  if (!sound) process.exitCode = 1;
  return [
    `${OWNERS * TALK.length} turns a round, median of ${ROUNDS} rounds, on ${availableParallelism()} cores that the server and the posting share`,
    ...table([
      ['processes', 'turns a second', 'to one process', `of ${owners} owners out of order (in, run, answered)`],
      ...PROCESSES.map((processes) => [
        String(processes),
        rate(processes).toFixed(0),
        (rate(processes) / rate(1)).toFixed(2),
        wrong(processes),
      ]),
    ]),
  ];
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const line of await benchProcesses((line) => process.stderr.write(`${line}\n`))) console.log(line);
}
