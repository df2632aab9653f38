import type { Cue } from './cue-names.ts';
import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, isPairOf, type Found, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';

/** One value that the text may give for a fact, with the pieces it was read from (both ends inclusive). */
export interface Candidate<T> {
  value: T;
  first: number;
  last: number;
  /** How plainly the words say that it is this fact; only the plainest count. */
  strength: number;
  unsure?: 'hedged' | 'round' | 'digits';
}

export type Choice<T> =
  { none: true; conflict?: boolean } | { none: false; chosen: Candidate<T>; alternatives: readonly T[] };

/** How two neighbouring values stand to each other. */
export type Link = 'corrected' | 'denied' | 'alternative' | 'apart';

/**
 * Picks the one value that the text means. A correction drops the value before it ("75200 no wait 75,820"), a "not"
 * the value after it ("98,241 not 98,214"); "16 or 17" keeps the first as unsure; two different values that nothing
 * joins are a conflict (two trucks), and neither is taken.
 */
export function choose<T>(scan: Scan, found: readonly Candidate<T>[]): Choice<T> {
  const items = [...found].sort((a, b) => a.first - b.first).map((candidate) => ({ ...candidate, dropped: false }));
  const alternatives: T[] = [];
  items.forEach((here, index) => {
    const before = items[index - 1];
    if (!before) {
      // "not a 2014, its a 2015": denied before anything was said
      here.dropped = (items.length > 1 && directlyInstead(scan, here)) || ruledOut(scan, here);
      return;
    }
    const link = isCalledWrong(scan, here) ? 'denied' : linkBetween(scan, before, here);
    if (link === 'corrected') before.dropped = true;
    else if (link === 'denied') here.dropped = true;
    else if (link === 'alternative' && before.value !== here.value) {
      alternatives.push(here.value);
      here.dropped = true;
      before.unsure = 'hedged';
    }
  });
  const left = withoutClaimed(
    scan,
    items.filter((item) => !item.dropped),
  );
  const top = left.reduce((most, item) => Math.max(most, item.strength), 0);
  const plainest = left.filter((item) => item.strength === top);
  const [first] = plainest;
  if (!first) return { none: true };
  if (plainest.some((item) => item.value !== first.value)) return { none: true, conflict: true };
  return { none: false, chosen: plainest.find((item) => item.unsure === undefined) ?? first, alternatives };
}

/**
 * "I wrote 96,000 but it is 69,000", "he says 184,300 but I looked and it's 184,930": what was only said before yields
 * to what is told now. What somebody else says, with nothing that turns against it, leaves a doubt.
 */
function withoutClaimed<T>(scan: Scan, items: (Candidate<T> & { dropped: boolean })[]): Candidate<T>[] {
  if (items.length < 2 || items.length > MOST_CLAIMED) return items;
  const claims = items.map(({ first }) => claimBefore(scan, first));
  const told = items.filter((_, index) => claims[index] === undefined);
  if (told.length === 0 || told.length === items.length) return items;
  const doubted = items.some((item, index) => {
    const next = items[index + 1];
    if (claims[index] !== 'othersClaim' || told.some(({ value }) => value === item.value)) return false;
    return !next || !cueWithin(scan, item.last + 1, next.first - 1, 'turns', 'correction');
  });
  return doubted ? told.map((item) => ({ ...item, unsure: item.unsure ?? ('hedged' as const) })) : told;
}
/** Nobody takes back more values than this. */
const MOST_CLAIMED = 12;
/** Words between "I told you" and its value. */
const CLAIM_REACH = 5;

/** Who said a value before, where the words right before it tell. */
function claimBefore(scan: Scan, first: number): 'ownClaim' | 'othersClaim' | undefined {
  const clause = scan.clause[first];
  for (let at = first - 1; at >= 0 && at >= first - CLAIM_REACH && scan.clause[at] === clause; at--) {
    if (scan.pieces[at]?.kind === 'number') return undefined;
    const claim = cueEnding(scan, at, 'ownClaim', 'othersClaim');
    if (claim) return claim.cue as 'ownClaim';
  }
  return undefined;
}

const directlyInstead = <T>(scan: Scan, candidate: Candidate<T>): boolean =>
  cueBefore(scan, candidate.first, 'instead') !== undefined;

/** "NOT the 6.0, the one that came after": ruled out at the very beginning. */
const ruledOut = <T>(scan: Scan, { first }: Candidate<T>): boolean => first === 2 && isPairOf(scan, 0, 'ruledOutFirst');

