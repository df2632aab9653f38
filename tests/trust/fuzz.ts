import { pathToFileURL } from 'node:url';
import fc from 'fast-check';
import sharp from 'sharp';
import { compileFlows, type FlowFile } from '../../src/core/mod.ts';
import { reencode } from '../../src/edges/channels/photos.ts';
import { ROUTES } from '../../src/edges/counter/access.ts';
import { readFlowsFolder } from '../../src/flows-folder.ts';
import { readSettings } from '../../src/settings.ts';
import { fuzzPresses } from './fuzz-presses.ts';
import {
  group,
  inTime,
  nextUpdate,
  openStage,
  privately,
  STAFF_CHAT,
  STRANGER,
  takeUpdate,
  unchanged,
  user,
  written,
  type Stage,
} from './fuzz-stage.ts';
import { damaged, hostileText, hostileValue } from './hostile.ts';

/*
 * Throws whatever can be made up at every edge of the program: no crash, no hang, and no write that a stranger must not
 * make.
 *
 *   npm run fuzz -- --cases 1000000 --seed 1
 */

export interface FuzzOutcome {
  cases: Record<string, number>;
  seconds: number;
}

/** Updates of every kind that is asked for, and some that are not, with a hostile text in each place where one fits. */
const updates = (text: string): object[] => [
  { message: written(privately, { text }) },
  { message: written(privately, { caption: text, photo: [{ file_id: text || 'f', width: 9, height: 9 }] }) },
  { message: written(privately, { contact: { phone_number: text, first_name: text, user_id: STRANGER } }) },
  { message: written(privately, { document: { file_id: 'f', mime_type: `image/${text}`, file_size: 1e15 } }) },
  { message: written(group, { text: `/link ${text}` }) },
  { message: written(group, { text, reply_to_message: { message_id: 1, from: user } }) },
  { edited_message: written(privately, { text, edit_date: 1_793_635_300 }) },
  { callback_query: { id: 'c', from: user, message: { message_id: 1, chat: privately }, data: text } },
  { callback_query: { id: 'c', from: user, message: { message_id: 1, chat: group }, data: text } },
  { callback_query: { id: 'c', from: user, data: text } },
  {
    my_chat_member: {
      chat: privately,
      from: user,
      date: 1,
      old_chat_member: { status: text },
      new_chat_member: { status: 'kicked' },
    },
  },
  { inline_query: { id: text, from: user, query: text, offset: '' } },
];

async function fuzzUpdates(stage: Stage, numRuns: number, seed: number): Promise<void> {
  const { system } = stage.shop;
  const before = await stage.guarded();
  let count = 0;
  const one = fc.tuple(
    fc.nat({ max: 11 }),
    hostileText,
    fc.nat({ max: 40 }),
    fc.option(hostileValue, { nil: undefined }),
    fc.boolean(),
  );
  await fc.assert(
    fc.asyncProperty(one, async ([kind, text, at, how, whole]) => {
      const update = { update_id: nextUpdate(), ...updates(text)[kind] };
      const body = whole ? update : damaged(update, at, how);
      await takeUpdate(stage, 'an update', body);
      if (++count % 25 === 0) await inTime('the desk', system.desk.drain());
    }),
    { numRuns, seed },
  );
  await system.desk.drain();
  unchanged(before, await stage.guarded());
}

/** A stranger who does not know the secret gets nothing in, whatever else is right. */
async function fuzzWebhook(stage: Stage, numRuns: number, seed: number): Promise<void> {
  const { system } = stage.shop;
  const before = await stage.guarded();
  await fc.assert(
    fc.asyncProperty(fc.oneof(hostileValue, fc.constant(undefined)), hostileValue, async (secretToken, body) => {
      const status = await inTime('the webhook', system.telegram?.webhook({ secretToken, body }) ?? Promise.resolve(0));
      if (status === 200) throw new Error('taken without the secret');
    }),
    { numRuns, seed },
  );
  unchanged(before, await stage.guarded());
}

const headers = fc.dictionary(
  fc.constantFrom(
    'cookie',
    'origin',
    'sec-fetch-site',
    'accept',
    'accept-language',
    'content-type',
    'authorization',
    'x-forwarded-for',
    'last-event-id',
    'range',
  ),
  fc
    .oneof(
      hostileText,
      fc.constantFrom(
        'application/json',
        'application/x-www-form-urlencoded',
        'multipart/form-data; boundary=x',
        'multipart/form-data',
        'text/html',
        'telltale_staff=x',
        `telltale_owner=${'a'.repeat(43)}`,
      ),
    )
    .map((text) => text.replace(/[^\t\x20-\x7e\x80-\xff]/g, '')),
  { maxKeys: 5, noNullPrototype: true },
);

