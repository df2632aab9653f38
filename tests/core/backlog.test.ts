import { describe, expect, it } from 'vitest';
import { DateTime } from 'luxon';
import { backlogDays, flowsWithBacklog, outlookFor, type Taken } from '../../src/core/mod.ts';
import { shopBacklog } from '../../src/shop-backlog.ts';
import { flows, NOW, pickup, waiting } from './owner-files.ts';
import { sqliteDatabase } from '../edges/store/databases.ts';

const { zone } = flows.shop;
const dayAfter = (days: number) => DateTime.fromISO(NOW, { zone }).startOf('day').plus({ days }).toISO() ?? '';
/** Every bay is taken from now until so many days later. */
const full = (days: number): Taken[] =>
  flows.shop.bays.map(({ id }) => ({ bay: id, start: dayAfter(0), end: dayAfter(days) }));
const today = NOW.slice(0, 10);

describe('the lead time by the shop’s backlog', () => {
  it('is the days until the diary has room for the usual job', () => {
    expect(backlogDays([], flows, NOW)).toBe(0);
    // Nine days after a Tuesday is a Thursday, on which the shop works.
    expect(backlogDays(full(9), flows, NOW)).toBe(9);
    expect(backlogDays(full(500), flows, NOW)).toBeUndefined();
  });

  it('brings questions and offers forward by the days that the diary is fuller than the policy takes for granted', () => {
    const far = pickup('t', 117_000, 98_000);
    const seen = (days: number, truck = far) =>
      outlookFor(truck, [], flowsWithBacklog(flows, days), '2026-12-20')?.next ?? { ask: null, offer: null };
    const asks = (days: number) => Date.parse(seen(days).ask ?? '') / 86_400_000;
    expect(seen(0)).toEqual(seen(flows.policy.noticeDays));
    expect(asks(2) - asks(5)).toBe(3);
    expect(seen(60).offer).not.toBeNull();
    // A silent owner's offer is planned for the same day of the truck, less a longer lead.
    const silent = (days: number) => {
      const questions = [1, 2, 3, 4].map((one) => ({
        ...waiting(`f${one}`, 'odometer-check', 't'),
        state: 'sent' as const,
        log: [{ at: `2026-12-2${one}T17:00:00.000Z`, what: 'sent' as const }],
      }));
      const plan = outlookFor(pickup('t', 118_600, 98_000), questions, flowsWithBacklog(flows, days), '2026-12-24');
      return Date.parse(plan?.next.offer ?? '') / 86_400_000;
    };
    expect(silent(2) - silent(5)).toBe(3);
  });

  it('is looked up in the shop’s own diary', async () => {
    const database = sqliteDatabase();
    const store = await database.open();
    const backlog = shopBacklog(store, flows, () => NOW);
    await backlog.refresh();
    expect(backlog.flows().policy.leadDays).toBe(flows.policy.leadDays);
    await store.transaction(async (tx) => {
      for (const { id } of flows.shop.bays) {
        await tx.addBlock({
          id: `b-${id}`,
          resource: id,
          start: `${today}T00:00:00-07:00`,
          end: dayAfter(9),
          because: 'full',
          by: 'a test',
          at: NOW,
        });
      }
    });
    await backlog.refresh();
    expect(backlog.flows().policy).toMatchObject({
      noticeDays: 9,
      leadDays: flows.policy.leadDays + 9 - flows.policy.noticeDays,
    });
    await database.remove();
  });
});
