import { randomFor, type Random } from './random.ts';

export const USES = ['light', 'daily', 'work', 'heavy-haul'] as const;
export type Use = (typeof USES)[number];

/** How the trucks of a made-up world are driven. From memory, and harder on a forecast than the national average. */
export interface DrivingWorld {
  /** Share of each use, its median miles a year and the spread of the logarithm. */
  uses: Record<Use, { share: number; milesPerYear: number; spread: number }>;
  driveDayProbability: readonly [number, number];
  /** The level of a week: autocorrelation and standard deviation of its logarithm. */
  week: { correlation: number; spread: number };
  /** The season's amplitude is uniform up to this; it peaks in the middle of July. */
  seasonUpTo: number;
  habit: { perYear: number; toAThird: number; nearlyDouble: number; spread: number };
  parked: { perYear: number; days: readonly [number, number] };
  trips: { perYear: number; miles: readonly [number, number]; days: readonly [number, number] };
}

export const HARD_WORLD: DrivingWorld = {
  uses: {
    light: { share: 0.15, milesPerYear: 5_500, spread: 0.5 },
    daily: { share: 0.55, milesPerYear: 12_500, spread: 0.4 },
    work: { share: 0.23, milesPerYear: 20_000, spread: 0.4 },
    'heavy-haul': { share: 0.07, milesPerYear: 38_000, spread: 0.35 },
  },
  driveDayProbability: [0.4, 0.85],
  week: { correlation: 0.85, spread: 0.3 },
  seasonUpTo: 0.4,
  habit: { perYear: 0.22, toAThird: 0.15, nearlyDouble: 0.12, spread: 0.3 },
  parked: { perYear: 0.08, days: [30, 240] },
  trips: { perYear: 0.7, miles: [400, 2_000], days: [2, 7] },
};

/** The median of public survey pickups is 9,400 miles a year, with 0.59 as the spread of the logarithm. */
export function scaledToSurvey(world: DrivingWorld): DrivingWorld {
  // The share-weighted median of the four uses of the hard world lies near 13,000 miles a year.
  const scale = 9_400 / 13_000;
  const uses = Object.fromEntries(
    USES.map((use) => [use, { ...world.uses[use], milesPerYear: world.uses[use].milesPerYear * scale }]),
  ) as DrivingWorld['uses'];
  return { ...world, uses };
}

const YEAR = 365.25;

/** One truck's life on the road, day by day, made as far as it is asked for. Day 0 is the day of intake. */
export class Driving {
  readonly use: Use;
  /** The owner's usual miles a year, and those of the time of intake. */
  readonly milesPerYear: number;
  readonly presentMilesPerYear: number;
  /** Age in years at intake, and the odometer then. */
  readonly age: number;
  readonly startMiles: number;
  private readonly world: DrivingWorld;
  private readonly dayOfYearAtStart: number;
  private readonly random: Random;
  private readonly driveDay: number;
  private readonly season: number;
  /** The odometer at the end of each day. */
  private readonly odometer: number[] = [];
  private weekLevel: number;
  private habit: number;
  private parkedUntil = -1;
  private tripUntil = -1;
  private tripMiles = 0;

  constructor(world: DrivingWorld, dayOfYearAtStart: number, ...name: (string | number)[]) {
    const random = randomFor(...name, 'driving');
    this.world = world;
    this.random = random;
    this.dayOfYearAtStart = dayOfYearAtStart;
    this.use = random.pick(USES.map((use) => [use, world.uses[use].share] as const));
    const { milesPerYear, spread } = world.uses[this.use];
    this.milesPerYear = milesPerYear * Math.exp(spread * random.normal());
    this.driveDay = random.between(...world.driveDayProbability);
    this.season = random.between(0, world.seasonUpTo);
    this.weekLevel = world.week.spread * random.normal();
    this.age = random.between(1, 16);
    const past = this.pastHabit();
    this.habit = past.now;
    this.presentMilesPerYear = this.milesPerYear * past.now;
    this.startMiles = Math.round(Math.max(500, this.milesPerYear * this.age * past.mean));
  }

  /** The habit at intake, and its mean over the years before. */
  private pastHabit(): { now: number; mean: number } {
    const { perYear } = this.world.habit;
    let at = 0;
    let level = 1;
    let sum = 0;
    while (at < this.age) {
      const until = Math.min(this.age, at + this.random.exponential(1 / perYear));
      sum += level * (until - at);
      at = until;
      if (at < this.age) level = this.newHabit();
    }
    // Earlier owners drove as they liked.
    return { now: level, mean: (sum / this.age) * Math.exp(0.2 * this.random.normal()) };
  }

  private newHabit(): number {
    const { toAThird, nearlyDouble, spread } = this.world.habit;
    const draw = this.random.uniform();
    if (draw < toAThird) return 1 / 3;
    if (draw < toAThird + nearlyDouble) return 1.9;
    return Math.exp(spread * this.random.normal());
  }

  private reach(day: number): void {
    if (this.odometer.length === 0) this.odometer.push(this.startMiles);
    for (let next = this.odometer.length; next <= day; next++) {
      this.odometer.push((this.odometer[next - 1] as number) + this.milesOn(next));
    }
  }

  private milesOn(day: number): number {
    const { week, habit, parked, trips } = this.world;
    const random = this.random;
    if (day % 7 === 0) {
      const fresh = Math.sqrt(1 - week.correlation ** 2) * week.spread;
      this.weekLevel = week.correlation * this.weekLevel + fresh * random.normal();
      if (random.chance((7 * habit.perYear) / YEAR)) this.habit = this.newHabit();
      if (random.chance((7 * parked.perYear) / YEAR)) this.parkedUntil = day + random.integer(...parked.days);
      if (random.chance((7 * trips.perYear) / YEAR)) {
        const days = random.integer(...trips.days);
        this.tripUntil = day + days;
        this.tripMiles = random.between(...trips.miles) / days;
      }
    }
    const drives = random.chance(this.driveDay);
    const noise = random.gamma(1.5);
    if (day < this.parkedUntil) return 0;
    const ordinary = this.milesPerYear / YEAR / this.driveDay;
    const angle = (2 * Math.PI * (this.dayOfYearAtStart + day - 200)) / YEAR;
    const level = Math.exp(this.weekLevel - week.spread ** 2 / 2) * (1 + this.season * Math.cos(angle)) * this.habit;
    return (drives ? ordinary * level * noise : 0) + (day < this.tripUntil ? this.tripMiles : 0);
  }

  /** The true odometer at the end of a day. */
  odometerAt(day: number): number {
    this.reach(day);
    return this.odometer[day] as number;
  }

  /** The first day on which the true odometer has reached so many miles; null where that lies beyond the horizon. */
  dayReaching(miles: number, horizon: number): number | null {
    let low = 0;
    let high = Math.min(horizon, 400);
    while (this.odometerAt(high) < miles) {
      if (high >= horizon) return null;
      low = high;
      high = Math.min(horizon, high + 400);
    }
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.odometerAt(middle) >= miles) high = middle;
      else low = middle + 1;
    }
    return high;
  }
}
