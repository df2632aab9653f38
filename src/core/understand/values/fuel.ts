import type { Candidate } from './choose.ts';
import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, type Scan } from './cues.ts';

/**
 * What the truck burns, from the words "diesel" and "gas engine" and the like. Exhaust fluid, a wrong filling, the
 * accelerator ("the gas"), prices and other engines say nothing of it.
 */
export function fuelCandidates(scan: Scan, asked: boolean): Candidate<'diesel' | 'gasoline'>[] {
  const found: Candidate<'diesel' | 'gasoline'>[] = [];
  for (let at = 0; at < scan.pieces.length; at++) {
    if (scan.startingAt[at]?.length === 0) continue;
    const silent = cueAt(scan, at, 'notTheFuel');
    // "with the gas engine": a longer phrase that starts within says more.
    const within = silent && [at, at + 1].some((i) => (cueAt(scan, i, 'gasoline')?.last ?? -1) > silent.last);
    // "The gas not the diesel", where the engine was asked for.
    const engine = asked && isOneOf(scan, silent?.last ?? at, 'fuelNamed') && isOneOf(scan, at, 'fuelNamedWith');
    if (silent && !within && !engine) {
      at = silent.last;
      continue;
    }
    const word = engine ? at + 1 : at;
    const gasoline = cueAt(scan, at, 'gasoline') ?? (asked ? cueAt(scan, word, 'gasWord') : undefined);
    const diesel = cueAt(scan, at, 'diesel');
    const cue = gasoline ?? diesel;
    if (!cue) continue;
    // "The V8 gas mileage is bad"
    if ((cueAt(scan, cue.last, 'notTheFuel')?.last ?? -1) > cue.last) continue;
    if (!ofAnotherEngine(scan, at) && !denied(scan, at) && (asked || !filledIn(scan, at))) {
      found.push({ value: gasoline ? 'gasoline' : 'diesel', first: cue.first, last: cue.last, strength: 1 });
    }
    at = cue.last;
  }
  return found;
}

/** "not petrol, of diesel": a denied fuel. */
const denied = (scan: Scan, at: number): boolean => {
  let before = at;
  // "Not the new gas one"
  while (before > 0 && isOneOf(scan, before - 1, 'beforeAFuel')) before--;
  return cueBefore(scan, before, 'instead') !== undefined;
};

/** "put diesel in the fluid tank": what was poured in says nothing of what the truck burns, unless that was asked. */
function filledIn(scan: Scan, at: number): boolean {
  const fill = cueBefore(scan, at, 'fillVerb');
  return fill !== undefined && scan.clause[fill.first] === scan.clause[at];
}

/** "the generator runs on gas": the sentence speaks of another engine. */
function ofAnotherEngine(scan: Scan, at: number): boolean {
  const sentence = scan.sentence[at];
  let first = at;
  while (first > 0 && scan.sentence[first - 1] === sentence) first--;
  return (
    cueWithin(scan, first, at - 1, 'fuelOwner') !== undefined || cueEnding(scan, at - 1, 'fuelOwner') !== undefined
  );
}
