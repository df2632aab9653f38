import type { IsoDate } from '../../model/time.ts';

/** A calendar day as a count of days, so that days can be added; 1970-01-01 is 0. */
export type Day = number;

const MILLISECONDS = 86_400_000;

export const dayOf = (date: IsoDate): Day => Math.floor(Date.parse(`${date.slice(0, 10)}T00:00:00Z`) / MILLISECONDS);
export const isoOf = (day: Day): IsoDate => new Date(day * MILLISECONDS).toISOString().slice(0, 10);

/** 1 is Monday, 7 Sunday. */
export const weekdayOf = (day: Day): number => ((((day + 3) % 7) + 7) % 7) + 1;

/** The Monday of the week that a day lies in. */
export const mondayOf = (day: Day): Day => day - weekdayOf(day) + 1;

/** A day by its parts; undefined where there is no such date. */
export function dayFrom(year: number, month: number, date: number): Day | undefined {
  const day = Math.floor(Date.UTC(year, month - 1, date) / MILLISECONDS);
  const back = new Date(day * MILLISECONDS);
  return back.getUTCMonth() === month - 1 && back.getUTCDate() === date ? day : undefined;
}

export const partsOf = (day: Day): { year: number; month: number; date: number } => {
  const back = new Date(day * MILLISECONDS);
  return { year: back.getUTCFullYear(), month: back.getUTCMonth() + 1, date: back.getUTCDate() };
};

/** The last day of the month that a day lies in. */
export function endOfMonth(day: Day): Day {
  const { year, month } = partsOf(day);
  return Math.floor(Date.UTC(year, month, 0) / MILLISECONDS);
}

/** The first day with this number on or after a day: "the 12th". */
export function nextDate(date: number, from: Day): Day | undefined {
  if (date < 1 || date > 31) return undefined;
  const { year, month } = partsOf(from);
  for (let ahead = 0; ahead < 4; ahead++) {
    const day = dayFrom(year + Math.floor((month - 1 + ahead) / 12), ((month - 1 + ahead) % 12) + 1, date);
    if (day !== undefined && day >= from) return day;
  }
  return undefined;
}

/** The first such day of a month on or after a day: "June 9th". */
export function nextMonthDate(month: number, date: number, from: Day): Day | undefined {
  const { year } = partsOf(from);
  for (const candidate of [year, year + 1]) {
    const day = dayFrom(candidate, month, date);
    if (day === undefined && !(month === 2 && date === 29)) return undefined;
    if (day !== undefined && day >= from) return day;
  }
  return undefined;
}

/** The first such weekday after a day. */
export const nextWeekday = (weekday: number, after: Day): Day => {
  const ahead = (weekday - weekdayOf(after) + 7) % 7;
  return after + (ahead === 0 ? 7 : ahead);
};