/** "Title says 2011. My son says 2012, he is wrong": said of somebody who is not to be believed. */
function isCalledWrong<T>(scan: Scan, { last }: Candidate<T>): boolean {
  for (let at = last + 1; at <= last + 4 && scan.sentence[at] === scan.sentence[last]; at++) {
    if (cueAt(scan, at, 'isWrong')) return true;
    if (scan.pieces[at]?.kind === 'number') return false;
  }
  return false;
}

const SENTENCE_ENDS = new Set(['.', '!', '\n', '…']);

/** Reads what stands between two values. */
export function linkBetween(
  scan: Scan,
  before: { first: number; last: number },
  here: { first: number; last: number },
): Link {
  const from = before.last + 1;
  const to = here.first - 1;
  if (to - from > 14) return 'apart';
  if (from > to) return 'apart';
  let corrected = false;
  let alternative = false;
  let other = 0;
  for (let at = from; at <= to;) {
    const correction = cueAt(scan, at, 'correction');
    const or = cueAt(scan, at, 'or');
    const quiet = cueAt(
      scan,
      at,
      'filler',
      'hedge',
      'maybe',
      'miles',
      'kilometres',
      'litres',
      'yearArticle',
      'cylinders',
    );
    if (correction && correction.last <= to) {
      // A plain "no" corrects only right before the new value: "2016 no issues" does not.
      const plainNo = correction.first === correction.last && isOneOf(scan, at, 'plainNo');
      // "88,112. No, glasses on: 88,712."
      const setApart = SENTENCE_ENDS.has(scan.words[at - 1] ?? '') && scan.words[at + 1] === ',';
      if (!plainNo || setApart || quietFrom(scan, correction.last + 1, to)) corrected = true;
      at = correction.last + 1;
    } else if (or && or.last <= to && (scan.words[at] !== '/' || from === to)) {
      alternative = true;
      at = or.last + 1;
    } else if (quiet && quiet.last <= to) at = quiet.last + 1;
    else {
      if (scan.pieces[at]?.kind === 'word' || scan.pieces[at]?.kind === 'number') other++;
      at++;
    }
  }
  const instead = cueBefore(scan, here.first, 'instead');
  if (instead && other <= 3) {
    // Spanish "101204, no 101240" denies what follows; an English "no" there would correct what went before.
    const isNo = isOneOf(scan, instead.last, 'plainNo');
    const denies = !isNo || (instead.last === to && scan.words[instead.first - 1] === ',');
    return corrected && !denies ? 'corrected' : corrected && !isNo ? 'corrected' : 'denied';
  }
  if (corrected && other <= 4) return 'corrected';
  if (alternative && other <= 2) return 'alternative';
  return 'apart';
}

function quietFrom(scan: Scan, from: number, to: number): boolean {
  for (let at = from; at <= to;) {
    if (scan.pieces[at]?.kind === 'mark') {
      at++;
      continue;
    }
    const quiet = cueAt(scan, at, 'filler', 'correction', 'yearArticle', 'hedge');
    if (!quiet) return false;
    at = quiet.last + 1;
  }
  return true;
}

/** A hedge that belongs to a value: "i wanna say 6.7", "16 i think", "6.7 but dont quote me". */
export function hedged(
  scan: Scan,
  field: NumberField,
  first: number,
  last: number,
  hedges: readonly Cue[] = ['hedge', 'maybe'],
): boolean {
  return hedgedBefore(scan, field, first, hedges) || hedgedAfter(scan, field, last, hedges);
}

/** How far a hedge may stand from its value, in pieces. */
const HEDGE_REACH = 16;

