import type { Instant, IsoDate } from './time.ts';

/** Why a plan has the next step that it has. */
export const PLAN_REASONS = [
  'no-reading',
  'due-within-lead',
  'sure-and-near',
  'sure-enough',
  'due-before-an-answer-helps',
  'near-enough-to-offer',
  'not-sure-enough',
  'unanswered',
  'silent',
  'offer-unanswered',
  /** Offers stay unanswered: nothing more is written, the shop phones. */
  'phone',
] as const;
export type PlanReason = (typeof PLAN_REASONS)[number];

/** What the owner answered with: all of them end what was asked about the truck, but for `later`. */
export const ANSWERS = [
  'answered',
  /** The owner's own guess, which is kept with the entry and is no reading. */
  'answered-roughly',
  'answered-later',
  'answered-taken-up',
  'answered-put-off',
  'answered-in-list',
] as const;

/** Why a message that was due did not go out yet. */
export const DELAYS = ['not-yet-busy', 'not-yet-limits'] as const;

/** What can happen to a follow-up. The words for each stand in flows/texts under `log-…`. */
export const FOLLOW_UP_EVENTS = [
  'planned',
  'sent',
  ...ANSWERS,
  /** Open beside one that was answered: one answer serves several questions. */
  'answered-with-later',
  ...DELAYS,
  'booking-open',
  'put-off',
  'shop-phones',
  'nothing-due',
  'planned-anew',
  'no-answer',
  'no-answer-phone',
  'truck-gone',
  'opted-out',
  'no-consent',
  'unreachable',
  'no-appointment',
  'too-late',
  'appointment-made',
  'work-closed',
  'request-sent',
  'request-accepted',
  'request-declined',
  'request-moved',
  'request-cancelled',
  'request-closed',
  'request-went-on',
  'other-time-offered',
  'other-time-taken',
  'approval-asked',
  'answered-in-time',
  'staff-reminded',
  'staff-told',
  'staff-phoned',
  'owner-told',
  'metal-found',
  'metal-written-late',
  'held',
  'hold-over',
  'hold-not-wanted',
  /** An entry of an earlier release whose words nothing knows any more. */
  'noted',
] as const;
export type FollowUpEvent = (typeof FOLLOW_UP_EVENTS)[number];

/** One line of a follow-up's history: what happened, as a code that plans may count, with what belongs to it. */
export interface FollowUpEntry {
  at: Instant;
  what: FollowUpEvent;
  /** `planned`: for which day and why. */
  date?: IsoDate;
  because?: PlanReason;
  /** `answered-roughly`: miles that the owner took to be right. */
  guess?: number;
  /** `held`: for how long. */
  minutes?: number;
  /** `noted`: the words as they were stored. */
  words?: string;
}

const answers: readonly FollowUpEvent[] = ANSWERS;
const delays: readonly FollowUpEvent[] = DELAYS;

export const isAnswer = ({ what }: FollowUpEntry): boolean => answers.includes(what);
export const isDelay = ({ what }: FollowUpEntry): boolean => delays.includes(what);
