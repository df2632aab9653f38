import type { Instant } from '../../core/mod.ts';
import type { Store } from '../store/types.ts';

const SETTING = 'clock-offset-milliseconds';
/** Ten years: a demo has no use for more, and dates stay in four digits. */
const FARTHEST = 10 * 366 * 86_400_000;

/** The demo's clock: the machine's, moved by an offset that is kept in the database, so that every process agrees. */
export interface MovedClock {
  now: () => Instant;
  /** Moves the clock on by so many milliseconds from where it is; it never goes back. */
  advance(milliseconds: number): Promise<Instant>;
  /** Reads the offset again, which another process may have moved. */
  refresh(): Promise<void>;
}

/** Real time plus the stored offset. */
export async function movedClock(store: Store, real: () => number = Date.now): Promise<MovedClock> {
  let offset = 0;
  const read = (value: unknown): number =>
    typeof value === 'number' && Number.isFinite(value) && value >= 0 && value <= FARTHEST ? value : 0;
  const refresh = async () => {
    offset = read(await store.transaction((tx) => tx.setting(SETTING)));
  };
  await refresh();
  const now = (): Instant => new Date(real() + offset).toISOString();
  return {
    now,
    refresh,
    async advance(milliseconds) {
      if (!Number.isFinite(milliseconds) || milliseconds < 0) throw new RangeError('the clock only moves on');
      offset = await store.transaction(async (tx) => {
        const next = Math.min(FARTHEST, read(await tx.setting(SETTING)) + Math.round(milliseconds));
        await tx.saveSetting(SETTING, next);
        return next;
      });
      return now();
    },
  };
}

/** The machine's own clock. */
export const realClock = (): Instant => new Date().toISOString();
