import { HARD_WORLD, scaledToSurvey, type DrivingWorld } from './driving.ts';
import { PEOPLE, SimulatedOwner, type PeopleWorld } from './people.ts';
import { dateAfter } from './reminders.ts';

/** A made-up world of owners and trucks. */
export interface World {
  name: string;
  driving: DrivingWorld;
  people: PeopleWorld;
}

export const WORLDS = {
  /** Harder on a forecast than the national average. */
  hard: { name: 'hard', driving: HARD_WORLD, people: PEOPLE },
  /** The same people with the mileage of public survey pickups. */
  survey: { name: 'survey', driving: scaledToSurvey(HARD_WORLD), people: PEOPLE },
} as const satisfies Record<string, World>;
export type WorldName = keyof typeof WORLDS;

const FIRST_DAY = '2026-01-01';

export interface Arrival {
  owner: SimulatedOwner;
  /** The day of intake, spread over a year so that no season is favoured. */
  start: string;
}

/** The owner with this number in the world of this seed; the same seed and number give the same life to the day. */
export function arrival(world: World, seed: string | number, index: number): Arrival {
  const day = (index * 97) % 365;
  const owner = new SimulatedOwner(world.driving, world.people, { year: 2026, dayOfYear: day + 1 }, seed, index);
  return { owner, start: dateAfter(FIRST_DAY, day) };
}
