import { seasonDaysTo, type Pace } from './pace.ts';
import { probabilityAtMost } from './predict.ts';

export type Objection = 'lower-than-last' | 'too-fast' | 'too-slow';

/** Miles that a rounded or approximate number may be off. */
const SLACK = 1000;
const RARE = 0.001;
/** Days below which a truck that stood still is nothing to wonder at. */
const STANDING = 14;

/** Why a reading is not believed after what is known of the truck, or undefined where it is. */
export function objectionTo(pace: Pace, day: number, odometer: number): Objection | undefined {
  const driven = odometer - pace.odometer;
  if (driven < -SLACK) return 'lower-than-last';
  const days = seasonDaysTo(pace, day);
  if (1 - probabilityAtMost(pace, days, Math.max(0, driven - SLACK)) < RARE && driven > SLACK) return 'too-fast';
  if (day - pace.day > STANDING && probabilityAtMost(pace, days, driven + SLACK) < RARE) return 'too-slow';
  return undefined;
}
