import { dateAfter, dayAfter, type Method, type NextStep, type TruckSeen } from './reminders.ts';

const YEAR = 365.25;

/** Miles a day where there is one reading only: as stated, or over the truck's whole life. */
function firstGuess(seen: TruckSeen): number {
  if (seen.milesPerYear !== undefined) return seen.milesPerYear / YEAR;
  const first = seen.readings[0];
  if (!first) return 12_500 / YEAR;
  const age = Math.max(0.5, Number(first.date.slice(0, 4)) + Number(first.date.slice(5, 7)) / 12 - seen.modelYear);
  return Math.max(2, first.miles / (YEAR * age));
}

/** Miles a day from the last two readings that lie at least so many days apart. */
export function lastTwoPace(seen: TruckSeen, minimumDays = 1): number {
  const last = seen.readings.at(-1);
  const before = seen.readings.findLast((reading) => last && dayAfter(reading.date, last.date) >= minimumDays);
  if (!last || !before) return firstGuess(seen);
  return Math.max(0.5, (last.miles - before.miles) / dayAfter(before.date, last.date));
}

/** Miles a day as the slope of the straight line through all readings, by least squares. */
export function leastSquaresPace(seen: TruckSeen): number {
  const first = seen.readings[0];
  if (!first || seen.readings.length < 2) return firstGuess(seen);
  const points = seen.readings.map(({ date, miles }) => [dayAfter(first.date, date), miles] as const);
  const meanDay = points.reduce((sum, [day]) => sum + day, 0) / points.length;
  const meanMiles = points.reduce((sum, [, miles]) => sum + miles, 0) / points.length;
  const spread = points.reduce((sum, [day]) => sum + (day - meanDay) ** 2, 0);
  if (spread === 0) return firstGuess(seen);
  const slope = points.reduce((sum, [day, miles]) => sum + (day - meanDay) * (miles - meanMiles), 0) / spread;
  return Math.max(0.5, slope);
}

type Judge = Pick<Method, 'suspicious' | 'confirmed'>;

/** A card every year, and the work whenever the owner comes for it. */
export function yearlyCalendar(judge: Judge, leadDays: number): Method {
  return {
    ...judge,
    name: 'yearly-calendar',
    next: (seen) => {
      const due = dateAfter(seen.lastService, 365);
      return { ask: null, offer: dateAfter(due, -leadDays), dueOn: due };
    },
  };
}

/** Asks every so many days, and offers when a straight line at a pace says that the truck is due within the lead. */
export function fixedInterval(
  name: string,
  pace: (seen: TruckSeen) => number,
  judge: Judge,
  askEveryDays: number,
  leadDays: number,
): Method {
  const dueOn = (seen: TruckSeen, last: { date: string; miles: number }): string => {
    const days = Math.max(0, Math.round((seen.dueMiles - last.miles) / pace(seen)));
    return dateAfter(last.date, Math.min(days, 36_500));
  };
  return {
    ...judge,
    name,
    // The same chance as every method has: a reading that comes with the booking moves the day, or puts it off.
    bookAfterReading: (seen, today) => {
      const last = seen.readings.at(-1);
      const due = last ? dueOn(seen, last) : today;
      return due <= dateAfter(today, leadDays + askEveryDays) ? due : null;
    },
    next: (seen, today): NextStep => {
      const last = seen.readings.at(-1);
      if (!last) return { ask: today, offer: null, dueOn: null };
      const due = dueOn(seen, last);
      const offer = dateAfter(due, -leadDays);
      const repeats = seen.unanswered > 0 && seen.unanswered <= 2;
      const ask = dateAfter(seen.lastMessage, repeats ? 4 : askEveryDays);
      return offer <= ask ? { ask: null, offer, dueOn: due } : { ask, offer: null, dueOn: null };
    },
  };
}
