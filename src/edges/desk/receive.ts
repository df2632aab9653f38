import { randomUUID } from 'node:crypto';
import type { ChannelName, Instant, Language, Zone } from '../../core/mod.ts';
import { LINK_PAYLOAD } from './link-code.ts';
import type { Incoming, IncomingStaff, NewInboxRow, Store, StoredEvent, StoreTransaction } from '../store/types.ts';

export interface ReceiveSettings {
  store: Store;
  clock: () => Instant;
  /** The zone of owners whose channel does not tell theirs. */
  zone: Zone;
  newOwnerId?: () => string;
}

/** Rows that one commit takes in at most. */
const AT_ONCE = 500;

interface Waiting<T> {
  incoming: T[];
  done: (answer: { seq: number; isNew: boolean }[]) => void;
  failed: (error: unknown) => void;
}

/**
 * Puts what arrives into the inbox. What comes in while a commit is under way shares the next one, so that a crowd of
 * updates costs one wait for the disk. Resolves when it is durable; a second arrival of the same thing changes nothing.
 */
export function createReceive(settings: ReceiveSettings) {
  const owners = batched<Incoming>(settings.store, (tx, incoming) => addIncoming(tx, settings, incoming));
  const others = batched<NewInboxRow>(settings.store, async (tx, rows) => {
    await tx.lockOwners([...new Set(rows.map(({ ownerId }) => ownerId))]);
    return tx.addToInbox(rows);
  });
  return {
    async owners(incoming: Incoming[]): Promise<void> {
      if (incoming.length > 0) await owners(incoming);
    },
    async staff(action: IncomingStaff): Promise<void> {
      const { externalId, ownerId, at, by, answerTo } = action;
      await others([
        {
          source: 'staff',
          externalId,
          ownerId,
          event: { kind: 'staff', at, by, action: action.action },
          receivedAt: settings.clock(),
          ...(answerTo && { address: answerTo.address, answerChannel: answerTo.channel }),
        },
      ]);
    },
    /**
     * The clock's due follow-ups. The key holds the attempt and the time that was due, so that each falls due once,
     * whatever restarts and however many processes look, and again after the turn has put it off.
     */
    async time(due: { id: string; ownerId: string; attempts: number; dueAt: Instant }[]): Promise<number> {
      if (due.length === 0) return 0;
      const now = settings.clock();
      const added = await others(
        due.map(({ id, ownerId, attempts, dueAt }) => ({
          source: 'clock',
          externalId: `follow-up:${id}:${attempts}:${dueAt}`,
          ownerId,
          event: { kind: 'time', at: now, followUpId: id },
          receivedAt: now,
        })),
      );
      return added.filter(({ isNew }) => isNew).length;
    },
  };
}

/** Gathers calls while a transaction runs, and hands each its own answers. */
function batched<T>(
  store: Store,
  add: (tx: StoreTransaction, items: T[]) => Promise<{ seq: number; isNew: boolean }[]>,
) {
  let queue: Waiting<T>[] = [];
  let running = false;

  const run = async (batch: Waiting<T>[]) => {
    try {
      const items = batch.flatMap(({ incoming }) => incoming);
      const answers = await store.transaction((tx) => add(tx, items));
      let from = 0;
      for (const { incoming, done } of batch) done(answers.slice(from, (from += incoming.length)));
    } catch (error) {
      if (batch.length === 1) return batch[0]?.failed(error);
      // One of them may be what cannot be stored: alone, the others are not held up by it.
      for (const one of batch) await run([one]);
    }
  };

  const drain = async () => {
    running = true;
    while (queue.length > 0) {
      const batch: Waiting<T>[] = [];
      let rows = 0;
      while (queue[0] && (batch.length === 0 || rows + queue[0].incoming.length <= AT_ONCE)) {
        rows += queue[0].incoming.length;
        batch.push(queue[0]);
        queue = queue.slice(1);
      }
      await run(batch);
    }
    running = false;
  };

  return (incoming: T[]): Promise<{ seq: number; isNew: boolean }[]> =>
    new Promise((done, failed) => {
      queue.push({ incoming, done, failed });
      if (!running) void drain();
    });
}

async function addIncoming(tx: StoreTransaction, settings: ReceiveSettings, incoming: Incoming[]) {
  const now = settings.clock();
  const owners = new Map<string, string>();
  const keyOf = ({ channel, address }: Pick<Incoming, 'channel' | 'address'>) => `${channel} ${address}`;
  // Whoever is new begins with what their first message tells of them.
  const firsts = new Map<string, Incoming>();
  for (const one of incoming) if (!firsts.has(keyOf(one))) firsts.set(keyOf(one), one);
  const addresses = [...firsts.values()];
  const known = await tx.ownersAt(addresses);
  await tx.lockOwners([...new Set(known.filter((id) => id !== undefined))]);
  for (const [index, one] of addresses.entries()) {
    owners.set(keyOf(one), known[index] ?? (await tx.addOwner(newOwner(settings, one, now))));
  }

  const rows: NewInboxRow[] = [];
  for (const one of incoming) {
    let ownerId = owners.get(keyOf(one)) ?? '';
    const carried = await carriedCode(tx, one, now);
    if (carried !== undefined && carried !== ownerId) {
      await tx.lockOwners([carried, ownerId]);
      await tx.mergeAddress({ channel: one.channel, address: one.address }, carried, now);
      ownerId = carried;
      owners.set(keyOf(one), ownerId);
    }
    rows.push({
      source: one.channel,
      externalId: one.externalId,
      ownerId,
      address: one.address,
      event: eventOf(one),
      receivedAt: now,
    });
  }
  const added = await tx.addToInbox(rows);
  for (const [index, one] of incoming.entries()) {
    const ownerId = rows[index]?.ownerId ?? '';
    if (!added[index]?.isNew || !one.photos) continue;
    await tx.addMedia(
      one.photos.map(({ mediaId: id, source }) => ({
        id,
        ownerId,
        channel: one.channel,
        at: now,
        // A channel draws pictures anew before it hands their bytes over, always as JPEG.
        content: 'fileId' in source ? source : { bytes: source.bytes, mediaType: 'image/jpeg' },
      })),
    );
  }
  return added;
}

/** The owner whose one-time code the opening of a chat carries. */
async function carriedCode(tx: StoreTransaction, { event }: Incoming, now: Instant): Promise<string | undefined> {
  if (event.kind !== 'opened' || event.payload === undefined) return undefined;
  const code = LINK_PAYLOAD.exec(event.payload)?.[1];
  return code === undefined ? undefined : tx.useCode('owner-channel', code, now);
}

function eventOf({ event, photos = [], zone }: Incoming): StoredEvent {
  const told = zone !== undefined && isZone(zone) ? { ...event, zone } : event;
  if (told.kind !== 'message' || photos.length === 0) return told;
  return { ...told, photos: photos.map(({ mediaId }) => mediaId) };
}

function newOwner(settings: ReceiveSettings, one: Incoming, at: Instant) {
  const { channel, address } = one;
  const language: Language = one.language?.toLowerCase().startsWith('es') ? 'es' : 'en';
  const id = settings.newOwnerId?.() ?? `o-${randomUUID()}`;
  return { id, channel: channel satisfies ChannelName, address, language, zone: zoneOr(one.zone, settings.zone), at };
}

/** A zone comes from a browser and may be anything: only one that this machine knows is kept. */
const zoneOr = (zone: string | undefined, otherwise: Zone): Zone =>
  zone !== undefined && isZone(zone) ? zone : otherwise;

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone });
    return true;
  } catch {
    return false;
  }
}
