/**
 * One of several processes that make the same new databases at the same moments, for the test that they get along.
 * Arguments: folder, how many files. Opens one at each tenth of a second, named after the moment, so that the processes
 * meet whenever each of them started; prints how many it opened.
 */
import { join } from 'node:path';
import { openStore } from '../../../src/edges/store/open.ts';
import { NOW, OPT_OUT_KEY } from './made-up.ts';

const STEP_MILLISECONDS = 100;

const [folder = '', files = '1'] = process.argv.slice(2);
const first = Math.ceil(Date.now() / STEP_MILLISECONDS) + 1;
let opened = 0;
for (let tick = first; tick < first + Number(files); tick++) {
  const moment = tick * STEP_MILLISECONDS;
  await new Promise((resolve) => setTimeout(resolve, moment - Date.now() - 2));
  // A timer is late by a millisecond or more, in which the other process would be through.
  while (Date.now() < moment) continue;
  const store = await openStore({ kind: 'sqlite', path: join(folder, `${tick}.db`), optOutKey: OPT_OUT_KEY });
  if ((await store.figures(NOW)).owners === 0) opened++;
  await store.close();
}
process.stdout.write(`${opened}\n`);
