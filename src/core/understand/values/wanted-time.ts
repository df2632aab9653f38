import type { WantedTime } from '../../model/reading.ts';
import type { IsoDate } from '../../model/time.ts';
import { dayOf, endOfMonth, isoOf, mondayOf, weekdayOf, type Day } from './calendar.ts';
import { linkBetween } from './choose.ts';
import { cueAt, cueBefore, cueEnding, cueWithin, isOneOf, type Found, type Scan } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import { findDays } from './days.ts';
import { partOf } from './day-part.ts';
import type { ValuesLexicon } from './lexicon.ts';
import type { LittleWord } from './little-words.ts';

export interface WantedReading {
  time: WantedTime;
  unsure: boolean;
  first: number;
  last: number;
}

interface Span {
  from: Day;
  to: Day;
  unsure: boolean;
  first: number;
  last: number;
}

/** When the owner wants to come, resolved against the day of the message. Undefined where no day is named. */
export function wantedTimeOf(scan: Scan, lexicon: ValuesLexicon, today: IsoDate): WantedReading | undefined {
  const now = dayOf(today);
  const mentions = findDays(scan, lexicon, now);
  const span = combined(scan, mentions, now);
  if (!span) return undefined;
  const { part, unsure } = partOf(scan, mentions, lexicon);
  const from = isoOf(span.from);
  const time: WantedTime = span.from === span.to ? { date: from, part } : { from, to: isoOf(span.to), part };
  const either = cueWithin(scan, 0, scan.pieces.length - 1, 'secondChoice') !== undefined;
  return { time, unsure: span.unsure || unsure || either, first: span.first, last: span.last };
}

function combined(scan: Scan, mentions: readonly DayMention[], now: Day): Span | undefined {
  const wanted: (Span & { mention?: DayMention; joinedFrom?: Day; again?: boolean })[] = [];
  const ruledOut: DayMention[] = [];
  const away: Span[] = [];
  const takenBack: Span[] = [];
  mentions.forEach((mention, index) => {
    const before = wanted[wanted.length - 1];
    const previous = mentions[index - 1];
    const back = backAfter(scan, mention, now);
    if (back) {
      away.push(back);
      return;
    }
    const alsoOut = previous !== undefined && ruledOut.includes(previous) && isRuledOutWith(scan, previous, mention);
    if (alsoOut || isRuledOut(scan, mention, previous, ruledOut.includes(previous as DayMention))) {
      ruledOut.push(mention);
      return;
    }
    const bounded = withBound(scan, mention, now);
    if (before?.mention && previous === before.mention) {
      const joined = joinedSpan(scan, { ...before, mention: before.mention }, bounded, mention);
      if (joined === 'therefore') {
        wanted[wanted.length - 1] = { ...bounded, mention };
        return;
      }
      if (joined === 'corrected') {
        if (!isSame(before, bounded)) takenBack.push(before);
        // "Monday. No, monday is the dentist, so tuesday": said again as the reason, where another day is named.
        wanted[wanted.length - 1] = { ...bounded, mention, again: isSame(before, bounded) };
        return;
      }
      if (joined) {
        wanted[wanted.length - 1] = { ...joined, mention, joinedFrom: joined.from };
        return;
      }
    }
    // "Thursday. No wait, friday, there is a game thursday": what was taken back is named again as the reason.
    if (!takenBack.some((span) => isSame(span, bounded))) wanted.push({ ...bounded, mention });
  });
  const exact = wanted.filter((span) => !span.mention?.openEnd);
  const days = exact.filter((span) => span.mention?.kind !== 'month');
  const fresh = days.filter((span) => !span.again);
  const list = [fresh, days, exact, wanted].find((spans) => spans.length > 0) ?? away;
  const [first] = list;
  if (!first) return undefined;
  const same = list.every((span) => span.from === first.from && span.to === first.to);
  const span: Span = same ? first : { ...first, unsure: true };
  return without(span, ruledOut);
}

const isSame = (a: Span, b: Span): boolean => a.from === b.from && a.to === b.to;

