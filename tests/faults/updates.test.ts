import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { webhookSecret } from '../../src/edges/channels/telegram/webhook.ts';
import { openShop, type RunningShop } from '../trust/shop.ts';
import { diceOf } from './dice.ts';

/** What one person writes and taps, in order; a button is named by question and option as the program names it. */
const SCRIPTS: readonly (readonly string[])[] = [
  ['/start', '2017 6.7 V8 diesel with 92k', 'hard to start when cold', 'no', 'what does the kit cost?'],
  ['my truck smokes black, 2016 6.7 v8 diesel', 'about 120,000 miles', 'yes', 'no'],
  ['the oil pressure light is on!', 'it is a 2015 6.7 v8', 'no', 'stop'],
  ['hola, tengo un diesel 6.7 V8 de 2018', '81 mil millas', 'no'],
];

interface Update {
  update_id: number;
  message: Record<string, unknown>;
}

let shop: RunningShop;
let nextPerson = 10_000;
let nextUpdate = 1;

beforeAll(async () => {
  shop = await openShop({ start: false });
  await shop.system.start({ loops: false });
}, 60_000);
afterAll(() => shop.close());

/** The updates that somebody new causes by a script; Telegram numbers them, and the messages, as they are written. */
function updatesOf(script: readonly string[], person: number): Update[] {
  return script.map((text, index) => ({
    update_id: nextUpdate++,
    message: {
      message_id: index + 1,
      date: 1_793_635_200 + index,
      chat: { id: person, type: 'private' },
      from: { id: person, is_bot: false, first_name: 'Robin', language_code: 'en' },
      text,
    },
  }));
}

async function post(update: Update): Promise<void> {
  const secretToken = webhookSecret(shop.standIn.token);
  expect(await shop.system.telegram?.webhook({ secretToken, body: update })).toBe(200);
}

/** What the shop put out for somebody, in order. */
async function answersTo(person: number): Promise<string[]> {
  const { views } = shop.system.store;
  const ownerId = await views.ownerAt('telegram', String(person));
  const lines = ownerId === undefined ? [] : await views.talk(ownerId, -1, 1_000);
  return lines.filter(({ from }) => from === 'shop').map(({ text }) => text);
}

const failed = async () => (await shop.system.store.figures(new Date().toISOString())).inboxFailed;
const someScripts = fc.array(fc.constantFrom(...SCRIPTS), { minLength: 1, maxLength: 3 });

describe('updates as a network brings them', { timeout: 120_000 }, () => {
  it('have the same answers, however often each is delivered and however the people mix', async () => {
    const expected = new Map<readonly string[], string[]>();
    for (const script of SCRIPTS) {
      const person = nextPerson++;
      for (const update of updatesOf(script, person)) {
        await post(update);
        await shop.system.desk.drain();
      }
      expected.set(script, await answersTo(person));
      expect(expected.get(script)?.length).toBeGreaterThan(1);
    }
    await fc.assert(
      fc.asyncProperty(someScripts, fc.nat(), async (scripts, seed) => {
        const roll = diceOf(seed);
        const people = scripts.map((script) => {
          const person = nextPerson++;
          return { script, person, left: updatesOf(script, person), seen: [] as Update[] };
        });
        for (;;) {
          const open = people.filter(({ left }) => left.length > 0);
          const one = open[Math.floor(roll() * open.length)];
          if (!one) break;
          const update = one.left.shift() as Update;
          one.seen.push(update);
          await post(update);
          // An earlier one comes once more, at any later time: the Bot API had no answer to it.
          while (roll() < 0.4) await post(one.seen[Math.floor(roll() * one.seen.length)] ?? update);
          if (roll() < 0.5) await shop.system.desk.drain();
        }
        await shop.system.desk.drain();
        for (const { person, script } of people) expect(await answersTo(person)).toEqual(expected.get(script));
        expect(await failed()).toBe(0);
      }),
      { numRuns: 12, seed: 20_261_102 },
    );
  });

  it('are each worked on once, without a fault, in whatever order they come', async () => {
    const orders = someScripts.chain((scripts) => {
      const all = scripts.flatMap((script, index) => script.map((text) => ({ index, text })));
      return fc.tuple(fc.constant(scripts.length), fc.shuffledSubarray(all, { minLength: all.length }));
    });
    await fc.assert(
      fc.asyncProperty(orders, async ([count, order]) => {
        const first = nextPerson;
        nextPerson += count;
        for (const { index, text } of order) {
          const [update] = updatesOf([text], first + index);
          if (update) await Promise.all([post(update), post(update)]);
        }
        await shop.system.desk.drain();
        expect(await failed()).toBe(0);
        for (let person = first; person < first + count; person++) {
          const written = order.filter(({ index }) => index === person - first).length;
          const ownerId = (await shop.system.store.views.ownerAt('telegram', String(person))) ?? '';
          const lines = await shop.system.store.views.talk(ownerId, -1, 1_000);
          const kept = lines.filter(({ from }) => from === 'owner').length;
          const opened = order.filter(({ index, text }) => index === person - first && text === '/start').length;
          expect(kept).toBe(written - opened);
          expect(lines.filter(({ from }) => from === 'shop').length).toBeGreaterThan(0);
        }
      }),
      { numRuns: 12, seed: 20_261_102 },
    );
  });
});
