import * as cephes from 'cephes';
import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { regularisedBeta } from '../../src/core/follow-up/beta.ts';

/** The reference is the Cephes mathematical library's `incbet`, compiled to WebAssembly. */
describe('the regularised incomplete beta function', () => {
  beforeAll(() => cephes.compiled);

  it('agrees with the Cephes library to 1e-12 over everything a forecast meets', () => {
    let worst = { off: 0, at: '' };
    for (let a = 1e-4; a < 1200; a *= 1.35) {
      for (const b of [4, 5.17, 6.32, 8.27, 12, 20, 33, 47]) {
        for (let x = 0.005; x < 1; x += 0.0331) {
          const off = Math.abs(regularisedBeta(x, a, b) - cephes.incbet(a, b, x));
          if (off > worst.off) worst = { off, at: `I_${x}(${a}, ${b})` };
        }
      }
    }
    expect(worst.off, worst.at).toBeLessThan(1e-12);
  });

  it('agrees with the Cephes library wherever the arguments fall', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }),
        fc.double({ min: 1e-3, max: 1000, noNaN: true }),
        fc.double({ min: 0.5, max: 100, noNaN: true }),
        (x, a, b) => Math.abs(regularisedBeta(x, a, b) - cephes.incbet(a, b, x)) < 1e-12,
      ),
      { numRuns: 2000 },
    );
  });

  it.each([
    ['x^a where b is 1 (DLMF 8.17.2)', regularisedBeta(0.3, 4.2, 1), 0.3 ** 4.2],
    ['1 − (1 − x)^b where a is 1', regularisedBeta(0.3, 1, 7.5), 1 - 0.7 ** 7.5],
    ['a half in the middle of a symmetric one (DLMF 8.17.4)', regularisedBeta(0.5, 33.3, 33.3), 0.5],
    ['the binomial tail P(X ≥ 3), n 5, p 0.4 (DLMF 8.17.5)', regularisedBeta(0.4, 3, 3), 0.31744],
  ])('is %s', (_case, value, exact) => {
    expect(value).toBeCloseTo(exact, 13);
  });

  it('keeps its digits where the reference loses some: a value with 40 digits from mpmath', () => {
    expect(regularisedBeta(0.9996518039433064, 2.8818338823820135, 0.001)).toBeCloseTo(0.0064906363574832888, 14);
  });

  it.each([
    // Critical values as printed in the NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7 (from memory).
    ['Student t, 10 degrees of freedom, 2.228', 1 - 0.5 * regularisedBeta(10 / (10 + 2.228 ** 2), 5, 0.5), 0.975],
    ['Student t, 30 degrees of freedom, 1.697', 1 - 0.5 * regularisedBeta(30 / (30 + 1.697 ** 2), 15, 0.5), 0.95],
    ['F with 4 and 20 degrees of freedom, 2.866', regularisedBeta((4 * 2.866) / (4 * 2.866 + 20), 2, 10), 0.95],
  ])('gives the tabled probability of %s', (_case, value, tabled) => {
    expect(value).toBeCloseTo(tabled, 4);
  });

  it('is 0 and 1 at the ends and rises between them', () => {
    expect(regularisedBeta(0, 3, 5)).toBe(0);
    expect(regularisedBeta(1, 3, 5)).toBe(1);
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 0.98, noNaN: true }),
        fc.double({ min: 0.01, max: 400, noNaN: true }),
        fc.double({ min: 4, max: 60, noNaN: true }),
        (x, a, b) => regularisedBeta(x + 0.01, a, b) >= regularisedBeta(x, a, b) - 1e-13,
      ),
    );
  });
});
