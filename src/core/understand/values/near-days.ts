import { mondayOf, nextWeekday, weekdayOf } from './calendar.ts';
import { cueAt, cueEnding, isOneOf } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import { oneDay, type DayText } from './day-text.ts';

/** "today", "mañana", "day after tomorrow". */
export function relativeDay(text: DayText, index: number): DayMention | undefined {
  const scan = text.scan;
  const partFirst = cueAt(scan, index, 'morning', 'afternoon');
  const found = cueAt(scan, index, 'dayAfterTomorrow', 'tomorrow', 'today');
  if (!found || (partFirst && partFirst.last > found.last)) return undefined;
  // "en la mañana" is a part of the day, whatever word starts it.
  if (found.cue === 'tomorrow' && cueEnding(scan, found.last, 'morning')) {
    const part = cueEnding(scan, found.last, 'morning');
    if (part && part.first < index) return undefined;
  }
  // "de hoy en ocho días" counts from today.
  if (found.cue === 'today' && isOneOf(scan, found.last + 1, 'fromTodayIn') && text.count(found.last + 2))
    return undefined;
  const ahead = { today: 0, tomorrow: 1, dayAfterTomorrow: 2 }[found.cue as 'today'];
  const inside = cueAt(scan, found.last, 'morning', 'afternoon') !== undefined;
  return { ...oneDay('other', text.now + ahead, found.first, found.last), partInside: inside };
}

/** "Tomorrow or the day after", "mañana o el otro día": counted from the day that was named right before. */
export function dayAfter(text: DayText, index: number, previous: DayMention | undefined): DayMention | undefined {
  const { scan } = text;
  const found = cueAt(scan, index, 'dayAfter');
  if (!found || !previous || previous.from !== previous.to) return undefined;
  const or = cueEnding(scan, index - 1, 'through');
  return or && or.first === previous.last + 1 ? oneDay('other', previous.to + 1, index, found.last) : undefined;
}

/** "two weeks from monday", "a week from friday", "in 3 days", "dentro de dos semanas". */
export function ahead(text: DayText, index: number): DayMention | undefined {
  const scan = text.scan;
  const count = text.count(index);
  if (!count) return undefined;
  const unit = cueAt(scan, count.next, 'week', 'day');
  if (!unit) return undefined;
  const days = count.value * (unit.cue === 'week' ? 7 : 1);
  const from = unit.last + 1;
  if (isOneOf(scan, from, 'countedFrom')) {
    for (let at = from + 1; at <= from + 3; at++) {
      const start = weekday(text, at) ?? relativeDay(text, at);
      if (start) return oneDay('date', start.from + days, index, start.last, start.unsure);
    }
  }
  const fromNow = cueAt(scan, from, 'fromNow');
  // "In a couple of weeks".
  const first = isOneOf(scan, index - 1, 'oneWeek') ? index - 1 : index;
  const inside = isOneOf(scan, first - 1, 'inSoMany') || isOneOf(scan, index - 2, 'within');
  if (!fromNow && !inside) return undefined;
  // Spanish counts today: ocho días is a week, quince días two.
  const spanish = scan.language === 'es' && unit.cue === 'day' ? ({ 8: 7, 15: 14 }[count.value] ?? days) : days;
  const vague = unit.cue === 'week' || count.vague;
  return oneDay('date', text.now + spanish, index, fromNow?.last ?? unit.last, vague);
}

/** "friday", "next friday", "el viernes que viene": the nearest one, or that of the next week. */
export function weekday(text: DayText, index: number): DayMention | undefined {
  const scan = text.scan;
  const before = cueAt(scan, index, 'next', 'this');
  const at = before ? before.last + 1 : index;
  const weekday = text.weekday(at);
  if (weekday === undefined) return undefined;
  const after = cueAt(scan, at + 1, 'next');
  const afterIsWeek = after !== undefined && cueAt(scan, after.last + 1, 'week') !== undefined;
  const last = after && !afterIsWeek ? after.last : at;
  const nearest = nextWeekday(weekday, text.now);
  // "Thursday week": the one after the next.
  const isWeekOn = !before && scan.language === 'en' && isOneOf(scan, at + 1, 'weekOn');
  if (isWeekOn) return oneDay('weekday', nearest + 7, index, at + 1);
  const todayIsIt = weekdayOf(text.now) === weekday;
  const next = before?.cue === 'next' || (after !== undefined && !afterIsWeek);
  if (next && !isOneOf(scan, before?.last ?? after?.first ?? -1, 'coming')) {
    const inNextWeek = mondayOf(text.now) + 7 + weekday - 1;
    return oneDay('weekday', inNextWeek, index, last, nearest !== inNextWeek);
  }
  if (before?.cue === 'this') {
    const inThisWeek = mondayOf(text.now) + weekday - 1;
    const past = inThisWeek < text.now;
    return oneDay('weekday', past ? nearest : inThisWeek, index, last, past);
  }
  return oneDay('weekday', nearest, index, last, todayIsIt);
}
