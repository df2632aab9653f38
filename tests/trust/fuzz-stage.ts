import { webhookSecret } from '../../src/edges/channels/telegram/webhook.ts';
import { counterMeans } from '../../src/counter-means.ts';
import { createServer } from '../../src/edges/counter/server.ts';
import { createLog } from '../../src/log.ts';
import { readSettings } from '../../src/settings.ts';
import { request } from '../edges/store/made-up.ts';
import { openShop, type RunningShop } from './shop.ts';

/** A single case takes milliseconds; one that takes this long hangs. */
const HANG_MILLISECONDS = 20_000;
export const STAFF_CHAT = -100200;
export const STRANGER = 5001;

/** A shop with one owner whose things are nobody else's business, and what a stranger may come with. */
export interface Stage {
  shop: RunningShop;
  server: Awaited<ReturnType<typeof createServer>>;
  /** What the victim could press, and what staff could press about their request. */
  victimsData: string[];
  /** What no stranger may change, as text. */
  guarded(): Promise<string>;
}

export async function openStage(): Promise<Stage> {
  const shop = await openShop({ start: false });
  const read = readSettings({ DATABASE_PATH: 'unused', DEMO: 'off' });
  if (!read.ok) throw new Error('settings');
  const server = await createServer(
    counterMeans(shop.system, read.settings, createLog({ level: 'silent' }), () => 'http://shop.example'),
  );
  await shop.system.start({ loops: false });
  const { store, desk } = shop.system;
  // Somebody whose truck and words are nobody else's business.
  await shop.system.web.post({
    ...{ address: 'victim', postId: 'p1', at: shop.system.time.now() },
    did: { kind: 'message', text: '2017 6.7 V8 diesel, 92k, hard to start when cold' },
  });
  await desk.drain();
  const victim = (await store.views.ownerAt('web', 'victim')) ?? '';
  const wanted = await store.transaction(async (tx) => {
    const file = await tx.loadFile(victim);
    const vehicleId = file?.vehicles[0]?.id;
    if (!file || vehicleId === undefined) throw new Error('the victim has no truck');
    await tx.saveFile(file, { ...file, requests: [request('r-victim', vehicleId)] });
    return file.conversation.question;
  });
  if (!wanted) throw new Error('the victim was not asked anything');
  return {
    shop,
    server,
    victimsData: [
      ...wanted.options.map(({ id }) => `q:${wanted.id}:${id}`),
      ...['accept', 'call', 'arrive', 'start-work', 'no-show', 'cancel@busy', 'decline@busy', 'list-times'].map(
        (act) => `s:r-victim:1:${act}`,
      ),
      's:r-victim:1:move@bay-1@tz4bo-s@90@tock',
    ],
    async guarded() {
      const file = await store.transaction((tx) => tx.loadFile(victim));
      const chats = await store.transaction((tx) => tx.staffChats());
      const states = (await store.views.requests(['accepted', 'arrived', 'in-work', 'closed'])).map(
        ({ request }) => request.id,
      );
      const talk = (await store.views.talk(victim)).length;
      const { inboxFailed } = await store.figures(shop.system.time.now());
      return JSON.stringify({ file, chats, states, talk, inboxFailed, staff: await store.access.staff() });
    },
  };
}

/** Ends with an error where the work hangs. */
export async function inTime<T>(what: string, work: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const hang = new Promise<never>((_, failed) => {
    timer = setTimeout(() => failed(new Error(`${what} hangs`)), HANG_MILLISECONDS);
  });
  try {
    return await Promise.race([work, hang]);
  } finally {
    clearTimeout(timer);
  }
}

let updates = 0;
export const nextUpdate = (): number => (updates += 1);
export const user = { id: STRANGER, is_bot: false, first_name: 'Robin', language_code: 'en' };
export const privately = { id: STRANGER, type: 'private' };
export const group = { id: -777, type: 'supergroup', title: 'Somebody else' };
export const written = (chat: object, more: object) => ({
  message_id: 7,
  date: 1_793_635_200,
  from: user,
  chat,
  ...more,
});

export function unchanged(before: string, after: string): void {
  if (before !== after) throw new Error(`a stranger changed what is not theirs:\n${before}\n${after}`);
}

/** Hands an update over with the right secret; throws where it is not taken. */
export async function takeUpdate({ shop }: Stage, what: string, body: unknown): Promise<void> {
  const { system, standIn } = shop;
  const secretToken = webhookSecret(standIn.token);
  const status = await inTime(what, system.telegram?.webhook({ secretToken, body }) ?? Promise.resolve(0));
  if (status !== 200) throw new Error(`answered ${String(status)}`);
}
