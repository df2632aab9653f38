import { DateTime } from 'luxon';
import type { Instant } from './core/mod.ts';
import type { System } from './system.ts';

/** Hours of a day at which the demo looks at what is due: within those in which owners may be written to. */
const MORNING = 10;
const AFTERNOON = 17;

/**
 * Moves the demo's clock on to ten in the morning, so many days later, in the shop's zone. It goes through every morning
 * and afternoon on the way and does what is due then, so that reminders come in their order and at their hour.
 */
export async function moveDemoClock(system: System, days: number): Promise<Instant> {
  const { time, clock, desk, flows } = system;
  const from = DateTime.fromISO(time.now(), { zone: flows.shop.zone });
  for (let day = 0; day <= days; day++) {
    for (const hour of day === days ? [MORNING] : [MORNING, AFTERNOON]) {
      const stop = from.plus({ days: day }).set({ hour, minute: 0, second: 0, millisecond: 0 });
      const ahead = stop.toMillis() - Date.parse(time.now());
      if (ahead <= 0) continue;
      await time.advance(ahead);
      await clock.tick();
      await desk.drain();
    }
  }
  return time.now();
}
