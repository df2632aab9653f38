import type { AdviceInFull, Estimate } from './advice.ts';
import type { Slot } from './booking.ts';
import type { FactKey, FactRecord } from './facts.ts';
import type { Language, ServiceId, Symptom } from './ids.ts';
import type { WantedTime } from './reading.ts';
import type { Instant, IsoDate, Zone } from './time.ts';

/** How an owner can be reached. Web and terminal cannot reach an owner who has closed them. */
export const CHANNELS = ['telegram', 'web', 'terminal'] as const;
export type ChannelName = (typeof CHANNELS)[number];

/** The truck's owner or driver: the unit of order, consent and opt-out. */
export interface Owner {
  id: string;
  language: Language;
  zone: Zone;
  name?: string;
  phone?: string;
  /** Consent to reminders, with the wording that was agreed to. */
  consent?: { at: Instant; wording: string };
  /** When the owner asked for reminders and other unasked messages to end. */
  optedOutAt?: Instant;
  /** Set when the channel refused a message for good (blocked, closed). */
  unreachableSince?: Instant;
  channel: ChannelName;
  createdAt: Instant;
}

export interface Reading {
  id: string;
  miles: number;
  /** Day of the reading in the owner's zone. */
  date: IsoDate;
  source: 'owner' | 'staff';
  messageRef?: string;
  /** Readings before a change of the instrument cluster do not count for the present pace. */
  clusterReset?: boolean;
}

export interface Finding {
  service: ServiceId;
  finding: string;
  note?: string;
}

export interface ServiceRecord {
  id: string;
  requestId?: string;
  date: IsoDate;
  odometerMiles: number;
  services: ServiceId[];
  findings: Finding[];
  putOff: { service: ServiceId; because: string }[];
  note?: string;
  closedBy: string;
}

export interface Vehicle {
  id: string;
  state: 'active' | 'sold' | 'scrapped';
  facts: FactRecord[];
  /** Keys that the owner said they cannot tell; never asked twice. */
  unknowable: FactKey[];
  readings: Reading[];
  records: ServiceRecord[];
  createdAt: Instant;
}

/** States of a booking request in its life. */
export const REQUEST_STATES = [
  'requested',
  'accepted',
  'declined',
  'other-time',
  'cancelled',
  'arrived',
  'no-show',
  'in-work',
  'awaiting-approval',
  'closed',
] as const;
export type RequestState = (typeof REQUEST_STATES)[number];
/** States in which the request's slot is taken in the diary. */
export const HOLDING_STATES: readonly RequestState[] = [
  'requested',
  'accepted',
  'other-time',
  'arrived',
  'in-work',
  'awaiting-approval',
];

/** What the shop receives: everything ready to accept, to decline or to answer with another time. */
export interface BookingRequest {
  id: string;
  vehicleId: string;
  state: RequestState;
  /** Rises with every change; who acts on an old one is told who was first. */
  revision: number;
  createdAt: Instant;
  answerBy: Instant;
  services: ServiceId[];
  slot: Slot | null;
  wantedTime?: WantedTime;
  /** The owner's own words. */
  complaint: string[];
  facts: FactRecord[];
  advice: AdviceInFull;
  estimate: Estimate;
  photos: string[];
  history: { at: Instant; by: string; what: RequestState | 'moved' | 'escalated' | 'note'; note?: string }[];
  /** iCalendar SEQUENCE of the last file that was sent. */
  calendarSequence: number;
}

export const FOLLOW_UP_KINDS = [
  'odometer-check',
  'service-due',
  'appointment-reminder',
  'leak-check',
  'put-off',
  'request-unanswered',
] as const;
export type FollowUpKind = (typeof FOLLOW_UP_KINDS)[number];

/** A message that the shop owes an owner later. */
export interface FollowUp {
  id: string;
  kind: FollowUpKind;
  vehicleId?: string;
  requestId?: string;
  dueAt: Instant;
  state: 'waiting' | 'sent' | 'answered' | 'closed' | 'call-list';
  services: ServiceId[];
  attempts: number;
  dueMiles?: number;
  /** Why it was sent, put off or not sent, for the staff to read. */
  log: { at: Instant; what: string }[];
}

/** One open question: its truck, its key and its buttons. */
export interface Question {
  id: string;
  /** A fact key, or a matter of the talk such as `time`, `consent`, `send-request`. */
  about: string;
  vehicleId?: string;
  askedAt: Instant;
  options: { id: string; label: string }[];
}

/** The conversation's position and what belongs to the matter in hand; the facts live with the vehicle. */
export interface Conversation {
  position: { flow: string; version: number; snapshot: unknown } | null;
  vehicleId: string | null;
  question: Question | null;
  /** Answered questions, so that a late press is told what was recorded. */
  answered: { id: string; about: string; recorded: string }[];
  /** The owner's own words and photos about the matter in hand. */
  matter: { openedAt: Instant; words: { messageRef: string; text: string }[]; photos: string[] } | null;
  offered: Slot[];
  offersPassed: number;
  chosen: Slot | null;
  wantedTime?: WantedTime;
  services: ServiceId[];
  /** What was said before it was clear which truck it is about. */
  pending: FactRecord[];
  /** Danger symptoms that were answered already, so that each is warned of once a matter. */
  warned: Symptom[];
  /** Symptoms that may be meant and are still to be asked. */
  hints: Symptom[];
  /** The request that is being moved or cancelled. */
  requestId?: string;
  followUpId?: string;
  notUnderstood: number;
  greeted: boolean;
  lastHeardAt: Instant | null;
}

/** Everything about one owner that a turn works on. */
export interface OwnerFile {
  owner: Owner;
  conversation: Conversation;
  vehicles: Vehicle[];
  requests: BookingRequest[];
  followUps: FollowUp[];
  /** When unasked messages went out, newest last, one year back. */
  unaskedAt: Instant[];
}
