import { stringify } from 'csv-stringify/sync';
import { LIST_COLUMNS, type ListColumn, type ListedTruck } from './truck-list.ts';

/**
 * A table as CSV by RFC 4180: CRLF, quotation marks where they are needed. A cell that a spreadsheet would take for a
 * formula gets an apostrophe before it; the import takes it off again.
 */
export function csvOf(header: readonly string[], rows: readonly (readonly (string | number | undefined)[])[]): string {
  const cells = rows.map((row) => row.map((cell) => (typeof cell === 'string' ? guarded(cell) : (cell ?? ''))));
  return stringify([[...header], ...cells], { record_delimiter: 'windows', quoted_match: /^\s|\s$|[\r\n]/ });
}

/** A list of trucks in the form that the import reads. */
export function writeTruckList(trucks: readonly ListedTruck[]): string {
  return csvOf(
    LIST_COLUMNS,
    trucks.map((truck) => LIST_COLUMNS.map((column) => cellOf(truck, column))),
  );
}

function cellOf(truck: ListedTruck, column: ListColumn): string | number | undefined {
  switch (column) {
    case 'owner':
    case 'phone':
    case 'unit':
    case 'note':
      return truck[column];
    case 'odometerMiles':
      return truck.reading?.miles;
    case 'odometerDate':
      return truck.reading?.date;
    case 'lastServices':
      return truck.lastService?.services.join(' ');
    case 'lastServiceDate':
      return truck.lastService?.date;
    case 'lastServiceMiles':
      return truck.lastService?.miles;
    default:
      return truck.facts[column];
  }
}

const guarded = (cell: string): string => (/^[=+\-@\t\r]/.test(cell) ? `'${cell}` : cell);
