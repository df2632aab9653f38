/** What every part of the bench shares: medians, rates and tables in plain text. */

export const median = (values: number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/** Lines of a table: the first column to the left, the others to the right, two blanks between. */
export function table(rows: string[][]): string[] {
  const widths = rows[0]?.map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0))) ?? [];
  return rows.map((row) =>
    row
      .map((cell, column) => (column === 0 ? cell.padEnd(widths[column] ?? 0) : cell.padStart(widths[column] ?? 0)))
      .join('  '),
  );
}

/** How many of `count` pieces of work went through in a second. */
export async function perSecond(count: number, work: () => Promise<void> | void): Promise<number> {
  const began = performance.now();
  await work();
  return (count * 1000) / (performance.now() - began);
}