/** "I am away till Thursday": from that day on, where no other is named. */
function backAfter(scan: Scan, mention: DayMention, now: Day): Span | undefined {
  const until = cueEnding(scan, mention.first - 1, 'until') ?? cueBefore(scan, mention.first, 'until');
  if (!until) return undefined;
  const gone = cueEnding(scan, until.first - 1, 'cannot', 'away');
  if (!gone || mention.from <= now) return undefined;
  const end =
    mention.kind === 'weekday' ? Math.max(mention.from, mondayOf(mention.from) + 6) : endOfMonth(mention.from);
  return { from: mention.from, to: end, unsure: true, first: gone.first, last: mention.last };
}

/** "cant do tomorrow", "not monday", "any day but friday", "tuesday wont work". */
function isRuledOut(
  scan: Scan,
  mention: DayMention,
  previous: DayMention | undefined,
  previousRuledOut: boolean,
): boolean {
  const before = cueBefore(scan, mention.first, 'cannot', 'except');
  // "cant do tuesday but thursday works": after a day that is ruled out, "but" brings the one that is wanted.
  const turn = before !== undefined && previousRuledOut && isOneOf(scan, before.last, 'but');
  if (before && !turn) {
    const plainNo = isOneOf(scan, before.first, 'plainNo') && before.first === before.last;
    // "No trabajo el lunes": free on that day.
    if (cueEnding(scan, before.last, 'dayOff')) return false;
    const correction = plainNo && previous !== undefined && linkBetween(scan, previous, mention) === 'corrected';
    if (!correction) return true;
  }
  for (let at = mention.last + 1; at <= mention.last + 3; at++) {
    if (scan.clause[at] !== scan.clause[mention.last]) return false;
    const after = cueAt(scan, at, 'cannot');
    // A bare "no" after a day belongs to what comes next; "no puedo" and "wont work" rule the day out.
    if (after) return after.last > after.first || !isOneOf(scan, at, 'bareNo');
    if (!cueAt(scan, at, 'filler')) return false;
  }
  return false;
}

/** "Not monday or tuesday", "cualquier dia menos lunes y viernes": both are ruled out. */
function isRuledOutWith(scan: Scan, previous: DayMention, mention: DayMention): boolean {
  if (!cueBefore(scan, previous.first, 'cannot', 'except')) return false;
  const at = previous.last + 1;
  const next = isOneOf(scan, at + 1, 'dateArticles') ? at + 2 : at + 1;
  return next === mention.first && isOneOf(scan, at, 'eitherDay');
}

/** "after the 15th", "before friday", "by monday", "starting tuesday". */
function withBound(scan: Scan, mention: DayMention, now: Day): Span {
  const { from, to, first, last } = mention;
  // "Im off friday": free for the shop, or away.
  const unsure = mention.unsure || cueBefore(scan, first, 'dayOff') !== undefined;
  const span = { from, to, unsure, first, last };
  const after = cueBefore(scan, first, 'after');
  const before = cueBefore(scan, first, 'before');
  const onwards = cueAt(scan, scan.words[last + 1] === ',' ? last + 2 : last + 1, 'onwards');
  // "From the 10th on", "el 10 en adelante"; "on" before another day belongs to that one.
  if (onwards && !mention.openEnd && isLastInClause(scan, onwards.last)) {
    const end = mention.kind === 'weekday' ? Math.max(to, mondayOf(from) + 6) : endOfMonth(to);
    return { ...span, to: end, unsure: true, last: onwards.last };
  }
  const bound = after && before ? (after.last >= before.last ? after : before) : (after ?? before);
  if (!bound || mention.openEnd) return span;
  if (bound.cue === 'after') {
    const starts = holds(scan, bound, 'boundIncluded');
    const begin = starts ? from : to + 1;
    const end = mention.kind === 'weekday' ? Math.max(begin, mondayOf(from) + 6) : Math.max(begin, endOfMonth(begin));
    return { ...span, from: begin, to: end, unsure: true, first: bound.first };
  }
  const inclusive = !holds(scan, bound, 'boundExcluded');
  const end = inclusive ? to : from - 1;
  return end < now ? span : { ...span, from: now, to: Math.max(now, end), unsure: true, first: bound.first };
}

