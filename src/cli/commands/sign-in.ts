import { stderr, stdout } from 'node:process';
import { movedClock } from '../../edges/clock/moved-clock.ts';
import { StoreFault } from '../../edges/store/fault.ts';
import { openStore } from '../../edges/store/open.ts';
import { settingsOrExit } from '../../settings.ts';

const MINUTES = 60;

/** `sign-in PERSON`: a link to the counter page that works once, for an hour, for one of the shop's people. */
export async function signIn([person, ...more]: string[]): Promise<number> {
  const settings = settingsOrExit();
  if (more.length > 0) return refuse('sign-in takes one person, by the id in flows/shop.yaml', 2);
  let store;
  try {
    // Only a forgotten owner's hash would need the installation's key; nobody is forgotten here.
    store = await openStore({ ...settings.database, optOutKey: '' });
  } catch (fault) {
    if (fault instanceof StoreFault) return refuse(fault.message, 2);
    throw fault;
  }
  try {
    const staff = await store.access.staff();
    const one = staff.find(({ id }) => id === person);
    if (!one) {
      const known = staff.map(({ id, name, role }) => `  ${id}: ${name}, ${role}`).join('\n');
      return refuse(`${known === '' ? 'start the program once first' : `for whom?\n${known}`}`, 2);
    }
    const time = await movedClock(store);
    const code = await store.access.createCode('sign-in', one.id, time.now(), MINUTES);
    const address = settings.publicUrl ?? `http://${settings.host}:${settings.port}`;
    stdout.write(`${address}/counter/in/${code}\n`);
    return 0;
  } finally {
    await store.close();
  }
}

function refuse(why: string, code: number): number {
  stderr.write(`${why}\n`);
  return code;
}
