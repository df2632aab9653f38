import type { AdviceInFull, Estimate, Range } from './advice.ts';
import type { Slot } from './booking.ts';
import type { FactKey, FactRecord } from './facts.ts';
import type { FollowUpEntry } from './follow-up-log.ts';
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
  /** Where, for what is looked for in more places than one. */
  place?: FindingPlace;
  /** Pictures of it, by id. */
  photos?: string[];
  note?: string;
}

/** Where metal from the pump is looked for before a kit may go on. */
export const FINDING_PLACES = ['metering-valve', 'fuel-filter'] as const;
export type FindingPlace = (typeof FINDING_PLACES)[number];

/** What of closed work is written down beside the findings, where the shop records it. */
export interface WorkDetails {
  /** Parts that went in, with the lot that is printed on them. */
  parts?: { name: string; lot?: string }[];
  /** Tightening torques, in pound-force inches as they are read off the wrench. */
  torques?: { place: string; poundInches: number }[];
  photos?: string[];
}

export interface ServiceRecord extends WorkDetails {
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

/** Somebody of a fleet, by name. */
export interface Somebody {
  name: string;
  phone?: string;
}

/** What a fleet, or anybody who does not drive and pay alone, has written down about a truck. */
export interface Papers {
  /** The truck's number in its fleet. */
  unit?: string;
  driver?: Somebody;
  /** Who approves more work; absent: whoever chats. */
  approver?: Somebody;
  payer?: Somebody;
  purchaseOrder?: string;
}

export interface Vehicle {
  id: string;
  state: 'active' | 'sold' | 'scrapped';
  papers?: Papers;
  facts: FactRecord[];
  /** Keys that the owner said they cannot tell; never asked twice. */
  unknowable: FactKey[];
  readings: Reading[];
  records: ServiceRecord[];
  createdAt: Instant;
}

/** Whether an owner's trucks are a fleet: two or more that are in use have unit numbers. */
export const isFleet = (vehicles: readonly Vehicle[]): boolean =>
  vehicles.filter(({ state, papers }) => state === 'active' && papers?.unit !== undefined).length >= 2;

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

/** What is taken down when the truck comes in; absent where it was not asked. */
export interface ArrivalNote {
  odometerMiles?: number;
  /** The picture of the odometer, by id. */
  odometerPhoto?: string;
  /** Damage that was there before the work; empty where there is none. */
  damage?: string;
  /** Where the keys are. */
  keys?: string;
  /** Up to what amount in whole dollars diagnosis and tear-down may go, and who signed that. */
  diagnosisLimit?: { dollars: number; signedBy: string };
  oldPartsWanted?: boolean;
}
export interface Arrival extends ArrivalNote {
  at: Instant;
  by: string;
}

/** One piece of work that was found to be needed, with what it costs in whole dollars. */
export interface WorkItem {
  what: string;
  service?: ServiceId;
  dollars: Range;
}

export const APPROVAL_WAYS = ['chat', 'phone', 'in-person', 'in-writing'] as const;
export type ApprovalWay = (typeof APPROVAL_WAYS)[number];

/** More work that was found, and what the one who approves said to it. Nothing of it is done without a yes. */
export interface MoreWork {
  id: string;
  askedAt: Instant;
  askedBy: string;
  because?: string;
  items: WorkItem[];
  answer?: {
    answer: 'yes' | 'no' | 'in-part';
    /** Which of the items may be done, by their place from 0. */
    items: number[];
    /** Who said so, and how. */
    who: string;
    how: ApprovalWay;
    at: Instant;
    /** The one of the staff who wrote it down; absent where it was said in the chat. */
    recordedBy?: string;
    /** What was shown in the chat when it was answered there. */
    wording?: string;
  };
}

/** What somebody agreed to in the chat: what was shown, when, and who it was. */
export interface Agreement {
  at: Instant;
  who: string;
  wording: string;
}

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
  history: {
    at: Instant;
    by: string;
    what: RequestState | 'moved' | 'lengthened' | 'approval' | 'escalated' | 'note';
    note?: string;
  }[];
  /** iCalendar SEQUENCE of the last file that was sent. */
  calendarSequence: number;
  /** The one of the staff who entered it, where the owner phoned or walked in. */
  enteredBy?: string;
  arrival?: Arrival;
  /** The written estimate as the owner saw and authorised it; absent where staff entered the request. */
  agreed?: Agreement;
  /** More work that was found, oldest first; at most the last one is without an answer. */
  moreWork?: MoreWork[];
}

export const FOLLOW_UP_KINDS = [
  'odometer-check',
  'service-due',
  'appointment-reminder',
  'leak-check',
  'put-off',
  'request-unanswered',
  'offer-unanswered',
  'approval-unanswered',
  'hold-ends',
  'metal-news',
] as const;
export type FollowUpKind = (typeof FOLLOW_UP_KINDS)[number];
/** What stands about a request or a held time: neither "stop" nor a closed chat ends it, since the shop waits for it. */
export const REQUEST_FOLLOW_UPS: readonly FollowUpKind[] = [
  'request-unanswered',
  'offer-unanswered',
  'approval-unanswered',
  'hold-ends',
  'metal-news',
];

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
  log: FollowUpEntry[];
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
  /** The chosen time while nobody else can have it. */
  hold?: { slot: Slot; until: Instant };
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
  /** The pictures sent together that were thanked for last. */
  lastAlbum?: string;
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
