import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ASKABLE, ReadFacts, type ReadRequest } from '../../../../src/core/model/reading.ts';
import { readMessage, tokenise } from '../../../../src/core/understand/text.ts';
import { readValues } from '../../../../src/core/understand/values/mod.ts';
import { reading, valuesLexicon } from './lexicon.ts';

const asked = fc.option(fc.constantFrom(...ASKABLE), { nil: undefined });
const context = fc.record({
  asked,
  lastOdometerMiles: fc.option(fc.integer({ min: 0, max: 500_000 }), { nil: undefined }),
  lastReadingDate: fc.constant('2026-05-02'),
  today: fc.constant('2026-08-02'),
});

/** Bits of what owners write, so that chance builds messages that the rules have to work on. */
const bits = fc.constantFrom(
  '2016', '6.7', '118k', '118,400', "'16", 'V8', 'inline six', 'diesel', 'miles', 'km', 'on it', 'now', 'sorry', 'no', 'no wait', 'not',
  'or', 'i think', 'about', 'and change', 'a year', 'a month', 'fuel filter', 'changed at', 'due at', 'last', 'ago', 'more than last time',
  'ninety', 'eight', 'thousand', 'four hundred', 'a', 'hundred', 'and', 'point', 'thursday', 'the 12th', 'june', 'next', 'week', 'am', 'after',
  'before', 'between', 'to', '-', '/', ',', '.', '?', '!', '\n', '$', '#', 'P0087', '1G4AH59H45G118341', '555-0142', 'mil', 'ciento', 'y', 'de',
  'el', 'mañana', 'no sé', '👍', 'yes', 'nope', '1', '12', '98', '4', '0', '999999', 'l', 'o', 'v', 'k', 'oh', 'half', 'million', '1o4', '8S',
); // prettier-ignore
const patchwork = fc.array(bits, { maxLength: 14 }).map((parts) => parts.join(' '));
const anyText = fc.oneof(
  patchwork,
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.string({ unit: 'grapheme', maxLength: 60 }),
);

const read = (text: string, request: Partial<ReadRequest>) =>
  reading(text, Object.fromEntries(Object.entries(request).filter(([, value]) => value !== undefined)));

describe('whatever is written', () => {
  it('is read without a fault, and every fact stays within its range', () => {
    fc.assert(
      fc.property(anyText, context, (text, request) => {
        const { facts } = read(text, request);
        expect(ReadFacts.safeParse(facts).error?.message).toBeUndefined();
        for (const key of facts.unsure ?? []) expect(facts).toHaveProperty(key);
      }),
      { numRuns: 3000 },
    );
  });

  it('reads the same twice, and in capitals, with wide spaces and with an end mark', () => {
    fc.assert(
      fc.property(patchwork, context, (text, request) => {
        const once = read(text, request).facts;
        expect(read(text, request).facts).toEqual(once);
        expect(read(text.toUpperCase(), request).facts).toEqual(once);
        expect(read(`  ${text.replaceAll(' ', '   ')}  `, request).facts).toEqual(once);
      }),
      { numRuns: 1500 },
    );
  });

  it.each(['.', '!', '!!!', ' .', '...'])('reads the same with %j at its end', (mark) => {
    fc.assert(
      fc.property(patchwork, context, (text, request) => {
        fc.pre(/[\p{L}\p{N}]$/u.test(text));
        expect(read(text + mark, request).facts).toEqual(read(text, request).facts);
      }),
      { numRuns: 600 },
    );
  });

  it('takes every value from the text or from the context', () => {
    fc.assert(
      fc.property(anyText, context, (text, request) => {
        const { facts, words } = read(text, request);
        for (const key of Object.keys(facts)) {
          if (key === 'unsure' || key === 'answer') continue;
          const said = words[key as keyof typeof words];
          expect(said, key).toBeTruthy();
          for (const part of (said as string).split(', ')) expect(text).toContain(part);
        }
      }),
      { numRuns: 1500 },
    );
  });

  it('is cut into tokens that lead back to it, and that leave out nothing but white space and accents', () => {
    fc.assert(
      fc.property(anyText, (text) => {
        let end = 0;
        for (const token of tokenise(text)) {
          expect(text.slice(token.start, token.end)).toBe(token.raw);
          expect(text.slice(end, token.start)).toMatch(/^[\s\p{Z}\p{C}\p{M}\p{Emoji_Modifier}\uFE0F\u200D]*$/u);
          end = token.end;
        }
      }),
      { numRuns: 1500 },
    );
  });
});

describe('a year, an engine and a mileage built by chance', () => {
  it('come back as they were put in', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1999, max: 2027 }),
        fc.constantFrom(5.9, 6.4, 6.6, 6.7, 7.3),
        fc.integer({ min: 10_000, max: 400_000 }),
        fc.integer({ min: 0, max: 4 }),
        (year, litres, miles, form) => {
          const grouped = miles.toLocaleString('en-US');
          const text = [
            `${year} ${litres} diesel ${grouped} miles`,
            `its a ${year} with the ${litres} diesel, ${grouped} on it`,
            `${litres} diesel, ${year}, odometer ${miles}`,
            `My ${year} diesel (${litres} L) has ${grouped} miles on the clock.`,
            `camioneta ${year} motor ${litres} diesel, trae ${grouped} millas`,
          ][form] as string;
          expect(reading(text).facts).toEqual({
            modelYear: year,
            engineLitres: litres,
            fuel: 'diesel',
            odometerMiles: miles,
          });
        },
      ),
      { numRuns: 400 },
    );
  });
});

describe('a long text', () => {
  const long = (bit: string): string => bit.repeat(Math.ceil(100_000 / bit.length)).slice(0, 100_000);
  // Shapes on which searches that start over would take minutes.
  it.each([
    ['a', 'one word'],
    ['1', 'one number'],
    ['1 ', 'digits read out'],
    ['one ', 'digits read out in words'],
    ['1,111,', 'groups without end'],
    ['p0', 'half codes'],
    ['p 0 ', 'half codes with gaps'],
    ['5ZZ8WRBT6F-', 'half VINs'],
    ['about around like ', 'little words'],
    ['no wait sorry ', 'corrections'],
    ['118k no wait 119k ', 'corrected mileages'],
    ['2016 or 2017 or ', 'years'],
    ['hundred and ', 'hundreds'],
    ['thousand ', 'thousands'],
    ['mon thru ', 'days'],
    ['not monday but ', 'days ruled out'],
    ['i think ', 'hedges'],
    ['👍', 'emoji'],
    ['e\u0301', 'combining accents'],
    ["'", 'apostrophes'],
    ['1/', 'dates'],
    ['fuel filter last changed at 85k and ', 'work done'],
    ['. ', 'empty sentences'],
    ['\n', 'empty lines'],
  ])(
    'of %j again and again (%s) is read with work that grows with its length',
    (bit) => {
      const work = (length: number, asked: (typeof ASKABLE)[number]): number => {
        const effort = { steps: 0 };
        const text = long(bit).slice(0, length);
        readValues(readMessage(text), { text, asked, today: '2026-08-02' }, valuesLexicon(), [], effort);
        return effort.steps;
      };
      for (const asked of ['odometerMiles', 'wantedTime', 'confirm'] as const) {
        // Four times the length: a square would be sixteen times the work. The constant covers what is looked at once.
        expect(work(80_000, asked)).toBeLessThan(6 * work(20_000, asked) + 1000);
      }
    },
    30_000,
  );
});
