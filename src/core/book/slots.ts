import type { Slot, SlotsAnswer, SlotsRequest } from '../model/booking.ts';
import type { Language } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import type { Texts } from '../model/texts.ts';
import { crewFor, type Crew } from './crew.ts';
import { indexDiary, type DiaryIndex } from './diary.ts';
import { planOf, workBetween, type HoursOf, type Plan } from './plan.ts';
import { earliestBecause, type Found } from './reasons.ts';
import { startsAround, startsFrom, startsOn, startsWithin, wantedSpans, type Start } from './search.ts';
import { minuteOfIso, type DayNumber, type Minute } from './wall-clock.ts';

/** What a search for times needs beside the request. */
export interface SlotsMeans {
  shop: Shop;
  hoursOf: HoursOf;
  texts: Texts;
  /** Language of the reason; English where absent. */
  language?: Language;
}

const AT_A_TIME = 3;

/**
 * The next free times for some services: at most three, within what the owner wanted first, the nearest otherwise.
 * They start on quarter hours of the shop's wall clock while work is done, never before `now`, never over anything
 * in `booked`, in a bay that takes the truck and the work, with a technician to spare who can do it, after the shop's
 * notice and when the parts are there. `skip` passes over the best ones ("more").
 * Throws a RangeError where `now` is not an ISO 8601 instant.
 */
export function findSlots(request: SlotsRequest, means: SlotsMeans): SlotsAnswer {
  const plan = planOf(request, means.shop, means.hoursOf);
  const diary = indexDiary(request.booked ?? [], plan.now);
  const crew = crewFor(request.services, plan.shop, plan.calendar, diary);
  const spans = request.wantedTime && wantedSpans(plan, request.wantedTime);
  const on = onceADay((day) => startsOn(plan, diary, crew, day));

  const wanted = spans ? pick(startsWithin(plan, on, spans), [], plan, (request.skip ?? 0) + AT_A_TIME) : [];
  const rest = spans ? startsAround(plan, on, spans) : startsFrom(plan, on, plan.firstDay);
  const all = pick(rest, wanted, plan, (request.skip ?? 0) + AT_A_TIME);
  const chosen = all.slice(request.skip ?? 0);
  const isWanted = (start: Start) => wanted.includes(start);
  const slots = [
    ...chosen.filter(isWanted),
    ...chosen.filter((start) => !isWanted(start)).sort((a, b) => a.minute - b.minute),
  ];

  const found: Found = { first: all[0], wantedMet: spans ? slots.some(isWanted) : undefined, spans };
  const answer: SlotsAnswer = {
    slots: slots.map((start) => slotOf(start, plan, diary, crew)),
    earliestBecause: earliestBecause(plan, found, means.texts, means.language ?? 'en'),
  };
  if (found.wantedMet !== undefined) answer.wantedMet = found.wantedMet;
  if (plan.visit === 'tow-in' && plan.shop.yardPlaces > 0) answer.yardFrom = plan.calendar.clock.format(nextOpen(plan));
  return answer;
}

/**
 * The slot that begins at exactly this minute, for somebody of the shop who has named it: in a bay that takes the truck
 * and the work, in `bay` where that is given, with a technician who can do it. Undefined where there is none.
 */
export function slotAt(request: SlotsRequest, start: string, means: SlotsMeans, bay?: string): Slot | undefined {
  const plan = planOf(request, means.shop, means.hoursOf, true);
  const minute = minuteOfIso(start);
  const diary = indexDiary(request.booked ?? [], Math.min(plan.now, minute));
  const crew = crewFor(request.services, plan.shop, plan.calendar, diary);
  const bays = bay === undefined ? plan.bays : plan.bays.filter(({ id }) => id === bay);
  const here: Plan = { ...plan, bays, earliest: Math.min(plan.earliest, minute) };
  const found = startsOn(here, diary, crew, plan.calendar.clock.dayOf(minute)).find((one) => one.minute === minute);
  return found && slotOf(found, here, diary, crew);
}

/** Takes starts in their order, each far enough from those already taken to be a choice of its own. */
function pick(starts: Iterable<Start>, taken: readonly Start[], plan: Plan, count: number): Start[] {
  const picked = [...taken];
  if (picked.length >= count) return picked;
  for (const start of starts) {
    const far = picked.every(({ minute }) => Math.abs(minute - start.minute) >= plan.shop.booking.offersApartMinutes);
    if (far) picked.push(start);
    if (picked.length >= count) break;
  }
  return picked;
}

/** The bay that suits best: one that stays free if the job grows, then the one that can do least. */
function slotOf(start: Start, plan: Plan, diary: DiaryIndex, crew: Crew): Slot {
  const grown = plan.mayGrow > 0 ? (plan.calendar.afterWork(start.end, plan.mayGrow) ?? Infinity) : start.end;
  const free = plan.bays.filter(({ id }) => start.bays.includes(id));
  const bay = [...free].sort(
    (a, b) =>
      Number(diary.of(a.id).overlaps(start.end, grown)) - Number(diary.of(b.id).overlaps(start.end, grown)) ||
      Number(a.lift) - Number(b.lift) ||
      b.cannot.length - a.cannot.length,
  )[0];
  const { clock } = plan.calendar;
  const person = crew.personFor(workBetween(plan.calendar, start.minute, start.end));
  return {
    bay: bay?.id ?? '',
    start: clock.format(start.minute),
    end: clock.format(start.end),
    ...(person === undefined ? {} : { person }),
  };
}

function nextOpen(plan: Plan): Minute {
  const { calendar, now } = plan;
  const open = calendar.dayAt(calendar.clock.dayOf(now)).open.some(({ from, to }) => from <= now && now < to);
  return open ? now : (calendar.afterWork(now, 1) ?? now + 1) - 1;
}

function onceADay(startsOf: (day: DayNumber) => Start[]): (day: DayNumber) => readonly Start[] {
  const days = new Map<DayNumber, Start[]>();
  return (day) => {
    let starts = days.get(day);
    if (!starts) {
      starts = startsOf(day);
      days.set(day, starts);
    }
    return starts;
  };
}
