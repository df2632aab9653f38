import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { intakeOf, judge, telltale } from '../../src/cli/simulate/own-method.ts';
import type { TruckSeen } from '../../src/cli/simulate/reminders.ts';
import { QUANTILES, type Forecaster } from '../../src/cli/simulate/accuracy.ts';
import { dayNumber } from '../../src/core/follow-up/days.ts';
import { compileFollowUp, type FollowUpPolicy } from '../../src/core/follow-up/mod.ts';
import { acceptReadings } from '../../src/core/follow-up/history.ts';
import { seasonDaysTo } from '../../src/core/follow-up/pace.ts';
import { PARAMETERS } from '../../src/core/follow-up/parameters.ts';
import { daysQuantile, milesQuantile } from '../../src/core/follow-up/predict.ts';
import { dayAfterSeasonDays } from '../../src/core/follow-up/season.ts';

export { judge, telltale };

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

/** The setting with fewer messages, as flows/follow-up.yaml has it. */
export function fewerMessages(): FollowUpPolicy {
  const path = 'flows/follow-up.yaml';
  const text = readFileSync(join(import.meta.dirname, '../..', path), 'utf8');
  const settings = compileFollowUp([{ path, text }]);
  if (!settings.ok) throw new Error(settings.findings.map(({ message }) => message).join('; '));
  return settings.value.policies['fewer-messages'];
}
