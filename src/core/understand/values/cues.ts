import type { Language } from '../../model/ids.ts';
import { PhraseTree } from '../phrase-tree.ts';
import { CUES, type Cue } from './cue-names.ts';
import type { ValuesLexicon } from './lexicon.ts';
import type { LittleWord, LittleWords } from './little-words.ts';
import type { Piece } from './pieces.ts';

/** A phrase of the lexicon found in the message; `last` is inclusive. */
export interface Found {
  cue: Cue;
  first: number;
  last: number;
}

/** How much work a reading took: places of the message that were looked at. Grows with the length of the text alone. */
export interface Effort {
  steps: number;
}

/** A message prepared for reading values: its pieces and every cue in them. */
export interface Scan {
  effort: Effort;
  pieces: readonly Piece[];
  /** The words as the lexicon knows them, misspellings mended. */
  words: readonly string[];
  startingAt: readonly (readonly Found[])[];
  endingAt: readonly (readonly Found[])[];
  language: Language;
  little: LittleWords;
  /** Number of the sentence and of the clause that a piece stands in; marks that end one belong to it. */
  sentence: readonly number[];
  clause: readonly number[];
}

/** Shared by all the pieces at which nothing was found. */
const NONE: Found[] = [];

/** Finds every phrase that counts in a message of the given language. */
export function scanCues(
  pieces: readonly Piece[],
  language: Language,
  lexicon: ValuesLexicon,
  effort: Effort = { steps: 0 },
): Scan {
  const words = pieces.map((piece) => mended(piece, lexicon));
  const startingAt: Found[][] = new Array<Found[]>(pieces.length).fill(NONE);
  const endingAt: Found[][] = new Array<Found[]>(pieces.length).fill(NONE);
  const tree = new PhraseTree(lexicon.phrases[language]);
  const ids = words.map((word) => lexicon.wordIds.get(word));
  for (let first = 0; first < pieces.length; first++) {
    let node = tree.root;
    for (let at = first; at < pieces.length; at++) {
      effort.steps++;
      const id = ids[at];
      const next = id === undefined ? undefined : tree.child(node, id, false);
      if (next !== undefined) {
        node = next;
        for (const place of tree.classesOf(node)) {
          const found = { cue: CUES[place] as Cue, first, last: at };
          add(startingAt, first, found);
          add(endingAt, at, found);
        }
        if (!tree.goesOn(node)) break;
      } else if (at === first || words[at] !== '-') break;
      // A hyphen between two words of a phrase is as good as a space.
    }
  }
  return { effort, pieces, words, startingAt, endingAt, language, little: lexicon.little, ...segments(pieces, words) };
}

function add(lists: Found[][], at: number, found: Found): void {
  if (lists[at] === NONE) lists[at] = [found];
  else lists[at]?.push(found);
}

/** The piece's word; a word that no list holds but that is one slip away from an often misspelt one is mended. */
function mended(piece: Piece, lexicon: ValuesLexicon): string {
  const { text } = piece;
  if (piece.kind !== 'word' || text.length < 4 || text.length > 14) return text;
  if (lexicon.vocabulary.has(text)) return text;
  const likely = lexicon.oftenMisspelt.get(text.slice(0, 1));
  return likely?.find((word) => oneSlip(text, word)) ?? text;
}

/** True where two neighbouring letters are swapped, or one letter is missing or too many. */
export function oneSlip(typed: string, word: string): boolean {
  if (Math.abs(typed.length - word.length) > 1) return false;
  let from = 0;
  while (from < typed.length && from < word.length && typed[from] === word[from]) from++;
  if (typed.length === word.length) {
    return (
      typed[from] === word[from + 1] && typed[from + 1] === word[from] && typed.slice(from + 2) === word.slice(from + 2)
    );
  }
  return typed.length > word.length
    ? typed.slice(from + 1) === word.slice(from)
    : typed.slice(from) === word.slice(from + 1);
}

const SENTENCE_END = new Set(['.', '!', '?', '\n', '…', '...', ';']);
const CLAUSE_END = new Set([',', '(', ')', '—', ':', '|', '"', '“', '”', '«', '»', '•']);

