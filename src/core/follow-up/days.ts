import type { IsoDate } from '../model/time.ts';

const MILLISECONDS = 86_400_000;

/** Whole days since 1970-01-01 of a calendar day; a count of days knows no zone and no clock change. */
export const dayNumber = (date: IsoDate): number => Math.round(Date.parse(`${date}T00:00:00Z`) / MILLISECONDS);

export const dateOfDay = (day: number): IsoDate => new Date(day * MILLISECONDS).toISOString().slice(0, 10);

export const addDays = (date: IsoDate, days: number): IsoDate => dateOfDay(dayNumber(date) + days);

export const daysBetween = (from: IsoDate, to: IsoDate): number => dayNumber(to) - dayNumber(from);

const startOfYear = (year: number): number => Math.round(Date.UTC(year, 0, 1) / MILLISECONDS);

/** 1 on the first of January. */
export function dayOfYear(day: number): number {
  return day - startOfYear(new Date(day * MILLISECONDS).getUTCFullYear()) + 1;
}

/** The year with its elapsed part, such as 2026.33 for the second of May. */
export function decimalYear(day: number): number {
  return new Date(day * MILLISECONDS).getUTCFullYear() + (dayOfYear(day) - 1) / 365.25;
}

/** The same day of the month so many months later, or the last day of a shorter month. */
export function addMonths(date: IsoDate, months: number): IsoDate {
  const [year = 0, month = 1, day = 1] = date.split('-').map(Number);
  const first = new Date(Date.UTC(year, month - 1 + months, 1));
  const last = new Date(Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + 1, 0)).getUTCDate();
  return new Date(Date.UTC(first.getUTCFullYear(), first.getUTCMonth(), Math.min(day, last)))
    .toISOString()
    .slice(0, 10);
}
