import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { createClock, type Clock } from '../../src/edges/clock/clock.ts';
import { createDesk, type Desk } from '../../src/edges/desk/desk.ts';
import { createDispatcher, type Dispatcher } from '../../src/edges/desk/dispatcher.ts';
import type { Channel, Outgoing, Store } from '../../src/edges/store/types.ts';
import { sqliteDatabase, type TestDatabase } from '../edges/store/databases.ts';
import { madeUpTurn, NOW, says, silent, ZONE } from '../edges/store/made-up.ts';

const MINUTE = 60_000;
const YEAR = 365 * 86_400_000;

describe('a machine whose clock jumps', { timeout: 120_000 }, () => {
  let db: TestDatabase;
  let store: Store;
  let at: number;
  let sent: string[];
  let desk: Desk;
  let clock: Clock;
  let dispatcher: Dispatcher;
  let down: boolean;
  const now = () => new Date(at).toISOString();

  beforeEach(async () => {
    db = sqliteDatabase();
    store = await db.open();
    at = Date.parse(NOW);
    sent = [];
    down = false;
    open();
  });
  afterEach(() => db.remove());

  /** The parts of one process; a second call is a restart. */
  function open(): void {
    const web: Channel = {
      name: 'web',
      start: () => Promise.resolve(),
      stop: () => Promise.resolve(),
      deliver: ({ text }: Outgoing) => {
        if (down) return Promise.resolve({ outcome: 'later', afterSeconds: 30, because: 'down' });
        sent.push(text);
        return Promise.resolve({ outcome: 'sent' });
      },
    };
    desk = createDesk({
      store,
      turn: madeUpTurn,
      flows: {},
      clock: now,
      zone: ZONE,
      log: silent,
      apology: () => 'Sorry',
    });
    clock = createClock({ store, receiveTimes: (due) => desk.receiveTimes(due), clock: now, log: silent });
    dispatcher = createDispatcher({ store, channels: new Map([['web', web]]), clock: now, log: silent });
  }
  const settle = async () => {
    await clock.tick();
    await desk.drain();
    await dispatcher.drain();
  };
  const asked = () => sent.filter((text) => text === 'What does the odometer say?').length;

  it('asks once, though the time came, went back and came again', async () => {
    await desk.receive([says('remind 10')]);
    await settle();
    for (const minutes of [9, 10, -5, 10, 525_600, -525_600, 11]) {
      at = Date.parse(NOW) + minutes * MINUTE;
      await settle();
    }
    expect(asked()).toBe(1);
  });

  it('does not wait for years where a wait was written before the clock was set back', async () => {
    down = true;
    at += 3 * YEAR;
    await desk.receive([says('hello')]);
    await settle();
    expect(sent).toEqual([]);
    at -= 3 * YEAR;
    down = false;
    await settle();
    expect(sent).toEqual(['you said: hello']);
  });

  it('lets another process send though the dead one held the right to until a far day', async () => {
    at += 3 * YEAR;
    await desk.receive([says('hello')]);
    await settle();
    at -= 3 * YEAR;
    open();
    await desk.receive([says('again')]);
    await settle();
    expect(sent).toEqual(['you said: hello', 'you said: again']);
  });

  it('answers every message once and in order, however it jumps', async () => {
    const step = fc.record({
      jump: fc.oneof(
        fc.constantFrom(0, MINUTE, -MINUTE, YEAR, -YEAR, 20 * YEAR, -20 * YEAR),
        fc.integer({ min: -86_400_000, max: 86_400_000 }),
      ),
      messages: fc.integer({ min: 0, max: 3 }),
      fault: fc.boolean(),
      restart: fc.boolean(),
    });
    let number = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(step, { maxLength: 12 }), async (steps) => {
        const from = sent.length;
        const said: string[] = [];
        for (const { jump, messages, fault, restart } of steps) {
          at = Math.min(Math.max(at + jump, Date.parse('2000-01-01T00:00:00Z')), Date.parse('2090-01-01T00:00:00Z'));
          down = fault;
          if (restart) open();
          for (let one = 0; one < messages; one++) {
            said.push(`word ${++number}`);
            await desk.receive([says(`word ${number}`, 'a1', `m${number}`)]);
          }
          await settle();
        }
        down = false;
        at += MINUTE;
        await settle();
        expect(sent.slice(from)).toEqual(said.map((text) => `you said: ${text}`));
      }),
      { numRuns: 40, seed: 20_261_102 },
    );
  });
});
