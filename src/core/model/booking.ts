import type { Facts } from './facts.ts';
import type { ServiceId } from './ids.ts';
import type { WantedTime } from './reading.ts';
import type { Instant, IsoDate } from './time.ts';

/** A span of a bay's time. Start and end are ISO 8601 with the offset of the shop's zone. */
export interface Slot {
  bay: string;
  start: string;
  end: string;
  /** The technician who is free for all of it and can do it; absent where several take turns. */
  person?: string;
}

/** What stands in the diary: every span that a bay (or a person, whose id then stands as `bay`) is taken for. */
export interface Taken {
  bay: string;
  start: string;
  end: string;
  /** The technician on a bay's job, where one is named; such a job needs no entry of its own for the person. */
  person?: string;
  /** Whose entry it is: a request, a block, or a time held for an owner (see `holdOf`). */
  holder?: string;
}

/** A bay or a person that takes no work for a span, and why: a broken lift, a day off. */
export interface Block {
  id: string;
  /** The id of a bay or of a person. */
  resource: string;
  /** ISO 8601 with the offset of the shop's zone. */
  start: string;
  end: string;
  because: string;
  by: string;
  at: Instant;
}

/** Under what name a time stands in the diary that is held for an owner who has tapped it and is not done yet. */
export const holdOf = (ownerId: string): string => `hold-${ownerId}`;

/** How the truck comes: left for the day, with the customer waiting, or on a tow truck. */
export type Visit = 'drop-off' | 'waiting' | 'tow-in';

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
  /** Absent: tow-in where that is among the services, else drop-off. */
  visit?: Visit;
  /** What is known of the truck's size; a bay must take it. */
  truck?: { heightFeet?: number; weightPounds?: number };
}

export interface SlotsAnswer {
  /** At most three, in time order within the same fit to what was wanted. */
  slots: Slot[];
  /** Why nothing earlier is offered, in one sentence. */
  earliestBecause: string;
  /** Whether the wanted time itself could be met by at least one of the slots. */
  wantedMet?: boolean;
  /** From when a truck on a tow truck can be left in the yard, whatever the bays hold; in the shop's zone. */
  yardFrom?: string;
}

/** The part of the diary that the core was given, with the span it covers. */
export interface Diary {
  from: IsoDate;
  to: IsoDate;
  taken: Taken[];
  loadedAt: Instant;
}
