import { CsvError, parse } from 'csv-parse/sync';
import type { IsoDate } from '../model/time.ts';
import { truckOfRow, type ListMeans } from './list-row.ts';
import { LIST_COLUMNS, type BadRow, type ListColumn, type ListedTruck, type ListReading } from './truck-list.ts';

export type { ListMeans } from './list-row.ts';

/** More is refused at once: a list of trucks is a few thousand lines. */
const MOST_CHARACTERS = 5_000_000;

/**
 * Reads a list of customers, trucks and last services from CSV (RFC 4180; comma, semicolon or tab; with a header whose
 * names may be written apart or together). Nothing is kept: the answer says which rows are sound and what is wrong
 * with every other one, so that a dry run can be shown first. The only column that has to be there is `owner`.
 */
export function readTruckList(text: string, today: IsoDate, means: ListMeans): ListReading {
  const bad: BadRow[] = [];
  const body = text.slice(0, MOST_CHARACTERS);
  const unreadable = (line: number, why: string) =>
    void bad.push({ line, problems: [{ text: 'list-unreadable', values: { why } }] });
  if (text.length > MOST_CHARACTERS) unreadable(1, 'size');
  const rows = rowsOf(body, unreadable);
  const [header, ...lines] = rows;
  const columns = (header?.record ?? []).map(columnOf);
  const unknownColumns = (header?.record ?? []).filter((name, index) => name !== '' && columns[index] === undefined);
  if (!columns.includes('owner')) {
    bad.push({ line: 1, problems: [{ column: 'owner', text: 'list-missing', values: { column: 'owner' } }] });
    return { trucks: [], bad, unknownColumns };
  }

  const trucks: ListedTruck[] = [];
  const seen = new Map<string, number>();
  for (const { line, record } of lines) {
    if (record.every((cell) => cell.trim() === '')) continue;
    if (record.length > columns.length) {
      unreadable(line, 'cells');
      continue;
    }
    const cells: Partial<Record<ListColumn, string>> = {};
    record.forEach((cell, index) => {
      const column = columns[index];
      if (column && cell.trim() !== '') cells[column] = unguarded(cell.trim());
    });
    const read = truckOfRow(cells, line, today, means);
    if (!read.ok) {
      bad.push({ line, problems: read.problems });
      continue;
    }
    const names = namesOf(read.truck);
    const before = names.map((name) => seen.get(name)).find((at) => at !== undefined);
    if (before !== undefined) {
      bad.push({ line, problems: [{ text: 'list-twice', values: { line: before } }] });
      continue;
    }
    for (const name of names) seen.set(name, line);
    trucks.push(read.truck);
  }
  return { trucks, bad: bad.sort((a, b) => a.line - b.line), unknownColumns };
}

interface Row {
  line: number;
  record: string[];
}

/** A cell may hold line breaks, but not so many that a stray quotation mark would swallow the list. */
const MOST_LINES_A_ROW = 20;

/**
 * The rows of the file with the lines on which they begin. Each row is parsed for itself: a quotation mark in the
 * wrong place spoils its own line and no other.
 */
function rowsOf(text: string, unreadable: (line: number, why: string) => void): Row[] {
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const delimiter = delimiterOf(lines[0] ?? '');
  const rows: Row[] = [];
  for (let index = 0; index < lines.length;) {
    const length = rowLength(lines, index);
    const record = length === undefined ? undefined : recordOf(lines.slice(index, index + length), delimiter);
    if (record) rows.push({ line: index + 1, record });
    else unreadable(index + 1, 'quotes');
    index += record && length !== undefined ? length : 1;
  }
  return rows;
}

/** How many lines belong to a row: until its quotation marks are even. */
function rowLength(lines: readonly string[], index: number): number | undefined {
  let marks = 0;
  for (let length = 1; length <= MOST_LINES_A_ROW && index + length <= lines.length; length++) {
    marks += (lines[index + length - 1] ?? '').split('"').length - 1;
    if (marks % 2 === 0) return length;
  }
  return undefined;
}

function recordOf(lines: readonly string[], delimiter: string): string[] | undefined {
  if (lines.every((line) => line === '')) return [];
  try {
    return parse(lines.join('\n'), { delimiter, relax_column_count: true })[0];
  } catch (error) {
    if (error instanceof CsvError) return undefined;
    throw error;
  }
}

/** The one of comma, semicolon and tab that the header uses most. */
function delimiterOf(header: string): string {
  const count = (mark: string) => header.split(mark).length;
  return [',', ';', '\t'].reduce((best, mark) => (count(mark) > count(best) ? mark : best));
}

const plain = (name: string): string => name.toLowerCase().replaceAll(/[^a-z]/g, '');
const BY_PLAIN_NAME = new Map(LIST_COLUMNS.map((column) => [plain(column), column]));
const columnOf = (name: string): ListColumn | undefined => BY_PLAIN_NAME.get(plain(name));

/** What makes two rows the same truck: one VIN, or one owner and unit number. */
function namesOf({ owner, unit, facts }: ListedTruck): string[] {
  return [
    ...(facts.vin === undefined ? [] : [`vin ${facts.vin}`]),
    ...(unit === undefined ? [] : [`unit ${owner.toLowerCase()} ${unit.toLowerCase()}`]),
  ];
}

/** Takes off the apostrophe with which an export keeps a spreadsheet from reading a cell as a formula. */
const unguarded = (cell: string): string => (/^'[=+\-@]/.test(cell) ? cell.slice(1) : cell);
