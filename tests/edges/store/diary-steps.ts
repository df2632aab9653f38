import { holdOf, type OwnerFile, type Slot } from '../../../src/core/mod.ts';
import type { Store, StoreTransaction } from '../../../src/edges/store/types.ts';
import { after, NOW, request, truck, ZONE } from './made-up.ts';

const BAYS = ['bay-1', 'bay-2'];
const PEOPLE = ['fenwick', 'quill'];
const DAY = '2026-11-05';
const QUARTER = 15;

/** One thing that somebody does to the diary of one day. */
export interface Step {
  what: 'ask' | 'cancel' | 'hold' | 'let-go' | 'block' | 'unblock';
  /** Whose request, hold or block it is. */
  who: number;
  bay: number;
  /** A technician, or none where it is as large as their number. */
  person: number;
  /** Minutes since seven in the morning. */
  from: number;
  minutes: number;
}

export const WHATS: Step['what'][] = ['ask', 'ask', 'ask', 'cancel', 'hold', 'let-go', 'block', 'unblock'];
export const MOST: Omit<Step, 'what'> = { who: 3, bay: 1, person: 2, from: 290, minutes: 100 };

export type Outcome = 'saved' | 'taken';

const clock = (minutes: number): string => {
  const at = 7 * 60 + minutes;
  return `${DAY}T${String(Math.floor(at / 60)).padStart(2, '0')}:${String(at % 60).padStart(2, '0')}:00-07:00`;
};

export function slotOf({ bay, person, from, minutes }: Step): Slot {
  const name = PEOPLE[person];
  return {
    bay: BAYS[bay] ?? '',
    start: clock(from),
    end: clock(from + minutes),
    ...(name !== undefined && { person: name }),
  };
}

/** Whose entry a step makes or ends. */
export function holderOf(prefix: string, { what, who }: Step): string {
  const owner = `${prefix}${who}`;
  if (what === 'hold' || what === 'let-go') return holdOf(owner);
  return what === 'block' || what === 'unblock' ? `b-${owner}` : `${owner}-q`;
}

/** What a holder has after a step that was saved; nothing where it gave it back. */
export function entryAfter(step: Step): Slot | undefined {
  const { person: _none, ...bay } = slotOf(step);
  if (step.what === 'block') return bay;
  return step.what === 'ask' || step.what === 'hold' ? slotOf(step) : undefined;
}

/**
 * Does one step as a turn does it: the owner's lock, the file as it is, one save that is kept or not. Two that move into
 * one another's place at the same moment wait for each other; PostgreSQL ends one of them, and it is run again, as the
 * desk runs again what the machine interrupted.
 */
export async function take(store: Store, prefix: string, step: Step): Promise<Outcome> {
  for (;;) {
    try {
      return await takeOnce(store, prefix, step);
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : '';
      if (!/^40/.test(code)) throw error;
    }
  }
}

async function takeOnce(store: Store, prefix: string, step: Step): Promise<Outcome> {
  const { what, who } = step;
  const owner = `${prefix}${who}`;
  const holder = holderOf(prefix, step);
  return store.transaction(async (tx) => {
    if (what === 'unblock') {
      await tx.endBlock(holder);
      return 'saved';
    }
    if (what === 'block') {
      await tx.endBlock(holder);
      return tx.savepoint(async () => {
        const { bay: resource, start, end } = slotOf(step);
        const block = { id: holder, resource, start, end, because: 'made up', by: 'nobody', at: NOW };
        const { outcome } = await tx.addBlock(block);
        return { keep: outcome === 'saved', value: outcome };
      });
    }
    return save(tx, owner, step);
  });
}

async function save(tx: StoreTransaction, owner: string, step: Step): Promise<Outcome> {
  await tx.lockOwners([owner]);
  if (!(await tx.loadFile(owner))) {
    await tx.addOwner({ id: owner, channel: 'web', address: owner, language: 'en', zone: ZONE, at: NOW });
  }
  const before = await tx.loadFile(owner);
  if (!before) throw new Error('no such owner');
  return tx.savepoint(async () => {
    const { outcome } = await tx.saveFile(before, changed(before, owner, step));
    return { keep: outcome === 'saved', value: outcome };
  });
}

function changed(file: OwnerFile, owner: string, step: Step): OwnerFile {
  const { what } = step;
  if (what === 'hold' || what === 'let-go') {
    const { hold: _former, ...conversation } = file.conversation;
    const slot = slotOf(step);
    return {
      ...file,
      conversation: what === 'hold' ? { ...conversation, hold: { slot, until: after(20) } } : conversation,
    };
  }
  const asked = request(`${owner}-q`, `${owner}-v`, {
    slot: what === 'ask' ? slotOf(step) : (file.requests[0]?.slot ?? null),
    state: what === 'ask' ? 'requested' : 'cancelled',
  });
  if (what === 'cancel' && file.requests.length === 0) return file;
  return { ...file, vehicles: [truck(`${owner}-v`)], requests: [asked] };
}

/** A diary that is slow and plainly right: it compares everything with everything, minute by minute. */
export class SlowDiary {
  readonly entries = new Map<string, Slot>();

  /** Whether a holder can have the time; where it can, it has it from now on. A block that is refused is gone. */
  take(holder: string, slot: Slot | undefined, refusedIsGone: boolean): Outcome {
    const others = [...this.entries].filter(([name]) => name !== holder);
    if (slot && others.some(([, other]) => clash(slot, other))) {
      if (refusedIsGone) this.entries.delete(holder);
      return 'taken';
    }
    if (slot) this.entries.set(holder, slot);
    else this.entries.delete(holder);
    return 'saved';
  }
}

/** Whether two slots want one bay or one person in one quarter hour. */
export function clash(a: Slot, b: Slot): boolean {
  const shared = [a.bay, a.person].some((name) => name !== undefined && (name === b.bay || name === b.person));
  const taken = new Set(quartersOf(a));
  return shared && quartersOf(b).some((quarter) => taken.has(quarter));
}

function quartersOf({ start, end }: Slot): number[] {
  const quarters: number[] = [];
  for (let minute = Date.parse(start) / 60_000; minute < Date.parse(end) / 60_000; minute++) {
    quarters.push(Math.floor(minute / QUARTER));
  }
  return quarters;
}

/** What the store's diary holds, by holder. */
export async function heldIn(store: Store): Promise<Map<string, Slot>> {
  const { taken } = await store.transaction((tx) => tx.loadDiary(DAY, DAY, ZONE, NOW));
  return new Map(taken.map(({ holder = '', ...slot }) => [holder, slot]));
}

/** Random steps from a seed (mulberry32), the same for the same seed. */
export function* randomSteps(seed: number, count: number): Generator<Step> {
  let state = seed >>> 0;
  const below = (end: number): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return Math.floor((((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296) * end);
  };
  for (let step = 0; step < count; step++) {
    yield {
      what: WHATS[below(WHATS.length)] ?? 'ask',
      who: below(MOST.who + 1),
      bay: below(MOST.bay + 1),
      person: below(MOST.person + 1),
      from: 5 * below(MOST.from / 5),
      minutes: 10 + 5 * below((MOST.minutes - 10) / 5),
    };
  }
}