const isLastInClause = (scan: Scan, at: number): boolean =>
  scan.pieces[at + 1] === undefined || scan.pieces[at + 1]?.kind === 'mark' || scan.clause[at + 1] !== scan.clause[at];

/** Whether one of these words stands in a cue. */
function holds(scan: Scan, { first, last }: Found, list: LittleWord): boolean {
  for (let at = first; at <= last; at++) if (isOneOf(scan, at, list)) return true;
  return false;
}

/** Two days that belong together: a span, a choice of two, a correction, or a weekday with its date. */
function joinedSpan(
  scan: Scan,
  a: Span & { mention: DayMention; joinedFrom?: Day },
  b: Span,
  bMention: DayMention,
): Span | 'corrected' | 'therefore' | undefined {
  const link = linkBetween(scan, a, b);
  if (link === 'corrected') return 'corrected';
  // "til the 6th so the 7th": what follows from it is what is wanted.
  for (let at = a.last + 1; at < b.first; at++) if (isOneOf(scan, at, 'therefore')) return 'therefore';
  // "monday tuesday wednesday": days named one after the other.
  const alike = a.mention.kind === bMention.kind && (bMention.kind === 'weekday' || bMention.kind === 'date');
  const listed = alike && bMention.from === a.mention.to + 1;
  const comma = scan.words[a.last + 1] === ',' ? 1 : 0;
  if (listed && a.last + 1 + comma === b.first) return { ...a, to: bMention.to, last: b.last };
  for (let at = a.last + 1; at < b.first; at++) {
    const through = cueAt(scan, at, 'through');
    if (!through) {
      if (cueAt(scan, at, 'filler', 'or', 'morning', 'afternoon', 'from', 'clockAt')) continue;
      if (scan.pieces[at]?.kind === 'mark') continue;
      return undefined;
    }
    // Within a span "from" and "until" are no bounds of their own.
    let from = a.joinedFrom ?? a.mention.from;
    let { to } = bMention;
    const either = isOneOf(scan, through.first, 'eitherDay') || ['/', '&'].includes(scan.words[through.first] ?? '');
    if (to < from) {
      if (a.mention.kind !== 'weekday' || bMention.kind !== 'weekday') return undefined;
      // "Monday thru thursday", said on a wednesday, ends in the week it begins in; of two days the nearer one is first.
      if (!either) to += 7;
      else if (a.mention.unsure) from -= 7;
      else [from, to] = [bMention.from, a.mention.to];
    }
    const between =
      cueBefore(scan, a.first, 'from') !== undefined || cueEnding(scan, a.first - 1, 'from') !== undefined;
    // "Monday or tuesday", said on a tuesday: the one that follows the monday.
    const ofToday = bMention.kind === 'weekday' && bMention.first === bMention.last && bMention.from > a.mention.to;
    const unsure =
      a.mention.unsure || (bMention.unsure && !ofToday) || (either && !between && !isNextTo(a.mention, bMention));
    return { from, to, unsure, first: a.first, last: b.last };
  }
  return undefined;
}

const isNextTo = (a: DayMention, b: DayMention): boolean => b.from - a.to <= 1 && a.from - b.to <= 1;

/** A day that is ruled out at an end of a span shortens it; from the middle on, only the part before it stays. */
function without(span: Span, ruledOut: readonly DayMention[]): Span | undefined {
  let { from, to, unsure } = span;
  for (const out of ruledOut) {
    let day = out.from;
    // "next week but friday" names the Friday of that week.
    if (out.kind === 'weekday' && from !== to) {
      const weekday = weekdayOf(out.from);
      day = from + ((weekday - weekdayOf(from) + 7) % 7);
    }
    if (day < from || day > to) continue;
    if (from === to) return undefined;
    unsure = true;
    if (day === from) from++;
    else to = day - 1;
  }
  return { ...span, from, to, unsure };
}