async function fuzzRequests(stage: Stage, numRuns: number, seed: number): Promise<void> {
  const { server, shop } = stage;
  const before = await stage.guarded();
  const routes = Object.keys(ROUTES).filter((route) => !route.endsWith('/events') && route !== 'POST /telegram');
  const url = fc.tuple(fc.constantFrom(...routes), hostileText, hostileText).map(([route, word, query]) => {
    const [method = 'GET', path = '/'] = route.split(' ');
    return {
      method,
      url: `${path.replace(/:\w+|\*/g, () => encode(word))}?after=${encode(query)}&start=${encode(word)}&q=${encode(query)}`,
    };
  });
  const wild = fc
    .tuple(fc.constantFrom('GET', 'POST', 'PUT', 'DELETE', 'OPTIONS'), hostileText)
    .map(([method, text]) => ({ method, url: `/${encode(text)}` }));
  const body = fc.oneof(
    hostileText,
    hostileValue.map((value) => JSON.stringify(value) ?? ''),
    fc
      .tuple(hostileText, hostileText)
      .map(
        ([name, text]) =>
          `--x\r\ncontent-disposition: form-data; name="${name}"; filename="${text}"\r\n\r\n${text}\r\n--x--\r\n`,
      ),
    fc.tuple(hostileText, hostileText).map((pair) =>
      new URLSearchParams([
        ['text', pair[0]],
        ['data', pair[1]],
        ['token', pair[1]],
      ]).toString(),
    ),
  );
  let address = 0;
  await fc.assert(
    fc.asyncProperty(fc.oneof({ weight: 4, arbitrary: url }, wild), headers, body, async (target, given, payload) => {
      address += 1;
      const answer = await inTime(
        `${target.method} ${target.url}`,
        server.inject({
          ...(target as { method: 'GET'; url: string }),
          headers: given,
          remoteAddress: `10.${(address >> 16) & 255}.${(address >> 8) & 255}.${address & 255}`,
          ...(target.method !== 'GET' && { payload }),
        }),
      );
      if (answer.statusCode >= 500) throw new Error(`answered ${answer.statusCode}`);
      if (answer.cookies.some(({ name, value }) => name === 'telltale_staff' && value !== ''))
        throw new Error('signed a stranger in');
      if (answer.headers['content-security-policy'] === undefined) throw new Error('no content security policy');
      if (address % 25 === 0) await inTime('the desk', shop.system.desk.drain());
    }),
    { numRuns, seed },
  );
  await shop.system.desk.drain();
  unchanged(before, await stage.guarded());
}

const encode = (text: string): string =>
  text.startsWith('%') || text.startsWith('..')
    ? text.replace(/[^\x21-\x7e]/g, '')
    : encodeURIComponent(text.replace(/\p{Surrogate}/gu, ''));

async function fuzzUploads(_stage: Stage, numRuns: number, seed: number): Promise<void> {
  const base = sharp({ create: { width: 40, height: 30, channels: 3, background: '#804020' } });
  const pictures = [
    await base.png().toBuffer(),
    await base.jpeg().toBuffer(),
    await base.webp().toBuffer(),
    await base.gif().toBuffer(),
    await base.tiff().toBuffer(),
  ];
  const change = fc.array(fc.tuple(fc.nat({ max: 4_000 }), fc.nat({ max: 255 })), { maxLength: 8 });
  await fc.assert(
    fc.asyncProperty(
      fc.nat({ max: 4 }),
      change,
      fc.option(fc.nat({ max: 4_000 }), { nil: undefined }),
      fc.uint8Array({ maxLength: 60 }),
      async (which, changes, cut, tail) => {
        const bytes = Buffer.concat([pictures[which] ?? Buffer.alloc(0), tail]);
        for (const [at, value] of changes) bytes[at % bytes.length] = value;
        const picture = await inTime(
          'a picture',
          reencode(bytes.subarray(0, cut === undefined ? bytes.length : cut % bytes.length)),
        );
        if (!('refused' in picture) && (picture.bytes[0] !== 0xff || picture.bytes[1] !== 0xd8))
          throw new Error('kept something else than a JPEG');
      },
    ),
    { numRuns, seed },
  );
}

async function fuzzFlows(_stage: Stage, numRuns: number, seed: number): Promise<void> {
  const files = readFlowsFolder();
  await fc.assert(
    fc.asyncProperty(
      fc.nat(),
      fc.nat(),
      fc.nat({ max: 60 }),
      fc.oneof(hostileText, fc.constant('')),
      async (file, at, cut, text) => {
        const index = file % files.length;
        const mended = files.map((one, place): FlowFile => {
          if (place !== index) return one;
          const from = at % (one.text.length + 1);
          return { ...one, text: one.text.slice(0, from) + text + one.text.slice(from + cut) };
        });
        const checked = await inTime(
          'flows',
          Promise.resolve().then(() => compileFlows(mended)),
        );
        if (!checked.ok && checked.findings.length === 0) throw new Error('refused without a reason');
      },
    ),
    { numRuns, seed },
  );
}

