import type { Slot, Taken } from '../model/booking.ts';
import type { Span } from './calendar.ts';
import { minuteOfIso, minutesOfIso, type Minute } from './wall-clock.ts';

/** When one bay or person is taken: spans in order, none touching the next. */
export class Busy {
  readonly starts: Minute[] = [];
  readonly ends: Minute[] = [];

  constructor(spans: readonly Span[]) {
    const inOrder = isInOrder(spans) ? spans : [...spans].sort((a, b) => a.from - b.from);
    for (const { from, to } of inOrder) {
      const last = this.ends.length - 1;
      if (last >= 0 && from <= (this.ends[last] ?? 0)) this.ends[last] = Math.max(this.ends[last] ?? 0, to);
      else {
        this.starts.push(from);
        this.ends.push(to);
      }
    }
  }

  /** The index of the first span that ends after a minute; the number of spans where none does. */
  firstEndingAfter(minute: Minute): number {
    let low = 0;
    let high = this.ends.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.ends[middle] ?? Infinity) > minute) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** When the first span that ends after a minute begins; Infinity where none does. */
  nextStart(minute: Minute): Minute {
    return this.starts[this.firstEndingAfter(minute)] ?? Infinity;
  }

  /** Whether any of the time between two minutes is taken. */
  overlaps(from: Minute, to: Minute): boolean {
    return this.nextStart(from) < to;
  }
}

function isInOrder(spans: readonly Span[]): boolean {
  let before = -Infinity;
  for (const { from } of spans) {
    if (from < before) return false;
    before = from;
  }
  return true;
}

/** The diary by bay and person. */
export interface DiaryIndex {
  of(resource: string): Busy;
  /** When a bay's job has no technician named, so that any one of them may be on it. */
  unnamed(bay: string): Busy;
}

/** Sorts the diary's entries by bay and person; what is over by `from` is left out. */
export function indexDiary(taken: readonly Taken[], from: Minute): DiaryIndex {
  const all = new Map<string, Span[]>();
  const unnamed = new Map<string, Span[]>();
  for (const entry of taken) {
    const to = Math.ceil(minutesOfIso(entry.end));
    if (to <= from) continue;
    const span = { from: minuteOfIso(entry.start), to };
    if (!(span.to > span.from)) continue;
    add(all, entry.bay, span);
    if (entry.person === undefined) add(unnamed, entry.bay, span);
    else add(all, entry.person, span);
  }
  return { of: busyOf(all), unnamed: busyOf(unnamed) };
}

/** Each list is put in order when it is first asked for. */
function busyOf(lists: ReadonlyMap<string, Span[]>): (name: string) => Busy {
  const known = new Map<string, Busy>();
  return (name) => {
    let busy = known.get(name);
    if (!busy) {
      busy = new Busy(lists.get(name) ?? []);
      known.set(name, busy);
    }
    return busy;
  };
}

function add(lists: Map<string, Span[]>, name: string, span: Span): void {
  const list = lists.get(name);
  if (list) list.push(span);
  else lists.set(name, [span]);
}

/**
 * Whether nothing in the diary touches a slot's bay or its technician. Instants are compared, not their texts: around
 * a change of the clocks a later instant can have the smaller text.
 */
export function isFree(slot: Slot, taken: readonly Taken[]): boolean {
  const [from, to] = [minutesOfIso(slot.start), minutesOfIso(slot.end)];
  const resources = slot.person === undefined ? [slot.bay] : [slot.bay, slot.person];
  return !taken.some(
    (entry) =>
      (resources.includes(entry.bay) || (entry.person !== undefined && resources.includes(entry.person))) &&
      minutesOfIso(entry.start) < to &&
      from < minutesOfIso(entry.end),
  );
}
