import type { NumberMention } from './numbers.ts';
import type { Scan } from './cues.ts';
import { measure, type Measured } from './units.ts';

/** The numbers of a message with their units, and which of them each piece belongs to. */
export interface NumberField {
  all: readonly Measured[];
  /** For each piece the index of its number in `all`, or -1. */
  indexAt: Int32Array;
}

export function fieldOf(scan: Scan, mentions: readonly NumberMention[]): NumberField {
  const starts = new Set(mentions.map(({ first }) => first));
  const all = mentions.map((mention) => measure(scan, mention, (at) => starts.has(at)));
  const indexAt = new Int32Array(scan.pieces.length).fill(-1);
  mentions.forEach((mention, index) => indexAt.fill(index, mention.first, mention.last + 1));
  return { all, indexAt };
}

/** The numbers that lie in a span of pieces, whole or in part. */
export function numbersIn(field: NumberField, first: number, last: number): NumberMention[] {
  const found: NumberMention[] = [];
  for (let at = first; at <= last; at++) {
    const mention = field.all[field.indexAt[at] ?? -1]?.mention;
    if (mention && found[found.length - 1] !== mention) found.push(mention);
  }
  return found;
}
