import { randomUUID } from 'node:crypto';
import type { ChannelName, Instant } from '../../core/mod.ts';
import type { Channel, Delivery, Log, OutboxRow, Outgoing, Store, StoreTransaction } from '../store/types.ts';
import { createPace, type Pace } from './pace.ts';

export interface DispatcherSettings {
  store: Store;
  channels: Map<ChannelName, Channel>;
  /** The machine's own clock, never the demo's moved one: a retry must come when the line is back. */
  clock: () => Instant;
  log: Log;
  /** Called when an event was put into the inbox: an owner cannot be reached any more. */
  onInbox?: () => void;
  /** Called for each attempt, for whoever counts. */
  onDelivery?: (channel: ChannelName, outcome: Delivery['outcome'] | 'fault') => void;
  lookEveryMilliseconds?: number;
  /** Decides when the next message may go; Telegram's limits where it is absent. */
  pace?: Pace;
  /** Milliseconds of a clock that never goes back. */
  monotonic?: () => number;
}

export interface Dispatcher {
  start(): void;
  /** Something may wait in the outbox. */
  wake(): void;
  /** Sends what is due, then resolves with the number of deliveries tried; for programs that drive time themselves. */
  drain(): Promise<number>;
  /** Ends after the deliveries under way are marked. */
  stop(): Promise<void>;
}

const LEASE = 'dispatcher';
const LEASE_MILLISECONDS = 10_000;
/** Addresses served side by side. */
const AT_ONCE = 32;
/** A message waits this long for a picture that is still being fetched, then goes without. */
const PICTURE_PATIENCE_MILLISECONDS = 60_000;
const LONGEST_WAIT_SECONDS = 300;
/** A channel may ask for more patience than that, but not for ever. */
const LONGEST_PATIENCE_SECONDS = 3_500;

/** Between two attempts while the database does not answer, so that the log is not filled with them. */
const LONGEST_PAUSE_MILLISECONDS = 5_000;

/** The kind of a fault without its message, which may quote what was being sent. */
function nameOf(error: unknown): string {
  if (!(error instanceof Error)) return 'unknown';
  return 'code' in error && typeof error.code === 'string' ? `${error.name} ${error.code}` : error.name;
}

const plus = (at: Instant, milliseconds: number): Instant => new Date(Date.parse(at) + milliseconds).toISOString();

interface Tried {
  row: OutboxRow;
  delivery: Delivery | { outcome: 'fault'; because: string };
}

/**
 * Sends what the turns put out: in order for each address, at the pace the channel allows, again after a lost
 * connection. A message goes at least once; only a crash between sending and marking can repeat it. Of several
 * processes one sends at a time, or their paces would add up.
 */
export function createDispatcher(settings: DispatcherSettings): Dispatcher {
  const { store, channels, clock, log, lookEveryMilliseconds = 500, monotonic = () => performance.now() } = settings;
  const holder = randomUUID();
  const pace = settings.pace ?? createPace();
  const leases = new Map<ChannelName, number>();
  let sent: Tried[] = [];
  let stopping = false;
  let wake: () => void = () => {};
  let awake = false;
  let running: Promise<void> = Promise.resolve();

  /** True while this process is the one that sends on the channel. */
  const holdsLease = async (tx: StoreTransaction, channel: ChannelName): Promise<boolean> => {
    const asked = monotonic();
    if (asked < (leases.get(channel) ?? 0) - LEASE_MILLISECONDS / 2) return true;
    const now = clock();
    const taken = await tx.takeLease(`${LEASE} ${channel}`, holder, now, plus(now, LEASE_MILLISECONDS));
    if (taken) leases.set(channel, asked + LEASE_MILLISECONDS);
    else leases.delete(channel);
    return taken;
  };

  /** Keeps the leases while deliveries take their time, so that no other process sends the same meanwhile. */
  const whileHolding = async <T>(work: Promise<T>): Promise<T> => {
    const timer = setInterval(() => {
      void store
        .transaction(async (tx) => {
          for (const channel of leases.keys()) await holdsLease(tx, channel);
        })
        .catch(() => {});
    }, LEASE_MILLISECONDS / 3);
    try {
      return await work;
    } finally {
      clearInterval(timer);
    }
  };

  const dropLeases = async () => {
    await store.transaction(async (tx) => {
      for (const channel of leases.keys()) await tx.dropLease(`${LEASE} ${channel}`, holder);
    });
    leases.clear();
  };

  const tryOne = async (row: OutboxRow, message: Outgoing): Promise<Tried> => {
    const channel = channels.get(row.channel);
    if (!channel) return { row, delivery: { outcome: 'later', afterSeconds: 60, because: 'channel not running' } };
    try {
      return { row, delivery: await channel.deliver(message) };
    } catch (error) {
      return { row, delivery: { outcome: 'fault', because: error instanceof Error ? error.name : 'unknown' } };
    }
  };

  /** Sends the first waiting message of each address that may be sent to. `wait`: milliseconds until another may be. */
  const round = async (): Promise<{ tried: number; wait: number }> => {
    await markSent();
    const now = clock();
    let wait = Number.POSITIVE_INFINITY;
    const ready = await store.transaction(async (tx) => {
      const chosen: { row: OutboxRow; message: Outgoing }[] = [];
      const paced = (channel: string, address: string): boolean => {
        const pause = pace.wait(channel, address, monotonic());
        if (pause > 0) wait = Math.min(wait, pause);
        return pause > 0;
      };
      for (const row of await tx.outboxHeads([...channels.keys()], now, AT_ONCE, paced)) {
        // Each one that is chosen makes the next ones wait for the overall pace.
        if (paced(row.channel, row.address) || !(await holdsLease(tx, row.channel))) continue;
        const message = await outgoing(tx, row, now);
        if (message === 'later') await tx.outboxLater(row.id, plus(now, 1_000), 'picture not there yet', false);
        else {
          pace.took(row.channel, row.address, monotonic());
          chosen.push({ row, message });
        }
      }
      return chosen;
    });
    if (ready.length === 0) return { tried: 0, wait };
    sent = await whileHolding(Promise.all(ready.map(({ row, message }) => tryOne(row, message))));
    await markSent();
    return { tried: ready.length, wait: 0 };
  };

  /** Writes down what was sent. Where that fails, nothing more is sent before it is done. */
  const markSent = async (): Promise<void> => {
    if (sent.length === 0) return;
    const lost = await store.transaction(async (tx) => {
      let events = 0;
      for (const one of sent) events += await mark(tx, one, clock());
      return events;
    });
    for (const { row, delivery } of sent) {
      settings.onDelivery?.(row.channel, delivery.outcome);
      if (delivery.outcome === 'refused' || delivery.outcome === 'fault') {
        log.warn({ outbox: row.id, outcome: delivery.outcome, attempts: row.attempts }, 'message not delivered');
      }
    }
    sent = [];
    if (lost > 0) settings.onInbox?.();
  };

  const work = async () => {
    let failures = 0;
    while (!stopping) {
      awake = false;
      let wait = lookEveryMilliseconds;
      try {
        const done = await round();
        failures = 0;
        if (done.tried > 0) continue;
        wait = Math.min(wait, done.wait);
      } catch (error) {
        wait = Math.min(LONGEST_PAUSE_MILLISECONDS, lookEveryMilliseconds * 2 ** Math.min(failures++, 10));
        log.error({ because: nameOf(error), failures }, 'sending interrupted; tried again');
      }
      if ((awake && failures === 0) || stopping) continue;
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, Math.max(5, wait));
        wake = () => {
          clearTimeout(timer);
          resolve();
        };
      });
    }
  };

  const ring = () => {
    awake = true;
    wake();
  };

  return {
    start() {
      running = work();
    },
    wake: ring,
    async drain() {
      let total = 0;
      for (;;) {
        const { tried } = await round();
        if (tried === 0) return total;
        total += tried;
      }
    },
    async stop() {
      stopping = true;
      ring();
      await running;
      await dropLeases();
    },
  };
}

