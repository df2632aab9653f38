import type { Taken } from '../model/booking.ts';
import { HOLDING_STATES, type BookingRequest, type RequestState } from '../model/owner.ts';
import type { ServiceId } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import type { IsoDate } from '../model/time.ts';
import { calendarOf, weekdayOf, type ShopDay, type Span } from './calendar.ts';
import { dayNumber, MINUTES_A_DAY, minuteOfIso, minutesOfIso, type DayNumber } from './wall-clock.ts';

/** A span of one day in minutes of its wall clock: 450 is 07:30, 1440 the midnight that ends the day. */
export interface DaySpan {
  from: number;
  to: number;
}

/** What stands in one column of the day: a request's job, or a block of the diary. */
export interface DayEntry extends DaySpan {
  /** Absent for a block of a bay or a person. */
  requestId?: string;
  vehicleId?: string;
  state?: RequestState;
  services: ServiceId[];
  person?: string;
  /** The whole span in the diary, ISO 8601 with offset. */
  start: string;
  end: string;
  /** It began on an earlier day, or goes on after this one. */
  continues: boolean;
  goesOn: boolean;
  /** Where entries overlap in time they stand side by side: the lane of this one, and how many there are. */
  lane: number;
  lanes: number;
}

/** One day by bay, as data for a page or a picture with the hours down the side. */
export interface DaySheet {
  date: IsoDate;
  /** Why the day is closed that the weekly hours would open. */
  closedBecause?: string;
  /** When the door is open, and when work is done. */
  open: DaySpan[];
  work: DaySpan[];
  columns: { id: string; name: string; kind: 'bay' | 'person'; entries: DayEntry[]; takenMinutes: number }[];
  /** Entries of bays that the shop no longer has, so that nothing is lost from sight. */
  elsewhere: DayEntry[];
  /** Work minutes of the day in all bays, and how many of them are taken. */
  capacityMinutes: number;
  takenMinutes: number;
}

/** States whose job stands on the sheet: those that hold a bay, and what was closed or missed on the day. */
const ON_SHEET: readonly RequestState[] = [...HOLDING_STATES, 'closed', 'no-show'];

/** One day of the shop: its requests by bay in time order, with blocks of bays and people. */
export function daySheet(
  requests: readonly BookingRequest[],
  date: IsoDate,
  shop: Shop,
  blocks: readonly Taken[] = [],
): DaySheet {
  return sheetOf([...requests.flatMap(entriesOfRequest), ...blocks.map(entryOfBlock)], dayNumber(date), shop);
}

/** The seven days from the Monday of a date's week on, each by bay. */
export function weekByBay(
  requests: readonly BookingRequest[],
  date: IsoDate,
  shop: Shop,
  blocks: readonly Taken[] = [],
): DaySheet[] {
  const entries = [...requests.flatMap(entriesOfRequest), ...blocks.map(entryOfBlock)];
  const day = dayNumber(date);
  const monday = [0, 1, 2, 3, 4, 5, 6].find((back) => weekdayOf(day - back) === 'monday') ?? 0;
  return [0, 1, 2, 3, 4, 5, 6].map((ahead) => sheetOf(entries, day - monday + ahead, shop));
}

type Entry = Omit<DayEntry, 'from' | 'to' | 'continues' | 'goesOn' | 'lane' | 'lanes'> & { resource: string };

function entriesOfRequest({ id, vehicleId, state, services, slot }: BookingRequest): Entry[] {
  if (!slot || !ON_SHEET.includes(state)) return [];
  const { bay, start, end, person } = slot;
  const named = person === undefined ? {} : { person };
  return [{ resource: bay, requestId: id, vehicleId, state, services, start, end, ...named }];
}

const entryOfBlock = ({ bay, start, end, person }: Taken): Entry => ({
  resource: bay,
  services: [],
  start,
  end,
  ...(person === undefined ? {} : { person }),
});

