import type { Language } from '../model/ids.ts';
import type { Texts } from '../model/texts.ts';
import { lengthOf, type Span } from './calendar.ts';
import { crewFor } from './crew.ts';
import { indexDiary } from './diary.ts';
import type { Plan } from './plan.ts';
import { startsFrom, startsOn, startsWithin, type Start } from './search.ts';
import { dateOfDay, dayInWords, type DayNumber, type Minute } from './wall-clock.ts';

/** What a search gave. */
export interface Found {
  /** The best start of all, also where it was passed over. */
  first: Start | undefined;
  wantedMet: boolean | undefined;
  spans: Span[] | undefined;
}

const LOCALES: Record<Language, string> = { en: 'en-US', es: 'es-US' };

/** Why nothing earlier, or nothing at the wanted time, is offered: one sentence from flows/texts. */
export function earliestBecause(plan: Plan, found: Found, texts: Texts, language: Language): string {
  const { id, ...values } = reasonOf(plan, found, language);
  return texts.say(language, id, values);
}

type InWords = (day: DayNumber) => string;
type Reason = { id: string } & Record<string, string | number>;

function reasonOf(plan: Plan, found: Found, language: Language): Reason {
  const today = plan.calendar.clock.dateOf(plan.now);
  const words: InWords = (day) => dayInWords(dateOfDay(day), today, LOCALES[language]);
  const { shop } = plan;
  if (plan.tooLongToWait) return { id: 'slots-too-long-to-wait', hours: plan.minutes / 60 };
  if (plan.bays.length === 0) return { id: 'slots-no-bay', phone: shop.phone };
  if (!found.first) return { id: 'slots-none', days: shop.booking.horizonDays, phone: shop.phone };
  if (found.spans) return wantedReason(plan, found.spans, found.wantedMet ?? false, words);
  return plainReason(plan, found.first, words);
}

/** The starts that a shop with an empty diary would have: what is missing from it is taken. */
function blankStarts(plan: Plan): (day: DayNumber) => Start[] {
  const blank = indexDiary([], plan.now);
  const crew = crewFor(plan.services, plan.shop, plan.calendar, blank);
  return (day) => startsOn(plan, blank, crew, day);
}

function wantedReason(plan: Plan, spans: Span[], met: boolean, words: InWords): Reason {
  const { calendar } = plan;
  const first = spans[0];
  const last = spans.at(-1);
  if (met) return { id: 'slots-wanted' };
  if (!first || !last || last.to <= plan.now) return { id: 'slots-wanted-past' };
  if (calendar.clock.dayOf(first.from) > plan.lastDay) return { id: 'slots-wanted-far', day: words(plan.lastDay) };
  if (!startsWithin(plan, blankStarts(plan), spans).next().done) return { id: 'slots-wanted-full' };
  if (plan.partsOn !== undefined && last.to <= plan.earliest) {
    return { id: 'slots-wanted-parts', day: words(plan.partsOn), vin: vinOf(plan) };
  }
  if (last.to <= plan.noticeUntil) return { id: 'slots-wanted-notice' };
  const days = spans.map(({ from }) => calendar.dayAt(calendar.clock.dayOf(from)));
  const closed = days.find(({ closedBecause }) => closedBecause !== undefined);
  if (closed && days.every(({ work }) => work.length === 0)) {
    return { id: 'slots-wanted-closed', day: words(closed.number), why: closed.closedBecause ?? '' };
  }
  const opens = spans.some((span, index) => overlap(days[index]?.work ?? [], span) > 0);
  return opens ? { id: 'slots-wanted-too-long', hours: plan.minutes / 60 } : { id: 'slots-wanted-shut' };
}

function plainReason(plan: Plan, first: Start, words: InWords): Reason {
  const { calendar } = plan;
  const blank = startsFrom(plan, blankStarts(plan), plan.firstDay).next().value as Start | undefined;
  if (blank && blank.minute < first.minute) return { id: 'slots-full' };
  if (plan.partsOn !== undefined) return { id: 'slots-parts', day: words(plan.partsOn), vin: vinOf(plan) };
  if (plan.visit === 'tow-in' && plan.shop.yardPlaces > 0) return { id: 'slots-tow-in' };
  const today = calendar.clock.dayOf(plan.now);
  const found = calendar.clock.dayOf(first.minute);
  if (found === today) return { id: 'slots-today' };
  for (let day = today; day < found; day++) {
    const { closedBecause, work } = calendar.dayAt(day);
    if (closedBecause !== undefined) return { id: 'slots-closed', day: words(day), why: closedBecause };
    if (overlap(work, { from: plan.earliest, to: Infinity }) > 0) {
      return { id: 'slots-too-long', hours: plan.minutes / 60 };
    }
  }
  return { id: 'slots-next-opening' };
}

const vinOf = (plan: Plan): string => (plan.vinIsSure ? 'sure' : 'open');

function overlap(spans: readonly Span[], window: { from: Minute; to: Minute }): number {
  return lengthOf(
    spans
      .map(({ from, to }) => ({ from: Math.max(from, window.from), to: Math.min(to, window.to) }))
      .filter(({ from, to }) => to > from),
  );
}
