import { WrongTokenError } from './edges/channels/telegram/outcome.ts';
import { createServer } from './edges/counter/server.ts';
import { StoreFault } from './edges/store/fault.ts';
import { scheduledBackups } from './backups.ts';
import { counterMeans } from './counter-means.ts';
import { seedDemo } from './demo.ts';
import { endOnFault } from './last-words.ts';
import { createLog } from './log.ts';
import { createMetrics } from './metrics.ts';
import { settingsOrExit } from './settings.ts';
import { stopWhenAsked } from './stopping.ts';
import { FlowsFault, openSystem, type System } from './system.ts';

/* One shop, served by this process until it is asked to stop. */

/** Nobody writes or taps faster by hand; a program that does has to wait behind everybody else. */
const OWNERS_TURNS_A_MINUTE = 40;

const settings = settingsOrExit();
const log = createLog({ level: settings.logLevel });
endOnFault(log);

const whenReady = stopWhenAsked(log);

const metrics = createMetrics();

const refuse = (why: string): never => {
  process.stderr.write(`${why}\n`);
  process.exit(2);
};

async function open(): Promise<System> {
  try {
    return await openSystem(settings, log, {
      metrics,
      turnsAMinute: OWNERS_TURNS_A_MINUTE,
      allTurnsAMinute: settings.turnsAMinute,
    });
  } catch (error) {
    if (error instanceof FlowsFault || error instanceof StoreFault) return refuse(error.message);
    const { code, path } = error as NodeJS.ErrnoException;
    if (code === undefined || path === undefined) throw error;
    return refuse(`${path} cannot be used (${code}): the folder of the database must be there and take writes.`);
  }
}

const system = await open();
if (settings.demo) await seedDemo(system);
let address = '';
const server = await createServer(counterMeans(system, settings, log, () => settings.publicUrl ?? address, metrics));

try {
  address = await server.listen({ host: settings.host, port: settings.port });
} catch (error) {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (code !== 'EADDRINUSE' && code !== 'EACCES') throw error;
  refuse(
    `PORT is wrong: ${settings.port} on ${settings.host} cannot be listened on (${code}); set another one, such as PORT=3001`,
  );
}
try {
  await system.start();
} catch (error) {
  if (error instanceof WrongTokenError) refuse(error.message);
  throw error;
}

console.log(`The owner's chat page:   ${address}/`);
const [manager] = system.flows.shop.people;
if (settings.demo && manager) {
  const code = await system.store.access.createCode('sign-in', manager.id, system.time.now(), 60);
  console.log(`The shop's counter page: ${address}/counter/in/${code}  (works once, for an hour)`);
  console.log(
    'Write to the shop on the first page, accept on the second; the counter page can move the demo clock on.',
  );
}

const backups =
  settings.backups && settings.database.kind === 'sqlite'
    ? scheduledBackups(settings.backups, settings.database.path, { log, metrics })
    : undefined;
backups?.start();

whenReady(async () => {
  server.server.closeAllConnections();
  await server.close();
  await backups?.stop();
  await system.stop();
});
