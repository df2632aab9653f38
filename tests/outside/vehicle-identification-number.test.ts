import { vin as independent } from '@form-validation/validator-vin';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findVins, isVin, vinCheckDigit } from '../../src/core/understand/values/vin.ts';

const SIGNS = 'ABCDEFGHJKLMNPRSTUVWXYZ0123456789';
const validator = independent();
/** A second implementation of the check digit, from the registry. */
const agrees = (value: string): boolean =>
  validator.validate({ value, options: {}, elements: [] } as unknown as Parameters<typeof validator.validate>[0]).valid;

describe('the check digit of 49 CFR 565.15', () => {
  it('holds for the sample of the rule, 1G4AH59H45G118341', () => {
    expect(vinCheckDigit('1G4AH59H45G118341')).toBe('4');
    expect(isVin('1G4AH59H45G118341')).toBe(true);
  });

  it('is X where the remainder is 10, as in the well-known test value of seventeen ones for 1', () => {
    // Seventeen ones: the weights add up to 89, which is 1 more than 8 times 11 (49 CFR 565.15, Table IV).
    expect(isVin('1'.repeat(17))).toBe(true);
    expect(vinCheckDigit('1M8GDM9AXKP042788')).toBe('X');
  });

  it('agrees with an independent implementation on any 17 signs', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...SIGNS), { minLength: 17, maxLength: 17 }), (signs) => {
        const given = signs.join('');
        const digit = vinCheckDigit(given) as string;
        const mended = given.slice(0, 8) + digit + given.slice(9);
        expect(agrees(mended)).toBe(true);
        expect(isVin(mended)).toBe(true);
        expect(isVin(given)).toBe(agrees(given));
      }),
      { numRuns: 500 },
    );
  });

  it('changes with any single sign that changes its value', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 16 }), fc.constantFrom(...SIGNS), (place, sign) => {
        const sample = '1G4AH59H45G118341';
        const changed = sample.slice(0, place) + sign + sample.slice(place + 1);
        expect(isVin(changed)).toBe(agrees(changed));
      }),
    );
  });
});

describe('finding a VIN in a message', () => {
  it.each([
    ['1G4AH59H45G118341', '1G4AH59H45G118341'],
    ['1g4ah59h45g118341', '1G4AH59H45G118341'],
    ['vin is 1G4AH59H45G118341.', '1G4AH59H45G118341'],
    ['VIN:1G4AH59H45G118341', '1G4AH59H45G118341'],
    ['1G4AH-59H4-5G-118341', '1G4AH59H45G118341'],
    ['1G4 AH59H 4 5G 118341', '1G4AH59H45G118341'],
    ['its 1G4AH59H45G118341 thanks', '1G4AH59H45G118341'],
  ])('%j', (text, vin) => {
    expect(findVins(text)).toMatchObject([{ vin, mended: false }]);
  });

  it.each([
    ['1G4AH59H45G1I8341', '1G4AH59H45G118341', 'I for 1'],
    ['ZZ8BK3N77GD16Q052', 'ZZ8BK3N77GD160052', 'Q for 0'],
    ['5ZZ4KDEP1GTL71O58', '5ZZ4KDEP1GTL71058', 'O for 0'],
  ])('mends %j to %s: %s', (text, vin) => {
    expect(findVins(text)).toMatchObject([{ vin, mended: true }]);
  });

  it.each([
    ['1G4AH59H55G118341', 'the check digit fails'],
    ['1G4AH59H45G11834', 'a sign is missing'],
    ['1G4AH59H45G1183411', 'a sign too many'],
  ])('does not give %j: %s', (text) => {
    expect(findVins(text).filter((found) => found.vin !== undefined)).toEqual([]);
  });
});
