import { z } from 'zod';
import type { IsoDate } from './time.ts';

export const ForecastRequest = z.strictObject({
  readings: z.array(z.strictObject({ date: z.iso.date(), miles: z.number().min(0) })),
  today: z.iso.date(),
  dueMiles: z.number().min(0),
  modelYear: z.number().int().optional(),
  milesPerYear: z.number().positive().optional(),
});
export type ForecastRequest = z.infer<typeof ForecastRequest>;

export interface ForecastAnswer {
  milesToday: { p10: number; p50: number; p90: number };
  /** The date by which the truck is due with that probability; null where it lies over ten years out. */
  dueDate: { p10: IsoDate | null; p50: IsoDate | null; p90: IsoDate | null };
  probabilityDue: number;
  next: { ask: IsoDate | null; offer: IsoDate | null };
  rejected: { date: IsoDate; miles: number; because: string }[];
}
