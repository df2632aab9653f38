import type { Hit } from './vocabulary.ts';
import type { Word, Words } from './words.ts';

/**
 * How two parts of a pattern stand to one another.
 * `&` in that order with nothing but little words between; `+` in one clause, in any order; `>` in that order, close by; `>>` in that order in one clause;
 * `++` in one sentence, in any order; `+>` in one sentence, in that order; `+++` in neighbouring sentences too.
 */
export const JOINS = ['&', '+', '>', '>>', '++', '+>', '+++'] as const;
export type Join = (typeof JOINS)[number];

/**
 * A pattern as it is written: names of word classes or words in brackets, alternatives with `|`, joined by JOINS, with
 * `unless` at the end. After `unless` a name forbids its words in the clause, `<name` right before the first part.
 */
export interface WrittenPattern {
  parts: string[][];
  joins: Join[];
  unless: string[];
  notAfter: string[];
}

/** Splits `fuel | oil + leaks unless hood`; answers the complaint about it where it is not one. */
export function parsePattern(text: string): WrittenPattern | string {
  const [body = '', ...exceptions] = text.split(/\sunless\s/);
  if (exceptions.length > 1) return 'has more than one "unless"';
  const parts: string[][] = [[]];
  const joins: Join[] = [];
  const pieces = body.match(/\([^)]*\)|\S+/g) ?? [];
  let wantsName = true;
  for (const piece of pieces) {
    if ((JOINS as readonly string[]).includes(piece)) {
      if (wantsName) return `has nothing before "${piece}"`;
      joins.push(piece as Join);
      parts.push([]);
      wantsName = true;
    } else if (piece === '|') {
      if (wantsName) return 'has nothing before "|"';
      wantsName = true;
    } else {
      if (!wantsName) return `lacks a sign before "${piece}"`;
      parts.at(-1)?.push(piece);
      wantsName = false;
    }
  }
  if (wantsName) return 'ends in the middle';
  const names = exceptions.length === 0 ? [] : (exceptions[0] ?? '').split('|').map((name) => name.trim());
  const notAfter = names.filter((name) => name.startsWith('<')).map((name) => name.slice(1));
  return { parts, joins, unless: names.filter((name) => !name.startsWith('<')), notAfter };
}

/** A pattern whose names are class numbers. `order` is the sequence in which its parts are looked for. */
export interface Pattern {
  parts: number[][];
  joins: Join[];
  unless: number[];
  notAfter: number[];
  order: { part: number; from: number; join: Join; forward: boolean }[];
}

/** Puts the rarest part first: it decides whether the pattern is looked for at all. */
export function orderPattern(written: Omit<Pattern, 'order'>, sizes: readonly number[]): Pattern {
  const { parts, joins } = written;
  const size = (part: number[]): number => part.reduce((sum, id) => sum + (sizes[id] ?? 0), 0);
  let anchor = 0;
  parts.forEach((part, index) => {
    if (size(part) < size(parts[anchor] as number[])) anchor = index;
  });
  const order: Pattern['order'] = [{ part: anchor, from: anchor, join: '+', forward: true }];
  for (let part = anchor + 1; part < parts.length; part++) {
    order.push({ part, from: part - 1, join: joins[part - 1] as Join, forward: true });
  }
  for (let part = anchor - 1; part >= 0; part--) {
    order.push({ part, from: part + 1, join: joins[part] as Join, forward: false });
  }
  return { ...written, order };
}

/** Where a pattern was found. `hits` are in the order of its parts. */
export interface Match {
  hits: Hit[];
  from: number;
  to: number;
}

/** Greatest distance, in words that carry meaning, for each way of standing together. */
const REACH: Record<Join, number> = { '&': 0, '+': 7, '>': 2, '>>': 9, '++': 14, '+>': 14, '+++': 16 };
const WIDEST = 34;

export interface Scene extends Words {
  at: readonly (readonly Hit[])[];
  /** The kind of thing that each class names (fluid, part …), or undefined. */
  kinds: readonly (string | undefined)[];
  joins: ReadonlySet<string>;
  /** True for each word of a comparison ("like a landlord on the first"): what is said there vetoes nothing. */
  aside?: readonly boolean[];
}

