import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import {
  conversations,
  createConversation,
  type Conversation,
  type ConversationData,
  type ConversationFlavor,
  type VersionedState,
} from '@grammyjs/conversations';
import { Bot, type Context, type Transformer } from 'grammy';
import type { Update, UserFromGetMe } from 'grammy/types';
import { turn, type Flows, type InboxEvent, type OwnerFile } from '../../src/core/mod.ts';
import { openStore } from '../../src/edges/store/open.ts';
import { loadFlows } from '../../src/system.ts';
import { median, perSecond, table } from './report.ts';

/*
 * The same write-up, model year, engine and mileage, asked one by one: by the core's turn, with the owner's file read
 * from and written to JSON at each turn, and by the conversations plug-in of the bot framework, with its state read
 * from and written to JSON at each turn. The plug-in's side reads the answers with three plain patterns and concludes
 * nothing; the core reads free text, keeps the words, works out the advice and plans what is owed later.
 */
const NOW = '2026-11-02T16:00:00.000Z';
/** One opening and three answers. */
export const TALK = [
  'nothing is wrong, what is due on my truck?',
  'it is a 2017 model',
  '6.7 L V8 diesel',
  '92,000 miles',
];
const LATER = 'the odometer shows 92,000 miles';
const WRITE_UPS = 100;
const LONG = 100;
const ROUNDS = 5;

interface Contestant {
  name: string;
  /** A whole write-up by a new owner; answers the size of the state after the three answers, in bytes. */
  writeUp(owner: number): Promise<number>;
  /** One more message of an owner; answers the size of the state. */
  oneMore(owner: number): Promise<number>;
}

async function newFile(): Promise<OwnerFile> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  const store = await openStore({ kind: 'sqlite', path: join(folder, 'one.db'), optOutKey: 'bench' });
  try {
    const file = await store.transaction(async (tx) => {
      await tx.addOwner({ id: 'o1', channel: 'telegram', address: '1', language: 'en', zone: 'UTC', at: NOW });
      return tx.loadFile('o1');
    });
    if (!file) throw new Error('the owner was not kept');
    return file;
  } finally {
    await store.close();
    rmSync(folder, { recursive: true });
  }
}

export async function ourCore(flows: Flows): Promise<Contestant> {
  const empty = JSON.stringify(await newFile());
  const kept = new Map<number, string>();
  let events = 0;
  const say = (owner: number, text: string): number => {
    events += 1;
    const event: InboxEvent = {
      kind: 'message',
      id: `i${events}`,
      at: NOW,
      channel: 'telegram',
      messageRef: String(events),
      text,
    };
    const known = { file: JSON.parse(kept.get(owner) ?? empty) as OwnerFile, token: 'ABCDEFGHJK' };
    const result = turn(known, event, flows, NOW);
    if (!result.done) throw new Error('a write-up needs no diary');
    if (result.replies.length === 0) throw new Error(`no reply to "${text}"`);
    const body = JSON.stringify(result.next);
    kept.set(owner, body);
    return Buffer.byteLength(body);
  };
  return {
    name: 'telltale, core turn',
    async writeUp(owner) {
      let size = 0;
      for (const text of TALK) size = say(owner, text);
      const file = JSON.parse(kept.get(owner) ?? empty) as OwnerFile;
      const known = new Set(file.vehicles[0]?.facts.map(({ key }) => key));
      for (const key of ['modelYear', 'engineLitres', 'odometerMiles'] as const) {
        if (!known.has(key)) throw new Error(`the write-up has no ${key}`);
      }
      return size;
    },
    async oneMore(owner) {
      return say(owner, LATER);
    },
  };
}

export type Talk = ConversationFlavor<Context>;

const ME: UserFromGetMe = {
  id: 424242,
  is_bot: true,
  first_name: 'Shop',
  username: 'invented_shop_bot',
  can_join_groups: true,
  can_read_all_group_messages: false,
  supports_inline_queries: false,
  can_connect_to_business: false,
  has_main_web_app: false,
} as UserFromGetMe;

/** Answers every call at once, so that no network is in the measure. */
const offline: Transformer = (_previous, _method, payload) => {
  const chat = { id: Number((payload as { chat_id?: number }).chat_id ?? 1), type: 'private', first_name: 'Robin' };
  return Promise.resolve({
    ok: true,
    result: { message_id: 1, date: 1_793_000_000, chat, text: '' },
  }) as ReturnType<Transformer>;
};

export async function writeUp(conversation: Conversation<Talk, Context>, ctx: Context): Promise<void> {
  const ask = async (question: string, answer: RegExp): Promise<string> => {
    await ctx.reply(question);
    for (;;) {
      const { message } = await conversation.waitFor('message:text');
      const found = answer.exec(message.text)?.[0];
      if (found !== undefined) return found;
      await ctx.reply(question);
    }
  };
  const year = await ask('Which model year is the truck?', /\b(19|20)\d\d\b/);
  const engine = await ask('Which engine has it?', /\d\.\d.*/);
  let miles = await ask('What does the odometer show?', /[\d,]{3,}/);
  await ctx.reply(`I read: ${year}, ${engine}, ${miles} miles.`);
  for (;;) {
    miles = await ask(`Noted: ${miles} miles.`, /[\d,]{5,}/);
  }
}

