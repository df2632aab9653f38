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