function sheetOf(entries: readonly Entry[], number: DayNumber, shop: Shop): DaySheet {
  const calendar = calendarOf(shop);
  const day = calendar.dayAt(number);
  const ofDay = entries.flatMap((entry) => {
    const dayEntry = onDay(entry, day, (minute) => minute + calendar.clock.offsetAt(minute));
    return dayEntry ? [{ resource: entry.resource, dayEntry }] : [];
  });
  const entriesOf = (id: string) =>
    inLanes(ofDay.filter(({ resource }) => resource === id).map(({ dayEntry }) => dayEntry));
  const shown = (span: Span): DaySpan => ({
    from: span.from + calendar.clock.offsetAt(span.from) - number * MINUTES_A_DAY,
    to: span.to + calendar.clock.offsetAt(span.to) - number * MINUTES_A_DAY,
  });
  const work = day.work.map(shown);
  const column = ({ id, name }: { id: string; name: string }, kind: 'bay' | 'person') => {
    const own = entriesOf(id);
    return { id, name, kind, entries: own, takenMinutes: minutesTaken(own, work) };
  };
  const bays = shop.bays.map((bay) => column(bay, 'bay'));
  // A person has a column of their own where something blocks them; their jobs stand in the bays.
  const people = shop.people.map((person) => column(person, 'person')).filter((one) => one.entries.length > 0);
  const known = new Set([...shop.bays, ...shop.people].map(({ id }) => id));
  return {
    date: day.date,
    ...(day.closedBecause === undefined ? {} : { closedBecause: day.closedBecause }),
    open: day.open.map(shown),
    work,
    columns: [...bays, ...people],
    elsewhere: ofDay.filter(({ resource }) => !known.has(resource)).map(({ dayEntry }) => dayEntry),
    capacityMinutes: bays.length * work.reduce((sum, { from, to }) => sum + to - from, 0),
    takenMinutes: bays.reduce((sum, { takenMinutes }) => sum + takenMinutes, 0),
  };
}

/** An entry's part of one day by the wall clock, at least a quarter hour high so that it can be seen. */
function onDay(entry: Entry, day: ShopDay, shownAt: (minute: number) => number): DayEntry | undefined {
  const midnight = day.number * MINUTES_A_DAY;
  const from = shownAt(minuteOfIso(entry.start)) - midnight;
  const to = shownAt(Math.ceil(minutesOfIso(entry.end))) - midnight;
  if (to <= 0 || from >= MINUTES_A_DAY) return undefined;
  const { resource: _resource, ...rest } = entry;
  const begins = Math.max(0, from);
  return {
    ...rest,
    from: begins,
    to: Math.max(Math.min(MINUTES_A_DAY, to), begins + 15),
    continues: from < 0,
    goesOn: to > MINUTES_A_DAY,
    lane: 0,
    lanes: 1,
  };
}

/** Puts entries in time order, and those that overlap into lanes beside each other. */
function inLanes(entries: readonly DayEntry[]): DayEntry[] {
  const inOrder = [...entries].sort((a, b) => a.from - b.from || a.to - b.to);
  const placed: DayEntry[] = [];
  let group: DayEntry[] = [];
  let groupEnd = -Infinity;
  const finish = () => {
    const lanes = Math.max(0, ...group.map(({ lane }) => lane)) + 1;
    placed.push(...group.map((entry) => ({ ...entry, lanes })));
    group = [];
  };
  for (const entry of inOrder) {
    if (entry.from >= groupEnd) finish();
    const inUse = new Set(group.filter(({ to }) => to > entry.from).map(({ lane }) => lane));
    let lane = 0;
    while (inUse.has(lane)) lane++;
    group.push({ ...entry, lane });
    groupEnd = Math.max(groupEnd, entry.to);
  }
  finish();
  return placed;
}

/** Minutes of the work spans that the entries take, each minute counted once. */
function minutesTaken(entries: readonly DayEntry[], work: readonly DaySpan[]): number {
  let taken = 0;
  for (const span of work) {
    let until = span.from;
    for (const { from, to } of entries) {
      const [begin, end] = [Math.max(from, until), Math.min(to, span.to)];
      if (end > begin) {
        taken += end - begin;
        until = end;
      }
    }
  }
  return taken;
}

/** The trucks that stand in the yard: those that have come and are not worked on. */
export interface Yard {
  places: number;
  requestIds: string[];
  /** Negative where more trucks stand there than there are places. */
  free: number;
}

const IN_YARD: readonly RequestState[] = ['arrived', 'awaiting-approval'];

/** Who stands in the yard now. A truck in work keeps its bay, overnight too. */
export function yardOf(requests: readonly BookingRequest[], shop: Shop): Yard {
  const requestIds = requests.filter(({ state }) => IN_YARD.includes(state)).map(({ id }) => id);
  return { places: shop.yardPlaces, requestIds, free: shop.yardPlaces - requestIds.length };
}
