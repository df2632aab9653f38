export { calendarFeed, calendarFile, type CalendarMeans } from './calendar-file.ts';
export { approvedServices, openWork, type ApprovalAnswer } from './approval.ts';
export { lengthened, slotStarting, workMinutesOf } from './own-slot.ts';
export { quartersOf, type Claim } from './claims.ts';
export { daySheet, weekByBay, yardOf, type DayEntry, type DaySheet, type DaySpan, type Yard } from './day-sheet.ts';
export { csvOf, writeTruckList } from './list-export.ts';
export { readTruckList, type ListMeans } from './list-import.ts';
export type { BadRow, ListedTruck, ListProblem, ListReading } from './truck-list.ts';
export { isFree } from './diary.ts';
export type { HoursOf } from './plan.ts';
export {
  answerBy,
  changeRequest,
  type CalendarChange,
  type ChangeResult,
  type Refusal,
  type RequestAction,
} from './request.ts';
export { compileShop } from './shop.ts';
export { findSlots, slotAt, type SlotsMeans } from './slots.ts';
