import { URGENCIES, type CautionId, type ServiceId, type Urgency } from '../model/ids.ts';
import type { AdviceBook, ReadyRule } from './book.ts';
import { TRUE } from './condition.ts';
import type { Situation } from './situation.ts';

/** What the rules conclude, before it is put into words. */
export interface Decision {
  urgency: Urgency;
  /** The rules that hold, in the order of the book. */
  fired: ReadyRule[];
  /** Advised services the most urgent first, each with the rules that advise it, the most urgent of these first, too. */
  services: Map<ServiceId, ReadyRule[]>;
}

/** Whether a rule holds: its condition is true, and what speaks against it is not known to be true. */
export function holds(rule: ReadyRule, situation: Situation): boolean {
  return rule.whenTest(situation) === TRUE && (!rule.unlessTest || rule.unlessTest(situation) !== TRUE);
}

/** 0 is the highest. */
export const rank = (urgency: Urgency): number => URGENCIES.indexOf(urgency);

/** Applies every rule to a situation. */
export function decide(rules: readonly ReadyRule[], situation: Situation): Decision {
  let highest = rank('watch');
  const services = new Map<ServiceId, ReadyRule[]>();
  const fired: ReadyRule[] = [];
  for (const rule of rules) {
    if (!holds(rule, situation)) continue;
    fired.push(rule);
    if (rule.urgency) highest = Math.min(highest, rank(rule.urgency));
    for (const { service } of rule.advise) {
      const before = services.get(service);
      if (before) before.push(rule);
      else services.set(service, [rule]);
    }
  }
  return { urgency: URGENCIES[highest] ?? 'watch', fired, services: mostUrgentFirst(services, fired) };
}

/**
 * What answers the complaint stands before what is merely due; within the same urgency the order in which services were
 * first advised holds. In danger it is the order of the rules of the danger: a leak that was to be traced anyway stands
 * behind the tow.
 */
function mostUrgentFirst(
  services: Map<ServiceId, ReadyRule[]>,
  fired: readonly ReadyRule[],
): Map<ServiceId, ReadyRule[]> {
  const urgency = (rule: ReadyRule | undefined): number => rank(rule?.urgency ?? 'watch');
  for (const rules of services.values()) rules.sort((one, other) => urgency(one) - urgency(other));
  const place = new Map(fired.map((rule, at) => [rule, at]));
  const placeInDanger = (rule: ReadyRule | undefined): number =>
    rule && urgency(rule) === rank('do-not-drive') ? (place.get(rule) ?? 0) : 0;
  return new Map(
    [...services].sort(
      ([, [one]], [, [other]]) => urgency(one) - urgency(other) || placeInDanger(one) - placeInDanger(other),
    ),
  );
}

/**
 * The cautions of a decision in the order of the book; the closing one stands last wherever there is any. `of` leaves
 * out those of work that is not as urgent as the decision itself.
 */
export function cautionsOf(book: AdviceBook, decision: Decision, of: 'all' | 'the most urgent' = 'all'): CautionId[] {
  const wanted = new Set<CautionId>(book.cautions.urgencies[decision.urgency]);
  const counts = ({ urgency }: ReadyRule): boolean => of === 'all' || urgency === decision.urgency;
  for (const rule of decision.fired.filter(counts)) for (const id of rule.cautions) wanted.add(id);
  for (const [id, rules] of decision.services) {
    if (!rules.some(counts)) continue;
    for (const caution of book.services.get(id)?.cautions ?? []) wanted.add(caution);
  }
  const { cautions, closing } = book.cautions;
  if (wanted.size === 0) return [];
  const inOrder = cautions.map(({ id }) => id).filter((id) => id !== closing && wanted.has(id));
  return [...inOrder, closing];
}
