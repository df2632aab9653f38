import type { ServiceId } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import { spansOf, weekdayOf, type ShopCalendar, type Span } from './calendar.ts';
import type { DiaryIndex } from './diary.ts';
import { QUARTER, type DayNumber, type Minute } from './wall-clock.ts';

type Person = Shop['people'][number];

/** Whether there are hands for one more job. */
export interface Crew {
  /** Whether there is such a technician in the quarter hour of a minute: the cheap question that comes first. */
  isThereAt(minute: Minute): boolean;
  /** Whether in every quarter of this work there is a technician to spare who can do the job. */
  canDo(work: readonly Span[]): boolean;
  /** A technician who is there and free for all of this work and can do it; those who can do least come first. */
  personFor(work: readonly Span[]): string | undefined;
}

/**
 * The crew for some services, against a diary. Each job under way takes one technician: the one who is named, or any
 * one of those who are there. A shop that lists no technicians is limited by its bays alone.
 */
export function crewFor(services: readonly ServiceId[], shop: Shop, calendar: ShopCalendar, diary: DiaryIndex): Crew {
  const technicians = shop.people.filter(({ role }) => role === 'technician');
  if (technicians.length === 0) {
    return { isThereAt: () => true, canDo: () => true, personFor: () => undefined };
  }
  const able = technicians.filter((person) => services.every((service) => person.skills?.includes(service) ?? true));
  const inOrder = [...able].sort((a, b) => skillsOf(a) - skillsOf(b));
  const quarters = new Map<number, boolean>();
  const duties = new Map<DayNumber, Map<string, Span[]>>();

  const dutyOf = (person: Person, number: DayNumber): Span[] => {
    let day = duties.get(number);
    if (!day) {
      day = new Map();
      duties.set(number, day);
    }
    let duty = day.get(person.id);
    if (!duty) {
      const { date, open } = calendar.dayAt(number);
      const own = person.hours;
      duty =
        own === undefined ? open : open.length === 0 ? [] : spansOf(calendar.clock, date, own[weekdayOf(number)] ?? []);
      day.set(person.id, duty);
    }
    return duty;
  };
  const isThere = (person: Person, { from, to }: Span): boolean =>
    dutyOf(person, calendar.clock.dayOf(from)).some((span) => span.from <= from && to <= span.to) &&
    !diary.of(person.id).overlaps(from, to);

  const judge = (quarter: number): boolean => {
    const from = quarter * QUARTER;
    const work = calendar.dayAt(calendar.clock.dayOf(from)).work.flatMap((span) => cutTo(span, from, from + QUARTER));
    const there = technicians.filter((person) => work.every((span) => isThere(person, span)));
    if (!there.some((person) => able.includes(person))) return false;
    const unnamed = shop.bays.filter(({ id }) => diary.unnamed(id).overlaps(from, from + QUARTER)).length;
    return there.length > unnamed;
  };
  const quarterIsFine = (quarter: number): boolean => {
    let fine = quarters.get(quarter);
    if (fine === undefined) {
      fine = judge(quarter);
      quarters.set(quarter, fine);
    }
    return fine;
  };

  return {
    isThereAt: (minute) => quarterIsFine(Math.floor(minute / QUARTER)),
    canDo: (work) =>
      work.every((span) => {
        for (let quarter = Math.floor(span.from / QUARTER); quarter * QUARTER < span.to; quarter++) {
          if (!quarterIsFine(quarter)) return false;
        }
        return true;
      }),
    personFor: (work) => inOrder.find((person) => work.every((span) => isThere(person, span)))?.id,
  };
}

const skillsOf = (person: Person): number => person.skills?.length ?? Infinity;

function cutTo(span: Span, from: Minute, to: Minute): Span[] {
  const cut = { from: Math.max(span.from, from), to: Math.min(span.to, to) };
  return cut.to > cut.from ? [cut] : [];
}
