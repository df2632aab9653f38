import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { telegramChannel, type TelegramChannel } from '../../src/edges/channels/telegram/channel.ts';
import { createDispatcher, type Dispatcher } from '../../src/edges/desk/dispatcher.ts';
import { openStore } from '../../src/edges/store/open.ts';
import type { Store } from '../../src/edges/store/types.ts';
import { NOW, OPT_OUT_KEY, silent, ZONE } from '../edges/store/made-up.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

const PEOPLE = [1001, 1002, 1003, -100200];
const MESSAGES = 5;

/** The dispatcher with the real Telegram channel against a Bot API of our own, in a time that the test moves. */
describe('messages on their way out', { timeout: 120_000 }, () => {
  let folder: string;
  let store: Store;
  let standIn: TelegramStandIn;
  let channel: TelegramChannel;
  let dispatcher: Dispatcher;
  /** Milliseconds since the beginning. */
  let elapsed: number;
  let attempts: number;
  const outcomes = new Map<string, number>();

  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'line-'));
    store = await openStore({ kind: 'sqlite', path: join(folder, 'shop.sqlite'), optOutKey: OPT_OUT_KEY });
    standIn = await new TelegramStandIn().listen();
    for (const id of PEOPLE) {
      if (id < 0) standIn.group(id);
      else standIn.person(id);
    }
    elapsed = 0;
    attempts = 0;
    outcomes.clear();
    const now = () => new Date(Date.parse(NOW) + elapsed).toISOString();
    channel = telegramChannel({
      token: standIn.token,
      apiRoot: standIn.apiRoot,
      staff: { isStaffChat: () => false, receive: () => Promise.resolve(), moved: () => Promise.resolve() },
      contactWords: () => ({ share: 'Share', hint: 'Tap' }),
      now,
      log: silent,
    });
    dispatcher = createDispatcher({
      store,
      channels: new Map([['telegram', channel]]),
      clock: now,
      log: silent,
      monotonic: () => elapsed,
      onDelivery: (_channel, outcome) => {
        attempts += 1;
        outcomes.set(outcome, (outcomes.get(outcome) ?? 0) + 1);
      },
    });
    await store.transaction(async (tx) => {
      for (const id of PEOPLE.filter((one) => one > 0)) {
        const who = { channel: 'telegram', address: String(id), language: 'en', zone: ZONE, at: NOW } as const;
        await tx.addOwner({ id: `o-${id}`, ...who });
      }
    });
  });
  afterEach(async () => {
    await dispatcher.stop();
    await channel.stop();
    await store.close();
    await standIn.close();
    rmSync(folder, { recursive: true });
  });

  /** Everybody's messages, in turn, as the turns of several conversations put them out. */
  const putOut = (from: number) =>
    store.transaction(async (tx) => {
      for (let number = 0; number < MESSAGES; number++) {
        for (const [index, id] of PEOPLE.entries()) {
          await tx.addToOutbox([
            {
              inboxSeq: from + number * PEOPLE.length + index,
              ordinal: 0,
              ownerId: id > 0 ? `o-${id}` : null,
              toStaff: id < 0,
              channel: 'telegram',
              address: String(id),
              reply: { text: `${from + number}`, buttons: [] },
              unasked: false,
              createdAt: NOW,
            },
          ]);
        }
      }
    });
  /** Lets so much time pass, and sends what may be sent on the way. */
  const pass = async (seconds: number, step: number) => {
    for (const end = elapsed + seconds * 1000; elapsed < end; elapsed += step * 1000) await dispatcher.drain();
  };
  const arrived = (id: number) => standIn.messagesTo(id).map(({ text }) => Number(text));
  const waiting = async () => (await store.figures(NOW)).outboxWaiting;
  const inOrder = Array.from({ length: MESSAGES }, (_, number) => 1 + number);

  it.each<[string, Parameters<TelegramStandIn['fail']>[1]]>([
    ['answers 502', { status: 502, description: 'Bad Gateway' }],
    ['breaks every connection', 'reset'],
  ])('wait for an hour while the Bot API %s, then arrive once each and in order', async (_how, failure) => {
    await putOut(1);
    standIn.fail('*', failure, 1_000_000);
    await pass(3600, 20);
    expect(PEOPLE.flatMap(arrived)).toEqual([]);
    expect(await waiting()).toBe(PEOPLE.length * MESSAGES);
    // It is asked again now and then, never without a breath: at most once a chat and round.
    expect(attempts).toBeGreaterThan(20);
    expect(attempts).toBeLessThanOrEqual((3600 / 20) * PEOPLE.length);
    standIn.heal();
    await pass(120, 0.5);
    for (const id of PEOPLE) expect(arrived(id), String(id)).toEqual(inOrder);
    expect(await waiting()).toBe(0);
  });

  it('wait as long as the Bot API asks for, and no longer', async () => {
    await putOut(1);
    standIn.fail('sendMessage', { status: 429, description: 'Too Many Requests', parameters: { retry_after: 90 } }, 4);
    await dispatcher.drain();
    const after = attempts;
    await pass(89, 1);
    expect(attempts).toBe(after);
    await pass(60, 0.5);
    for (const id of PEOPLE) expect(arrived(id)).toEqual(inOrder);
  });

  it('arrive once each and in order of their chat, whatever storms of refusals come between', async () => {
    let from = 1;
    const failure = fc.oneof(
      fc.integer({ min: 1, max: 120 }).map((retry_after) => ({
        status: 429,
        description: 'Too Many Requests: retry later',
        parameters: { retry_after },
      })),
      fc.constantFrom(
        { status: 500, description: 'Internal Server Error' },
        { status: 502, description: 'Bad Gateway' },
      ),
      fc.constant('reset' as const),
    );
    const storm = fc.array(
      fc.record({ failure, times: fc.integer({ min: 1, max: 6 }), quiet: fc.integer({ max: 40, min: 0 }) }),
      {
        maxLength: 6,
      },
    );
    await fc.assert(
      fc.asyncProperty(storm, async (weather) => {
        const before = new Map(PEOPLE.map((id) => [id, arrived(id).length]));
        const first = from;
        from += 1_000;
        await putOut(first);
        for (const { failure: how, times, quiet } of weather) {
          standIn.fail('sendMessage', how, times);
          await pass(quiet + 1, 1);
        }
        standIn.heal();
        await pass(400, 2);
        for (const id of PEOPLE) {
          expect(arrived(id).slice(before.get(id))).toEqual(inOrder.map((number) => first - 1 + number));
        }
        expect(await waiting()).toBe(0);
      }),
      { numRuns: 8, seed: 20_261_102 },
    );
  });
});
