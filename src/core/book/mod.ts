export { compileShop } from './shop.ts';
export { findSlots, type SlotsMeans } from './slots.ts';
export type { HoursOf } from './plan.ts';
