import { describe, expect, it } from 'vitest';
import { measuresOfRun } from '../../../src/cli/simulate/measures.ts';
import { live } from '../../../src/cli/simulate/run.ts';
import { WORLDS } from '../../../src/cli/simulate/world.ts';
import { loadFlows } from '../../../src/system.ts';

const flows = loadFlows();
const run = (offers: 'all-taken' | 'as-people-do', seed = '1') =>
  live(flows, { world: WORLDS.hard, vehicles: 3, years: 0.4, seed, offers }, () => undefined);

describe('made-up owners in the real conversation', { timeout: 180_000 }, () => {
  it('live the same lives for the same seed, to the last number', async () => {
    const once = JSON.stringify(measuresOfRun(await run('all-taken')));
    expect(JSON.stringify(measuresOfRun(await run('all-taken')))).toBe(once);
  });

  it('are written to within the hours, never after they ended it, and never forgotten', async () => {
    const outcomes = await run('as-people-do');
    expect(outcomes).toHaveLength(3);
    for (const { outsideHours, afterOptOut, duplicates, lost } of outcomes) {
      expect({ outsideHours, afterOptOut, duplicates, lost }).toEqual({
        outsideHours: 0,
        afterOptOut: 0,
        duplicates: 0,
        lost: 0,
      });
    }
    expect(outcomes.every(({ days }) => days > 0)).toBe(true);
  });
});
