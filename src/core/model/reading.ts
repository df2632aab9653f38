import { z } from 'zod';
import { Facts, type FactKey } from './facts.ts';
import type { Symptom } from './ids.ts';
import type { IsoDate } from './time.ts';

/** The questions that a text may be an answer to; they decide what a bare "16" or "yup" means. */
export const ASKABLE = [
  'odometerMiles',
  'modelYear',
  'engine',
  'symptoms',
  'vin',
  'troubleCodes',
  'milesPerYear',
  'lastFuelFilterMiles',
  'tows',
  'breatherOriginal',
  'pumpProtected',
  'pumpReplaced',
  'wantedTime',
  'confirm',
] as const;
export type Askable = (typeof ASKABLE)[number];

/** What the reader is given: the text and what was asked before it. Dates are in the shop's zone. */
export const ReadRequest = z.strictObject({
  text: z.string(),
  asked: z.enum(ASKABLE).optional(),
  lastOdometerMiles: z.number().min(0).optional(),
  lastReadingDate: z.iso.date().optional(),
  today: z.iso.date().optional(),
});
export type ReadRequest = z.infer<typeof ReadRequest>;

const PART = z.enum(['morning', 'afternoon', 'any']);
export const WantedTime = z.union([
  z.strictObject({ date: z.iso.date(), part: PART }),
  z.strictObject({ from: z.iso.date(), to: z.iso.date(), part: PART }),
]);
export type WantedTime = z.infer<typeof WantedTime>;

export const ReadFacts = Facts.extend({
  wantedTime: WantedTime.optional(),
  answer: z.enum(['yes', 'no', 'unclear']).optional(),
});
export type ReadFacts = z.infer<typeof ReadFacts>;
export type ReadKey = FactKey | 'wantedTime' | 'answer';

/** What the text says. A fact that it does not give is absent; one that could mean two things is named in `facts.unsure`. */
export interface ReadResult {
  facts: ReadFacts;
  /** For each fact the words that it came from. */
  words: Partial<Record<ReadKey, string>>;
  /** Symptoms that may be meant and are to be offered for confirmation; a hinted danger always stands here. */
  ask?: Symptom[];
  /** Keys that the owner says they cannot tell. */
  doesNotKnow?: (FactKey | 'engine')[];
  /** In plain words, why a value was not taken as it stands, and what else it may be. */
  doubts?: {
    key: ReadKey;
    because: 'lower-than-last' | 'too-fast' | 'digits' | 'round' | 'hedged';
    perhaps?: number;
  }[];
  /** Where little was understood: the likeliest symptoms to offer, at most three. */
  offers?: Symptom[];
  /** Clauses that no pattern read, kept for the shop to label. */
  unread?: string[];
  language: 'en' | 'es';
}

/** The odometer question's context that the gate needs. */
export interface LastReading {
  miles: number;
  date: IsoDate;
}
