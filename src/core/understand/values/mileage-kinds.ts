import type { Askable } from '../../model/reading.ts';
import { cueAfter, cueAt, cueBefore, cueEnding, cueWithin, isOneOf, lastCueWithin } from './cues.ts';
import type { Surroundings } from './surroundings.ts';
import type { Measured } from './units.ts';

/** Longer ago than this nobody counts from some work on. */
const MOST_AGO = 20_000;

/** "I have put 30k on it since the last filter". */
export function isSince(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const [from, to] = around.right(m);
  for (let at = from; at <= Math.min(to, from + 3); at++) if (cueAt(scan, at, 'since')) return true;
  return false;
}

/** "12k ago", "12k miles back", "hace 12 mil"; "back in july" is a date. */
export function isAgo(around: Surroundings, m: Measured, asked: Askable | undefined): boolean {
  const { scan } = around;
  const { first } = m.mention;
  // "8,000 since I retired"
  if (asked === 'milesPerYear' && cueAfter(scan, m.end, 'since')) return false;
  // "Oil I changed before 3000 km"
  const shortly = m.unit !== undefined && m.mention.value <= MOST_AGO && around.leftHas(m, 'done');
  if (shortly && cueEnding(scan, first - 1, 'agoBefore')) return true;
  const ago = cueAfter(scan, m.end, 'ago');
  const past = cueAfter(scan, m.end, 'past');
  if (ago && !(past && past.last > ago.last)) return true;
  // "That was back at 85k"
  if (cueEnding(scan, first - 1, 'past')) return false;
  return (cueEnding(scan, first - 1, 'ago') ?? cueBefore(scan, first, 'ago')) !== undefined;
}

/** A sticker's next-due figure, the end of a warranty, an advice from the handbook. */
export function isDue(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const due = lastCueWithin(scan, ...around.left(m), 'nextDue');
  const odometer = lastCueWithin(scan, ...around.left(m), 'odometer');
  // "I wrote 69,000 but it should be 96,000"
  const correction = due && lastCueWithin(scan, ...around.left(m), 'correction');
  if (correction && correction.first <= due.first && correction.last >= due.last) return false;
  // "Va para las doscientas mil": the words of the odometer reach over those of what is due.
  const isWider = due && odometer && odometer.first < due.first && odometer.last >= due.last;
  // "Sticker says the last one was at 139,000": what was, and not what is due.
  const was = due && lastCueWithin(scan, due.last + 1, m.mention.first - 1, 'lastOne', 'done');
  if (was && (was.cue === 'lastOne' || isOneOf(scan, was.first - 1, 'pastPassives'))) return false;
  if (due && !isWider && !(odometer && odometer.first > due.last)) return true;
  return cueAfter(scan, m.end, 'nextDue') !== undefined && !around.odometerBefore(m);
}

/** A way to go, a range, a trip. */
export function isDistance(around: Surroundings, m: Measured, asked: Askable | undefined): boolean {
  const { scan } = around;
  if (asked === 'milesPerYear' || around.odometerAfter(m)) return false;
  // "A 3,000 mile trip"
  if (m.unit !== undefined && isOneOf(scan, m.end + 1, 'journeys')) return true;
  if (cueAfter(scan, m.end, 'distance')) return true;
  const before = cueBefore(scan, m.mention.first, 'distance');
  if (!before) return false;
  // "It just went over 74,500", "it has run 275 000 km": what the odometer came to.
  const reached = cueBefore(scan, m.mention.first, 'odometer');
  if (reached && reached.first <= before.first && reached.last >= before.last && reached.last > reached.first)
    return false;
  // "An oil change, please. The last was at 61,300"
  const last = cueEnding(scan, before.last, 'lastOne');
  if (last && isOneOf(scan, m.mention.first - 1, 'workAt')) return false;
  // "filters went in at 85k" is work; "I have run it up to 171,300" is how far it has come.
  const isWork = cueAt(scan, before.first, 'done') !== undefined;
  return !isWork && !isOneOf(scan, m.mention.first - 1, 'distanceReached');
}

/** "The new one shows 30k, so 150k total", "the true figure is 138,500". */
export function isTotal(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  if (cueBefore(scan, m.mention.first, 'total')) return true;
  for (let at = m.end + 1; at <= m.end + 4 && scan.clause[at] === scan.clause[m.end]; at++) {
    const total = cueAt(scan, at, 'total');
    // "14k total weight"
    if (total) return !cueAt(scan, total.last + 1, 'load', 'price', 'pressure');
    if (!cueAt(scan, at, 'filler', 'odometer', 'miles')) return false;
  }
  return false;
}

/** "My wifes car has 80,000 miles, but mine has 164,000": of another vehicle, where there is one's own too. */
export function isOfAnother(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const left = around.left(m);
  const other = lastCueWithin(scan, ...left, 'otherVehicle');
  return other !== undefined && !cueWithin(scan, other.last + 1, left[1], 'own');
}
