/** How many turns one owner may cause; times are milliseconds. */
export interface Limit {
  /**
   * How long the owner's next message has to wait, and whether they are to be told; undefined where it may run now.
   * `underWay` of their turns have run and are not committed yet.
   */
  pause(ownerId: string, now: number, underWay: number): { milliseconds: number; tell: boolean } | undefined;
  ran(ownerId: string, now: number): void;
  told(ownerId: string): void;
}

const WINDOW_MILLISECONDS = 60_000;
/** Owners whose last minute is remembered before those who have been quiet are forgotten. */
const MOST_REMEMBERED = 5_000;

/**
 * A window of one minute for each owner, counted after the inbox: what is over it is not refused, it waits. Each process
 * counts for itself. An owner is told once until a minute has passed without anything of theirs waiting.
 */
export function createLimit(aMinute: number): Limit {
  const turns = new Map<string, number[]>();
  const told = new Set<string>();

  const recent = (ownerId: string, now: number): number[] => {
    // A clock that was set back leaves instants of the future behind: they are over as well.
    const left = (turns.get(ownerId) ?? []).filter((at) => at <= now && at > now - WINDOW_MILLISECONDS);
    if (left.length === 0) {
      turns.delete(ownerId);
      told.delete(ownerId);
    } else turns.set(ownerId, left);
    return left;
  };

  return {
    pause(ownerId, now, underWay) {
      const last = [...recent(ownerId, now), ...Array<number>(underWay).fill(now)];
      const oldest = last[last.length - aMinute];
      if (oldest === undefined) return undefined;
      return { milliseconds: oldest + WINDOW_MILLISECONDS - now + 1, tell: !told.has(ownerId) };
    },
    ran(ownerId, now) {
      if (aMinute === Number.POSITIVE_INFINITY) return;
      turns.set(ownerId, [...recent(ownerId, now), now]);
      if (turns.size > MOST_REMEMBERED) for (const one of [...turns.keys()]) recent(one, now);
    },
    told: (ownerId) => void told.add(ownerId),
  };
}

/** How many turns all owners together may cause; times are milliseconds. */
export interface Allowance {
  /** How many more may run now. */
  left(now: number): number;
  ran(turns: number, now: number): void;
}

/** So much of a minute's turns may run at once after a quiet time. */
const AT_ONCE_SHARE = 1 / 6;

/**
 * What all owners together may cause, counted after the inbox: what is over it waits there in its order, so that a flood
 * leaves the machine to the shop's own people and pages. It comes back evenly. Each process counts for itself.
 */
export function createAllowance(aMinute: number): Allowance {
  const most = Math.max(1, aMinute * AT_ONCE_SHARE);
  let left = most;
  let seenAt = Number.NEGATIVE_INFINITY;

  const refill = (now: number): void => {
    // Of a clock that was set back nothing is gained, and nothing lost.
    const passed = Math.max(0, now - seenAt);
    if (passed > 0) left = Math.min(most, left + (passed * aMinute) / WINDOW_MILLISECONDS);
    seenAt = now;
  };

  return {
    left(now) {
      if (aMinute === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY;
      refill(now);
      return Math.floor(left);
    },
    ran(turns, now) {
      if (aMinute === Number.POSITIVE_INFINITY) return;
      refill(now);
      left -= turns;
    },
  };
}
