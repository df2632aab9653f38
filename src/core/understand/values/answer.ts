import type { Cue } from './cue-names.ts';
import { cueAt, isOneOf, type Found, type Scan } from './cues.ts';

export interface AnswerReading {
  answer: 'yes' | 'no' | 'unclear';
  first?: number;
  last?: number;
}

const KINDS: readonly Cue[] = ['answerSilent', 'yesInSpite', 'noInSpite', 'unclear', 'no', 'yes', 'unclearAlone'];

/**
 * Yes, no, or neither. A hedged yes confirms nothing, "yeah no" is a no, "no problem" is a yes, and a new value without
 * a yes ("98,412") is a no to the value that was asked about; `corrected` tells that there is one.
 */
export function answerOf(scan: Scan, corrected: boolean): AnswerReading {
  const said = phrases(scan);
  const clear = said.filter((phrase) => phrase.is !== 'alone');
  const [first] = clear;
  if (!first) {
    const alone = said[0];
    if (corrected && !alone) return { answer: 'no' };
    return { answer: 'unclear', ...(alone ? { first: alone.first, last: alone.last } : {}) };
  }
  const place = { first: first.first, last: first.last };
  const unclear = clear.find((phrase) => phrase.is === 'unclear');
  if (unclear) {
    // "no i think its a 16": the hedge belongs to the new value.
    const hedgedValue = first.is === 'no' && corrected;
    return hedgedValue ? { answer: 'no', ...place } : { answer: 'unclear', first: unclear.first, last: unclear.last };
  }
  const sentence = scan.sentence[first.first];
  const second = clear.find((phrase) => phrase.is !== first.is && scan.sentence[phrase.first] === sentence);
  if (!second) return { answer: first.is === 'yes' ? 'yes' : 'no', ...place };
  const later = { first: second.first, last: second.last };
  if (first.is === 'yes') {
    // "yeah thats not it", "ok but no": what comes after the polite beginning counts.
    const polite = second.last > second.first || second.first - first.last <= 3;
    return polite ? { answer: 'no', ...later } : { answer: 'yes', ...place };
  }
  const turned = scan.words.slice(first.last + 1, second.first).some((word) => scan.little.lists.turnsRound.has(word));
  if (turned) return { answer: 'yes', ...later };
  return second.weak ? { answer: 'no', ...place } : { answer: 'unclear', ...place };
}

interface Phrase {
  is: 'yes' | 'no' | 'unclear' | 'alone';
  first: number;
  last: number;
  /** Said out of politeness as much as for yes: "ok", "please". */
  weak: boolean;
}

/** The phrases of yes and no in their order, the longest at each place. */
function phrases(scan: Scan): Phrase[] {
  const found: Phrase[] = [];
  for (let at = 0; at < scan.pieces.length;) {
    const cue = isOfNumber(scan, at) ? undefined : longest(scan, at);
    if (!cue) {
      at++;
      continue;
    }
    const { first, last } = cue;
    const is = (
      {
        yes: 'yes',
        yesInSpite: 'yes',
        no: 'no',
        noInSpite: 'no',
        unclear: 'unclear',
        unclearAlone: 'alone',
      } as Partial<Record<Cue, Phrase['is']>>
    )[cue.cue];
    if (is) found.push({ is, first, last, weak: first === last && isOneOf(scan, first, 'weakYes') });
    at = last + 1;
  }
  return found;
}

/** "80k": the letter that belongs to a number is no "k" for okay. */
function isOfNumber({ pieces }: Scan, at: number): boolean {
  const [before, here] = [pieces[at - 1], pieces[at]];
  return before?.kind === 'number' && here?.kind === 'word' && before.end === here.start;
}

function longest(scan: Scan, at: number): Found | undefined {
  let best: Found | undefined;
  for (const kind of KINDS) {
    const found = cueAt(scan, at, kind);
    if (found && (!best || found.last > best.last)) best = found;
  }
  return best;
}
