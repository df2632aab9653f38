/** The one door of the core: edges and the command line import from here and from nowhere deeper. */
export * from './model/advice.ts';
export * from './model/booking.ts';
export * from './model/checked.ts';
export * from './model/facts.ts';
export * from './model/forecast.ts';
export * from './model/ids.ts';
export * from './model/owner.ts';
export * from './model/reading.ts';
export * from './model/shop.ts';
export * from './model/staff-data.ts';
export * from './model/time.ts';
export * from './model/turn.ts';
export * from './model/texts.ts';
export { compileFlows, type Flows } from './flows.ts';
export { turn } from './turn.ts';
export { hoursOfServices } from './tools.ts';
export {
  csvOf,
  findSlots,
  quartersOf,
  calendarFeed,
  writeTruckList,
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
export { calibration, forecast, outcomeOf, type CalibrationRow } from './follow-up/mod.ts';
export { read, type Lexicon } from './understand/read.ts';
export { familyWords, forecastPictureFor, timesFor } from './shop-view.ts';
export { dueAgain, outlookFor } from './outlook.ts';
export { type Outlook } from './converse/mod.ts';
