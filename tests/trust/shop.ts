import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { pino } from 'pino';
import { counterMeans } from '../../src/counter-means.ts';
import { createServer } from '../../src/edges/counter/server.ts';
import { createLog } from '../../src/log.ts';
import { createMetrics, type Metrics } from '../../src/metrics.ts';
import { readSettings } from '../../src/settings.ts';
import { loadFlows, openSystem, type System } from '../../src/system.ts';
import { TelegramStandIn, type StandInOptions } from '../faults/telegram-stand-in.ts';

const flows = loadFlows();

/** A shop that listens on a real port, with a Bot API of our own, and everything it logs. */
export interface RunningShop {
  folder: string;
  /** Where its pages are. */
  url: string;
  server: FastifyInstance;
  system: System;
  standIn: TelegramStandIn;
  metrics: Metrics;
  /** Everything that was logged so far, at every level. */
  logged(): string;
  close(): Promise<void>;
}

/** Opens a shop with every part of the program but its process. `environment` is what whoever runs it would set. */
export async function openShop(
  options: { environment?: Record<string, string>; standIn?: StandInOptions; start?: boolean; raw?: boolean } = {},
): Promise<RunningShop> {
  const folder = mkdtempSync(join(tmpdir(), 'trust-'));
  const standIn = await new TelegramStandIn(options.standIn).listen();
  const read = readSettings({
    DATABASE_PATH: join(folder, 'shop.sqlite'),
    SECRET_KEY: 'a key that only this test knows, long enough',
    TELEGRAM_TOKEN: standIn.token,
    TELEGRAM_API_ROOT: standIn.apiRoot,
    STAFF_CHAT: '-100200',
    ...options.environment,
  });
  if (!read.ok) throw new Error(read.lines.join('\n'));
  const lines: string[] = [];
  const destination = { write: (line: string) => void lines.push(line) };
  // Raw: what the program hands to the log, before the log itself hides anything.
  const log = options.raw
    ? pino({ level: 'trace', base: null }, destination)
    : createLog({ level: 'trace', destination });
  const metrics = createMetrics();
  const system = await openSystem(read.settings, log, { flows, metrics });
  let url = '';
  const server = await createServer(counterMeans(system, read.settings, log, () => url, metrics));
  url = await server.listen({ host: '127.0.0.1', port: 0 });
  standIn.group(-100200);
  if (options.start ?? true) await system.start();
  return {
    folder,
    url,
    server,
    system,
    standIn,
    metrics,
    logged: () => lines.join(''),
    async close() {
      server.server.closeAllConnections();
      await server.close();
      await system.stop();
      await standIn.close();
      rmSync(folder, { recursive: true });
    },
  };
}
