import { acceptReadings } from '../../core/follow-up/history.ts';
import { dayNumber } from '../../core/follow-up/days.ts';
import { seasonDaysTo } from '../../core/follow-up/pace.ts';
import { PARAMETERS } from '../../core/follow-up/parameters.ts';
import { daysQuantile, milesQuantile } from '../../core/follow-up/predict.ts';
import { dayAfterSeasonDays } from '../../core/follow-up/season.ts';
import { QUANTILES, type Forecaster } from './accuracy.ts';
import { intakeOf } from './own-method.ts';
import type { TruckSeen } from './reminders.ts';

const beliefOf = (seen: TruckSeen, today: string) => acceptReadings(seen.readings, today, intakeOf(seen), PARAMETERS);

/** The project's forecast, counted from the last reading that was told. */
export const telltaleForecast: Forecaster = {
  name: 'telltale',
  days: (seen, miles) => {
    const last = seen.readings.at(-1);
    const { pace } = beliefOf(seen, '9999-12-31');
    if (!last || !pace) throw new Error('a case without a reading');
    const extra = last.miles + miles - pace.odometer;
    const offset = dayNumber(last.date) - pace.day;
    const [low, middle, high] = QUANTILES.map((quantile) => {
      const days = daysQuantile(pace, extra, quantile, 9000);
      return (days === null ? 9000 : dayAfterSeasonDays(pace.day, days, PARAMETERS) - pace.day) - offset;
    });
    return [low ?? 0, middle ?? 0, high ?? 0];
  },
  odometer: (seen, today) => {
    const { pace } = beliefOf(seen, today);
    if (!pace) throw new Error('a case without a reading');
    const at = (quantile: number) =>
      pace.odometer + milesQuantile(pace, seasonDaysTo(pace, dayNumber(today)), quantile);
    return [at(0.1), at(0.5), at(0.9)];
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
