import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { milesFromKilometres } from '../../src/core/understand/values/units.ts';

/** 1 mi = 1.609344 km exactly: NIST Special Publication 811 (2008), appendix B.8, "mile (mi) to kilometer". */
describe('kilometres as miles', () => {
  it.each([
    [1.609344, 1],
    [160.9344, 100],
    [158_000, 98_177],
    [298_000, 185_169],
    [200_000, 124_274],
  ])('%d km are %d mi', (kilometres, miles) => {
    expect(milesFromKilometres(kilometres)).toBe(miles);
  });

  it('comes back to the mile', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2_000_000 }), (miles) => {
        expect(milesFromKilometres(miles * 1.609344)).toBe(miles);
      }),
    );
  });
});