/** The message with its pictures, or `later` while one of them is still being fetched. */
async function outgoing(tx: StoreTransaction, row: OutboxRow, now: Instant): Promise<Outgoing | 'later'> {
  const pictures = await tx.mediaBytes(row.reply.photos ?? []);
  const patient = Date.parse(now) - Date.parse(row.createdAt) < PICTURE_PATIENCE_MILLISECONDS;
  if (patient && pictures.some(({ state }) => state === 'expected')) return 'later';
  return {
    id: row.id,
    channel: row.channel,
    address: row.address,
    text: row.reply.text,
    buttons: row.reply.buttons,
    askContact: row.reply.askContact ?? false,
    ...(row.reply.attachment && { attachment: row.reply.attachment }),
    photos: pictures.flatMap(({ id, bytes, mediaType }) =>
      bytes ? [{ mediaId: id, bytes, mediaType: mediaType ?? 'image/jpeg' }] : [],
    ),
  };
}

/** Writes down what became of one delivery; answers how many events it put into the inbox. */
async function mark(tx: StoreTransaction, { row, delivery }: Tried, now: Instant): Promise<number> {
  switch (delivery.outcome) {
    case 'sent':
      await tx.outboxSent(row.id, now, delivery.externalMessageId);
      return 0;
    case 'later':
      await tx.outboxLater(
        row.id,
        plus(now, Math.min(LONGEST_PATIENCE_SECONDS, Math.max(0, delivery.afterSeconds)) * 1000),
        delivery.because,
        false,
      );
      return 0;
    case 'fault': {
      const seconds = Math.min(LONGEST_WAIT_SECONDS, 2 ** Math.min(row.attempts, 10));
      await tx.outboxLater(row.id, plus(now, seconds * 1000), delivery.because, true);
      return 0;
    }
    case 'refused':
      await tx.outboxRefused(row.id, now, delivery.because);
      return 0;
    case 'moved':
      await tx.moveAddress(row.channel, row.address, delivery.address);
      return 0;
    case 'unreachable':
      return unreachable(tx, row, delivery.because, now);
    default:
      return delivery satisfies never;
  }
}

async function unreachable(tx: StoreTransaction, row: OutboxRow, because: string, now: Instant): Promise<number> {
  await tx.outboxUnreachable(row.channel, row.address, now, because);
  if (row.toStaff) {
    await tx.unlinkStaffChat(row.channel, row.address);
    return 0;
  }
  if (row.ownerId === null) return 0;
  await tx.lockOwners([row.ownerId]);
  await tx.markUnreachable(row.ownerId, now);
  const [added] = await tx.addToInbox([
    {
      source: row.channel,
      externalId: `unreachable:${row.id}`,
      ownerId: row.ownerId,
      event: { kind: 'unreachable', channel: row.channel, at: now, because },
      receivedAt: now,
    },
  ]);
  return added?.isNew ? 1 : 0;
}
