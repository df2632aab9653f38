import cron from 'node-cron';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { InboxEvent, Known, TurnResult } from '../../../src/core/mod.ts';
import { createClock } from '../../../src/edges/clock/clock.ts';
import { movedClock } from '../../../src/edges/clock/moved-clock.ts';
import { createDesk } from '../../../src/edges/desk/desk.ts';
import type { Store } from '../../../src/edges/store/types.ts';
import { sqliteDatabase, type TestDatabase } from '../store/databases.ts';
import { after, followUp, madeUpTurn, NOW, says, silent, ZONE } from '../store/made-up.ts';

describe('the clock', () => {
  let db: TestDatabase;
  let store: Store;
  let now: string;

  beforeEach(async () => {
    db = sqliteDatabase();
    store = await db.open();
    now = NOW;
  });
  afterEach(() => db.remove());

  /** A process of its own on the same database: its desk and its clock. */
  const open = async (turn: typeof madeUpTurn = madeUpTurn) => {
    const own = await db.open();
    const desk = createDesk({
      store: own,
      turn,
      flows: {},
      clock: () => now,
      zone: ZONE,
      log: silent,
      apology: () => 'Sorry.',
    });
    const clock = createClock({
      store: own,
      receiveTimes: (due) => desk.receiveTimes(due),
      clock: () => now,
      log: silent,
    });
    return { desk, clock };
  };
  const asked = async (address = 'a1') => {
    const id = (await store.views.ownerAt('web', address)) ?? '';
    return (await store.views.talk(id)).filter(({ text }) => text === 'What does the odometer say?').length;
  };

  it('puts what is due into the inbox, and nothing before its time', async () => {
    const { desk, clock } = await open();
    await desk.receive([says('remind 10')]);
    await desk.drain();
    now = after(9);
    expect(await clock.tick()).toBe(0);
    now = after(10);
    expect(await clock.tick()).toBe(1);
    await desk.drain();
    expect(await asked()).toBe(1);
  });

  it('makes up what it missed while nothing ran, once', async () => {
    const { desk, clock } = await open();
    await desk.receive([says('remind 10'), says('remind 20', 'a2')]);
    await desk.drain();
    now = after(3 * 24 * 60);
    const { desk: restarted, clock: again } = await open();
    expect(await again.tick()).toBe(2);
    expect(await clock.tick()).toBe(0);
    await restarted.drain();
    await again.tick();
    await restarted.drain();
    expect([await asked(), await asked('a2')]).toEqual([1, 1]);
  });

  it('lets each fall due once where two processes tick together', async () => {
    const first = await open();
    const second = await open();
    for (let index = 0; index < 20; index++) await first.desk.receive([says('remind 1', `a${index}`)]);
    await first.desk.drain();
    now = after(1);
    const added = await Promise.all([first.clock.tick(), second.clock.tick(), first.clock.tick()]);
    expect(added.reduce((sum, count) => sum + count)).toBe(20);
    await Promise.all([first.desk.drain(), second.desk.drain()]);
    for (let index = 0; index < 20; index++) expect(await asked(`a${index}`)).toBe(1);
  });

  it('asks again where the turn put it off to a later time, and not where it left it as it was', async () => {
    const putsOff = (known: Known, event: InboxEvent, flows: unknown, at: string): TurnResult => {
      if (event.kind !== 'time') return madeUpTurn(known, event, flows, at);
      const moved = known.file.followUps.map((one) => ({ ...one, dueAt: after(30) }));
      return { done: true, next: { ...known.file, followUps: moved }, replies: [], effects: [], trace: [] };
    };
    const { desk, clock } = await open(putsOff);
    await desk.receive([says('remind 10')]);
    await desk.drain();
    const due: number[] = [];
    for (const minutes of [10, 11, 29, 30, 31]) {
      now = after(minutes);
      due.push(await clock.tick());
      await desk.drain();
    }
    expect(due).toEqual([1, 0, 0, 1, 0]);
  });

  it('finds everything that is due, more than one commit takes in, many at the same instant', async () => {
    const { desk, clock } = await open();
    await desk.receive([says('hello')]);
    await desk.drain();
    const id = (await store.views.ownerAt('web', 'a1')) ?? '';
    await store.transaction(async (tx) => {
      const file = await tx.loadFile(id);
      if (!file) throw new Error('no such owner');
      const at = (index: number) => (index < 450 ? after(-1) : after(-index));
      const followUps = Array.from({ length: 700 }, (_, index) => followUp(`f${index}`, at(index)));
      await tx.saveFile(file, { ...file, followUps });
    });
    expect(await clock.tick()).toBe(700);
    expect((await store.figures(now)).inboxWaiting).toBe(700);
  });

  it('ticks by the minute in UTC, never at an hour that a change of clocks leaves out', async () => {
    const schedule = vi.spyOn(cron, 'schedule');
    const { clock } = await open();
    clock.start();
    const plans = schedule.mock.calls.map(([expression, , options]) => [expression, options?.timezone]);
    await clock.stop();
    schedule.mockRestore();
    expect(plans).toEqual([
      ['* * * * *', 'UTC'],
      ['15 * * * *', 'UTC'],
    ]);
    expect(plans.every(([expression]) => cron.validate(expression ?? ''))).toBe(true);
  });

  it('begins with what fell due before it started', async () => {
    const { desk, clock } = await open();
    await desk.receive([says('remind 10')]);
    await desk.drain();
    now = after(60);
    clock.start();
    await expect.poll(async () => (await store.figures(now)).inboxWaiting).toBe(1);
    await clock.stop();
  });
});

describe("the demo's clock", () => {
  let db: TestDatabase;
  beforeEach(() => {
    db = sqliteDatabase();
  });
  afterEach(() => db.remove());

  it('moves on from the real time, for every process and after a restart', async () => {
    let real = Date.parse(NOW);
    const store = await db.open();
    const time = await movedClock(store, () => real);
    expect(time.now()).toBe(NOW);
    expect(await time.advance(60 * 60_000)).toBe(after(60));
    real += 60_000;
    expect(time.now()).toBe(after(61));
    const restarted = await movedClock(await db.open(), () => real);
    expect(restarted.now()).toBe(after(61));
    await restarted.advance(60_000);
    expect(time.now()).toBe(after(61));
    await time.refresh();
    expect(time.now()).toBe(after(62));
  });

  it.each([
    ['backwards', -1],
    ['by nothing that is a number', Number.NaN],
  ])('does not move %s', async (_how, by) => {
    const time = await movedClock(await db.open(), () => Date.parse(NOW));
    await expect(time.advance(by)).rejects.toThrow(RangeError);
    expect(time.now()).toBe(NOW);
  });

  it.each([['text'], [-5], [1e18], [null]])('ignores a stored offset of %j that cannot be one', async (stored) => {
    const store = await db.open();
    await store.transaction((tx) => tx.saveSetting('clock-offset-milliseconds', stored));
    expect((await movedClock(store, () => Date.parse(NOW))).now()).toBe(NOW);
  });
});
