import type { Message } from '../text.ts';
import { cueBefore, type Scan } from './cues.ts';
import type { Piece } from './pieces.ts';

/** Pieces that are no numbers of the truck: telephone numbers, dates, times of day, tyre sizes. */
export function takenPieces(scan: Scan, spans: readonly { start: number; end: number }[]): Set<number> {
  const taken = new Set<number>();
  const { pieces } = scan;
  let at = 0;
  for (const span of [...spans].sort((a, b) => a.start - b.start)) {
    while (at < pieces.length && (pieces[at] as Piece).end <= span.start) at++;
    for (let i = at; i < pieces.length && (pieces[i] as Piece).start < span.end; i++) taken.add(i);
  }
  for (let index = 0; index < pieces.length; index++) {
    if (pieces[index]?.kind !== 'number' || taken.has(index)) continue;
    const last =
      telephone(scan, index) ??
      date(pieces, index) ??
      timeOfDay(pieces, index) ??
      tyre(pieces, index) ??
      always(pieces, index);
    if (last === undefined) continue;
    for (let i = index; i <= last; i++) taken.add(i);
    index = last;
  }
  return taken;
}

const digitsAt = (pieces: readonly Piece[], index: number, ...lengths: number[]): boolean => {
  const piece = pieces[index];
  return piece?.kind === 'number' && piece.letters === undefined && lengths.includes(piece.text.length);
};
const markAt = (pieces: readonly Piece[], index: number, ...marks: string[]): boolean =>
  marks.includes(pieces[index]?.text ?? '');

/** 555-0142, 555 0142, (208) 555-0142, 208.555.0142, 2085550142, and seven digits after "call" or "number". */
function telephone(scan: Scan, index: number): number | undefined {
  const { pieces } = scan;
  let at = index;
  if (digitsAt(pieces, at, 1) && pieces[at]?.text === '1' && markAt(pieces, at + 1, '-', '.', '(')) at += 2;
  if (digitsAt(pieces, at, 3)) {
    let next = at + 1;
    if (markAt(pieces, next, ')')) next++;
    if (markAt(pieces, next, '-', '.')) next++;
    if (digitsAt(pieces, next, 3)) {
      let end = next + 1;
      if (markAt(pieces, end, '-', '.')) end++;
      if (digitsAt(pieces, end, 4)) return end;
    }
  }
  if (digitsAt(pieces, index, 3)) {
    const joined = markAt(pieces, index + 1, '-', '.') && pieces[index + 2]?.spaced === false;
    const next = joined ? index + 2 : index + 1;
    const likely = pieces[index]?.text === '555' || cueBefore(scan, index, 'phoneNoun') !== undefined;
    if (digitsAt(pieces, next, 4) && ((joined && markAt(pieces, index + 1, '-')) || likely)) return next;
  }
  if (digitsAt(pieces, index, 10)) return index;
  if (digitsAt(pieces, index, 7)) {
    const said = cueBefore(scan, index, 'phoneNoun') !== undefined;
    if (said || (pieces[index]?.text.startsWith('5550') ?? false)) return index;
  }
  return undefined;
}

/** 11/09, 5/28/26, 2026-10-04, 24/7. */
function date(pieces: readonly Piece[], index: number): number | undefined {
  const apart = (i: number, mark: string): boolean => markAt(pieces, i, mark) && pieces[i + 1]?.spaced === false;
  if (digitsAt(pieces, index, 4) && apart(index + 1, '-') && digitsAt(pieces, index + 2, 2) && apart(index + 3, '-')) {
    return digitsAt(pieces, index + 4, 2) ? index + 4 : undefined;
  }
  for (const mark of ['/', '-']) {
    if (digitsAt(pieces, index, 1, 2) && apart(index + 1, mark) && digitsAt(pieces, index + 2, 1, 2)) {
      if (apart(index + 3, mark) && digitsAt(pieces, index + 4, 2, 4)) return index + 4;
      const small = Number(pieces[index]?.text) <= 12 || Number(pieces[index + 2]?.text) <= 12;
      if (mark === '/' && small && pieces[index + 1]?.spaced === false) return index + 2;
    }
    if (mark === '/' && digitsAt(pieces, index, 1, 2) && apart(index + 1, mark) && digitsAt(pieces, index + 2, 4)) {
      return index + 2;
    }
  }
  return undefined;
}

/** 11:30. */
function timeOfDay(pieces: readonly Piece[], index: number): number | undefined {
  const clock = digitsAt(pieces, index, 1, 2) && markAt(pieces, index + 1, ':') && pieces[index + 2]?.spaced === false;
  return clock && digitsAt(pieces, index + 2, 2) ? index + 2 : undefined;
}

/** 265/70R17, 275/65-18, LT245/75R17. */
function tyre(pieces: readonly Piece[], index: number): number | undefined {
  if (!digitsAt(pieces, index, 3) || !markAt(pieces, index + 1, '/') || !digitsAt(pieces, index + 2, 2))
    return undefined;
  return markAt(pieces, index + 3, 'r', '-') && digitsAt(pieces, index + 4, 2) ? index + 4 : index + 2;
}

/** "24/7" and "10-4" are idioms. */
const always = (pieces: readonly Piece[], index: number): number | undefined =>
  (pieces[index]?.text === '10' && markAt(pieces, index + 1, '-') && pieces[index + 2]?.text === '4') ||
  (pieces[index]?.text === '24' && markAt(pieces, index + 1, '/') && pieces[index + 2]?.text === '7')
    ? index + 2
    : undefined;

/** The words of a span of pieces as they were typed. */
export function wordsOf(message: Message, scan: Scan, first: number, last: number): string {
  const start = scan.pieces[first]?.start ?? 0;
  const end = scan.pieces[last]?.end ?? start;
  return message.text.slice(start, end);
}
