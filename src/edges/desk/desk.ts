import type { Instant, Zone } from '../../core/mod.ts';
import type { Incoming, IncomingStaff, Log, Store, StoreTransaction, WaitingRow } from '../store/types.ts';
import { createReceive } from './receive.ts';
import { newLinkCode } from './link-code.ts';
import { createAllowance, createLimit } from './limit.ts';
import { keepWords, runTurn, type Turn } from './run-turn.ts';

export interface DeskSettings<Flows> {
  store: Store;
  turn: Turn<Flows>;
  flows: Flows;
  /** The time that the conversation lives in: the machine's, or the demo's moved one. */
  clock: () => Instant;
  /** The shop's zone. */
  zone: Zone;
  log: Log;
  /** What an owner is told, in their language, when a message could not be worked on at all. */
  apology: (language: string) => string;
  /**
   * Turns that one owner may cause in a minute; the rest waits in the inbox, and the owner is told once. No limit where
   * it is absent.
   */
  turnsAMinute?: number;
  /**
   * Turns that all owners together may cause in a minute; the rest waits in the inbox in its order, and nobody is told.
   * What staff do and what falls due is not held up by it. No limit where it is absent.
   */
  allTurnsAMinute?: number;
  /** What an owner is told who writes faster than that. */
  tooFast?: (language: string) => string;
  /** Names for new owners; drawn at random where it is absent. */
  newOwnerId?: () => string;
  /** Transactions that run turns side by side; more than one only helps on PostgreSQL. */
  workers?: number;
  /** Draws the one-time code that a turn may offer, to join another channel to its owner. */
  newToken?: () => string;
  /** Turns that share one commit when work queues up. */
  turnsACommit?: number;
  /** How often to look for work that another process took in, or that waits for its next attempt. */
  lookEveryMilliseconds?: number;
  /** Called for each turn after its commit, for whoever counts. */
  onTurn?: (turn: TurnReport) => void;
}

/** What became of one turn. */
export interface TurnReport {
  /** What it answered: a message, a press, a staff action, a time that came. */
  kind: WaitingRow['event']['kind'];
  outcome: 'done' | 'put-off' | 'given-up';
  /** What the turn itself took. */
  milliseconds: number;
  /** From the arrival in the inbox to the commit, in the desk's time. */
  sinceArrival: number;
}

export interface Desk {
  /** Puts owners' messages into the inbox; resolves when they are durable, before any turn has run. */
  receive(incoming: Incoming[]): Promise<void>;
  receiveStaff(action: IncomingStaff): Promise<void>;
  /** As `receiveStaff`, and waits for what the turn answers to the one who acted. */
  askStaff(action: IncomingStaff, waitMilliseconds?: number): Promise<StaffAnswer>;
  /** A follow-up's time has come. */
  receiveTime(followUpId: string): Promise<void>;
  /** All of them at once; answers how many had not come before. */
  receiveTimes(due: { id: string; ownerId: string; attempts: number; dueAt: Instant }[]): Promise<number>;
  /** Begins to run turns whenever there is work. */
  start(): void;
  /** Runs turns until nothing is due, then resolves with their number; for programs that drive time themselves. */
  drain(): Promise<number>;
  /** Ends after the turns under way. */
  stop(): Promise<void>;
  /** Calls back after every commit that put something into the outbox or changed what pages show. */
  onCommit(listener: () => void): () => void;
}

export type StaffAnswer = { outcome: 'done' | 'failed'; answer: string[] } | { outcome: 'not-yet' };

/** A turn that throws is tried again after these many milliseconds, then given up. */
const WAITS = [500, 5_000];
/** Milliseconds between two looks while the database does not answer. */
const LONGEST_WAIT = 5_000;

