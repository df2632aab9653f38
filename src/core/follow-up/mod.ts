/** Follow-up: where the odometer stands, what falls due when, when to ask or offer, and when a message may go out. */
export { forecast, foresee } from './forecast.ts';
export { gate, confirmReading, type GateAnswer, type Slip } from './gate.ts';
export type { HistoryReading } from './history.ts';
export type { Objection } from './plausible.ts';
export {
  planNext,
  dayToBook,
  withBacklog,
  withLead,
  FollowUpPolicy,
  CLOSER_TO_DUE,
  PLAIN_POLICY,
  type Plan,
  type VehicleState,
} from './policy.ts';
export { withinHours, nextAllowed, type Hours, type Limits } from './manners.ts';
export { dueMilesOf, type DueService, type ServiceInterval } from './due.ts';
export {
  calibration,
  outcomeOf,
  type CalibrationRow,
  type ForecastOutcome,
  type LoggedForecast,
} from './calibration.ts';
export { judged, type ForecastAndReadings } from './logged.ts';
export { acceptReadings } from './history.ts';
export { refitPrior, type ForecastLimits, type Refit, type RefitOutcome, type TruckHistory } from './refit.ts';
export { PARAMETERS, type Parameters } from './parameters.ts';
export { forecastCurve, forecastPicture, type ForecastCurve, type PictureWords } from './picture.ts';
export { compileFollowUp, POLICY_NAMES, type FollowUpSettings, type PolicyName } from './settings.ts';
