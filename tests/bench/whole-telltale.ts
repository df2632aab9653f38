import { createLog } from '../../src/log.ts';
import { readSettings } from '../../src/settings.ts';
import { openSystem } from '../../src/system.ts';

/*
 * The program as it runs in a shop, without its pages, for the bench: takes updates, runs turns, keeps everything in a
 * database and sends the replies. Only the pace of sending is left out, which is Telegram's limit and not the program's.
 * Started with the address of the Bot API's stand-in, the token, the database and how many turns share a commit.
 */
const [apiRoot = '', token = '', database = '', turnsACommit = '64', publicUrl = ''] = process.argv.slice(2);
const read = readSettings({
  TELEGRAM_TOKEN: token,
  TELEGRAM_API_ROOT: apiRoot,
  [database.includes('://') ? 'DATABASE_URL' : 'DATABASE_PATH']: database,
  ...(publicUrl && { PUBLIC_URL: publicUrl }),
  SECRET_KEY: 'only for the bench, and long enough for a key',
  DEMO: 'off',
});
if (!read.ok) throw new Error(read.lines.join('\n'));
const system = await openSystem(read.settings, createLog({ level: 'warn' }), {
  pace: { wait: () => 0, took: () => undefined },
  turnsACommit: Number(turnsACommit),
});
await system.start();

process.on('message', () => {
  globalThis.gc?.();
  process.send?.(process.memoryUsage());
});
process.on('SIGTERM', () => void system.stop().then(() => process.exit(0)));
process.send?.('ready');
