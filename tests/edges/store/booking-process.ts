/**
 * One of several processes on one database, for the tests of what they do to one another: takes in its messages, runs
 * turns until nothing waits, and prints how many it ran. Arguments: path, name, how many owners, how many messages each.
 */
import { createDesk } from '../../../src/edges/desk/desk.ts';
import { openStore } from '../../../src/edges/store/open.ts';
import { madeUpTurn, NOW, OPT_OUT_KEY, says, silent, ZONE } from './made-up.ts';

const [path = '', name = '', owners = '1', messages = '1'] = process.argv.slice(2);
const store = await openStore(
  path.startsWith('postgres')
    ? { kind: 'postgres', url: path, optOutKey: OPT_OUT_KEY, connections: 4 }
    : { kind: 'sqlite', path, optOutKey: OPT_OUT_KEY },
);
const desk = createDesk({
  store,
  turn: madeUpTurn,
  flows: {},
  clock: () => NOW,
  zone: ZONE,
  log: silent,
  apology: () => 'Sorry.',
  turnsACommit: 4,
});

// All processes begin together, so that they meet.
await new Promise((resolve) => process.stdin.once('data', resolve));
process.stdin.pause();

let ran = 0;
for (let message = 1; message <= Number(messages); message++) {
  for (let owner = 1; owner <= Number(owners); owner++) {
    // Every process wants the same bay at the same times, and counts up the same owners' odometers.
    const hour = String(8 + (message % 9)).padStart(2, '0');
    await desk.receive([
      says(`odometer ${message}`, `a${owner}`, `${name}:${owner}:${message}`),
      says(
        `book bay-1 2026-11-05T${hour}:00:00-07:00 2026-11-05T${hour}:45:00-07:00`,
        `${name}${owner}`,
        `${name}:${owner}:${message}:book`,
      ),
    ]);
  }
  ran += await desk.drain();
}
ran += await desk.drain();
await store.close();
process.stdout.write(`${ran}\n`);