/** Runs the shop's turns: in order for each owner, one transaction a turn, several turns a commit when work queues up. */
export function createDesk<Flows>(settings: DeskSettings<Flows>): Desk {
  const { store, clock, log, turnsACommit = 64, workers = 1, lookEveryMilliseconds = 250 } = settings;
  const receive = createReceive(settings);
  const forTurns = { ...settings, newToken: settings.newToken ?? newLinkCode };
  const listeners = new Set<() => void>();
  const limit = createLimit(settings.turnsAMinute ?? Number.POSITIVE_INFINITY);
  const allowance = createAllowance(settings.allTurnsAMinute ?? Number.POSITIVE_INFINITY);
  let crowded = false;
  let stopping = false;
  let wake: () => void = () => {};
  let awake = false;
  const running: Promise<void>[] = [];

  const ring = () => {
    awake = true;
    wake();
  };

  /** One transaction with the turns of several owners, a savepoint each. Answers how many rows it settled or put off. */
  const runSome = async (): Promise<number> => {
    const now = clock();
    const parked: { row: WaitingRow; error: unknown }[] = [];
    const reports: TurnReport[] = [];
    const slowed: { row: WaitingRow; tell: boolean }[] = [];
    const ran: string[] = [];
    let told = false;
    const count = await store.transaction(async (tx) => {
      const rows = await tx.takeWaiting(now, turnsACommit, Math.min(turnsACommit, allowance.left(Date.parse(now))));
      const waits = new Set<string>();
      let settled = 0;
      for (const row of rows) {
        if (waits.has(row.ownerId)) continue;
        if (isOwners(row)) {
          const pause = limit.pause(row.ownerId, Date.parse(now), ran.filter((id) => id === row.ownerId).length);
          if (pause) {
            waits.add(row.ownerId);
            await holdBack(tx, settings, row, now, pause);
            slowed.push({ row, tell: pause.tell });
            settled++;
            continue;
          }
        }
        const began = performance.now();
        let outcome: TurnReport['outcome'] = 'done';
        try {
          if ((await runTurn(tx, forTurns, row, now)) === 'forgotten') waits.add(row.ownerId);
        } catch (error) {
          if (isMachineFault(error)) throw error;
          const again = await putOff(tx, settings, row, error, now);
          if (again) waits.add(row.ownerId);
          outcome = again ? 'put-off' : 'given-up';
          parked.push({ row, error });
        }
        const [kind, milliseconds] = [row.event.kind, performance.now() - began];
        reports.push({ kind, outcome, milliseconds, sinceArrival: Date.parse(row.receivedAt) });
        if (isOwners(row)) ran.push(row.ownerId);
        settled++;
      }
      return settled;
    });
    for (const { row, error } of parked) report(log, row, error);
    // Counted only now: a transaction that was void has neither run a turn nor told anybody.
    for (const ownerId of ran) limit.ran(ownerId, Date.parse(now));
    allowance.ran(ran.length, Date.parse(now));
    const full = allowance.left(Date.parse(now)) < 1;
    if (full && !crowded) log.warn({}, 'owners write more than is answered in a minute; the rest waits');
    crowded = full;
    for (const { row, tell } of slowed) {
      if (!tell) continue;
      limit.told(row.ownerId);
      log.info({ inbox: row.seq }, 'an owner writes faster than is answered; the rest waits');
      told = true;
    }
    if (settings.onTurn) {
      const committed = Date.parse(clock());
      for (const one of reports) {
        settings.onTurn({ ...one, sinceArrival: Math.max(0, committed - one.sinceArrival) });
      }
    }
    if (count > 0 || told) for (const listener of listeners) listener();
    return count;
  };

  const runAll = async (): Promise<number> => {
    let total = 0;
    for (;;) {
      const count = await runSome();
      if (count === 0) return total;
      total += count;
    }
  };

  const work = async () => {
    let failures = 0;
    while (!stopping) {
      awake = false;
      let wait = lookEveryMilliseconds;
      try {
        await runAll();
        failures = 0;
      } catch (error) {
        // A full disk or a lost database stays so for a while: the log is not to fill up with it.
        wait = Math.min(LONGEST_WAIT, lookEveryMilliseconds * 2 ** Math.min(failures++, 10));
        log.error({ because: nameOf(error), failures }, 'turns interrupted; tried again');
      }
      if ((awake && failures === 0) || stopping) continue;
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, wait);
        wake = () => {
          clearTimeout(timer);
          resolve();
        };
      });
    }
  };

  return {
    async receive(incoming) {
      await receive.owners(incoming);
      ring();
    },
    async receiveStaff(action) {
      await receive.staff(action);
      ring();
    },
    async askStaff(action, waitMilliseconds = 5_000) {
      await receive.staff(action);
      ring();
      const until = performance.now() + waitMilliseconds;
      while (performance.now() < until) {
        const answered = await store.views.staffAnswer(action.externalId);
        if (answered) return { outcome: answered.state, answer: answered.answer };
        await new Promise((resolve) => setTimeout(resolve, 15));
      }
      return { outcome: 'not-yet' };
    },
    async receiveTime(followUpId) {
      const due = await store.transaction((tx) => tx.followUp(followUpId));
      if (due) await receive.time([due]);
      ring();
    },
    async receiveTimes(due) {
      const added = await receive.time(due);
      if (added > 0) ring();
      return added;
    },
    start() {
      for (let index = 0; index < workers; index++) running.push(work());
    },
    drain: runAll,
    async stop() {
      stopping = true;
      ring();
      await Promise.all(running);
    },
    onCommit(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}

/** Puts a row off, or gives it up after the last attempt; answers whether its owner's later rows have to wait. */
async function putOff<Flows>(
  tx: StoreTransaction,
  settings: DeskSettings<Flows>,
  row: WaitingRow,
  error: unknown,
  now: Instant,
): Promise<boolean> {
  const wait = WAITS[row.attempts];
  if (wait !== undefined) {
    await tx.inboxRetry(row.seq, new Date(Date.parse(now) + wait).toISOString(), nameOf(error));
    return true;
  }
  await tx.inboxFailed(row.seq, now, nameOf(error));
  await keepWhatCanBe(tx, row);
  if (row.source !== 'staff' && row.source !== 'clock' && row.address !== null && row.event.kind !== 'unreachable') {
    const file = await tx.loadFile(row.ownerId).catch(() => undefined);
    await tx.addToOutbox([
      {
        inboxSeq: row.seq,
        ordinal: 0,
        ownerId: row.ownerId,
        toStaff: false,
        channel: row.source,
        address: row.address,
        reply: { text: settings.apology(file?.owner.language ?? 'en'), buttons: [] },
        unasked: false,
        createdAt: now,
      },
    ]);
  }
  return false;
}

/** A row that is torn may hold no words to keep: that must not hold up everybody behind it. */
async function keepWhatCanBe(tx: StoreTransaction, row: WaitingRow): Promise<void> {
  try {
    await tx.savepoint(async () => ({ keep: true, value: await keepWords(tx, row) }));
  } catch (error) {
    if (isMachineFault(error)) throw error;
  }
}

const isOwners = ({ source }: WaitingRow): boolean => source !== 'staff' && source !== 'clock';

/** The place of the words about the pace behind everything that the turn itself may say. */
const PACE_ORDINAL = 900;

/** Leaves a message, and with it what the owner wrote after it, for later; tells the owner so, once. */
async function holdBack<Flows>(
  tx: StoreTransaction,
  settings: DeskSettings<Flows>,
  row: WaitingRow,
  now: Instant,
  { milliseconds, tell }: { milliseconds: number; tell: boolean },
): Promise<void> {
  await tx.inboxLater(row.seq, new Date(Date.parse(now) + milliseconds).toISOString());
  if (!tell || !settings.tooFast || row.address === null) return;
  const file = await tx.loadFile(row.ownerId);
  if (!file || row.source === 'staff' || row.source === 'clock') return;
  await tx.addToOutbox([
    {
      inboxSeq: row.seq,
      ordinal: PACE_ORDINAL,
      ownerId: row.ownerId,
      toStaff: false,
      channel: row.source,
      address: row.address,
      reply: { text: settings.tooFast(file.owner.language), buttons: [] },
      unasked: false,
      createdAt: now,
    },
  ]);
}

function report(log: Log, row: WaitingRow, error: unknown): void {
  const fields = { inbox: row.seq, kind: row.event.kind, attempts: row.attempts + 1, because: nameOf(error) };
  if (row.attempts < WAITS.length) log.warn(fields, 'turn put off');
  else log.error(fields, 'turn given up');
}

/** The kind of a fault without its message, which may quote what an owner wrote. */
function nameOf(error: unknown): string {
  if (!(error instanceof Error)) return 'unknown';
  const code = 'code' in error && typeof error.code === 'string' ? ` ${error.code}` : '';
  const [, place] = /^\s+at (?:.* \()?(?:file:\/\/)?(?:.*\/)?([^/()]+:\d+):\d+\)?$/m.exec(error.stack ?? '') ?? [];
  return `${error.name}${code}${place ? ` at ${place}` : ''}`;
}

/** Faults of the disk, the connection or another process: no turn is to blame, and the whole transaction is void. */
function isMachineFault(error: unknown): boolean {
  if (!(error instanceof Error) || !('code' in error) || typeof error.code !== 'string') return false;
  const { code } = error;
  if (/^SQLITE_(BUSY|LOCKED|FULL|IOERR|READONLY|CORRUPT|NOTADB|CANTOPEN|NOMEM)/.test(code)) return true;
  // PostgreSQL: connection (08), serialization and deadlock (40), resources (53), operator (57), system (58).
  return /^(08|40|53|57|58)[0-9A-Z]{3}$/.test(code) || /^E(CONN|PIPE|TIMEDOUT)/.test(code);
}
