import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { resolve } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { setTimeout as sleep } from 'node:timers/promises';
import { environmentOf, type Shop } from './shops.ts';

/** A process that ends so that starting it again would not mend it: a wrong setting, wrong flows, a damaged database. */
const REFUSED = 2;
const FIRST_WAIT_MILLISECONDS = 1_000;
const LONGEST_WAIT_MILLISECONDS = 60_000;
/** One that has run for so long is started anew at once when it ends. */
const SETTLED_MILLISECONDS = 60_000;

/**
 * Serves every shop by a process of its own, so that none can read, slow or end another. One that ends by itself is
 * started again; one that refuses its settings, flows or database is not, and the others go on. Resolves with the exit
 * code when all have ended: 0 when they were asked to, 2 where any refused.
 */
export async function serveShops(shops: readonly Shop[]): Promise<number> {
  const children = new Map<string, ChildProcess>();
  const stopping = new AbortController();
  const stop = (): void => {
    stopping.abort();
    for (const child of children.values()) child.kill('SIGTERM');
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);

  const serve = async (shop: Shop): Promise<number> => {
    for (let wait = FIRST_WAIT_MILLISECONDS; ; wait = Math.min(LONGEST_WAIT_MILLISECONDS, wait * 2)) {
      const began = performance.now();
      const child = spawn(
        process.execPath,
        ['run.mjs', 'serve.ts'].map((file) => resolve(import.meta.dirname, file)),
        {
          env: environmentOf(shop, process.env),
          // By the channel it learns when this process is gone without a word.
          stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
          // Ctrl-C in a terminal goes to this process, which asks the others to stop.
          detached: true,
        },
      );
      children.set(shop.name, child);
      tell(child.stdout, (line) => process.stdout.write(`${shop.name}: ${line}\n`));
      tell(child.stderr, (line) => process.stderr.write(`${ofShop(shop.name, line)}\n`));
      const [code, signal] = (await once(child, 'exit')) as [number | null, NodeJS.Signals | null];
      children.delete(shop.name);
      // One that is still loading is ended by the signal itself.
      if (stopping.signal.aborted) return signal === 'SIGTERM' ? 0 : (code ?? 1);
      if (code === REFUSED) return REFUSED;
      process.stderr.write(
        `${ofShop(shop.name, JSON.stringify({ level: 'error', code, signal, msg: 'ended by itself; started again' }))}\n`,
      );
      if (performance.now() - began > SETTLED_MILLISECONDS) wait = FIRST_WAIT_MILLISECONDS;
      await sleep(wait, undefined, { signal: stopping.signal }).catch(() => undefined);
      if (stopping.signal.aborted) return 0;
    }
  };
  const codes = await Promise.all(shops.map(serve));
  return Math.max(...codes);
}

function tell(stream: Readable | null, write: (line: string) => void): void {
  if (stream) createInterface({ input: stream, crlfDelay: Number.POSITIVE_INFINITY }).on('line', write);
}

/** A line of the log says whose it is as one more field; any other line as its first word. */
const ofShop = (name: string, line: string): string =>
  line.startsWith('{"') ? `{"shop":${JSON.stringify(name)},${line.slice(1)}` : `${name}: ${line}`;
