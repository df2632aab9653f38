/**
 * Repeatable chance. A generator is named by the seed and by what it is for, so that adding a draw in one place changes
 * none in another, and every policy meets the same owners with the same dice.
 */
export interface Random {
  /** In [0, 1), 32 bits. */
  uniform(): number;
  between(low: number, high: number): number;
  /** Whole number, both ends included. */
  integer(low: number, high: number): number;
  chance(probability: number): boolean;
  pick<T>(weighted: readonly (readonly [T, number])[]): T;
  normal(): number;
  exponential(mean: number): number;
  /** Gamma with a shape and mean 1. */
  gamma(shape: number): number;
  beta(a: number, b: number): number;
}

/** Spreads a text over 32 bits (FNV-1a with a final mix). */
function hash(text: string): number {
  let value = 0x811c9dc5;
  for (let index = 0; index < text.length; index++) {
    value = Math.imul(value ^ text.charCodeAt(index), 0x01000193);
  }
  value ^= value >>> 16;
  value = Math.imul(value, 0x85ebca6b);
  value ^= value >>> 13;
  value = Math.imul(value, 0xc2b2ae35);
  return (value ^ (value >>> 16)) >>> 0;
}

/** Doty-Humphrey's small fast counting generator with 128 bits of state. */
export function randomFor(...name: (string | number)[]): Random {
  const text = name.join('/');
  let a = hash(`${text}#a`);
  let b = hash(`${text}#b`);
  let c = hash(`${text}#c`);
  let counter = 1;
  const next = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    return sum >>> 0;
  };
  for (let round = 0; round < 12; round++) next();

  let spare: number | null = null;
  const uniform = () => next() / 4294967296;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    // Marsaglia's polar method.
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const square = u * u + v * v;
      if (square > 0 && square < 1) {
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        spare = v * scale;
        return u * scale;
      }
    }
  };
  /** Marsaglia and Tsang 2000, ACM Transactions on Mathematical Software 26:363. */
  const standardGamma = (shape: number): number => {
    if (shape < 1) return standardGamma(shape + 1) * Math.pow(1 - uniform(), 1 / shape);
    const d = shape - 1 / 3;
    const scale = 1 / Math.sqrt(9 * d);
    for (;;) {
      const x = normal();
      const v = (1 + scale * x) ** 3;
      if (v > 0 && Math.log(1 - uniform()) < 0.5 * x * x + d - d * v + d * Math.log(v)) return d * v;
    }
  };
  return {
    uniform,
    normal,
    between: (low, high) => low + (high - low) * uniform(),
    integer: (low, high) => low + Math.floor((high - low + 1) * uniform()),
    chance: (probability) => uniform() < probability,
    exponential: (mean) => -mean * Math.log(1 - uniform()),
    gamma: (shape) => standardGamma(shape) / shape,
    beta: (first, second) => {
      const one = standardGamma(first);
      return one / (one + standardGamma(second));
    },
    pick: (weighted) => {
      const total = weighted.reduce((sum, [, weight]) => sum + weight, 0);
      let rest = uniform() * total;
      for (const [value, weight] of weighted) {
        rest -= weight;
        if (rest < 0) return value;
      }
      const last = weighted.at(-1);
      if (!last) throw new Error('nothing to pick from');
      return last[0];
    },
  };
}
