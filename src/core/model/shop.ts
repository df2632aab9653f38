import { z } from 'zod';
import { SERVICES } from './ids.ts';

const clock = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'expected a time of day such as 08:00');
const openSpan = z.strictObject({ from: clock, to: clock });
const resourceId = z.string().regex(/^[a-z0-9-]+$/, 'expected small letters, digits and hyphens');

export const WEEKDAYS = ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'] as const;
export type Weekday = (typeof WEEKDAYS)[number];

/** A span of the day by the shop's wall clock. */
export type ClockSpan = z.infer<typeof openSpan>;

/** The shop as flows/shop.yaml describes it: hours, bays, people, policies. Times of day are in the shop's zone. */
export const Shop = z.strictObject({
  name: z.string().min(1),
  phone: z.string().min(3),
  address: z.string().min(1),
  /** Stands as the organizer in calendar files. */
  email: z.email().optional(),
  zone: z.string().min(1),
  /** ISO 3166 country and subdivision, for public holidays. */
  region: z.strictObject({ country: z.string().length(2), state: z.string().optional() }),
  hours: z.record(z.enum(WEEKDAYS), z.array(openSpan)),
  /** Times of every open day at which work pauses; the shop stays open. */
  breaks: z.array(openSpan).default([]),
  closed: z.array(z.strictObject({ date: z.iso.date(), why: z.string() })).default([]),
  /** Open in spite of a public holiday. */
  openHolidays: z.array(z.iso.date()).default([]),
  bays: z
    .array(
      z.strictObject({
        id: resourceId,
        name: z.string(),
        lift: z.boolean(),
        heightFeet: z.number().positive().optional(),
        weightPounds: z.number().positive().optional(),
        /** Services that cannot be done in this bay. */
        cannot: z.array(z.enum(SERVICES)).default([]),
      }),
    )
    .min(1),
  /** Trucks that can stand in the yard, waiting for a bay, for parts or for an answer. */
  yardPlaces: z.number().int().min(0).default(0),
  people: z
    .array(
      z.strictObject({
        id: resourceId,
        name: z.string(),
        role: z.enum(['manager', 'advisor', 'technician']),
        /** Services this person can do; absent: all of them. Only technicians do any. */
        skills: z.array(z.enum(SERVICES)).optional(),
        /** Absent: the shop's hours. */
        hours: z.partialRecord(z.enum(WEEKDAYS), z.array(openSpan)).optional(),
      }),
    )
    .min(1),
  booking: z.strictObject({
    /** Minutes between one job and the next in a bay. */
    bufferMinutes: z.number().int().min(0),
    /** Minutes that a time stays held while the owner gives name and number. */
    holdMinutes: z.number().int().min(1),
    /** Working hours within which the shop answers a request. */
    answerWithinHours: z.number().positive(),
    /** Hours after which the owner is written to about metal in the fuel although nobody said they had phoned. */
    metalWriteAfterHours: z.number().positive().default(24),
    /** How many days ahead times are offered. */
    horizonDays: z.number().int().min(1),
    /** Working hours from now before the first time that is offered. */
    noticeHours: z.number().min(0),
    /** Working days until the parts of a service are there. */
    partsLeadDays: z.partialRecord(z.enum(SERVICES), z.number().int().min(0)).default({}),
    /** Minutes between two times that are offered together. */
    offersApartMinutes: z.number().int().min(15).default(60),
    /** A job that goes on overnight starts with at least this many hours of work left in the day. */
    firstDayHours: z.number().min(0).default(2),
    /** Longest job, in hours, for which a customer can wait at the shop. */
    waitingHours: z.number().positive().default(2),
    /** Bay hours of work whose labour nobody has stated. */
    unstatedHours: z.number().positive().default(1),
    /** Services for which the truck goes up on a lift. */
    needsLift: z.array(z.enum(SERVICES)).default([]),
    /** Services that may turn into a longer job, with the bay hours that it would add. */
    mayGrowHours: z.partialRecord(z.enum(SERVICES), z.number().positive()).default({}),
  }),
  followUp: z.strictObject({
    /** Earliest and latest wall-clock time of an unasked message, in the owner's zone. */
    between: openSpan,
    minimumDaysApart: z.number().min(0),
    perThirtyDays: z.number().int().min(0),
    perYear: z.number().int().min(0),
    policy: z.enum(['closer-to-due', 'fewer-messages']),
    leadDays: z.number().min(0),
    leakCheckAfterDays: z.number().min(0),
    /** Work after which the owner is asked for leaks; after any other it stands in the service record what to look for. */
    leakCheckAfter: z
      .array(z.enum(SERVICES))
      .default(['pump-protection-kit', 'fuel-system-replacement', 'fuel-system-flush', 'injector-test']),
    seasonHint: z.boolean(),
  }),
});
export type Shop = z.infer<typeof Shop>;
