import { findSlots } from './book/mod.ts';
import { withBacklog } from './follow-up/mod.ts';
import type { Flows } from './flows.ts';
import type { Taken } from './model/booking.ts';
import type { ServiceId } from './model/ids.ts';
import type { Instant } from './model/time.ts';
import { dayIn, hoursOfServices } from './tools.ts';

/** The job that follow-ups lead to most. */
const USUAL: ServiceId[] = ['fuel-filter-service'];

/** Days from today until the shop can next take the usual job, by its diary; undefined where it is full as far as it books. */
export function backlogDays(booked: Taken[], flows: Flows, now: Instant): number | undefined {
  const { shop, texts } = flows;
  const means = { shop, texts, hoursOf: hoursOfServices(flows) };
  const [first] = findSlots({ now, services: USUAL, facts: {}, booked }, means).slots;
  if (!first) return undefined;
  const day = (date: string) => Date.parse(`${date}T00:00:00Z`) / 86_400_000;
  return day(first.start.slice(0, 10)) - day(dayIn(now, shop.zone));
}

/** The flows with a plan that reckons with the shop's backlog: fuller days bring offers earlier, never later than planned. */
export const flowsWithBacklog = (flows: Flows, days: number): Flows => ({
  ...flows,
  policy: withBacklog(flows.policy, days),
});
