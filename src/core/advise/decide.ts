import { CAUTIONS, URGENCIES, type CautionId, type ServiceId, type Urgency } from '../model/ids.ts';
import type { AdviceBook, PlacedRule } from './book.ts';
import { TRUE, UNKNOWN, truthOf } from './condition.ts';
import type { Situation } from './situation.ts';

/** What the rules conclude, before it is put into words. */
export interface Decision {
  urgency: Urgency;
  /** The rules that hold, in the order of the book. */
  fired: PlacedRule[];
  /** Advised services in the order of the rules, each with the rules that advise it. */
  services: Map<ServiceId, PlacedRule[]>;
}

/** Whether a rule holds: its condition is true, and what speaks against it is not known to be true. */
export function holds(rule: PlacedRule, situation: Situation): boolean {
  if (truthOf(rule.when, situation.judge) !== TRUE) return false;
  return rule.unless === undefined || truthOf(rule.unless, situation.judge) !== TRUE;
}

/** Whether a rule could come to hold, or cease to hold, when more becomes known. */
export function isOpen(rule: PlacedRule, situation: Situation): boolean {
  const when = truthOf(rule.when, situation.judge);
  if (when === UNKNOWN) return rule.unless === undefined || truthOf(rule.unless, situation.judge) !== TRUE;
  return when === TRUE && rule.unless !== undefined && truthOf(rule.unless, situation.judge) === UNKNOWN;
}

export const rank = (urgency: Urgency): number => URGENCIES.indexOf(urgency);

/** Applies every rule of the book to a situation. */
export function decide(book: AdviceBook, situation: Situation): Decision {
  let urgency: Urgency = 'watch';
  const services = new Map<ServiceId, PlacedRule[]>();
  const fired = book.rules.filter((rule) => holds(rule, situation));
  for (const rule of fired) {
    if (rule.urgency && rank(rule.urgency) < rank(urgency)) urgency = rule.urgency;
    for (const { service } of rule.advise) {
      const before = services.get(service);
      if (before) before.push(rule);
      else services.set(service, [rule]);
    }
  }
  return { urgency, fired, services };
}

/** The cautions of a decision in the order of the book; the closing one stands last wherever there is any. */
export function cautionsOf(book: AdviceBook, decision: Decision): CautionId[] {
  const wanted = new Set<CautionId>(book.cautions.urgencies[decision.urgency]);
  for (const rule of decision.fired) for (const id of rule.cautions) wanted.add(id);
  for (const id of decision.services.keys()) {
    for (const caution of book.services.get(id)?.cautions ?? []) wanted.add(caution);
  }
  if (wanted.size === 0) return [];
  wanted.delete(book.cautions.closing);
  const order = book.cautions.cautions.map(({ id }) => id);
  const inOrder = order.filter((id) => wanted.has(id));
  return [...inOrder, book.cautions.closing].filter((id) => CAUTIONS.includes(id));
}
