import { dueAgain, factsOf, outlookFor, turn, type Flows, type OwnerFile, type StaffAction } from '../../core/mod.ts';
import { forecast } from '../../core/follow-up/mod.ts';
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
  byClock: boolean;
}

/** The 80 % range of the day on which a mark is reached, as it stood on the day of the last reading. */
export interface DueRange {
  p10: string | null;
  p90: string | null;
  from: string;
  dueMiles: number;
}

/** The real desk, store, dispatcher and clock on a database in memory, under a clock that the caller moves. */
export interface VirtualShop {
  now(): string;
  moveTo(instant: string): void;
  says(address: string, text: string): Promise<void>;
  taps(address: string, option: string): Promise<boolean>;
  staff(address: string, action: (file: OwnerFile) => StaffAction | undefined): Promise<boolean>;
  tick(): Promise<void>;
  /** The range of the due date as it was seen on the day of the last reading, with the mark; undefined without one. */
  dueRange(file: OwnerFile): DueRange | undefined;
  /** The first day on which one of the booked services is due by time, whatever the miles; undefined without one. */
  dueByTime(file: OwnerFile): string | undefined;
  /** The same range for any other mark. */
  rangeFor(file: OwnerFile, dueMiles: number): DueRange | undefined;
  file(address: string): Promise<OwnerFile>;
  /** What was delivered since the last look. */
  received(): Received[];
  close(): Promise<void>;
}

export async function openVirtualShop(flows: Flows, startsAt: string, path = ':memory:'): Promise<VirtualShop> {
  const store = await openStore({ kind: 'sqlite', path, optOutKey: 'simulated'.repeat(4) });
  let now = startsAt;
  let pace = 0;
  let ordinal = 0;
  let byClock = false;
  let seen: Received[] = [];
  const channel: Channel = {
    name: 'telegram',
    start: () => Promise.resolve(),
    deliver: ({ address, text }) => {
      seen.push({ address, text, at: now, byClock });
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
  const dispatcher = createDispatcher({
    store,
    channels: new Map([[channel.name, channel] as const]),
    clock: () => now,
    log: quiet,
    monotonic: () => (pace += 3_500),
  });
  const clock = createClock({ store, receiveTimes: (due) => desk.receiveTimes(due), clock: () => now, log: quiet });
  const owners = new Map<string, string>();

  async function settle(): Promise<void> {
    do await desk.drain();
    while ((await dispatcher.drain()) > 0);
  }
  let underWay: Promise<void> = Promise.resolve();
  let waiting: { take: () => Promise<unknown>; done: () => void; failed: (error: unknown) => void }[] = [];
  /** What several owners do in the same breath is taken in and worked through together, in the order it came. */
  const together = (take: () => Promise<unknown>): Promise<void> =>
    new Promise((done, failed) => {
      waiting.push({ take, done, failed });
      if (waiting.length > 1) return;
      setImmediate(() => (underWay = underWay.then(workThrough)));
    });
  async function workThrough(): Promise<void> {
    const batch = waiting;
    waiting = [];
    try {
      await Promise.all(batch.map((one) => one.take()));
      await settle();
      for (const one of batch) one.done();
    } catch (error) {
      for (const one of batch) one.failed(error);
    }
  }
  const file = async (address: string): Promise<OwnerFile> => {
    const id = owners.get(address) ?? (await store.views.ownerAt('telegram', address)) ?? '';
    owners.set(address, id);
    const known = await store.transaction((tx) => tx.loadFile(id));
    if (!known) throw new Error(`nobody is known at ${address}`);
    return known;
  };
  const arrive = async (
    address: string,
    event: { kind: 'message'; text: string } | { kind: 'button'; data: string },
  ) => {
    const externalId = `simulated:${(ordinal += 1)}`;
    const base = { channel: 'telegram' as const, at: now };
    const said = event.kind === 'message' ? { ...base, ...event, messageRef: externalId } : { ...base, ...event };
    await together(() => desk.receive([{ channel: 'telegram', address, externalId, event: said }]));
  };
  return {
    now: () => now,
    moveTo(instant) {
      now = instant;
    },
    says: (address, text) => arrive(address, { kind: 'message', text }),
    async taps(address, option) {
      const { question } = (await file(address)).conversation;
      if (!question?.options.some(({ id }) => id === option)) return false;
      await arrive(address, { kind: 'button', data: `q:${question.id}:${option}` });
      return true;
    },
    async staff(address, action) {
      const known = await file(address);
      const wanted = action(known);
      if (!wanted) return false;
      const by = { id: 'simulated', name: 'simulated' };
      const externalId = `simulated-staff:${(ordinal += 1)}`;
      await together(() => desk.receiveStaff({ externalId, ownerId: known.owner.id, at: now, by, action: wanted }));
      // A refusal that nobody sees would leave the request open for good, and its truck without a word ever after.
      const revisions = ({ requests }: OwnerFile) => requests.map(({ id, revision }) => `${id} ${revision}`).join();
      if (revisions(await file(address)) === revisions(known))
        throw new Error(`at ${address} the shop was refused: ${wanted.do}`);
      return true;
    },
    async tick() {
      byClock = true;
      await clock.tick();
      await settle();
      byClock = false;
    },
    dueRange({ vehicles: [vehicle], followUps }) {
      const last = vehicle?.readings.at(-1);
      const outlook = vehicle && last && outlookFor(vehicle, followUps, flows, last.date);
      return outlook ? { ...outlook.dueDate, from: last.date, dueMiles: outlook.dueMiles } : undefined;
    },
    dueByTime({ vehicles: [vehicle], requests }) {
      const booked = requests.findLast(({ state }) => state === 'accepted')?.services ?? [];
      return booked.flatMap((service) => (vehicle && dueAgain(vehicle, service, flows)?.date) ?? []).sort()[0];
    },
    rangeFor({ vehicles: [vehicle] }, dueMiles) {
      const last = vehicle?.readings.at(-1);
      if (!vehicle || !last) return undefined;
      const { modelYear, milesPerYear } = factsOf(vehicle.facts);
      const { dueDate } = forecast(
        {
          readings: vehicle.readings,
          today: last.date,
          dueMiles,
          ...(modelYear !== undefined && { modelYear }),
          ...(milesPerYear !== undefined && { milesPerYear }),
        },
        flows.policy,
        flows.parameters,
      );
      return { ...dueDate, from: last.date, dueMiles };
    },
    file,
    received() {
      const news = seen;
      seen = [];
      return news;
    },
    close: () => store.close(),
  };
}
