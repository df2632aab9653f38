import { forecast } from '../../core/follow-up/mod.ts';
import type { Forecaster } from './accuracy.ts';
import { intakeOf } from './own-method.ts';
import { dayAfter, type TruckSeen } from './reminders.ts';

/** What the forecast calls more than ten years. */
const BEYOND_DAYS = 3653;

const seenFrom = (seen: TruckSeen, today: string, dueMiles: number) => {
  const { modelYear, milesPerYear } = intakeOf(seen);
  return forecast({
    readings: seen.readings,
    today,
    dueMiles,
    modelYear,
    ...(milesPerYear !== undefined && { milesPerYear }),
  });
};

const lastOf = ({ readings }: TruckSeen) => {
  const last = readings.at(-1);
  if (!last) throw new Error('a case without a reading');
  return last;
};

/** The project's forecast, as it stands on the day of the last reading that was told. */
export const telltaleForecast: Forecaster = {
  name: 'telltale',
  days: (seen, miles) => {
    const last = lastOf(seen);
    const { dueDate } = seenFrom(seen, last.date, last.miles + miles);
    const days = (date: string | null) => (date === null ? BEYOND_DAYS : dayAfter(last.date, date));
    return [days(dueDate.p10), days(dueDate.p50), days(dueDate.p90)];
  },
  odometer: (seen, today) => {
    const { milesToday } = seenFrom(seen, today, lastOf(seen).miles);
    return [milesToday.p10, milesToday.p50, milesToday.p90];
  },
};

/** A method that only knows a pace, as a forecaster without a spread of its own. */
export const straightLine = (name: string, pace: (seen: TruckSeen) => number): Forecaster => ({
  name,
  days: (seen, miles) => {
    const days = miles / pace(seen);
    return [days, days, days];
  },
});
