/**
 * A root of a continuous function inside a bracket, by Chandrupatla's method (Advances in Engineering Software 28:145,
 * 1997): inverse quadratic interpolation where it is safe, bisection elsewhere.
 *
 * @param f takes values of opposite sign, or zero, at the two ends
 * @param tolerance the width, in units of the argument, at which the search ends
 */
export function rootBetween(f: (x: number) => number, from: number, to: number, tolerance: number): number {
  let b = from;
  let a = to;
  let c: number;
  let fb = f(b);
  let fa = f(a);
  let fc: number;
  if (fb === 0) return b;
  if (fa === 0) return a;
  let share = 0.5;
  for (let step = 0; step < 200; step++) {
    const x = a + share * (b - a);
    const fx = f(x);
    if (Math.sign(fx) === Math.sign(fa)) {
      c = a;
      fc = fa;
    } else {
      c = b;
      fc = fb;
      b = a;
      fb = fa;
    }
    a = x;
    fa = fx;
    const best = Math.abs(fa) < Math.abs(fb) ? a : b;
    const near = tolerance / Math.abs(b - a || tolerance);
    if (fx === 0 || near > 0.5) return best;
    const xi = (a - b) / (c - b);
    const phi = (fa - fb) / (fc - fb);
    const interpolates = phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi;
    const guess = interpolates
      ? (fa / (fb - fa)) * (fc / (fb - fc)) + ((c - a) / (b - a)) * (fa / (fc - fa)) * (fb / (fc - fb))
      : 0.5;
    share = Math.min(1 - near, Math.max(near, guess));
  }
  return a;
}
