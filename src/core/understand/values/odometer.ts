import { choose, type Candidate } from './choose.ts';
import { cueAt, cueEnding, cueWithin, type Scan } from './cues.ts';
import { doubtAbout, usualMilesSince, type Doubt, type LastKnown } from './gate.ts';
import type { MileageCandidate } from './mileage.ts';

export interface MileageValue {
  value: number;
  first: number;
  last: number;
  /** Why it must be confirmed; absent where it is plain. */
  doubt?: { because: Doubt['because'] | 'round' | 'hedged'; perhaps?: number };
}

/** The owner's present odometer: the plainest value, checked against the last reading. */
export function odometerOf(
  scan: Scan,
  candidates: readonly MileageCandidate[],
  last: LastKnown,
  asked: boolean,
): MileageValue | undefined {
  const stated = candidates.filter((candidate) => candidate.role === 'odometer');
  const chosen = choose(scan, withoutRounded(stated));
  if (!chosen.none) return judged(scan, exactOf(chosen.chosen, stated), stated, last, asked);
  if (chosen.conflict || !asked || last.miles === undefined) return undefined;
  return relative(scan, candidates, last.miles);
}

/** "Quarter million on it, 250,118 to be exact": the exact one of two that are the same but for rounding. */
function exactOf(chosen: Candidate<number>, stated: readonly MileageCandidate[]): Candidate<number> {
  if (chosen.value % 1000 !== 0) return chosen;
  const isExact = ({ value, past, unsure }: MileageCandidate): boolean =>
    !past && !unsure && value % 1000 !== 0 && Math.abs(value - chosen.value) <= SAME_BUT_ROUNDED * chosen.value;
  return stated.find(isExact) ?? chosen;
}
const SAME_BUT_ROUNDED = 0.005;

/** "74 thousand, 74,300 to be exact": what only rounds another one says nothing of its own. */
function withoutRounded(stated: readonly MileageCandidate[]): readonly MileageCandidate[] {
  if (stated.length < 2 || stated.length > MOST_COMPARED) return stated;
  const exact = stated.filter(({ value, unsure }) => value % 1000 !== 0 && !unsure);
  const rounds = ({ value, strength }: MileageCandidate): boolean =>
    value % 1000 === 0 &&
    exact.some(
      (other) =>
        other.strength >= strength - HARDLY_LESS_PLAIN && Math.abs(other.value - value) <= SAME_BUT_ROUNDED * value,
    );
  return stated.filter((candidate) => !rounds(candidate));
}
const HARDLY_LESS_PLAIN = 0.5;
/** Nobody names more mileages than this to round one of them. */
const MOST_COMPARED = 20;

function judged(
  scan: Scan,
  candidate: Candidate<number>,
  stated: readonly MileageCandidate[],
  last: LastKnown,
  asked: boolean,
): MileageValue {
  const { value, first, last: end } = candidate;
  const own = stated.find((other) => other.first === first);
  const tenths = tenthsRunOn(scan, value, own);
  if (tenths !== undefined) return { value: tenths, first, last: end, doubt: { because: 'hedged', perhaps: value } };
  const doubt = asked || last.miles !== undefined ? doubtAbout(value, last) : doubtAbout(value, {});
  if (doubt) return { value, first, last: end, doubt };
  if (candidate.unsure) return { value, first, last: end, doubt: { because: candidate.unsure } };
  // "The cluster was swapped, it shows 12,400": the instrument does not tell what the truck has.
  if (own?.past || (isInstrumentOff(scan) && !own?.total))
    return { value, first, last: end, doubt: { because: 'hedged' } };
  return { value, first, last: end };
}

/** "Odometer is stuck", and not "the fuel gauge is stuck". */
function isInstrumentOff(scan: Scan): boolean {
  return scan.pieces.some(
    (_, at) => cueAt(scan, at, 'instrumentOff') !== undefined && !cueEnding(scan, at - 1, 'otherGauge'),
  );
}

/** "1046123 but i think the last number is tenths": typed without the point. */
function tenthsRunOn(scan: Scan, value: number, own: MileageCandidate | undefined): number | undefined {
  if (!own || own.mention.decimals > 0 || value < 10_000) return undefined;
  return cueWithin(scan, 0, scan.pieces.length - 1, 'tenths') ? Math.floor(value / 10) : undefined;
}

/** "bout 2500 more than last time", "same as last time": told against the last reading. */
function relative(scan: Scan, candidates: readonly MileageCandidate[], last: number): MileageValue | undefined {
  const more = choose(
    scan,
    candidates.filter(({ role, countedFrom }) => role === 'more' || (role === 'ago' && !countedFrom)),
  );
  if (!more.none) {
    const { value, first, last: end } = more.chosen;
    return { value: last + value, first, last: end, doubt: { because: 'hedged' } };
  }
  const same = cueWithin(scan, 0, scan.pieces.length - 1, 'sameAsLast');
  return same ? { value: last, first: same.first, last: same.last, doubt: { because: 'hedged' } } : undefined;
}

/** The odometer at the last fuel filter; "12k ago" counts back from the last reading. */
export function filterOf(
  scan: Scan,
  candidates: readonly MileageCandidate[],
  last: LastKnown,
  asked: boolean,
): MileageValue | undefined {
  const filters = withoutRounded(candidates.filter((candidate) => candidate.role === 'filter'));
  const chosen = choose(scan, filters);
  if (!chosen.none) {
    const { value, first, last: end, unsure } = chosen.chosen;
    // A filter cannot have been changed at a mileage that the truck has not reached, by its last reading and the days since.
    if (last.miles !== undefined && value > last.miles + usualMilesSince(last) && asked) {
      return { value, first, last: end, doubt: { because: unsure ?? 'digits' } };
    }
    return { value, first, last: end, ...(unsure ? { doubt: { because: unsure } } : {}) };
  }
  if (chosen.conflict || !asked || last.miles === undefined) return undefined;
  const ago = choose(
    scan,
    candidates.filter(({ role, countedFrom }) => role === 'ago' && (countedFrom ?? 'filter') === 'filter'),
  );
  if (ago.none || ago.chosen.value > last.miles) return undefined;
  const { value, first, last: end } = ago.chosen;
  return { value: last.miles - value, first, last: end, doubt: { because: 'hedged' } };
}

/** "The last ones were 11k ago, it has 171,500": the odometer at some work, counted back from what it is now. */
export function countedBack(
  scan: Scan,
  candidates: readonly MileageCandidate[],
  work: 'filter' | 'oil',
  now: MileageValue | undefined,
): MileageValue | undefined {
  if (!now || candidates.some(({ role }) => role === work)) return undefined;
  const counted = choose(
    scan,
    candidates.filter(({ countedFrom }) => countedFrom === work),
  );
  if (counted.none || counted.chosen.value > now.value) return undefined;
  const { value, first, last, unsure } = counted.chosen;
  const because = unsure ?? now.doubt?.because;
  return { value: now.value - value, first, last, ...(because ? { doubt: { because } } : {}) };
}

/** Miles a year, and the odometer at the last oil change: the plainest value. */
export function plainestOf(
  scan: Scan,
  candidates: readonly MileageCandidate[],
  role: 'pace' | 'oil',
): MileageValue | undefined {
  const chosen = choose(
    scan,
    candidates.filter((candidate) => candidate.role === role),
  );
  if (chosen.none) return undefined;
  const { value, first, last, unsure } = chosen.chosen;
  return { value, first, last, ...(unsure ? { doubt: { because: unsure } } : {}) };
}
