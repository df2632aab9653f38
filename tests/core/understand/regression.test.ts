import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { regression, type Table } from '../../corpus/regression.ts';

/** A table of dense rows; the last column, 1 everywhere, is added. */
function tableOf(rows: readonly (readonly number[])[]): Table {
  const [columns, values, starts]: [number[], number[], number[]] = [[], [], [0]];
  for (const row of rows) {
    for (const [column, value] of [...row, 1].entries()) {
      if (value === 0) continue;
      columns.push(column);
      values.push(value);
    }
    starts.push(columns.length);
  }
  return {
    width: (rows[0]?.length ?? 0) + 1,
    starts: Int32Array.from(starts),
    columns: Int32Array.from(columns),
    values: Float64Array.from(values),
  };
}

describe('a fitted logistic regression', () => {
  const ROWS = [
    [1, 0, 2],
    [0, 1, 0],
    [1, 1, 0],
    [0, 0, 1],
    [2, 0, 0],
    [0, 2, 1],
    [1, 0, 1],
    [0, 1, 1],
  ];
  const HOLDS = Uint8Array.from([1, 0, 1, 0, 1, 0, 1, 1]);

  // Values of scikit-learn 1.2.1: LogisticRegression(C=1/penalty, solver="lbfgs", tol=1e-12).
  it.each<[penalty: number, weights: number[]]>([
    [1, [0.979, -0.357, 0.181, 0.083]],
    [3, [0.461, -0.228, 0.074, 0.334]],
  ])('with a penalty of %d has the weights of a reference library', (penalty, weights) => {
    expect([...regression(tableOf(ROWS), HOLDS, penalty)].map((weight) => Number(weight.toFixed(3)))).toEqual(weights);
  });

  const samples = fc
    .tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 2, max: 12 }))
    .chain(([width, count]) =>
      fc.record({
        rows: fc.array(fc.array(fc.integer({ min: 0, max: 3 }), { minLength: width, maxLength: width }), {
          minLength: count,
          maxLength: count,
        }),
        labels: fc.array(fc.boolean(), { minLength: count - 2, maxLength: count - 2 }),
      }),
    )
    // One that holds and one that does not: otherwise the bias has no end.
    .map(({ rows, labels }) => ({ rows, holds: Uint8Array.from([true, false, ...labels], Number) }));

  it('leaves no slope: what the weights miss of each column is what they cost', () => {
    fc.assert(
      fc.property(samples, ({ rows, holds }) => {
        const weights = regression(tableOf(rows), holds, 1);
        const missed = rows.map((row, at) => {
          const z = [...row, 1].reduce((sum, value, column) => sum + value * (weights[column] as number), 0);
          return (holds[at] as number) - 1 / (1 + Math.exp(-z));
        });
        weights.forEach((weight, column) => {
          const isBias = column === weights.length - 1;
          const slope = rows.reduce(
            (sum, row, at) => sum + (isBias ? 1 : (row[column] as number)) * (missed[at] as number),
            0,
          );
          expect(slope).toBeCloseTo(isBias ? 0 : weight, 2);
        });
      }),
    );
  });
});
