/** A share or mean with its standard error. */
export interface Measured {
  value: number;
  standardError: number;
}

/** A ratio of sums over independent trucks, with the standard error of the delta method: trucks, not services, are drawn. */
export function ratioOf(parts: readonly (readonly [above: number, below: number])[]): Measured {
  const above = parts.reduce((sum, [part]) => sum + part, 0);
  const below = parts.reduce((sum, [, part]) => sum + part, 0);
  if (below === 0) return { value: 0, standardError: 0 };
  const value = above / below;
  const squares = parts.reduce((sum, [one, two]) => sum + (one - value * two) ** 2, 0);
  const n = parts.length;
  return { value, standardError: n < 2 ? 0 : Math.sqrt((squares * n) / (n - 1)) / below };
}

/** The loss of a quantile forecast: what is lost by each unit above or below, weighted by the quantile. */
export const pinball = (forecast: number, truth: number, quantile: number): number =>
  truth >= forecast ? quantile * (truth - forecast) : (1 - quantile) * (forecast - truth);

/** A quantile of a sample, by linear interpolation between order statistics. */
export function sampleQuantile(sample: readonly number[], quantile: number): number {
  const sorted = [...sample].sort((one, other) => one - other);
  const place = quantile * (sorted.length - 1);
  const low = Math.floor(place);
  const first = sorted[low] ?? 0;
  return first + (place - low) * ((sorted[low + 1] ?? first) - first);
}
