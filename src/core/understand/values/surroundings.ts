import type { Cue } from './cue-names.ts';
import { cueAt, cueBefore, cueWithin, type Scan } from './cues.ts';
import type { NumberField } from './field.ts';
import type { Measured } from './units.ts';

/** How many pieces a cue may stand away from its number; nobody's sentence keeps them further apart. */
const REACH = 40;

/** A number that can carry words of its own; "last one", "a few" and the like do not cut a clause in two. */
const isWeighty = ({ mention }: Measured): boolean => mention.digits || mention.value >= 20;

/** The words that belong to a number: those of its clause, up to the next number on either side. */
export class Surroundings {
  readonly scan: Scan;
  readonly field: NumberField;

  constructor(scan: Scan, field: NumberField) {
    this.scan = scan;
    this.field = field;
  }

  /** First and last piece to the left of a number that speak of it; empty where the first is behind the last. */
  left(m: Measured): [number, number] {
    const { first } = m.mention;
    const clause = this.scan.clause[first];
    let from = first;
    while (from > 0 && from > first - REACH && this.scan.clause[from - 1] === clause) {
      const other = this.field.all[this.field.indexAt[from - 1] ?? -1];
      if (other && other !== m && isWeighty(other)) {
        from = Math.min(Math.max(from, other.end + 1), first);
        break;
      }
      from--;
    }
    return [from, first - 1];
  }

  /** First and last piece to the right; an "and" or a "but" ends them. */
  right(m: Measured): [number, number] {
    const clause = this.scan.clause[m.end];
    const { joinsClauses } = this.scan.little.lists;
    let to = m.end;
    while (to < m.end + REACH && to + 1 < this.scan.pieces.length && this.scan.clause[to + 1] === clause) {
      const next = this.scan.words[to + 1] ?? '';
      if ((this.field.indexAt[to + 1] ?? -1) >= 0 || joinsClauses.has(next) || next === '&') break;
      to++;
    }
    return [m.end + 1, to];
  }

  leftHas(m: Measured, ...cues: readonly Cue[]): boolean {
    return cueWithin(this.scan, ...this.left(m), ...cues) !== undefined;
  }

  rightHas(m: Measured, ...cues: readonly Cue[]): boolean {
    return cueWithin(this.scan, ...this.right(m), ...cues) !== undefined;
  }

  odometerBefore(m: Measured): boolean {
    return (
      cueBefore(this.scan, m.mention.first, 'odometer') !== undefined ||
      (this.leftHas(m, 'odometer') && !this.leftHas(m, 'otherRepair'))
    );
  }

  /** "118k on it", "118k now on the clock". */
  odometerAfter(m: Measured): boolean {
    for (let at = m.end + 1; at <= m.end + 2; at++) {
      if (this.scan.sentence[at] !== this.scan.sentence[m.end]) return false;
      if (cueAt(this.scan, at, 'odometer')) return true;
      if (!cueAt(this.scan, at, 'filler', 'present', 'miles')) return false;
    }
    return false;
  }

  /** The first piece of the sentence that stands so many sentences before the one of a piece. */
  sentenceStart(at: number, sentencesBack: number): number {
    const wanted = (this.scan.sentence[at] ?? 0) - sentencesBack;
    let from = at;
    while (from > 0 && from > at - REACH && (this.scan.sentence[from - 1] ?? 0) >= wanted) from--;
    return from;
  }
}