/** All places where a pattern holds, at most one for each hit of its anchor. */
export function findPattern(pattern: Pattern, anchors: readonly Hit[], scene: Scene): Match[] {
  const matches: Match[] = [];
  const chosen: Hit[] = new Array<Hit>(pattern.parts.length);
  const first = pattern.order[0] as Pattern['order'][number];
  const search = (step: number): boolean => {
    const link = pattern.order[step];
    if (!link) return !isVetoed(pattern, chosen, scene);
    const near = chosen[link.from] as Hit;
    const classes = pattern.parts[link.part] as number[];
    for (const hit of candidates(classes, near, link.join, link.forward, scene)) {
      if (chosen.some((other, part) => wasChosen(pattern, step, part) && overlaps(other, hit))) continue;
      if (!attaches(hit, near, scene)) continue;
      chosen[link.part] = hit;
      if (search(step + 1)) return true;
    }
    return false;
  };
  for (const anchor of anchors) {
    chosen[first.part] = anchor;
    if (!search(1)) continue;
    const hits = chosen.slice();
    matches.push({
      hits,
      from: hits.reduce((low, hit) => Math.min(low, hit.from), anchor.from),
      to: hits.reduce((high, hit) => Math.max(high, hit.to), anchor.to),
    });
  }
  return matches;
}

const wasChosen = (pattern: Pattern, step: number, part: number): boolean => {
  for (let earlier = 0; earlier < step; earlier++) if (pattern.order[earlier]?.part === part) return true;
  return false;
};

const overlaps = (one: Hit, other: Hit): boolean => one.from < other.to && other.from < one.to;

/** More words than this no part of a pattern has that stands right before another. */
const LONGEST_PART = 6;

/** Hits of these classes around another, the nearest first. */
function* candidates(
  classes: readonly number[],
  near: Hit,
  join: Join,
  forward: boolean,
  scene: Scene,
): Generator<Hit, void, void> {
  const anyOrder = join === '+' || join === '++' || join === '+++';
  const ahead = anyOrder || forward;
  const behind = anyOrder || !forward;
  for (let step = 0; step <= WIDEST; step++) {
    let open = false;
    if (ahead) {
      const position = near.to + step;
      if (position < scene.words.length && within(near, position, join, scene)) {
        open = true;
        for (const hit of scene.at[position] as readonly Hit[]) if (classes.includes(hit.class)) yield hit;
      }
    }
    if (behind) {
      const position = near.from - 1 - step;
      const isWithin = position >= 0 && within(near, position, join, scene);
      if (isWithin) open = true;
      // What is several words long stands where its last word is: its first may lie beyond the reach.
      if (position >= 0 && (isWithin || step < LONGEST_PART)) {
        open = true;
        for (const hit of scene.at[position] as readonly Hit[]) {
          if (!classes.includes(hit.class) || hit.to > near.from) continue;
          if (isWithin || within(near, hit.to - 1, join, scene)) yield hit;
        }
      }
    }
    if (!open) return;
  }
}

/** Whether a word stands near enough to a hit, and in a clause that the join allows. */
function within(near: Hit, position: number, join: Join, scene: Scene): boolean {
  const word = scene.words[position] as Word;
  const edge = scene.words[position < near.from ? near.from : near.to - 1] as Word;
  if (Math.abs(word.depth - edge.depth) - 1 > REACH[join]) return false;
  if (word.clause === edge.clause) return true;
  const here = scene.clauses[edge.clause];
  const there = scene.clauses[word.clause];
  if (!here || !there) return false;
  if (join === '++' || join === '+>' || join === '+++') {
    const sentences = Math.abs(here.sentence - there.sentence);
    return Math.abs(word.clause - edge.clause) <= 3 && sentences <= (join === '+++' ? 1 : 0);
  }
  return isList(Math.min(word.clause, edge.clause), Math.max(word.clause, edge.clause), scene);
}

/** A comma inside a list ("oil, coolant and fuel leak") does not part what it lists. */
function isList(first: number, last: number, scene: Scene): boolean {
  if (last - first > 3) return false;
  for (let index = first; index < last; index++) {
    const clause = scene.clauses[index];
    if (!clause || clause.endsWith !== ',') return false;
    // A link of the list is a thing alone: at most two words, all of them found as things.
    const link = index === first ? clause.to - 1 : clause.from;
    for (let at = link; at < clause.to; at++) {
      const word = scene.words[at] as Word;
      const names = (scene.at[at] ?? []).some((hit) => scene.kinds[hit.class] !== undefined);
      if (!names && !word.filler) return false;
    }
    const next = scene.clauses[index + 1];
    const head = next && scene.at[next.from]?.some((hit) => scene.kinds[hit.class] !== undefined);
    if (!head) return false;
  }
  return true;
}

