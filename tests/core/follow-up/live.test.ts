import { describe, expect, it } from 'vitest';
import { measuresOfRun } from '../../../src/cli/simulate/measures.ts';
import { live } from '../../../src/cli/simulate/run.ts';
import { openVirtualShop } from '../../../src/cli/simulate/shop.ts';
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
    expect(outcomes.every(({ days, agreed }) => days > 0 && agreed)).toBe(true);
  });

  it('end where the shop is refused what it does, so that no truck falls silent unseen', async () => {
    const shop = await openVirtualShop(flows, '2026-01-05T17:00:00.000Z');
    await shop.says('1', '2017 6.7 V8 diesel, 92,400 miles, is the fuel filter due?');
    const accept = () => ({ do: 'accept', requestId: 'none', revision: 1 }) as const;
    await expect(shop.staff('1', accept)).rejects.toThrow('refused: accept');
    await shop.close();
  });

  it('tell services that are early by miles because their time was over from those that are too early', async () => {
    const [life] = await run('all-taken');
    const met = (milesLate: number, daysLate?: number) => ({
      milesLate,
      done: true,
      ...(daysLate !== undefined && { daysLate }),
    });
    const services = [met(-3600, 0), met(-3600, -200), met(-3600), met(-400, 3)];
    expect(measuresOfRun(life ? [{ ...life, services }] : [])).toMatchObject({
      offeredWithin1000Miles: 0.25,
      offeredOver1000MilesEarly: 0.75,
      offeredEarlyAsDueByTime: 0.25,
    });
  });
});
