import type { Facts } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';

/** One truck of a list that the shop brings along or takes with it. */
export interface ListedTruck {
  /** Line of the file on which it stands; the header is line 1. */
  line: number;
  owner: string;
  /** As the phone reader wrote it. */
  phone?: string;
  /** The owner's own number for the truck. */
  unit?: string;
  facts: Pick<Facts, (typeof FACT_COLUMNS)[number]>;
  reading?: { miles: number; date: IsoDate };
  /** The last work that was done: what, when and at which odometer. */
  lastService?: { services: ServiceId[]; date: IsoDate; miles: number };
  note?: string;
}

export const FACT_COLUMNS = [
  'vin',
  'modelYear',
  'engineLitres',
  'cylinders',
  'layout',
  'fuel',
  'milesPerYear',
  'lastFuelFilterMiles',
  'lastFuelFilterDate',
  'lastOilChangeMiles',
  'oilChangeIntervalMiles',
] as const;

/** The columns of a list, in the order in which they are written. */
export const LIST_COLUMNS = [
  'owner',
  'phone',
  'unit',
  ...FACT_COLUMNS,
  'odometerMiles',
  'odometerDate',
  'lastServices',
  'lastServiceDate',
  'lastServiceMiles',
  'note',
] as const;
export type ListColumn = (typeof LIST_COLUMNS)[number];

/** What is wrong with one cell or row: a text of flows/texts with its values. */
export interface ListProblem {
  column?: ListColumn;
  text: ProblemText;
  values: Record<string, string | number>;
}

export type ProblemText =
  | 'list-unreadable'
  | 'list-missing'
  | 'list-not-a-number'
  | 'list-out-of-range'
  | 'list-too-long'
  | 'list-not-a-date'
  | 'list-date-ahead'
  | 'list-unknown-service'
  | 'list-vin'
  | 'list-phone'
  | 'list-not-one-of'
  | 'list-needs-too'
  | 'list-twice';

/** A row that is not taken over, with everything that is wrong with it. */
export interface BadRow {
  line: number;
  problems: ListProblem[];
}

/** What a dry run shows before anything is kept: the sound rows, each bad row by name, and columns nobody reads. */
export interface ListReading {
  trucks: ListedTruck[];
  bad: BadRow[];
  unknownColumns: string[];
}
