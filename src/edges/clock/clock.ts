import { randomUUID } from 'node:crypto';
import cron, { type ScheduledTask } from 'node-cron';
import type { Instant } from '../../core/mod.ts';
import type { DueFollowUp, Log, Store } from '../store/types.ts';

/** For how long each kind of stored data is kept, in days. */
export interface KeepDays {
  /** Arrivals: what tells a second delivery of the same thing. */
  inbox: number;
  /** What owners wrote and were sent. */
  messages: number;
  pictures: number;
  /** Clauses that nothing read, for the shop to label. */
  unread: number;
}

export const KEEP_DAYS: KeepDays = { inbox: 30, messages: 730, pictures: 730, unread: 365 };
/** Live pages ask for changes every few seconds; a day is plenty. */
const CHANGES_DAYS = 1;

export interface ClockSettings {
  store: Store;
  /** Puts due follow-ups into the inbox; answers how many are new there. */
  receiveTimes: (due: DueFollowUp[]) => Promise<number>;
  /** The time that the conversation lives in: the machine's, or the demo's moved one. */
  clock: () => Instant;
  log: Log;
  /** What every process looks up anew by the hour, beginning with the start. */
  everyHour?: () => Promise<unknown>;
  keepDays?: Partial<KeepDays>;
}

export interface Clock {
  /** Ticks every minute, in UTC, beginning with what fell due while nothing ran. */
  start(): void;
  /** One tick now: what is due goes into the inbox. Answers how many were new. */
  tick(): Promise<number>;
  /** Removes what has been kept long enough. */
  prune(): Promise<Record<string, number>>;
  stop(): Promise<void>;
}

/** The timer's own notices, such as a tick that came late, go where all others go, and never to standard output. */
const intoLog = (log: Log) => {
  const words = (message: unknown) => (message instanceof Error ? message.name : String(message));
  return {
    info: (message: string) => log.info({ timer: message }, 'the timer says'),
    warn: (message: string) => log.warn({ timer: message }, 'the timer says; what was missed is made up'),
    error: (message: unknown) => log.error({ timer: words(message) }, 'the timer failed'),
    debug: () => undefined,
  };
};

const EVERY_MINUTE = '* * * * *';
/** A quarter past every hour: no tick may matter, since clocks that change leave some out. */
const EVERY_HOUR = '15 * * * *';
/** Follow-ups that one commit takes in. */
const AT_ONCE = 200;
const LEASE = 'clock';
const LEASE_MILLISECONDS = 90_000;
const DAY = 86_400_000;

/**
 * Looks for follow-ups that are due, by their index, and puts each into the inbox once. A tick that was missed, because
 * the process or the machine slept, is made up by the next one: what is due is a question to the database, not to the
 * timer. Of several processes one ticks at a time; two that tick together would still put nothing in twice.
 */
export function createClock(settings: ClockSettings): Clock {
  const { store, receiveTimes, clock, log } = settings;
  const keep = { ...KEEP_DAYS, ...settings.keepDays };
  const holder = randomUUID();
  const tasks: ScheduledTask[] = [];
  let underWay: Promise<unknown> = Promise.resolve();

  const tick = async (): Promise<number> => {
    const now = clock();
    let total = 0;
    let last: DueFollowUp | undefined;
    do {
      const due = await store.transaction((tx) => tx.dueFollowUps(now, AT_ONCE, last));
      total += await receiveTimes(due);
      last = due[AT_ONCE - 1];
    } while (last);
    return total;
  };

  const prune = (): Promise<Record<string, number>> => {
    const now = clock();
    const before = (days: number): Instant => new Date(Date.parse(now) - days * DAY).toISOString();
    return store.transaction((tx) =>
      tx.prune({
        now,
        inboxBefore: before(keep.inbox),
        messagesBefore: before(keep.messages),
        outboxBefore: before(keep.messages),
        mediaBefore: before(keep.pictures),
        unreadBefore: before(keep.unread),
        changesBefore: before(CHANGES_DAYS),
      }),
    );
  };

  /** One after the other, by whichever process holds the lease. */
  const guarded = (name: string, work: () => Promise<unknown>) => () => {
    underWay = underWay.then(async () => {
      try {
        const now = new Date();
        const until = new Date(now.getTime() + LEASE_MILLISECONDS);
        const mine = await store.transaction((tx) =>
          tx.takeLease(LEASE, holder, now.toISOString(), until.toISOString()),
        );
        if (mine) await work();
      } catch (error) {
        log.error(
          { because: error instanceof Error ? error.name : 'unknown' },
          `${name} failed; the next one makes it up`,
        );
      }
    });
    return underWay;
  };

  return {
    tick,
    prune,
    start() {
      const options = { timezone: 'UTC', noOverlap: true, logger: intoLog(log) } as const;
      tasks.push(cron.schedule(EVERY_MINUTE, guarded('tick', tick), { ...options, name: 'follow-ups' }));
      tasks.push(cron.schedule(EVERY_HOUR, guarded('pruning', prune), { ...options, name: 'retention' }));
      const { everyHour } = settings;
      if (everyHour) {
        const look = () =>
          everyHour().catch((error: unknown) =>
            log.error({ because: error instanceof Error ? error.name : 'unknown' }, 'looking up by the hour failed'),
          );
        tasks.push(cron.schedule(EVERY_HOUR, look, { ...options, name: 'by the hour' }));
        underWay = look();
      }
      void guarded('tick', tick)();
      void guarded('pruning', prune)();
    },
    async stop() {
      for (const task of tasks) await task.destroy();
      await underWay;
      await store.transaction((tx) => tx.dropLease(LEASE, holder)).catch(() => {});
    },
  };
}
