import { confirmReading, dayToBook, gate, planNext, type FollowUpPolicy } from '../../core/follow-up/mod.ts';
import type { Method, TruckSeen } from './reminders.ts';

export const intakeOf = ({ modelYear, milesPerYear }: TruckSeen) => ({ modelYear, milesPerYear });

/** The gate for readings, the same for every method that is compared. */
export const judge: Pick<Method, 'suspicious' | 'confirmed'> = {
  suspicious: (seen, reading) => gate(seen.readings, reading, intakeOf(seen)).verdict === 'suspicious',
  confirmed: (seen, reading) =>
    confirmReading(seen.readings, reading, intakeOf(seen)).readings as { date: string; miles: number }[],
};

const stateOf = (seen: TruckSeen) => ({
  ...intakeOf(seen),
  readings: seen.readings,
  dueMiles: seen.dueMiles,
  dueSetOn: seen.lastService,
  lastMessage: seen.lastMessage,
  unanswered: seen.unanswered,
  asked: seen.asked,
  answered: seen.answered,
});

/** The project's own way to remind, as the conversation uses it. */
export function telltale(name: string, policy: FollowUpPolicy): Method {
  return {
    ...judge,
    name,
    next: (seen, today) => planNext(stateOf(seen), policy, today),
    bookAfterReading: (seen, today) => dayToBook(stateOf(seen), policy, today)?.day ?? null,
  };
}