function segments(pieces: readonly Piece[], words: readonly string[]): { sentence: number[]; clause: number[] } {
  const sentence: number[] = [];
  const clause: number[] = [];
  let inSentence = 0;
  let inClause = 0;
  pieces.forEach((piece, index) => {
    sentence.push(inSentence);
    clause.push(inClause);
    const next = pieces[index + 1];
    const word = words[index] as string;
    // A point or comma between two digits belongs to the number.
    const inside = next !== undefined && !next.spaced && next.kind === 'number' && pieces[index - 1]?.kind === 'number';
    if (inside) return;
    if (SENTENCE_END.has(word) || piece.kind === 'emoji') inSentence++;
    const dash = word === '-' && piece.spaced && next?.spaced === true;
    if (SENTENCE_END.has(word) || piece.kind === 'emoji' || CLAUSE_END.has(word) || dash) inClause++;
  });
  return { sentence, clause };
}

/** Whether a piece is one of these little words. */
export const isOneOf = (scan: Scan, index: number, list: LittleWord): boolean =>
  scan.little.lists[list].has(scan.words[index] ?? '');

/** Whether a piece and the next one are two of these little words. */
export const isPairOf = (scan: Scan, index: number, list: LittleWord): boolean =>
  scan.little.lists[list].has(`${scan.words[index] ?? ''} ${scan.words[index + 1] ?? ''}`);

/** The longest cue of one of these kinds that starts at a piece. */
export function cueAt(scan: Scan, index: number, ...cues: readonly Cue[]): Found | undefined {
  scan.effort.steps++;
  const here = scan.startingAt[index];
  if (!here || here.length === 0) return undefined;
  let best: Found | undefined;
  for (const found of here) {
    if (cues.includes(found.cue) && (!best || found.last > best.last)) best = found;
  }
  return best;
}

/** The longest cue of one of these kinds that ends at a piece. */
export function cueEnding(scan: Scan, index: number, ...cues: readonly Cue[]): Found | undefined {
  scan.effort.steps++;
  const here = scan.endingAt[index];
  if (!here || here.length === 0) return undefined;
  let best: Found | undefined;
  for (const found of here) {
    if (cues.includes(found.cue) && (!best || found.first < best.first)) best = found;
  }
  return best;
}

/** The cue of one of these kinds that ends right before a piece, little words between them aside. */
export function cueBefore(scan: Scan, first: number, ...cues: readonly Cue[]): Found | undefined {
  const sentence = scan.sentence[first];
  for (let at = first - 1, skipped = 0; at >= 0 && scan.sentence[at] === sentence && skipped < 5; skipped++) {
    const found = cueEnding(scan, at, ...cues);
    if (found) return found;
    const filler = cueEnding(scan, at, 'filler');
    if (!filler) return undefined;
    at = filler.first - 1;
  }
  return undefined;
}

/** The cue of one of these kinds that starts right after a piece; a hyphen or an "of" between them aside. */
export function cueAfter(scan: Scan, last: number, ...cues: readonly Cue[]): Found | undefined {
  let at = last + 1;
  if (scan.sentence[at] !== scan.sentence[last]) return undefined;
  const direct = cueAt(scan, at, ...cues);
  if (direct) return direct;
  if (scan.words[at] === '-' || isOneOf(scan, at, 'ofWhat')) at++;
  else return undefined;
  return scan.sentence[at] === scan.sentence[last] ? cueAt(scan, at, ...cues) : undefined;
}

/** Whether a cue is part of a longer hedge: the "want" of "i want to say" asks for nothing. */
export const isWithinAHedge = (scan: Scan, { first, last }: { first: number; last: number }): boolean =>
  [first - 1, first].some((at) => (cueAt(scan, at, 'hedge')?.last ?? -1) > last);

/** The first cue of one of these kinds that lies wholly within a span of pieces (both ends inclusive). */
export function cueWithin(scan: Scan, first: number, last: number, ...cues: readonly Cue[]): Found | undefined {
  for (let at = first; at <= last; at++) {
    scan.effort.steps++;
    for (const found of scan.startingAt[at] ?? []) {
      if (found.last <= last && cues.includes(found.cue)) return found;
    }
  }
  return undefined;
}

/** The last such cue in the span. */
export function lastCueWithin(scan: Scan, first: number, last: number, ...cues: readonly Cue[]): Found | undefined {
  for (let at = last; at >= first; at--) {
    scan.effort.steps++;
    for (const found of scan.endingAt[at] ?? []) {
      if (found.first >= first && cues.includes(found.cue)) return found;
    }
  }
  return undefined;
}
