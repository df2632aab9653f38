import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { outlookFor, turn, type Flows, type OwnerFile, type StaffAction } from '../../core/mod.ts';
import { createClock } from '../../edges/clock/clock.ts';
import { createDesk } from '../../edges/desk/desk.ts';
import { createDispatcher } from '../../edges/desk/dispatcher.ts';
import { openStore } from '../../edges/store/open.ts';
import type { Channel } from '../../edges/store/types.ts';

const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined };

/** A message that reached a made-up owner. */
export interface Received {
  address: string;
  text: string;
  at: string;
  /** True where the clock brought it, not an answer to what the owner did. */
  unasked: boolean;
}

/** The real desk, store, dispatcher and clock on a temporary database, under a clock that the caller moves. */
export interface VirtualShop {
  now(): string;
  moveTo(instant: string): void;
  says(address: string, text: string): Promise<void>;
  taps(address: string, option: string): Promise<boolean>;
  staff(address: string, action: (file: OwnerFile) => StaffAction | undefined): Promise<boolean>;
  tick(): Promise<void>;
  /** The range of the due date as the shop sees it now. */
  dueRange(file: OwnerFile): { p10: string | null; p90: string | null } | undefined;
  /** Follow-ups whose time has long come and that nobody was sent. */
  lost(): Promise<number>;
  file(address: string): Promise<OwnerFile | undefined>;
  /** What was delivered since the last look. */
  received(): Received[];
  close(): Promise<void>;
}

export async function openVirtualShop(flows: Flows, startsAt: string): Promise<VirtualShop> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-simulate-'));
  const store = await openStore({
    kind: 'sqlite',
    path: join(folder, 'shop.sqlite'),
    optOutKey: 'simulated'.repeat(4),
  });
  let now = startsAt;
  let pace = 0;
  let ordinal = 0;
  let byClock = false;
  let seen: Received[] = [];
  const channel: Channel = {
    name: 'telegram',
    start: () => Promise.resolve(),
    deliver: ({ address, text }) => {
      seen.push({ address, text, at: now, unasked: byClock });
      return Promise.resolve({ outcome: 'sent' });
    },
    stop: () => Promise.resolve(),
  };
  const desk = createDesk({
    store,
    turn,
    flows,
    clock: () => now,
    zone: flows.shop.zone,
    log: quiet,
    apology: () => '',
    newOwnerId: () => `o${(ordinal += 1)}`,
    newToken: () => 'SIMULATED2',
  });
  const channels = new Map([[channel.name, channel] as const]);
  const dispatcher = createDispatcher({
    store,
    channels,
    clock: () => now,
    log: quiet,
    monotonic: () => (pace += 3_500),
  });
  const clock = createClock({ store, receiveTimes: (due) => desk.receiveTimes(due), clock: () => now, log: quiet });

  async function settle(): Promise<void> {
    for (let quietRounds = 0; quietRounds < 2;) {
      const done = (await desk.drain()) + (await dispatcher.drain());
      quietRounds = done === 0 ? quietRounds + 1 : 0;
    }
  }
  const file = async (address: string): Promise<OwnerFile | undefined> => {
    const id = await store.views.ownerAt('telegram', address);
    return id === undefined ? undefined : store.transaction((tx) => tx.loadFile(id));
  };
  const arrive = async (
    address: string,
    event: { kind: 'message'; text: string } | { kind: 'button'; data: string },
  ) => {
    const externalId = `simulated:${(ordinal += 1)}`;
    const base = { channel: 'telegram' as const, at: now };
    await desk.receive([
      {
        channel: 'telegram',
        address,
        externalId,
        event: event.kind === 'message' ? { ...base, ...event, messageRef: externalId } : { ...base, ...event },
      },
    ]);
    await settle();
  };
  return {
    now: () => now,
    moveTo(instant) {
      now = instant;
    },
    says: (address, text) => arrive(address, { kind: 'message', text }),
    async taps(address, option) {
      const question = (await file(address))?.conversation.question;
      if (!question?.options.some(({ id }) => id === option)) return false;
      await arrive(address, { kind: 'button', data: `q:${question.id}:${option}` });
      return true;
    },
    async staff(address, action) {
      const known = await file(address);
      const wanted = known && action(known);
      if (!known || !wanted) return false;
      await desk.receiveStaff({
        externalId: `simulated-staff:${(ordinal += 1)}`,
        ownerId: known.owner.id,
        at: now,
        by: { id: 'simulated', name: 'simulated' },
        action: wanted,
      });
      await settle();
      return true;
    },
    async tick() {
      byClock = true;
      await clock.tick();
      await settle();
      byClock = false;
    },
    dueRange(file) {
      const [vehicle] = file.vehicles;
      return vehicle && outlookFor(vehicle, file.followUps, flows, now.slice(0, 10))?.dueDate;
    },
    lost: async () => (await store.views.due(new Date(Date.parse(now) - 3 * 86_400_000).toISOString(), 1000)).length,
    file,
    received() {
      const news = seen;
      seen = [];
      return news;
    },
    async close() {
      await store.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
