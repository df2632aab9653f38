/** Follow-up: where the odometer stands, what falls due when, when to ask or offer, and when a message may go out. */
export { forecast } from './forecast.ts';
export { gate, confirmReading, type GateAnswer, type Slip } from './gate.ts';
export type { HistoryReading } from './history.ts';
export type { Objection } from './plausible.ts';
export {
  planNext,
  bookingDay,
  withLead,
  FollowUpPolicy,
  CLOSER_TO_DUE,
  type Plan,
  type PlanReason,
  type VehicleState,
} from './policy.ts';
export { withinHours, nextAllowed, type Hours, type Limits } from './manners.ts';
export { dueMilesOf, type DueService, type ServiceInterval } from './due.ts';