/**
 * A state belongs to the thing that stands nearest: in "the pump whines and the turbo is fine" the whine is the
 * pump's. Things that are listed together ("oil and coolant") share it.
 */
function attaches(one: Hit, other: Hit, scene: Scene): boolean {
  const oneKind = scene.kinds[one.class];
  const otherKind = scene.kinds[other.class];
  if (oneKind === otherKind) return true;
  if (oneKind !== undefined && !isNearest(one, other, oneKind, scene)) return false;
  return otherKind === undefined || isNearest(other, one, otherKind, scene);
}

function isNearest(thing: Hit, state: Hit, kind: string, scene: Scene): boolean {
  const reach = gap(thing, state, scene);
  const clause = (scene.words[state.from] as Word).clause;
  const closer = (position: number): Hit | undefined =>
    (scene.at[position] ?? []).find(
      (hit) => scene.kinds[hit.class] === kind && !overlaps(hit, thing) && !overlaps(hit, state),
    );
  for (let step = 0; step <= WIDEST; step++) {
    for (const position of [state.from - 1 - step, state.to + step]) {
      const word = scene.words[position];
      if (!word || word.clause !== clause) continue;
      const rival = closer(position);
      if (rival && gap(rival, state, scene) < reach && !areListed(rival, thing, scene)) return false;
    }
    const left = scene.words[state.from - 1 - step];
    const right = scene.words[state.to + step];
    const beyond = (word: Word | undefined): boolean => !word || word.clause !== clause;
    if (beyond(left) && beyond(right)) return true;
    if (step > reach + 6) return true;
  }
  return true;
}

const gap = (one: Hit, other: Hit, scene: Scene): number => {
  const [left, right] = one.from < other.from ? [one, other] : [other, one];
  const from = scene.words[left.to - 1] as Word;
  const to = scene.words[right.from] as Word;
  return Math.max(0, to.depth - from.depth - (from.filler ? 0 : 1));
};

/** Between two things stand only joining words, fillers and other things. */
function areListed(one: Hit, other: Hit, scene: Scene): boolean {
  const [left, right] = one.from < other.from ? [one, other] : [other, one];
  for (let position = left.to; position < right.from; position++) {
    const word = scene.words[position] as Word;
    if (word.filler || scene.joins.has(word.text)) continue;
    if (!(scene.at[position] ?? []).some((hit) => scene.kinds[hit.class] !== undefined)) return false;
  }
  return true;
}

function isVetoed(pattern: Pattern, chosen: readonly Hit[], scene: Scene): boolean {
  if (pattern.notAfter.length > 0 && standsAfter(pattern.notAfter, chosen[0] as Hit, scene)) return true;
  if (pattern.unless.length === 0) return false;
  for (const hit of chosen) {
    const clause = scene.clauses[(scene.words[hit.from] as Word).clause];
    if (!clause) continue;
    const from = Math.max(clause.from, hit.from - WIDEST);
    const to = Math.min(clause.to, hit.to + WIDEST);
    for (let position = from; position < to; position++) {
      if (scene.aside?.[position] && !scene.aside[hit.from]) continue;
      for (const other of scene.at[position] as readonly Hit[]) {
        if (pattern.unless.includes(other.class) && !chosen.some((part) => part === other)) return true;
      }
    }
  }
  return false;
}

/** Whether words of these classes end right before a hit, little words left out ("my helper just quit"). */
function standsAfter(classes: readonly number[], { from }: Hit, scene: Scene): boolean {
  const clause = scene.words[from]?.clause;
  let end = from;
  while (scene.words[end - 1]?.filler && scene.words[end - 1]?.clause === clause) {
    if (endsAt(classes, end, clause, scene)) return true;
    end--;
  }
  return endsAt(classes, end, clause, scene);
}

function endsAt(classes: readonly number[], end: number, clause: number | undefined, scene: Scene): boolean {
  for (let at = end - 1; at >= 0 && scene.words[at]?.clause === clause && end - at <= LONGEST_NAME; at--) {
    if ((scene.at[at] as readonly Hit[]).some((hit) => hit.to === end && classes.includes(hit.class))) return true;
  }
  return false;
}
const LONGEST_NAME = 4;
