import { forecast } from '../core/follow-up/mod.ts';
import { ForecastRequest, type ForecastAnswer } from '../core/model/forecast.ts';

/** One line of the `forecast` command: where the odometer stands and when it is due, or what is wrong with the line. */
export function forecastLine(line: unknown): ForecastAnswer | { error: string } {
  const parsed = ForecastRequest.safeParse(line);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    return { error: `${issue?.path.map(String).join('.') || 'the line'}: ${issue?.message ?? 'unreadable'}` };
  }
  return forecast(parsed.data);
}
