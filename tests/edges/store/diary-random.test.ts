import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Store } from '../../../src/edges/store/types.ts';
import { sqliteDatabase } from './databases.ts';
import { entryAfter, heldIn, holderOf, MOST, SlowDiary, take, WHATS, type Step } from './diary-steps.ts';
import { expectOneHolder, runOnOneDiary } from './processes.ts';

const number = (most: number) => fc.nat(most);
const step: fc.Arbitrary<Step> = fc.record({
  what: fc.constantFrom(...WHATS),
  who: number(MOST.who),
  bay: number(MOST.bay),
  person: number(MOST.person),
  from: number(MOST.from),
  minutes: fc.integer({ min: 5, max: MOST.minutes }),
});

describe('random bookings, moves, cancellations, holds and blocks', () => {
  let db: ReturnType<typeof sqliteDatabase>;
  let stores: Store[];
  beforeEach(async () => {
    db = sqliteDatabase();
    stores = [await db.open(), await db.open()];
  });
  afterEach(() => db.remove());

  it('come out as in a slow diary, whichever connection they take', async () => {
    let run = 0;
    let refused = 0;
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(step, fc.nat(1)), { minLength: 10, maxLength: 30 }), async (steps) => {
        run++;
        const prefix = `run${run}-`;
        const slow = new SlowDiary();
        for (const [one, connection] of steps) {
          const store = stores[connection];
          if (!store) throw new Error('no such connection');
          const expected = slow.take(holderOf(prefix, one), entryAfter(one), one.what === 'block');
          if (expected === 'taken') refused++;
          expect(await take(store, prefix, one), JSON.stringify(one)).toBe(expected);
        }
        expect(await heldIn(stores[0] as Store)).toEqual(slow.entries);
        // The next run begins with an empty diary.
        for (let who = 0; who <= MOST.who; who++) {
          for (const what of ['cancel', 'let-go', 'unblock'] as const) {
            await take(stores[1] as Store, prefix, { what, who, bay: 0, person: 0, from: 0, minutes: 15 });
          }
        }
      }),
      { numRuns: 12 },
    );
    // Steps that never meet would prove nothing.
    expect(refused).toBeGreaterThan(20);
  }, 120_000);

  it('by two processes at once leave no quarter hour to two', async () => {
    const told = await runOnOneDiary(db.path, ['p', 'q'], 60);
    await expectOneHolder(stores[0] as Store, told);
  }, 120_000);
});