export async function plugIn(): Promise<Contestant> {
  const kept = new Map<string, string>();
  const bot = new Bot<Talk>('424242:BENCH', { botInfo: ME });
  bot.api.config.use(offline);
  bot.use(
    conversations<Talk, Context>({
      storage: {
        type: 'key',
        adapter: {
          read: (key) => {
            const body = kept.get(key);
            return body === undefined ? undefined : (JSON.parse(body) as VersionedState<ConversationData>);
          },
          write: (key, state) => void kept.set(key, JSON.stringify(state)),
          delete: (key) => void kept.delete(key),
        },
      },
    }),
  );
  bot.use(
    createConversation<Talk, Context>(writeUp, {
      plugins: [
        (ctx, next) => {
          ctx.api.config.use(offline);
          return next();
        },
      ],
    }),
  );
  bot.on('message:text', (ctx) => ctx.conversation.enter('writeUp'));
  let updates = 0;
  const say = async (owner: number, text: string): Promise<number> => {
    updates += 1;
    const person = { id: owner, first_name: 'Robin', is_bot: false };
    const message = {
      message_id: updates,
      date: 1_793_000_000,
      chat: { id: owner, type: 'private', first_name: 'Robin' },
      from: person,
      text,
    };
    await bot.handleUpdate({ update_id: updates, message } as Update);
    return Buffer.byteLength(kept.get(String(owner)) ?? '');
  };
  return {
    name: "the framework's conversations plug-in",
    async writeUp(owner) {
      let size = 0;
      for (const text of TALK) size = await say(owner, text);
      if (size === 0) throw new Error('the plug-in kept no state');
      return size;
    },
    oneMore: (owner) => say(owner, LATER),
  };
}

interface Measured {
  name: string;
  turnsASecond: number;
  bytesAfterThree: number;
  bytesAfterLong: number;
  lateMilliseconds: number;
}

/** Both in turn, several rounds after one that warms up. */
export async function measureConversation(flows: Flows = loadFlows()): Promise<Measured[]> {
  const contestants = [await ourCore(flows), await plugIn()];
  const measured = contestants.map(({ name }) => ({
    name,
    rates: [] as number[],
    three: 0,
    long: 0,
    late: [] as number[],
  }));
  let owner = 1;
  for (let round = 0; round <= ROUNDS; round++) {
    for (const [index, contestant] of contestants.entries()) {
      const of = measured[index];
      if (!of) continue;
      const first = owner;
      owner += WRITE_UPS;
      const rate = await perSecond(WRITE_UPS * TALK.length, async () => {
        for (let next = first; next < first + WRITE_UPS; next++) of.three = await contestant.writeUp(next);
      });
      if (round > 0) of.rates.push(rate);
    }
  }
  for (const [index, contestant] of contestants.entries()) {
    const of = measured[index];
    if (!of) continue;
    await contestant.writeUp(owner);
    for (let turns = TALK.length - 1; turns < LONG; turns++) {
      const began = performance.now();
      of.long = await contestant.oneMore(owner);
      if (turns >= LONG - 15) of.late.push(performance.now() - began);
    }
    owner += 1;
  }
  return measured.map(({ name, rates, three, long, late }) => ({
    name,
    turnsASecond: median(rates),
    bytesAfterThree: three,
    bytesAfterLong: long,
    lateMilliseconds: median(late),
  }));
}

export async function benchConversation(): Promise<string[]> {
  const measured = await measureConversation();
  const [ours, theirs] = measured;
  const ratio = (of: (one: Measured) => number): string => (ours && theirs ? (of(ours) / of(theirs)).toFixed(2) : '');
  const row = ({ name, turnsASecond, bytesAfterThree, bytesAfterLong, lateMilliseconds }: Measured): string[] => [
    name,
    turnsASecond.toFixed(0),
    String(bytesAfterThree),
    String(bytesAfterLong),
    lateMilliseconds.toFixed(2),
  ];
  return [
    `a write-up of three questions, ${WRITE_UPS} owners, median of ${ROUNDS} rounds, state in JSON in and out at each turn`,
    ...table([
      ['', 'turns a second', 'bytes after 3', `bytes after ${LONG}`, `ms a turn at ${LONG}`],
      ...measured.map(row),
      [
        'telltale to the plug-in',
        ratio((one) => one.turnsASecond),
        ratio((one) => one.bytesAfterThree),
        ratio((one) => one.bytesAfterLong),
        ratio((one) => one.lateMilliseconds),
      ],
    ]),
    "(telltale's turn reads free text, advises and plans; its bytes are the owner's whole file, facts and advice matter included)",
  ];
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const line of await benchConversation()) console.log(line);
}
