import { open } from 'node:fs/promises';
import { join } from 'node:path';
import { conversations, createConversation, type ConversationData, type VersionedState } from '@grammyjs/conversations';
import { FileAdapter } from '@grammyjs/storage-file';
import { Bot, type Context } from 'grammy';
import { writeUp, type Talk } from './conversation.bench.ts';

/*
 * The same write-up on the bot framework's conversations plug-in with its file storage, taking updates as the
 * framework's own loop does. `synced` makes each write wait for the disk, as a database does.
 * Started with the address of the Bot API's stand-in, the token, a folder, and `synced` or nothing.
 */
const [apiRoot = '', token = '', folder = '', synced] = process.argv.slice(2);
type State = VersionedState<ConversationData>;

const files = new FileAdapter<State>({ dirName: folder });
const safe = {
  read: (key: string) => files.read(key),
  delete: (key: string) => files.delete(key),
  async write(key: string, state: State): Promise<void> {
    await files.write(key, state);
    const file = await open(join(folder, key.slice(-2), `${key}.json`), 'r+');
    try {
      await file.sync();
    } finally {
      await file.close();
    }
  },
};

const bot = new Bot<Talk>(token, { client: { apiRoot } });
bot.use(conversations<Talk, Context>({ storage: { type: 'key', adapter: synced === 'synced' ? safe : files } }));
bot.use(createConversation<Talk, Context>(writeUp));
bot.on('message:text', (ctx) => ctx.conversation.enter('writeUp'));
bot.catch((fault) => {
  process.stderr.write(`${String(fault.error)}\n`);
  process.exit(1);
});

process.on('message', () => {
  globalThis.gc?.();
  process.send?.(process.memoryUsage());
});
process.on('SIGTERM', () => process.exit(0));
void bot.start({ onStart: () => void process.send?.('ready') });
