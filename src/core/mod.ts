/** The one door of the core: edges and the command line import from here and from nowhere deeper. */
export * from './model/advice.ts';
export * from './model/booking.ts';
export * from './model/checked.ts';
export * from './model/facts.ts';
export { backlogDays, flowsWithBacklog } from './backlog.ts';
export {
  FOLLOW_UP_EVENTS,
  PLAN_REASONS,
  type FollowUpEntry,
  type FollowUpEvent,
  type PlanReason,
} from './model/follow-up-log.ts';
export * from './model/forecast.ts';
export * from './model/ids.ts';
export * from './model/owner.ts';
export * from './model/reading.ts';
export * from './model/shop.ts';
export * from './model/staff-data.ts';
export * from './model/time.ts';
export { newtonMetres } from './model/units.ts';
export * from './model/turn.ts';
export * from './model/texts.ts';
export { compileFlows, type Flows } from './flows.ts';
export { turn } from './turn.ts';
export { hoursOfServices } from './tools.ts';
export {
  approvedServices,
  csvOf,
  daySheet,
  findSlots,
  openWork,
  quartersOf,
  calendarFeed,
  slotStarting,
  weekByBay,
  workMinutesOf,
  writeTruckList,
  yardOf,
  type DayEntry,
  type DaySheet,
  type DaySpan,
  type ListedTruck,
  type SlotsMeans,
} from './book/mod.ts';
export {
  advise,
  estimate,
  EstimateRequestShape,
  serviceText,
  type AdviceBook,
  type ServiceBook,
} from './advise/mod.ts';
export { calibration, forecast, judged, type CalibrationRow } from './follow-up/mod.ts';
export { read, type Lexicon } from './understand/read.ts';
export { namesOfTruck, readShopList, truckFromList } from './shop-list.ts';
export { type ListReading } from './book/mod.ts';
export { familyWords, forecastPictureFor, slotNamed, timesFor } from './shop-view.ts';
export { bookingDay, dueAgain, outlookFor } from './outlook.ts';
export { type Outlook } from './converse/mod.ts';
