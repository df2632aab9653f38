import { Facts } from '../model/facts.ts';
import { SERVICES, type ServiceId } from '../model/ids.ts';
import type { IsoDate } from '../model/time.ts';
import type { ListColumn, ListedTruck, ListProblem, ProblemText } from './truck-list.ts';

/** What reading a list needs of the other stages: whether a VIN's check digit holds, and a phone number as written. */
export interface ListMeans {
  vinIsSound: (vin: string) => boolean;
  /** Null where it is no phone number. */
  phone: (text: string) => string | null;
}

type Cells = Partial<Record<ListColumn, string>>;
type RowReading = { ok: true; truck: ListedTruck } | { ok: false; problems: ListProblem[] };

const MOST_NOTE = 500;
const MOST_NAME = 120;
const MOST_MILES = 5_000_000;

/** One row as a truck, or everything that is wrong with it. */
export function truckOfRow(cells: Cells, line: number, today: IsoDate, means: ListMeans): RowReading {
  const problems: ListProblem[] = [];
  const object = (column: ListColumn, text: ProblemText, values: ListProblem['values'] = {}): undefined => {
    problems.push({ column, text, values: { column, value: cells[column] ?? '', ...values } });
    return undefined;
  };
  const number = (column: ListColumn, low: number, high: number, whole = true): number | undefined => {
    const cell = cells[column];
    if (cell === undefined) return undefined;
    const value = numberOf(cell);
    if (value === undefined || (whole && !Number.isInteger(value))) return object(column, 'list-not-a-number');
    return value < low || value > high
      ? object(column, 'list-out-of-range', { low: String(low), high: String(high) })
      : value;
  };
  const date = (column: ListColumn): IsoDate | undefined => {
    const cell = cells[column];
    if (cell === undefined) return undefined;
    const value = dateOf(cell);
    if (value === undefined) return object(column, 'list-not-a-date');
    return value > today ? object(column, 'list-date-ahead') : value;
  };
  const oneOf = <T extends string>(column: ListColumn, names: readonly T[]): T | undefined => {
    const cell = cells[column]?.toLowerCase();
    if (cell === undefined) return undefined;
    const found = names.find((name) => name.toLowerCase() === cell);
    return found ?? object(column, 'list-not-one-of', { names: names.join(', ') });
  };
  const words = (column: ListColumn, most: number): string | undefined => {
    const cell = cells[column];
    return cell !== undefined && cell.length > most ? object(column, 'list-too-long', { most }) : cell;
  };
  const miles = (column: ListColumn) => number(column, 0, MOST_MILES);

  const owner = words('owner', MOST_NAME) ?? (cells.owner === undefined ? object('owner', 'list-missing') : undefined);
  const phone = cells.phone === undefined ? undefined : (means.phone(cells.phone) ?? object('phone', 'list-phone'));
  const vin = cells.vin?.replaceAll(/[\s-]/g, '').toUpperCase();
  if (vin !== undefined && !means.vinIsSound(vin)) object('vin', 'list-vin');
  const facts = present({
    vin,
    modelYear: number('modelYear', 1900, Number(today.slice(0, 4)) + 2),
    engineLitres: number('engineLitres', 0.1, 30, false),
    cylinders: number('cylinders', 1, 16),
    layout: oneOf('layout', ['V', 'I']),
    fuel: oneOf('fuel', ['diesel', 'gasoline']),
    milesPerYear: number('milesPerYear', 0, 400_000),
    lastFuelFilterMiles: miles('lastFuelFilterMiles'),
    lastFuelFilterDate: date('lastFuelFilterDate'),
    lastOilChangeMiles: miles('lastOilChangeMiles'),
    oilChangeIntervalMiles: miles('oilChangeIntervalMiles'),
  });
  const reading = { miles: miles('odometerMiles'), date: date('odometerDate') };
  if (cells.odometerMiles !== undefined && cells.odometerDate === undefined) {
    object('odometerMiles', 'list-needs-too', { other: 'odometerDate' });
  }
  const last = {
    services: servicesOf(cells.lastServices, (name) => object('lastServices', 'list-unknown-service', { name })),
    date: date('lastServiceDate'),
    miles: miles('lastServiceMiles'),
  };
  const lastCells = ['lastServices', 'lastServiceDate', 'lastServiceMiles'] as const;
  const given = lastCells.find((column) => cells[column] !== undefined);
  const missing = lastCells.find((column) => cells[column] === undefined);
  if (given && missing) object(given, 'list-needs-too', { other: missing });
  const unit = words('unit', MOST_NAME);
  const note = words('note', MOST_NOTE);
  if (problems.length > 0 || owner === undefined) return { ok: false, problems };

  const truck: ListedTruck = { line, owner, ...present({ phone, unit, note }), facts: Facts.parse(facts) };
  if (reading.miles !== undefined && reading.date !== undefined) {
    truck.reading = { miles: reading.miles, date: reading.date };
  }
  if (last.date !== undefined && last.miles !== undefined && last.services.length > 0) {
    truck.lastService = { services: last.services, date: last.date, miles: last.miles };
  }
  return { ok: true, truck };
}

type Present<T> = { [K in keyof T]?: Exclude<T[K], undefined> };
/** Without what is undefined: a fact that is not known is absent. */
const present = <T extends object>(values: T): Present<T> =>
  Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as Present<T>;

/** "97,000", "97 000" or "97000"; undefined where it is no number, or where its commas do not part thousands. */
function numberOf(cell: string): number | undefined {
  const plain = cell.replaceAll(/[\s\u00a0\u202f]/g, '');
  if (/^\d+(\.\d+)?$/.test(plain)) return Number(plain);
  return /^\d{1,3}(,\d{3})+(\.\d+)?$/.test(plain) ? Number(plain.replaceAll(',', '')) : undefined;
}

/** `2026-05-02`, or month, day and year parted by slashes as is usual in the United States. */
function dateOf(cell: string): IsoDate | undefined {
  const american = /^(\d{1,2})\/(\d{1,2})\/(\d{4})$/.exec(cell);
  const [, month = '', day = '', year = ''] = american ?? [];
  const iso = american ? `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}` : cell;
  if (!/^\d{4}-\d{2}-\d{2}$/.test(iso)) return undefined;
  const time = Date.parse(`${iso}T00:00:00Z`);
  // A day that the month does not have is not moved into the next one.
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(iso) ? iso : undefined;
}

function servicesOf(cell: string | undefined, object: (name: string) => void): ServiceId[] {
  const names = (cell ?? '').split(/[;,+\s]+/).filter((name) => name !== '');
  return names.flatMap((name) => {
    const service = SERVICES.find((id) => id === name.toLowerCase());
    if (!service) object(name);
    return service ?? [];
  });
}
