import { z } from 'zod';
import { FOLLOW_UP_EVENTS, PLAN_REASONS, type FollowUpEntry, type FollowUpEvent } from '../../core/mod.ts';

/** What earlier releases wrote in words where now a code stands. */
const FORMER: Readonly<Record<string, FollowUpEvent>> = {
  'answered with a later one': 'answered-with-later',
  'closed with a later one': 'answered-with-later',
  'answered: later': 'answered-later',
  'answered: taken up by the owner': 'answered-taken-up',
  'answered: put off by the owner': 'answered-put-off',
  'answered in a list': 'answered-in-list',
  'not yet: a question or booking is open': 'not-yet-busy',
  'not yet: outside the hours or too soon after the last message': 'not-yet-limits',
  'a booking is open': 'booking-open',
  'put off by the owner': 'put-off',
  'the shop phones': 'shop-phones',
  'nothing is due': 'nothing-due',
  'planned anew': 'planned-anew',
  'no answer': 'no-answer',
  'no answer to any offer: for the shop to phone': 'no-answer-phone',
  'truck gone': 'truck-gone',
  'truck sold': 'truck-gone',
  'opted out': 'opted-out',
  'no consent': 'no-consent',
  'cannot be reached': 'unreachable',
  'no such appointment any more': 'no-appointment',
  'too late to remind': 'too-late',
  'appointment made': 'appointment-made',
  'fuel system work closed': 'work-closed',
  'request sent': 'request-sent',
  accepted: 'request-accepted',
  declined: 'request-declined',
  moved: 'request-moved',
  'moved by the owner': 'request-moved',
  'cancelled by the owner': 'request-cancelled',
  'cancelled by the shop': 'request-cancelled',
  closed: 'request-closed',
  arrived: 'request-went-on',
  'in-work': 'request-went-on',
  'no-show': 'request-went-on',
  'another time offered': 'other-time-offered',
  'taken by the owner': 'other-time-taken',
  'approval asked': 'approval-asked',
  'answered in time': 'answered-in-time',
  'staff reminded': 'staff-reminded',
  'staff told': 'staff-told',
  'staff phoned': 'staff-phoned',
  'owner told': 'owner-told',
  'metal found; staff asked to phone first': 'metal-found',
  'written after the stated delay': 'metal-written-late',
  'the time is over': 'hold-over',
  'another time was chosen': 'hold-not-wanted',
  'not chosen any more': 'hold-not-wanted',
};

const PLANNED = /^planned for (\d{4}-\d{2}-\d{2}): ([a-z-]+)$/;
const ROUGHLY = /^answered: roughly (\d+),/;
const HELD = /^held for (\d+) minutes$/;

const event = z.enum(FOLLOW_UP_EVENTS);
const reason = z.enum(PLAN_REASONS);

/** One entry of a follow-up's log as it was stored, by this release or in words by an earlier one. Nothing is lost. */
export const StoredEntry = z
  .looseObject({ at: z.string(), what: z.string() })
  .transform(({ at, what, ...details }): FollowUpEntry => {
    const known = event.safeParse(what);
    if (known.success) return { at, what: known.data, ...details };
    const [, date, because] = PLANNED.exec(what) ?? [];
    const why = reason.safeParse(because);
    if (date !== undefined) return { at, what: 'planned', date, ...(why.success && { because: why.data }) };
    const guess = ROUGHLY.exec(what)?.[1];
    if (guess !== undefined) return { at, what: 'answered-roughly', guess: Number(guess) };
    const minutes = HELD.exec(what)?.[1];
    if (minutes !== undefined) return { at, what: 'held', minutes: Number(minutes) };
    const former = Object.hasOwn(FORMER, what) ? FORMER[what] : undefined;
    return former ? { at, what: former } : { at, what: 'noted', words: what };
  });
