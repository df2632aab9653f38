import type { IsoDate } from '../../model/time.ts';
import { milesFromKilometres } from './units.ts';

export interface LastKnown {
  miles?: number;
  date?: IsoDate;
  today?: IsoDate;
}

export interface Doubt {
  because: 'lower-than-last' | 'too-fast' | 'digits';
  /** What else the owner may have meant, where one plausible reading stands out. */
  perhaps?: number;
}

/** Above this an odometer of a light or medium truck is taken for a slip, such as the tenths run on. */
const SELDOM_ABOVE = 1_000_000;

const DAY = 24 * 60 * 60 * 1000;

/** Days between two dates; at least one, and one where they are not known. */
export function daysBetween(from: IsoDate | undefined, to: IsoDate | undefined): number | undefined {
  if (!from || !to) return undefined;
  const days = (Date.parse(to) - Date.parse(from)) / DAY;
  return Number.isFinite(days) ? Math.max(1, Math.round(days)) : undefined;
}

/**
 * The most miles that a truck can be driven in so many days: a thousand on a single day, less on the average the longer
 * it goes on. Two drivers who take turns seldom pass 400 miles a day over months (common practice, no source).
 */
export const mostMilesIn = (days: number): number => Math.min(1000 * days, 2000 + 600 * days, 10_000 + 420 * days);

/** Whether an odometer value can be true after the last reading; undefined where nothing speaks against it. */
export function doubtAbout(miles: number, last: LastKnown): Doubt | undefined {
  if (last.miles === undefined) {
    return miles > SELDOM_ABOVE ? withGuess({ because: 'digits' }, Math.floor(miles / 10)) : undefined;
  }
  const days = daysBetween(last.date, last.today) ?? 365;
  const most = last.miles + mostMilesIn(days);
  if (miles < last.miles) return withGuess({ because: 'lower-than-last' }, likelyMeant(miles, last.miles, days));
  if (miles > most) return withGuess({ because: 'too-fast' }, likelyMeant(miles, last.miles, days));
  return undefined;
}

const withGuess = (doubt: Doubt, perhaps: number | undefined): Doubt =>
  perhaps === undefined ? doubt : { ...doubt, perhaps };

/** An ordinary pace in miles a day, to rank what a slip may have been; about 15,000 miles a year. */
const ORDINARY_PACE = 41;

/** Miles that may well have been driven since the last reading; none where that is of today, or of a day unknown. */
export function usualMilesSince({ date, today }: LastKnown): number {
  const days = date === today ? undefined : daysBetween(date, today);
  return days === undefined ? 0 : Math.min(mostMilesIn(days), 2000 + 4 * ORDINARY_PACE * days);
}

/**
 * The reading that one slip of the finger would turn into the typed one, where it fits the last reading: kilometres,
 * tenths run on, a digit missing, too many, changed, or moved.
 */
export function likelyMeant(typed: number, last: number, days: number): number | undefined {
  const expected = last + ORDINARY_PACE * days;
  const latest = last + Math.min(mostMilesIn(days), 2000 + 4 * ORDINARY_PACE * days);
  const fits = (miles: number): boolean => miles >= last && miles <= latest;
  const text = String(typed);
  const families: number[][] = [
    [milesFromKilometres(typed), Math.floor(typed / 10)],
    movedDigit(text),
    droppedDigit(text),
    addedDigit(text),
    changedDigit(text),
  ];
  for (const family of families) {
    const fitting = family.filter(fits).sort((a, b) => Math.abs(a - expected) - Math.abs(b - expected));
    if (fitting[0] !== undefined) return fitting[0];
  }
  return undefined;
}

const places = (text: string): number[] => [...text].map((_, index) => index);
const movedDigit = (text: string): number[] =>
  places(text).flatMap((from) => {
    const rest = text.slice(0, from) + text.slice(from + 1);
    return [...places(text)].map((to) => Number(rest.slice(0, to) + (text[from] as string) + rest.slice(to)));
  });
const droppedDigit = (text: string): number[] =>
  places(text).map((at) => Number(text.slice(0, at) + text.slice(at + 1)));
const addedDigit = (text: string): number[] =>
  [...places(text), text.length].flatMap((at) =>
    [...'0123456789'].map((digit) => Number(text.slice(0, at) + digit + text.slice(at))),
  );
const changedDigit = (text: string): number[] =>
  places(text).flatMap((at) =>
    [...'0123456789'].map((digit) => Number(text.slice(0, at) + digit + text.slice(at + 1))),
  );
