import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, isPairOf, lastCueWithin, type Scan } from './cues.ts';
import type { Surroundings } from './surroundings.ts';
import type { Measured } from './units.ts';
import { isOfAnotherThing, onlySubject, subjectOf, type Work } from './work-done.ts';

/** Nobody has come farther than this on one filter or one filling of oil. */
const FARTHEST = 120_000;
const FEWEST = 100;

/**
 * The work from which miles are counted: "the last ones were 11k ago", "9,000 on it since the oil change", "the
 * filters have 12k on them", "5,000 miles on this oil".
 */
export function workCountedFrom(
  around: Surroundings,
  m: Measured,
  told: { since: boolean; ago: boolean },
): Work | undefined {
  const { value, scaled } = m.mention;
  if (value > FARTHEST || (value < FEWEST && !scaled)) return undefined;
  const onIt = runOnIt(around, m);
  if (onIt) return onIt;
  if (told.since) return since(around, m);
  return told.ago && sinceBefore(around.scan, m.mention.first) === undefined ? ago(around, m) : undefined;
}

/** "Did the filter 11,000 miles ago", "changed the oil 3 months and 4,000 miles ago", "hace 12 mil millas". */
function ago(around: Surroundings, m: Measured): Work | undefined {
  const { scan } = around;
  const start = around.sentenceStart(m.mention.first, 0);
  const end = m.mention.first - 1;
  const behind = workBehind(around, m);
  if (behind) return behind;
  const done = lastCueWithin(scan, start, end, 'done', 'lastOne');
  // "The filter was 12k miles ago", "oil and filters 6,000 miles ago"
  const named = cueBefore(scan, m.mention.first, 'was', 'filter', 'oil');
  if (!done) return named && subjectOf(scan, ownFrom(around, m, start), end);
  const isLast = cueWithin(scan, start, end, 'lastOne') !== undefined;
  if (!isLast && cueWithin(scan, start, done.first, 'wish')) return undefined;
  const own = subjectOf(scan, ownFrom(around, m, start), end);
  if (own) return own;
  if (isOfAnotherThing(scan, start, done)) return undefined;
  return (
    subjectOf(scan, start, end) ??
    subjectOf(scan, around.sentenceStart(m.mention.first, 1), start - 1) ??
    (isLast ? onlySubject(scan) : undefined)
  );
}

/** "Hace 12 mil millas que le cambiaron el filtro": the work is named behind. */
function workBehind(around: Surroundings, m: Measured): Work | undefined {
  const { scan } = around;
  const [from, to] = around.right(m);
  const isTold = isOneOf(scan, from, 'sinceThat') && cueWithin(scan, from, to, 'done') !== undefined;
  return isTold ? subjectOf(scan, from, to) : undefined;
}

/** Where what is said of a number begins: behind the last mileage before it in the sentence. */
function ownFrom({ scan, field }: Surroundings, m: Measured, start: number): number {
  for (let at = m.mention.first - 1; at >= start; at--) {
    const before = field.all[field.indexAt[at] ?? -1];
    const weighs = before?.unit !== 'timeSpan' && (before?.mention.scaled || (before?.mention.value ?? 0) >= 1000);
    if (before && weighs && at === before.mention.last) return before.end + 1;
  }
  return scan.sentence[start] === scan.sentence[m.mention.first] ? start : m.mention.first;
}

/** "9,000 since the oil change", "12 mil desde el ultimo filtro": the work behind a "since" that says it was done. */
function since(around: Surroundings, m: Measured): Work | undefined {
  const { scan } = around;
  const [from, to] = around.right(m);
  for (let at = from; at <= Math.min(to, from + 3); at++) {
    const found = cueAt(scan, at, 'since');
    if (!found) continue;
    const isChange = scan.words.slice(at, to + 1).some((_, ahead) => isOneOf(scan, at + ahead, 'changeOf'));
    return isChange || cueWithin(scan, at, to, 'lastOne', 'done') ? subjectOf(scan, at, to) : undefined;
  }
  return undefined;
}

/** "Filters have 12k on them", "5,000 miles on this oil". */
function runOnIt(around: Surroundings, m: Measured): Work | undefined {
  const { scan } = around;
  const next = m.end + 1;
  if (isPairOf(scan, next, 'onOtherThings')) return subjectOf(scan, ...around.left(m));
  if (!isOneOf(scan, next, 'onWord')) return undefined;
  for (let at = next + 1; at <= next + 3 && scan.clause[at] === scan.clause[m.end]; at++) {
    const work = cueAt(scan, at, 'filter', 'oil', 'otherRepair', 'notTheWork');
    if (work) return work.cue === 'notTheWork' ? undefined : subjectOf(scan, work.first, work.last);
    if (!isOneOf(scan, at, 'namesAThing') && !isOneOf(scan, at, 'determiners')) return undefined;
  }
  return undefined;
}

/** "Fuel filter hasn't been changed since 70k": the mileage of the work itself, right behind a "since". */
export function workNotDoneSince(around: Surroundings, m: Measured): Work | undefined {
  const { scan } = around;
  const { first } = m.mention;
  const since = sinceBefore(scan, first);
  const start = around.sentenceStart(first, 0);
  if (since === undefined || !cueWithin(scan, start, since, 'untouched')) return undefined;
  return subjectOf(scan, start, since) ?? subjectOf(scan, around.sentenceStart(first, 1), start - 1);
}

/** The "since" right before a number, a little word between them aside. */
function sinceBefore(scan: Scan, first: number): number | undefined {
  const before = (cueEnding(scan, first - 1, 'filler')?.first ?? first) - 1;
  return [first - 1, before].find((at) => isOneOf(scan, at, 'sinceWord'));
}

/** "Not changed since we bought her at 70k": before that nobody knows. */
export function isNotKnownBefore(around: Surroundings, m: Measured): boolean {
  const { scan } = around;
  const start = around.sentenceStart(m.mention.first, 0);
  const untouched = cueWithin(scan, start, m.mention.first - 1, 'untouched');
  if (!untouched) return false;
  return scan.words
    .slice(untouched.last, m.mention.first)
    .some((_, ahead) => isOneOf(scan, untouched.last + ahead, 'sinceWord'));
}
