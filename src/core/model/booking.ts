import type { Facts } from './facts.ts';
import type { ServiceId } from './ids.ts';
import type { WantedTime } from './reading.ts';
import type { Instant, IsoDate } from './time.ts';

/** A span of a bay's time. Start and end are ISO 8601 with the offset of the shop's zone. */
export interface Slot {
  bay: string;
  start: string;
  end: string;
}

/** What stands in the diary: every span that a bay (or a person) is taken for. */
export interface Taken {
  bay: string;
  start: string;
  end: string;
}

export interface SlotsRequest {
  now: string;
  services: ServiceId[];
  facts: Facts;
  wantedTime?: WantedTime;
  booked?: Taken[];
  /** How many of the best times to pass over ("more"). */
  skip?: number;
  /** Estimated bay hours; derived from the services' labour where absent. */
  hours?: number;
}

export interface SlotsAnswer {
  /** At most three, in time order within the same fit to what was wanted. */
  slots: Slot[];
  /** Why nothing earlier is offered, in one sentence. */
  earliestBecause: string;
  /** Whether the wanted time itself could be met. */
  wantedMet?: boolean;
}

/** The part of the diary that the core was given, with the span it covers. */
export interface Diary {
  from: IsoDate;
  to: IsoDate;
  taken: Taken[];
  loadedAt: Instant;
}
