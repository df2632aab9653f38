/** Fitted weights of features: for each feature a row, pairs of place and weight one after the other in one long list. */
export interface WeightTable {
  rows: ReadonlyMap<string, number>;
  /** Where each row begins in `numbers`, and at the end where the last one ends. */
  starts: readonly number[];
  numbers: Int16Array;
}

const MINUS = '-'.charCodeAt(0);
const ZERO = '0'.charCodeAt(0);
const NINE = '9'.charCodeAt(0);
const BETWEEN = [':'.charCodeAt(0), ' '.charCodeAt(0)];

/** Reads lines of a feature, a tab, and `place:weight place:weight`; answers the first line that is anything else. */
export function tableOf(lines: readonly string[], places: number): WeightTable | { wrong: string } {
  const rows = new Map<string, number>();
  const starts = [0];
  const numbers: number[] = [];
  for (const line of lines) {
    if (line === '') continue;
    const tab = line.indexOf('\t');
    if (tab < 1 || !readRow(line, tab + 1, places, numbers)) return { wrong: line };
    rows.set(line.slice(0, tab), starts.length - 1);
    starts.push(numbers.length);
  }
  return { rows, starts, numbers: Int16Array.from(numbers) };
}

/** Adds the numbers of a line from a position on; false where they are not pairs of a place and a weight. */
function readRow(line: string, from: number, places: number, numbers: number[]): boolean {
  let at = from;
  for (let count = 0; ; count++) {
    const isPlace = count % 2 === 0;
    const isMinus = !isPlace && line.charCodeAt(at) === MINUS;
    if (isMinus) at++;
    const first = at;
    let number = 0;
    for (let code = line.charCodeAt(at); code >= ZERO && code <= NINE; code = line.charCodeAt(++at)) {
      number = number * 10 + code - ZERO;
    }
    if (at === first || (isPlace && number >= places)) return false;
    numbers.push(isMinus ? -number : number);
    if (at === line.length) return !isPlace;
    if (line.charCodeAt(at++) !== BETWEEN[count % 2]) return false;
  }
}

/** What a feature weighs for the label of a place; 0 where it says nothing of it. */
export function weightFor({ rows, starts, numbers }: WeightTable, feature: string, place: number): number {
  const row = rows.get(feature);
  if (row === undefined) return 0;
  for (let at = starts[row] as number; at < (starts[row + 1] as number); at += 2) {
    if (numbers[at] === place) return numbers[at + 1] as number;
  }
  return 0;
}
