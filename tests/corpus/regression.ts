/** Numbers of texts by features, most of them nought: the columns and values of each row, one row after the other. */
export interface Table {
  /** How many columns there are. The last one is 1 in every row, and its weight costs nothing: the bias. */
  width: number;
  /** Where each row begins in `columns` and `values`, and at the end where the last one ends. */
  starts: Int32Array;
  columns: Int32Array;
  values: Float64Array;
}

const STEPS = 40;
/** The slope has to fall to this share of the first one. */
const CLOSE = 1e-4;
const MOST_CONJUGATE = 60;
const CLOSE_CONJUGATE = 0.1;
const HALVINGS = 30;

/**
 * The weights of a logistic regression with an L2 penalty: Newton's method whose steps are found by conjugate gradients
 * (Lin, Weng and Keerthi 2008, Journal of Machine Learning Research 9:627), halved until the loss falls.
 */
export function regression(table: Table, holds: Uint8Array, penalty: number): Float64Array {
  const { width } = table;
  const costs = new Float64Array(width).fill(penalty);
  costs[width - 1] = 0;
  let weights: Float64Array = new Float64Array(width);
  let loss = lossOf(table, holds, weights, costs);
  let first: number | undefined;
  for (let step = 0; step < STEPS; step++) {
    const { slope, bend } = slopeOf(table, holds, weights, costs);
    const steepness = Math.sqrt(dot(slope, slope));
    first ??= steepness;
    if (steepness <= CLOSE * first) break;
    const direction = conjugate(table, bend, costs, slope);
    let share = 1;
    for (let halving = 0; halving < HALVINGS; halving++, share /= 2) {
      const next = weights.map((weight, at) => weight + share * (direction[at] as number));
      const lossThere = lossOf(table, holds, next, costs);
      if (lossThere > loss + 1e-4 * share * dot(slope, direction)) continue;
      [weights, loss] = [next, lossThere];
      break;
    }
  }
  return weights;
}

const dot = (one: Float64Array, other: Float64Array): number =>
  one.reduce((sum, value, at) => sum + value * (other[at] as number), 0);

/** What a row gives with these weights. */
function sumOf({ starts, columns, values }: Table, row: number, weights: Float64Array): number {
  let sum = 0;
  for (let at = starts[row] as number; at < (starts[row + 1] as number); at++) {
    sum += (values[at] as number) * (weights[columns[at] as number] as number);
  }
  return sum;
}

function lossOf(table: Table, holds: Uint8Array, weights: Float64Array, costs: Float64Array): number {
  let loss = 0;
  weights.forEach((weight, at) => {
    loss += ((costs[at] as number) * weight * weight) / 2;
  });
  holds.forEach((isSo, row) => {
    const z = sumOf(table, row, weights);
    // The logarithm of 1 + e^z that does not overflow.
    loss += Math.max(z, 0) + Math.log1p(Math.exp(-Math.abs(z))) - (isSo ? z : 0);
  });
  return loss;
}

/** The slope of the loss, and how much each row bends it. */
function slopeOf(
  table: Table,
  holds: Uint8Array,
  weights: Float64Array,
  costs: Float64Array,
): { slope: Float64Array; bend: Float64Array } {
  const slope = weights.map((weight, at) => weight * (costs[at] as number));
  const bend = new Float64Array(holds.length);
  holds.forEach((isSo, row) => {
    const chance = 1 / (1 + Math.exp(-sumOf(table, row, weights)));
    bend[row] = chance * (1 - chance);
    addRow(table, row, chance - isSo, slope);
  });
  return { slope, bend };
}

function addRow({ starts, columns, values }: Table, row: number, times: number, to: Float64Array): void {
  for (let at = starts[row] as number; at < (starts[row + 1] as number); at++) {
    const column = columns[at] as number;
    to[column] = (to[column] as number) + times * (values[at] as number);
  }
}

/** The step that leads to where the slope is nought, had the loss the same bend everywhere. */
function conjugate(table: Table, bend: Float64Array, costs: Float64Array, slope: Float64Array): Float64Array {
  const step = new Float64Array(slope.length);
  const rest = slope.map((value) => -value);
  let direction = rest.slice();
  let size = dot(rest, rest);
  const enough = CLOSE_CONJUGATE ** 2 * size;
  for (let round = 0; round < MOST_CONJUGATE && size > enough; round++) {
    const bent = direction.map((value, at) => value * (costs[at] as number));
    bend.forEach((by, row) => {
      addRow(table, row, by * sumOf(table, row, direction), bent);
    });
    const along = size / dot(direction, bent);
    step.forEach((value, at) => {
      step[at] = value + along * (direction[at] as number);
      rest[at] = (rest[at] as number) - along * (bent[at] as number);
    });
    const smaller = dot(rest, rest);
    const turn = smaller / size;
    direction = direction.map((value, at) => (rest[at] as number) + turn * value);
    size = smaller;
  }
  return step;
}