async function fuzzEnvironment(_stage: Stage, numRuns: number, seed: number): Promise<void> {
  const names = [
    'TELEGRAM_TOKEN',
    'TELEGRAM_API_ROOT',
    'PUBLIC_URL',
    'STAFF_CHAT',
    'PORT',
    'HOST',
    'DATABASE_PATH',
    'DATABASE_URL',
    'SECRET_KEY',
    'BACKUP_FOLDER',
    'BACKUP_EVERY_HOURS',
    'BACKUP_KEEP',
    'METRICS_TOKEN',
    'DEMO',
    'LOG_LEVEL',
  ];
  const environment = fc.dictionary(fc.constantFrom(...names), hostileText, { maxKeys: 5, noNullPrototype: true });
  await fc.assert(
    fc.asyncProperty(environment, hostileText, async (given, file) => {
      const read = await Promise.resolve(readSettings(given, file));
      if (!read.ok && read.lines.some((line) => line.includes('\n')))
        throw new Error('a finding of more than one line');
    }),
    { numRuns, seed },
  );
}

/** What staff write in their own chat: words and commands, which may do much, but never end in a fault. */
async function fuzzStaffChat(stage: Stage, numRuns: number, seed: number): Promise<void> {
  const { system } = stage.shop;
  await system.store.access.addStaffChat(
    { channel: 'telegram', address: String(STAFF_CHAT) },
    system.time.now(),
    'the fuzz',
  );
  const chat = { id: STAFF_CHAT, type: 'supergroup', title: 'Shop' };
  const name = fc.constantFrom(
    'today',
    'tomorrow',
    'requests',
    'due',
    'close',
    'say',
    'block',
    'enter',
    'move',
    'nothing',
    'today@invented_shop_bot',
  );
  let count = 0;
  await fc.assert(
    fc.asyncProperty(name, hostileText, fc.boolean(), async (command, text, tapped) => {
      const from = { ...user, id: 9, first_name: 'Wren' };
      const update = tapped
        ? { callback_query: { id: 'c', from, message: { message_id: 1, chat }, data: text } }
        : { message: { ...written(chat, { text: `/${command} ${text}` }), from } };
      const body = { update_id: nextUpdate(), ...update };
      await takeUpdate(stage, 'staff', body);
      if (++count % 25 === 0) await inTime('the desk', system.desk.drain());
    }),
    { numRuns, seed },
  );
  await system.desk.drain();
  const { inboxFailed } = await system.store.figures(system.time.now());
  if (inboxFailed > 0) throw new Error(`${inboxFailed} turns were given up`);
}

/** The edges, each with its share of the cases: flows are compiled whole for each, which takes a second. */
const EDGES: [string, number, (stage: Stage, numRuns: number, seed: number) => Promise<void>][] = [
  ['updates', 0.3, fuzzUpdates],
  ['presses', 0.05, fuzzPresses],
  ['webhook without the secret', 0.1, fuzzWebhook],
  ['web requests', 0.3, fuzzRequests],
  ['uploads', 0.05, fuzzUploads],
  ['flows files', 0.001, fuzzFlows],
  ['environment', 0.149, fuzzEnvironment],
  ['staff chat', 0.05, fuzzStaffChat],
];

/** Runs so many cases in all; throws with the smallest case that fails. */
export async function runFuzz(cases: number, seed: number, print: (line: string) => void): Promise<FuzzOutcome> {
  const began = performance.now();
  const stage = await openStage();
  const done: Record<string, number> = {};
  try {
    for (const [name, share, run] of EDGES) {
      const numRuns = Math.max(2, Math.round(cases * share));
      const at = performance.now();
      try {
        await run(stage, numRuns, seed);
      } catch (fault) {
        throw new Error(`${name}: ${fault instanceof Error ? fault.message : String(fault)}`, { cause: fault });
      }
      done[name] = numRuns;
      print(`${name}: ${numRuns} cases in ${((performance.now() - at) / 1000).toFixed(1)} s`);
    }
  } finally {
    await stage.server.close();
    await stage.shop.close();
  }
  return { cases: done, seconds: (performance.now() - began) / 1000 };
}

function numberAfter(name: string, otherwise: number): number {
  const at = process.argv.indexOf(name);
  const value = at < 0 ? otherwise : Number(process.argv[at + 1]);
  if (Number.isSafeInteger(value) && value >= 0) return value;
  process.stderr.write(`${name} takes a whole number, such as ${name} ${otherwise}\n`);
  process.exit(2);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const [cases, seed] = [numberAfter('--cases', 10_000), numberAfter('--seed', 1)];
  try {
    const { cases: done, seconds } = await runFuzz(cases, seed, (line) => process.stderr.write(`${line}\n`));
    const all = Object.values(done).reduce((sum, count) => sum + count, 0);
    process.stdout.write(
      `${`seed ${seed}: ${all} cases in ${Math.round(seconds)} seconds, no crash, no hang, no wrong write`}\n`,
    );
  } catch (fault) {
    process.stdout.write(`${fault instanceof Error ? fault.message : String(fault)}\n`);
    process.exit(1);
  }
}
