import type { Flows } from '../../core/mod.ts';
import { Life, type LifeOutcome, type LifeRules } from './life.ts';
import { dateAfter } from './reminders.ts';
import { openVirtualShop } from './shop.ts';
import { arrival, type World } from './world.ts';

const FIRST_DAY = '2026-01-01';

/** A whole run through the real conversation, store and clock. */
export interface Run {
  world: World;
  vehicles: number;
  years: number;
  seed: string;
  offers: LifeRules['offers'];
  /** A file for the database; in memory where absent. */
  database?: string;
}

/** Hours of the day, in UTC, at which the clock ticks: mid-morning and late afternoon in the shop's zone. */
const TICKS = ['17:05:00.000Z', '23:05:00.000Z'];

/**
 * Lives of so many made-up owners with the shop, day by day. The same run gives the same outcomes. `progress` is told
 * the part that is done.
 */
export async function live(flows: Flows, run: Run, progress: (part: number) => void): Promise<LifeOutcome[]> {
  const { world, vehicles, years, seed, offers } = run;
  const { zone } = flows.shop;
  const rules: LifeRules = { offers, days: Math.round(years * 365.25) };
  const set = offers === 'all-taken' ? withoutLimits(flows) : flows;
  const shop = await openVirtualShop(set, `${FIRST_DAY}T16:00:00.000Z`, run.database);
  const arrivals = new Map<string, number[]>();
  for (let index = 0; index < vehicles; index++) {
    const { start } = arrival(world, seed, index);
    arrivals.set(start, [...(arrivals.get(start) ?? []), index]);
  }
  const lives = new Map<string, Life>();
  const outcomes = new Map<string, LifeOutcome>();
  const days = rules.days + 366;
  for (let day = 0; day <= days && outcomes.size < vehicles; day++) {
    const date = dateAfter(FIRST_DAY, day);
    for (const tick of TICKS) {
      shop.moveTo(`${date}T${tick}`);
      await shop.tick();
      await Promise.all(
        shop.received().map((message) => {
          const life = lives.get(message.address);
          return life?.reads(message, life.dayOf(date), zone);
        }),
      );
    }
    const fresh = (arrivals.get(date) ?? []).map((index) => {
      const { owner, start } = arrival(world, seed, index);
      return new Life(`${index + 1}`, owner, start, shop, rules);
    });
    for (const life of fresh) lives.set(life.address, life);
    await Promise.all(fresh.map((life) => life.arrives()));
    const ages = [...lives.values()].map((life) => ({ life, age: life.dayOf(date) }));
    await Promise.all(ages.map(({ life, age }) => (life.idleToday(age) ? undefined : life.does(age))));
    const ending = ages.filter(({ life, age }) => age >= life.lastDay).map(({ life }) => life);
    await Promise.all(ending.map((life) => life.ends()));
    for (const life of ending) {
      lives.delete(life.address);
      outcomes.set(life.address, life.outcome);
    }
    shop.received();
    progress(day / days);
  }
  progress(1);
  await shop.close();
  return Array.from({ length: vehicles }, (_, index) => outcomes.get(`${index + 1}`)).filter(
    (one) => one !== undefined,
  );
}

/** Where every offer is taken up at once, the shop's limits on how often it writes are left out; its hours are not. */
function withoutLimits(flows: Flows): Flows {
  const followUp = { ...flows.shop.followUp, minimumDaysApart: 0, perThirtyDays: 1000, perYear: 1000 };
  return { ...flows, shop: { ...flows.shop, followUp } };
}