/** Between the hedge and the value at most two words that are no little ones: "i think shes got about 97k". */
function hedgedBefore(scan: Scan, field: NumberField, first: number, hedges: readonly Cue[]): boolean {
  const sentence = scan.sentence[first];
  let words = 0;
  let marked = false;
  for (let at = first - 1; at >= 0 && at > first - HEDGE_REACH && scan.sentence[at] === sentence; at--) {
    if ((field.indexAt[at] ?? -1) >= 0) return false;
    const hedge = cueEnding(scan, at, ...hedges);
    // "I wrote 69,000 but it should be 96,000": what corrects doubts nothing.
    const corrects = hedge && cueEnding(scan, at, 'correction');
    if (corrects && corrects.first < hedge.first) return false;
    // "2001 i believe, 211,000", "2008 i think 6.4": the hedge belongs to what it follows.
    const ofAnother =
      hedge !== undefined &&
      (marked ? (field.indexAt[hedge.first - 1] ?? -1) >= 0 : isRightBehindAValue(scan, field, hedge));
    if (hedge && scan.words[hedge.first] !== '?') return !ofAnother;
    if (scan.words[at] === ',') marked = true;
    const quiet = cueEnding(scan, at, 'filler', 'odometer', 'yearArticle', 'yearNoun', 'yearly', 'engineNoun');
    if (quiet) {
      // "think shes at 118k": the hedge may end within the cue that is passed over.
      for (let i = quiet.first; i < quiet.last; i++) {
        const within = cueEnding(scan, i, ...hedges);
        // "2017 i want to say, 6.7": of what it follows, again.
        if (within) return !isRightBehindAValue(scan, field, within);
      }
      // "Not sure what year, 130,000 miles": what the hedge is about stands before the comma.
      if (marked && cueEnding(scan, at, 'yearNoun', 'engineNoun')) return false;
      at = quiet.first;
    } else if (scan.pieces[at]?.kind === 'word' && ++words > 2) return false;
    else if (scan.pieces[at]?.kind === 'mark' && words > 0) return false;
  }
  return false;
}

/**
 * "2008 i think 6.4", "its a 99 model i think inline 6": a hedge right behind a year or an engine doubts that one, and
 * not what comes next. A "maybe" goes before what it doubts, and so does a hedge that a statement of its own follows.
 */
function isRightBehindAValue(scan: Scan, field: NumberField, hedge: Found): boolean {
  if (cueAt(scan, hedge.first, 'hedge')?.last !== hedge.last) return false;
  const before = hedge.first - 1;
  const named = isOneOf(scan, before, 'modelWord') || cueEnding(scan, before, 'litres', 'diesel') !== undefined;
  const at = named ? before - 1 : before;
  return (field.indexAt[at] ?? -1) >= 0 && scan.sentence[at] === scan.sentence[hedge.last];
}

/** Whether an engine or a number is told right behind a hedge, with nothing between but "with the", "a", "inline". */
function isValueNext(scan: Scan, field: NumberField, from: number): boolean {
  for (let at = from; at < from + 4 && scan.sentence[at] === scan.sentence[from]; at++) {
    if ((field.indexAt[at] ?? -1) >= 0) return true;
    const layout = cueAt(scan, at, 'inlineLayout', 'vLayout');
    if (!layout && !isOneOf(scan, at, 'beforeAnEngine')) return false;
    at = layout?.last ?? at;
  }
  return false;
}

/** The hedge follows at once or in the next clause, and nothing follows that it could belong to instead. */
function hedgedAfter(scan: Scan, field: NumberField, last: number, hedges: readonly Cue[]): boolean {
  for (let at = last + 1, words = 0; at < scan.pieces.length && at < last + HEDGE_REACH; at++) {
    if ((field.indexAt[at] ?? -1) >= 0) return false;
    const hedge = cueAt(scan, at, ...hedges);
    if (hedge && scan.words[at] === '?') return at === last + 1 && fewWordsBefore(scan, last);
    if (hedge) {
      const next = hedge.last + 1;
      if (isRightBehindAValue(scan, field, hedge) && isValueNext(scan, field, next)) return true;
      // "It's a 2014. i think 127k": the hedge belongs to what follows it.
      if ((field.indexAt[next] ?? -1) >= 0) return false;
      const ends = next >= scan.pieces.length || scan.pieces[next]?.kind !== 'word';
      return ends || isOneOf(scan, next, 'goesOnAfterAHedge');
    }
    const quiet = cueAt(scan, at, 'filler', 'odometer', 'miles', 'kilometres', 'litres', 'truckNoun', 'diesel');
    if (quiet) at = quiet.last;
    else if (scan.pieces[at]?.kind === 'word' && !isOneOf(scan, at, 'but') && ++words > 1) {
      return false;
    }
  }
  return false;
}

/** "its a 16?" asks back; a question mark at the end of a longer question says nothing of the value in it. */
function fewWordsBefore(scan: Scan, last: number): boolean {
  let words = 0;
  for (let at = last; at >= 0 && words < 9 && scan.sentence[at] === scan.sentence[last]; at--) {
    if (scan.pieces[at]?.kind === 'word') words++;
  }
  return words <= 4;
}
