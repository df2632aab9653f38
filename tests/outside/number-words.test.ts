import recognizer from '@microsoft/recognizers-text-number';
import fc from 'fast-check';
import { ToWords } from 'to-words';
import { describe, expect, it } from 'vitest';
import { facts } from '../core/understand/values/lexicon.ts';

/**
 * Number words against two independent packages: `to-words` writes a number in words, `recognizers-text-number` reads
 * them back; the reader here must agree with both. Both cover English and Spanish.
 */
const english = new ToWords({ localeCode: 'en-US' });
const spanish = new ToWords({ localeCode: 'es-MX' });
const SHORTEST = 1_000;
const LONGEST = 499_999;

const read = (text: string): unknown => {
  const found = facts(text, { asked: 'odometerMiles' });
  return found['odometerMiles'] ?? found['odometerMiles?'];
};
const recognised = (text: string, culture: 'en-us' | 'es-es'): number | undefined => {
  const [first, ...more] = recognizer.recognizeNumber(text, culture);
  return first && more.length === 0 ? Number(first.resolution?.['value']) : undefined;
};

describe('number words', () => {
  it('reads every English number that an independent writer spells out', () => {
    fc.assert(
      fc.property(fc.integer({ min: SHORTEST, max: LONGEST }), (miles) => {
        expect(read(english.convert(miles))).toBe(miles);
      }),
      { numRuns: 400 },
    );
  });

  it('reads every Spanish number that an independent writer spells out', () => {
    fc.assert(
      fc.property(fc.integer({ min: SHORTEST, max: LONGEST }), (miles) => {
        expect(read(spanish.convert(miles))).toBe(miles);
      }),
      { numRuns: 400 },
    );
  });

  it.each([
    ['ninety eight thousand four hundred', 'en-us'],
    ['one hundred and twelve thousand and fifty', 'en-us'],
    ['a hundred and ten thousand', 'en-us'],
    ['two hundred twelve thousand', 'en-us'],
    ['twenty-six thousand four hundred and eleven', 'en-us'],
    ['ninety nine thousand nine hundred ninety nine', 'en-us'],
    ['ciento cuatro mil trescientas', 'es-es'],
    ['doscientos mil', 'es-es'],
    ['noventa y ocho mil cuatrocientos', 'es-es'],
    ['quince mil', 'es-es'],
    ['treinta y un mil quinientos', 'es-es'],
  ] as const)('agrees with an independent recogniser on %j', (text, culture) => {
    expect(read(text)).toBe(recognised(text, culture));
  });

  // What people say to a shop and a general recogniser, made for written language, does not take as one number.
  it.each([
    ['one thirty one thousand two hundred', 131_200, 'hundreds left out'],
    ['two twelve', 212_000, 'hundreds and thousands left out'],
    ['ninety eight four', 98_400, 'a tenth of a thousand'],
    ['one twelve four fifty', 112_450, 'two groups without "thousand"'],
    ['66 thousand 6 hundred and 12', 66_612, 'digits and words mixed'],
    ['1 5 9 0 4 4', 159_044, 'digits read out one by one'],
    ['98 mil y feria', 98_000, '"and change"'],
  ])('differs on purpose on %j: %s (%s)', (text, miles) => {
    expect(read(text)).toBe(miles);
    expect(recognised(text, 'en-us')).not.toBe(miles);
  });
});
