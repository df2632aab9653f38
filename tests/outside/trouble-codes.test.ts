import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { facts } from '../core/understand/values/lexicon.ts';

/**
 * The form of SAE J2012 / ISO 15031-6: a letter for the system (P powertrain, C chassis, B body, U network), a digit
 * 0 to 3, and three hexadecimal digits. From memory; the standards are not free.
 */
const CODE = fc
  .tuple(fc.constantFrom('P', 'C', 'B', 'U'), fc.constantFrom('0', '1', '2', '3'), fc.integer({ min: 0, max: 0xfff }))
  .map(([system, digit, rest]) => `${system}${digit}${rest.toString(16).toUpperCase().padStart(3, '0')}`);

describe('trouble codes', () => {
  it('reads every code of the form, in either case', () => {
    fc.assert(
      fc.property(CODE, fc.boolean(), (code, small) => {
        const typed = small ? code.toLowerCase() : code;
        expect(facts(`code ${typed} came up`)).toMatchObject({ troubleCodes: [code] });
      }),
      { numRuns: 500 },
    );
  });

  it('gives nothing that is not of the form', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 40 }), (text) => {
        const read = facts(text, { asked: 'troubleCodes' });
        const codes = (read['troubleCodes'] ?? read['troubleCodes?'] ?? []) as string[];
        for (const code of codes) expect(code).toMatch(/^[PCBU][0-3][0-9A-F]{3}$/);
      }),
      { numRuns: 300 },
    );
  });

  it.each([
    ['p0087', ['P0087']],
    ['P 0087', ['P0087']],
    ['P-0087', ['P0087']],
    ['p 0 0 8 7', ['P0087']],
    ['P00 87', ['P0087']],
    ['PO087', ['P0087']],
    ['P0087.', ['P0087']],
    ['(P0087)', ['P0087']],
    ['P0087,P0191', ['P0087', 'P0191']],
    ['P0087/P0191', ['P0087', 'P0191']],
    ['P0087 P0191 and U0100', ['P0087', 'P0191', 'U0100']],
    ['p0087 p0087', ['P0087']],
    ['code is p20ee', ['P20EE']],
    ['p zero zero eight seven', ['P0087']],
    ['P oh oh eight seven', ['P0087']],
    ['P zero two nine nine', ['P0299']],
    ['P00 eighty seven', ['P0087']],
    ['pe cero cero ocho siete', ['P0087']],
    ['U0100 y P0087', ['P0087', 'U0100']],
  ])('%j', (text, codes) => {
    expect(facts(text, { asked: 'troubleCodes' })).toMatchObject({ troubleCodes: codes });
  });

  it.each([
    ['code 0087', ['P0087'], 'the letter is missing'],
    ['p087', ['P0087'], 'a digit is missing'],
    ['code 299', ['P0299'], 'the letter and the zero are missing'],
    ['P0087 and 0191', ['P0087', 'P0191'], 'the second letter is left out'],
  ])('%j, to be confirmed: %s', (text, codes) => {
    expect(facts(text)).toMatchObject({ 'troubleCodes?': codes });
  });

  it.each([
    'spn 157 fmi 18',
    'my place at 1500 main',
    'a blade and a decade',
    'P4087',
    'P00871',
    'its a 2500',
    'b1 visa',
    'the code reader says nothing',
    'no codes',
    'P008',
    'around 2000 rpm',
    'call 555-0142',
  ])('%j holds none', (text) => {
    expect(facts(text)).not.toHaveProperty('troubleCodes');
  });
});
