import { DateTime } from 'luxon';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { turn, type ChannelName, type OwnerFile } from '../../../src/core/mod.ts';
import { createClock } from '../../../src/edges/clock/clock.ts';
import { createDesk } from '../../../src/edges/desk/desk.ts';
import { createDispatcher } from '../../../src/edges/desk/dispatcher.ts';
import type { Channel, Incoming, Outgoing, Store } from '../../../src/edges/store/types.ts';
import { flows, ownerFile, pickup, waiting } from '../../core/owner-files.ts';
import { sqliteDatabase, type TestDatabase } from '../store/databases.ts';
import { silent } from '../store/made-up.ts';

const MORNING = '2027-02-02T17:00:00.000Z';
/** A truck that wants to be asked about, or offered its filter, by any day of these tests. */
const dueSoon = (id: string) => pickup(id, 97_000, 76_000);
const minutesLater = (at: string, minutes: number) => new Date(Date.parse(at) + minutes * 60_000).toISOString();

/** The real desk, clock, dispatcher and turn over one SQLite file, for owners who agreed to be reminded. */
describe('the clock and the manners of writing unasked', () => {
  let db: TestDatabase;
  let store: Store;
  let now: string;
  let sent: { at: string; channel: ChannelName; message: Outgoing }[];
  let ordinal: number;

  beforeEach(async () => {
    db = sqliteDatabase();
    store = await db.open();
    now = MORNING;
    sent = [];
    ordinal = 0;
  });
  afterEach(() => db.remove());

  /** A process of its own on the same database. */
  const open = async () => {
    const own = await db.open();
    const desk = createDesk({
      store: own,
      turn,
      flows,
      clock: () => now,
      zone: flows.shop.zone,
      log: silent,
      apology: () => '',
    });
    const channel = (name: ChannelName): Channel => ({
      name,
      start: () => Promise.resolve(),
      deliver: (message) => {
        sent.push({ at: now, channel: name, message });
        return Promise.resolve({ outcome: 'sent' });
      },
      stop: () => Promise.resolve(),
    });
    const channels = new Map((['telegram', 'web'] as const).map((name) => [name, channel(name)] as const));
    let pace = 0;
    const dispatcher = createDispatcher({
      store: own,
      channels,
      clock: () => now,
      log: silent,
      monotonic: () => (pace += 3_500),
    });
    const clock = createClock({
      store: own,
      receiveTimes: (due) => desk.receiveTimes(due),
      clock: () => now,
      log: silent,
    });
    const settle = async () => {
      do await desk.drain();
      while ((await dispatcher.drain()) > 0);
    };
    return {
      desk,
      clock,
      settle,
      async tickAt(instant: string) {
        now = instant;
        await clock.tick();
        await settle();
      },
      async receives(incoming: Incoming) {
        await desk.receive([incoming]);
        await settle();
      },
    };
  };
  const says = (text: string, address: string, channel: ChannelName = 'telegram', zone?: string): Incoming => {
    const externalId = `m${(ordinal += 1)}`;
    return {
      channel,
      address,
      externalId,
      ...(zone && { zone }),
      event: { kind: 'message', channel, at: now, messageRef: externalId, text },
    };
  };
  /** An owner with one truck and a question that falls due at an instant. */
  const ownerWith = async (id: string, dueAt: string, zone = 'America/Denver') => {
    await store.transaction(async (tx) => {
      await tx.addOwner({ id, channel: 'telegram', address: id, language: 'en', zone, at: '2026-09-01T17:00:00.000Z' });
      const before = (await tx.loadFile(id)) as OwnerFile;
      const truck = dueSoon(`t-${id}`);
      const made = ownerFile([truck], [waiting(`f-${id}`, 'odometer-check', truck.id, dueAt)], { id, zone });
      await tx.saveFile(before, { ...made, owner: { ...made.owner, createdAt: before.owner.createdAt } });
    });
  };
  const fileOf = async (id: string) => (await store.transaction((tx) => tx.loadFile(id))) as OwnerFile;
  const hourOf = (at: string, zone: string) => DateTime.fromISO(at, { zone }).hour;

  it('makes up a night’s outage in the morning, within the hours of each owner’s own zone, once', async () => {
    const zones = ['America/Denver', 'America/New_York', 'America/Los_Angeles', 'Pacific/Honolulu'];
    for (const [index, zone] of zones.entries()) await ownerWith(`o${index}`, MORNING, zone);
    const shop = await open();
    // Nothing runs from Tuesday's morning until past midnight in Denver; then there is a tick every quarter hour.
    const night = '2027-02-03T08:00:00.000Z';
    for (let quarter = 0; quarter <= 80; quarter++) await shop.tickAt(minutesLater(night, 15 * quarter));
    expect(sent.map(({ message }) => message.address).sort()).toEqual(['o0', 'o1', 'o2', 'o3']);
    for (const { at, message } of sent) {
      const zone = zones[Number(message.address.slice(1))] ?? '';
      expect(hourOf(at, zone)).toBeGreaterThanOrEqual(9);
      expect(hourOf(at, zone)).toBeLessThan(19);
    }
  });

  it('keeps the limits when it makes up: one person with several trucks is not written to about all of them at once', async () => {
    await ownerWith('o1', MORNING);
    await store.transaction(async (tx) => {
      const before = (await tx.loadFile('o1')) as OwnerFile;
      const more = ['b', 'c'].map(dueSoon);
      const due = more.map(({ id }) => waiting(`f-${id}`, 'odometer-check', id, MORNING));
      await tx.saveFile(before, {
        ...before,
        vehicles: [...before.vehicles, ...more],
        followUps: [...before.followUps, ...due],
      });
    });
    const shop = await open();
    const restart = minutesLater(MORNING, 26 * 60);
    for (let hour = 0; hour < 30 * 24; hour += 2) await shop.tickAt(minutesLater(restart, 60 * hour));
    const times = sent.map(({ at }) => Date.parse(at) / 86_400_000);
    expect(times.length).toBeGreaterThan(1);
    for (const [index, time] of times.slice(1).entries()) {
      expect(time - (times[index] ?? 0)).toBeGreaterThanOrEqual(flows.shop.followUp.minimumDaysApart);
    }
    expect(times.filter((time) => time < (times[0] ?? 0) + 30).length).toBeLessThanOrEqual(
      flows.shop.followUp.perThirtyDays,
    );
  });

  it.each([
    ['the night the clocks go forward', '2027-03-14T09:30:00.000Z', '2027-03-14T16:00:00.000Z'],
    ['the night the clocks go back', '2027-11-07T07:30:00.000Z', '2027-11-07T17:00:00.000Z'],
  ])('writes at ten by the wall after %s, and once', async (_which, due, ten) => {
    await ownerWith('o1', due);
    const shop = await open();
    for (let minutes = -60; minutes <= 12 * 60; minutes += 10) await shop.tickAt(minutesLater(due, minutes));
    expect(sent).toHaveLength(1);
    expect(sent[0]?.at).toBe(ten);
    expect(hourOf(ten, 'America/Denver')).toBe(10);
  });

  it('keeps the hours of the zone an owner has moved to', async () => {
    const due = '2027-02-04T17:00:00.000Z';
    await ownerWith('o1', due);
    await store.transaction((tx) =>
      tx.addOwner({ id: 'x', channel: 'web', address: 'w1', language: 'en', zone: 'America/Denver', at: now }),
    );
    await store.transaction((tx) => tx.mergeAddress({ channel: 'web', address: 'w1' }, 'o1', now));
    const shop = await open();
    await shop.receives(says('thanks', 'w1', 'web', 'Pacific/Honolulu'));
    expect((await fileOf('o1')).owner.zone).toBe('Pacific/Honolulu');
    sent = [];
    for (let minutes = 0; minutes <= 6 * 60; minutes += 15) await shop.tickAt(minutesLater(due, minutes));
    expect(sent).toHaveLength(1);
    expect(hourOf(sent[0]?.at ?? '', 'Pacific/Honolulu')).toBeGreaterThanOrEqual(9);
    // At the hour of the former zone it would have been six in the morning there.
    expect(sent[0]?.at.slice(0, 13)).not.toBe(due.slice(0, 13));
  });

  it('leaves the zone as it is where a sender names none, or one that no machine knows', async () => {
    await ownerWith('o1', MORNING, 'America/New_York');
    const shop = await open();
    await shop.receives(says('thanks', 'o1'));
    await shop.receives(says('thanks', 'o1', 'telegram', 'Moon/Tycho'));
    expect((await fileOf('o1')).owner.zone).toBe('America/New_York');
  });

  it('lets two processes that tick at the same instant write once', async () => {
    for (let index = 0; index < 12; index++) await ownerWith(`o${index}`, MORNING);
    const shops = [await open(), await open()];
    await Promise.all(shops.map(({ clock }) => clock.tick()));
    await Promise.all(shops.map(({ settle }) => settle()));
    await Promise.all(shops.map(({ clock }) => clock.tick()));
    await Promise.all(shops.map(({ settle }) => settle()));
    expect(sent.map(({ message }) => message.address).sort()).toEqual(
      Array.from({ length: 12 }, (_, index) => `o${index}`).sort(),
    );
  });

  it.each([
    'stop',
    'please quit sending me these',
    "don't text me anymore",
    'unsubscribe',
    'no more reminders',
    'leave me alone',
  ])(
    'ends it on every channel of an owner who writes "%s" on one of them, says so once, and begins again when asked',
    async (words) => {
      await ownerWith('o1', MORNING);
      await store.transaction((tx) =>
        tx.addOwner({ id: 'x', channel: 'web', address: 'w1', language: 'en', zone: 'America/Denver', at: now }),
      );
      await store.transaction((tx) => tx.mergeAddress({ channel: 'web', address: 'w1' }, 'o1', now));
      const shop = await open();
      await shop.receives(says(words, 'w1', 'web'));
      expect((await fileOf('o1')).owner.optedOutAt).toBe(now);
      expect(sent.filter(({ channel }) => channel === 'web')).toHaveLength(1);
      expect(sent.filter(({ channel }) => channel === 'telegram')).toHaveLength(0);
      const confirmed = sent.length;
      for (let day = 0; day < 60; day++) await shop.tickAt(minutesLater(MORNING, day * 1440));
      expect(sent).toHaveLength(confirmed);
      await shop.receives(says('start', 'o1'));
      expect((await fileOf('o1')).owner.optedOutAt).toBeUndefined();
      const again = sent.length;
      for (let day = 61; day < 200; day++) await shop.tickAt(minutesLater(MORNING, day * 1440));
      expect(sent.length).toBeGreaterThan(again);
    },
  );
});
