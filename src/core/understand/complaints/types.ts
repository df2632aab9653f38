import type { Intent, Symptom } from '../../model/ids.ts';
import type { Askable } from '../../model/reading.ts';
import type { IsoDate } from '../../model/time.ts';
import type { Weighed } from './decide.ts';
import type { Match } from './pattern.ts';
import type { WishFirmness } from './wishes.ts';

/** The yes-or-no facts that are read from complaints rather than from numbers. */
export const COMPLAINT_BOOLEANS = ['tows', 'breatherOriginal', 'pumpProtected', 'pumpReplaced', 'metalFound'] as const;
export type ComplaintBoolean = (typeof COMPLAINT_BOOLEANS)[number];

/**
 * A span of the message that does not speak of the owner's truck as it is now. `past` is over, `other-truck` belongs
 * to another vehicle, `seller` repeats what somebody else claims, `hypothetical` and `question` state nothing.
 */
export const SCOPE_KINDS = ['past', 'other-truck', 'seller', 'hypothetical', 'question'] as const;
export type ScopeKind = (typeof SCOPE_KINDS)[number];

/** A symptom that a pattern found, before anybody knows whether it is told of the truck as it is. */
export interface Found {
  symptom: Symptom;
  match: Match;
}

/** UTF-16 offsets in the message; `end` is exclusive. */
export interface Scope {
  kind: ScopeKind;
  start: number;
  end: number;
}

export type ComplaintKey = 'symptoms' | 'deniedSymptoms' | 'intent' | ComplaintBoolean;

/** What a message says about complaints and wishes. Lists are sorted and without duplicates. */
export interface ComplaintReading {
  symptoms: Symptom[];
  deniedSymptoms: Symptom[];
  /** True where `symptoms` may not be the whole or the right complaint and is to be confirmed. */
  symptomsUnsure: boolean;
  /** Symptoms that are hinted at; a hinted danger always stands here. */
  ask: Symptom[];
  intent?: Intent;
  /** The intent is told by a whole message or a phrase that is known. */
  intentIsPlain?: boolean;
  booleans: Partial<Record<ComplaintBoolean, boolean>>;
  /** Those of them that are to be confirmed. */
  booleansUnsure: ComplaintBoolean[];
  /** For each key the words that it came from. */
  words: Partial<Record<ComplaintKey, string>>;
  scopes: Scope[];
  /** Clauses that nothing read. */
  unread: string[];
  /** Up to three likely symptoms where a complaint was not understood. */
  offers: Symptom[];
  /** What each symptom was weighed by. */
  weighed: ReadonlyMap<Symptom, Weighed>;
  /** What speaks for each intent; undefined where nothing was fitted. */
  /** `asksMore`: a question, or words that ask for work. */
  wishes?: { found: ReadonlyMap<Intent, WishFirmness>; leanings: ReadonlyMap<Intent, number>; asksMore: boolean };
}

/** The question that was open, and the day of the message. */
export interface Context {
  asked?: Askable | undefined;
  today?: IsoDate | undefined;
}
