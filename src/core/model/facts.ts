import { z } from 'zod';
import { INTENTS, SYMPTOMS } from './ids.ts';
import type { Instant } from './time.ts';

const miles = z.number().int().min(0).max(5_000_000);
const symptomList = z.array(z.enum(SYMPTOMS));

/** Facts about one vehicle, with the keys of the trade dictionary. A fact that is not known is absent, never null. */
export const Facts = z.strictObject({
  modelYear: z.number().int().min(1900).max(2100).optional(),
  engineLitres: z.number().positive().max(30).optional(),
  cylinders: z.number().int().min(1).max(16).optional(),
  layout: z.enum(['V', 'I']).optional(),
  fuel: z.enum(['diesel', 'gasoline']).optional(),
  odometerMiles: miles.optional(),
  vin: z.string().length(17).optional(),
  symptoms: symptomList.optional(),
  deniedSymptoms: symptomList.optional(),
  troubleCodes: z.array(z.string().regex(/^[PCBU][0-3][0-9A-F]{3}$/)).optional(),
  intent: z.enum(INTENTS).optional(),
  unsure: z.array(z.string()).optional(),
  engineFamily: z.string().optional(),
  milesPerYear: z.number().min(0).max(400_000).optional(),
  tows: z.boolean().optional(),
  lastFuelFilterMiles: miles.optional(),
  lastFuelFilterDate: z.iso.date().optional(),
  breatherOriginal: z.boolean().optional(),
  pumpProtected: z.boolean().optional(),
  pumpReplaced: z.boolean().optional(),
  metalFound: z.boolean().optional(),
  pumpFittedAtMiles: miles.optional(),
  lastOilChangeMiles: miles.optional(),
  oilChangeIntervalMiles: miles.optional(),
  inServiceDate: z.iso.date().optional(),
  coverage: z.string().max(500).optional(),
});
export type Facts = z.infer<typeof Facts>;
export type FactKey = keyof Facts;
export const FACT_KEYS = Object.keys(Facts.shape) as FactKey[];

/** Where a fact came from. */
export const FACT_SOURCES = ['owner', 'vin', 'staff', 'derived'] as const;
export type FactSource = (typeof FACT_SOURCES)[number];

/** One fact known about one vehicle, as it is stored. */
export interface FactRecord {
  key: FactKey;
  value: NonNullable<Facts[FactKey]>;
  /** The owner's own words it was read from. */
  words?: string;
  source: FactSource;
  /** False where it must be confirmed with the owner before anything relies on it. */
  sure: boolean;
  at: Instant;
  /** The message it was read from; an edit of that message withdraws the fact. */
  messageRef?: string;
}

/** Puts stored facts together into the one object that the rules read; later records of a key win. */
export function factsOf(records: readonly FactRecord[]): Facts {
  const facts: Record<string, unknown> = {};
  const unsure = new Set<string>();
  for (const record of records) {
    facts[record.key] = record.value;
    if (record.sure) unsure.delete(record.key);
    else unsure.add(record.key);
  }
  if (unsure.size > 0) facts['unsure'] = [...unsure].sort();
  return facts as Facts;
}
