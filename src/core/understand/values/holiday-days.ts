import { mondayOf, nextWeekday, partsOf, weekdayOf, type Day } from './calendar.ts';
import { cueAt, isOneOf, type Found } from './cues.ts';
import type { DayMention } from './day-pairs.ts';
import type { DayText } from './day-text.ts';
import { holidayIn, type HolidayRule } from './holidays.ts';

/** A day or a span that hangs on a holiday; `unsure` where the words can mean another one as well. */
interface Span {
  from: Day;
  to: Day;
  unsure?: boolean;
}
type Shape = (holiday: Day) => Span;

/** "Christmas", "navidad": the day itself. */
export function holiday(text: DayText, index: number): DayMention | undefined {
  const named = holidayAt(text, index);
  if (!named) return undefined;
  // "thanksgiving weekend", "christmas week"
  const beside = cueAt(text.scan, named.last + 1, 'weekend', 'week');
  if (beside?.cue === 'weekend') return mention(text, named.rule, weekendOf, index, beside.last);
  if (beside) return mention(text, named.rule, weekOf, index, beside.last);
  return mention(text, named.rule, (day) => ({ from: day, to: day }), index, named.last);
}

/** "Between christmas and new years", "the week between christmas and new years": from the one to the other. */
export function betweenHolidays(text: DayText, index: number): DayMention | undefined {
  const { scan } = text;
  const week = cueAt(scan, index, 'week');
  const link = cueAt(scan, week ? week.last + 1 : index, 'from');
  const from = link && holidayAt(text, link.last + 1);
  const through = from && cueAt(scan, from.last + 1, 'through');
  const to = through && holidayAt(text, through.last + 1);
  if (!from || !to) return undefined;
  const shape: Shape = (day) => ({ from: day, to: firstOf(to.rule, single, day).to });
  return mention(text, from.rule, shape, index, to.last);
}

/**
 * "Friday after thanksgiving", "the week before christmas", "two days after labor day", "el día después de navidad",
 * "week of thanksgiving": a day or a week that is told by a holiday.
 */
export function beforeOrAfterHoliday(
  text: DayText,
  index: number,
  previous: DayMention | undefined,
): DayMention | undefined {
  const { scan } = text;
  const count = text.count(index);
  const unit = unitAt(text, count?.next ?? index);
  if (!unit || (count && !(unit.is === 'day' || unit.is === 'week'))) return undefined;
  let at = unit.last + 1;
  const side = isOneOf(scan, at, 'rightAfter') ? 1 : isOneOf(scan, at, 'rightBefore') ? -1 : undefined;
  // "Not thanksgiving, the monday after": of the holiday that was named before.
  if (side !== undefined && previous?.isHoliday && isSaid(text, at)) {
    const { from, to, unsure = false } = shapeBeside(unit, side, count)(previous.from);
    return to < text.now ? undefined : { kind: 'date', from, to, unsure, first: index, last: at };
  }
  if (side !== undefined) at++;
  while (isOneOf(scan, at, 'beforeAHoliday') && at < unit.last + LONGEST_LINK && !holidayAt(text, at)) at++;
  const named = holidayAt(text, at);
  if (!named) return undefined;
  const shape = side === undefined ? shapeOf(unit) : shapeBeside(unit, side, count);
  // "The day christmas", "friday christmas": nothing joins them.
  if (!shape || (side === undefined && at === unit.last + 1)) return undefined;
  return mention(text, named.rule, shape, index, named.last);
}

/** Whether nothing follows a word but a mark or a yes: "the monday after works". */
function isSaid({ scan }: DayText, at: number): boolean {
  const next = scan.pieces[at + 1];
  return !next || next.kind === 'mark' || next.kind === 'emoji' || cueAt(scan, at + 1, 'yes') !== undefined;
}

/** At most so many pieces stand between "week" and the holiday: "week before the". */
const LONGEST_LINK = 4;

type Unit = { is: 'day' | 'week' | 'weekend'; last: number } | { is: 'weekday'; weekday: number; last: number };

function unitAt(text: DayText, index: number): Unit | undefined {
  const cue = cueAt(text.scan, index, 'weekend', 'week', 'day');
  if (cue) return { is: cue.cue as 'day', last: cue.last };
  const weekday = text.weekday(index);
  return weekday === undefined ? undefined : { is: 'weekday', weekday, last: index };
}

function holidayAt(text: DayText, index: number): { rule: HolidayRule; last: number } | undefined {
  const found: Found | undefined = cueAt(text.scan, index, 'holiday');
  const rule = found && text.holidayNamed(found);
  return rule ? { rule, last: found.last } : undefined;
}

/** "Week of christmas", "fin de semana de pascua". */
function shapeOf({ is }: Unit): Shape | undefined {
  if (is === 'week') return weekOf;
  return is === 'weekend' ? weekendOf : undefined;
}

/** What lies before (-1) or after (1) a holiday. */
function shapeBeside(unit: Unit, side: 1 | -1, count: { value: number; vague: boolean } | undefined): Shape {
  if (unit.is === 'weekday') return (day) => single(weekdayBeside(unit.weekday, day, side));
  if (unit.is === 'weekend') {
    return (day) => {
      const saturday = side > 0 ? nextWeekday(6, mondayOf(day) + (weekdayOf(day) === 7 ? 6 : 4)) : lastSaturday(day);
      return { from: saturday, to: saturday + 1 };
    };
  }
  if (unit.is === 'week' && !count) return (day) => weekBeside(day, side);
  const days = (count?.value ?? 1) * (unit.is === 'week' ? 7 : 1);
  return (day) => ({ ...single(day + side * days), unsure: unit.is === 'week' || (count?.vague ?? false) });
}

const single = (day: Day): Span => ({ from: day, to: day });

const weekdayBeside = (weekday: number, day: Day, side: 1 | -1): Day =>
  side > 0 ? nextWeekday(weekday, day) : nextWeekday(weekday, day - 8);

/** The Saturday of the last weekend that is over before a day. */
const lastSaturday = (day: Day): Day => mondayOf(day) - 2;

const weekOf: Shape = (day) => ({ from: mondayOf(day), to: mondayOf(day) + 6 });

/** The calendar week; near its edge the days right beside the holiday may be meant as well. */
function weekBeside(day: Day, side: 1 | -1): Span {
  const from = mondayOf(day) + 7 * side;
  const weekday = weekdayOf(day);
  return { from, to: from + 6, unsure: side > 0 ? weekday <= 2 : weekday >= 5 };
}

/** The Saturday and Sunday nearest to the holiday, with it and the days between; a Wednesday lies near none. */
const weekendOf: Shape = (day) => {
  const weekday = weekdayOf(day);
  const saturday = mondayOf(day) + (weekday <= 2 ? -2 : 5);
  if (weekday === 3) return { from: saturday, to: saturday + 1, unsure: true };
  return { from: Math.min(day, saturday), to: Math.max(day, saturday + 1) };
};

/** The first such span that is not over on a day. */
function firstOf(rule: HolidayRule, shape: Shape, now: Day): Span {
  const { year } = partsOf(now);
  const next = [year - 1, year, year + 1].map((one) => shape(holidayIn(one, rule))).find(({ to }) => to >= now);
  return next ?? shape(holidayIn(year + 2, rule));
}

function mention({ now }: DayText, rule: HolidayRule, shape: Shape, first: number, last: number): DayMention {
  const { from, to, unsure = false } = firstOf(rule, shape, now);
  const kind = from === to ? 'date' : 'week';
  return { kind, from: Math.max(from, now), to, unsure, first, last, isHoliday: true };
}
