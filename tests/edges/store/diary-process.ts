/**
 * One of several processes on one diary: takes random steps with owners of its own, and prints what each of them holds
 * in the end by its own account. Arguments: place, prefix of its owners, seed, number of steps.
 */
import { openStore } from '../../../src/edges/store/open.ts';
import type { Slot } from '../../../src/core/mod.ts';
import { entryAfter, holderOf, randomSteps, take } from './diary-steps.ts';
import { OPT_OUT_KEY } from './made-up.ts';

const [place = '', prefix = '', seed = '1', steps = '1'] = process.argv.slice(2);
const store = await openStore(
  place.startsWith('postgres')
    ? { kind: 'postgres', url: place, optOutKey: OPT_OUT_KEY, connections: 2 }
    : { kind: 'sqlite', path: place, optOutKey: OPT_OUT_KEY },
);

// All processes begin together, so that they meet.
await new Promise((resolve) => process.stdin.once('data', resolve));
process.stdin.pause();

const held = new Map<string, Slot>();
const counts = { saved: 0, taken: 0 };
for (const step of randomSteps(Number(seed), Number(steps))) {
  const outcome = await take(store, prefix, step);
  const holder = holderOf(prefix, step);
  const entry = entryAfter(step);
  counts[outcome]++;
  if (outcome === 'saved' && entry) held.set(holder, entry);
  else if (outcome === 'saved' || step.what === 'block') held.delete(holder);
}
await store.close();
process.stdout.write(JSON.stringify({ held: [...held], counts }));
