import { cueAt, cueEnding, cueWithin, isOneOf, lastCueWithin, type Found, type Scan } from './cues.ts';
import type { Surroundings } from './surroundings.ts';
import type { Measured } from './units.ts';

export type Work = 'filter' | 'oil' | 'other';

/** Which work a mileage belongs to, where it tells of work that was done: "filters last changed at 85k". */
export function workAt(around: Surroundings, m: Measured, present: boolean): Work | undefined {
  const { scan } = around;
  const [from, to] = around.left(m);
  const written = workWritten(around, m, present);
  if (written) return written;
  const found = lastCueWithin(scan, from, to, 'done', 'lastOne');
  // "Last year 14,200": a time, and no work.
  const isTime = found && (cueAt(scan, found.first, 'past', 'lastYear')?.last ?? -1) > found.last;
  const done = isTime ? undefined : found;
  const odometer = lastCueWithin(scan, from, to, 'odometer');
  if (odometer && (!done || odometer.first > done.last)) return undefined;
  if (present && !done) return undefined;
  const noun = subjectOf(scan, from, to);
  const at = isAt(scan, m.mention.first - 1);
  const wished = cueWithin(scan, from, to, 'wish') !== undefined;
  if (done && !isOneOf(scan, done.first, 'newWord')) {
    const isLast = cueWithin(scan, from, to, 'lastOne') !== undefined;
    if (wished && !isLast) return undefined;
    if (!noun && isOfAnotherThing(scan, from, done)) return 'other';
    const before = noun ?? subjectOf(scan, around.sentenceStart(from, 1), from - 1);
    return before ?? (isLast ? onlySubject(scan) : undefined) ?? (at || isLast ? 'other' : undefined);
  }
  if (noun && at && !wished) return noun;
  // "88k when the filter was changed"
  const [rightFrom, rightTo] = around.right(m);
  const told = cueWithin(scan, rightFrom, rightTo, 'past') && cueWithin(scan, rightFrom, rightTo, 'done');
  // "180k at my last oil change"
  const then = told ?? (isAt(scan, m.end + 1) ? cueWithin(scan, rightFrom, rightTo, 'lastOne') : undefined);
  return then ? (subjectOf(scan, rightFrom, rightTo) ?? 'other') : undefined;
}

/**
 * "It says oil at 68,300", "wrote fuel filter 131,200 on a piece of tape", "Fuel filter: 84,000": the work is named right
 * before its mileage; without an "at" only where something is said to be written down.
 */
function workWritten(around: Surroundings, m: Measured, present: boolean): Work | undefined {
  const { scan } = around;
  const { first } = m.mention;
  const from = around.sentenceStart(first, 0);
  let at = false;
  let listed = false;
  let before = first - 1;
  for (; before >= from && before > first - FARTHEST_NAME; before--) {
    if (cueEnding(scan, before, 'filter', 'oil', 'otherRepair')) break;
    if (isAt(scan, before)) at = true;
    else if (scan.words[before] === ':') listed = true;
    else if (!isOneOf(scan, before, 'readsOut') && !cueEnding(scan, before, 'filler')) return undefined;
  }
  const named = cueEnding(scan, before, 'filter', 'oil', 'otherRepair');
  if (!named || before < from || cueWithin(scan, before + 1, first - 1, 'odometer')) return undefined;
  let clauseStart = named.first;
  while (clauseStart > from && scan.clause[clauseStart - 1] === scan.clause[named.first]) clauseStart--;
  if (cueWithin(scan, clauseStart, first - 1, 'wish', 'nextDue')) return undefined;
  const noted = cueWithin(scan, around.sentenceStart(first, 1), first - 1, 'noted') !== undefined;
  const told = noted || (listed && cueWithin(scan, 0, scan.pieces.length - 1, 'odometerNoun') !== undefined);
  return told || (at && !present) ? subjectOf(scan, named.first, named.last) : undefined;
}
const FARTHEST_NAME = 6;

/** The work of a message that speaks of no other: "Last ones at 171,500. Just wants fuel filters." */
export function onlySubject(scan: Scan): Work | undefined {
  const all = scan.pieces.flatMap((_, at) => subjectOf(scan, at, at) ?? []);
  return all.every((work) => work === all[0]) ? all[0] : undefined;
}

/** "The flywheel was replaced at 88,000": what was worked on is named, so the sentence before says nothing of it. */
export function isOfAnotherThing(scan: Scan, from: number, done: Found): boolean {
  const passive = isOneOf(scan, done.first - 1, 'passives') || isOneOf(scan, done.first, 'passives');
  if (!passive || cueWithin(scan, from, done.first, 'lastOne')) return false;
  for (let at = done.first - 1; at >= Math.max(from, done.first - LONGEST_THING); at--) {
    // "The receipt says it was done at": a word that points back names nothing.
    if (isOneOf(scan, at, 'pointsBack')) return false;
    if (isOneOf(scan, at, 'namesAThing')) return at < done.first - 1;
  }
  return false;
}
const LONGEST_THING = 6;

const isAt = (scan: Scan, at: number): boolean => isOneOf(scan, at, 'workAt') || scan.words[at] === '@';

/** The work that a span names last. */
export function subjectOf(scan: Scan, from: number, to: number): Work | undefined {
  let found = lastCueWithin(scan, Math.max(0, from), to, 'filter', 'oil', 'otherRepair');
  // "the oil pressure light came on at 61,250": no work on the oil.
  while (found && (cueAt(scan, found.first, 'notTheWork')?.last ?? -1) > found.last) {
    found = lastCueWithin(scan, Math.max(0, from), found.first - 1, 'filter', 'oil', 'otherRepair');
  }
  if (!found) return undefined;
  // Of the phrases that end there the longest says what it is: "fuel filter" is one, "air filter" is another.
  const whole = cueEnding(scan, found.last, 'filter', 'oil', 'otherRepair')?.cue;
  return whole === 'filter' || whole === 'oil' ? whole : 'other';
}

/** "Oil and both fuel filters at 98k": the other work that is named together with the one of a mileage. */
export function workBeside(around: Surroundings, m: Measured, work: 'filter' | 'oil'): 'filter' | 'oil' | undefined {
  const { scan } = around;
  const start = around.sentenceStart(m.mention.first, 0);
  const named = lastCueWithin(scan, start, m.mention.first - 1, 'filter', 'oil', 'otherRepair');
  const whole = named && cueEnding(scan, named.last, 'filter', 'oil', 'otherRepair');
  if (whole?.cue !== work) return undefined;
  let at = whole.first - 1;
  while (at > start && isOneOf(scan, at, 'bothBetween')) at--;
  if (!isOneOf(scan, at, 'bothJoins')) return undefined;
  const other = cueEnding(scan, at - 1, 'filter', 'oil', 'otherRepair')?.cue;
  const cue = work === 'oil' ? 'filter' : 'oil';
  return other === cue ? cue : undefined;
}
