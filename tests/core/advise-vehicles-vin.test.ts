import { describe, expect, it } from 'vitest';
import { modelYearFromVin, type YearFromVin } from '../../src/core/advise/vehicles-vin.ts';

/** 49 CFR 565.15(d)(1), Table VII, as published: the code of each model year. Written out, not computed. */
const TABLE_VII: Record<string, string> = {
  1980: 'A', 1981: 'B', 1982: 'C', 1983: 'D', 1984: 'E', 1985: 'F', 1986: 'G', 1987: 'H', 1988: 'J', 1989: 'K',
  1990: 'L', 1991: 'M', 1992: 'N', 1993: 'P', 1994: 'R', 1995: 'S', 1996: 'T', 1997: 'V', 1998: 'W', 1999: 'X',
  2000: 'Y', 2001: '1', 2002: '2', 2003: '3', 2004: '4', 2005: '5', 2006: '6', 2007: '7', 2008: '8', 2009: '9',
  2010: 'A', 2011: 'B', 2012: 'C', 2013: 'D', 2014: 'E', 2015: 'F', 2016: 'G', 2017: 'H', 2018: 'J', 2019: 'K',
  2020: 'L', 2021: 'M', 2022: 'N', 2023: 'P', 2024: 'R', 2025: 'S', 2026: 'T', 2027: 'V', 2028: 'W', 2029: 'X',
  2030: 'Y', 2031: '1', 2032: '2', 2033: '3', 2034: '4', 2035: '5', 2036: '6', 2037: '7', 2038: '8', 2039: '9',
}; // prettier-ignore

const WIDE = { earliest: 1980, latest: 2039 };
const vinOf = (seventh: string, tenth: string) => `ZZ1AH5${seventh}H4${tenth}G118341`;

describe('the model year that a VIN gives', () => {
  it.each(Object.entries(TABLE_VII))('%s is coded %s', (year, code) => {
    const seventh = Number(year) < 2010 ? '9' : 'A';
    expect(modelYearFromVin(vinOf(seventh, code), WIDE)?.modelYear).toBe(Number(year));
  });

  it('reads the sample of the regulation: position 7 is a digit, position 10 a 5', () => {
    expect(modelYearFromVin('1G4AH59H45G118341', { latest: 2027 })).toEqual({ modelYear: 2005 });
  });

  it.each<[string, string, { latest: number }, YearFromVin, string]>([
    [
      '9',
      'H',
      { latest: 2027 },
      { modelYear: 2017 },
      'a digit says 1987, before the book starts; heavy trucks may keep digits',
    ],
    ['A', 'H', { latest: 2027 }, { modelYear: 2017 }, 'a letter says the second cycle'],
    [
      '9',
      'S',
      { latest: 2027 },
      { modelYear: 1995, otherYear: 2025 },
      'both cycles are possible: the other year is told',
    ],
    ['A', 'S', { latest: 2027 }, { modelYear: 2025, otherYear: 1995 }, 'the letter puts the second cycle first'],
    ['A', '5', { latest: 2027 }, { modelYear: 2005 }, 'a letter says 2035, which has not come'],
  ])('with %s in position 7 and %s in position 10, %o gives %o: %s', (seventh, tenth, window, year) => {
    expect(modelYearFromVin(vinOf(seventh, tenth), window)).toEqual(year);
  });

  it.each([
    ['ZZ1AH5AH4HG11834', 'sixteen characters'],
    ['ZZ1AH5AH4HG1183411', 'eighteen characters'],
    ['ZZ1AH5AH4UG118341', 'U is no year code'],
    ['ZZ1AH5AH4ZG118341', 'Z is no year code'],
    ['ZZ1AH5AH40G118341', 'zero is no year code'],
    ['ZZ1AH5AH4HG11834I', 'I is in no VIN'],
    ['', 'nothing'],
  ])('%s gives no year: %s', (vin) => {
    expect(modelYearFromVin(vin, WIDE)).toBeUndefined();
  });

  it('gives none where neither cycle lies in the window', () => {
    expect(modelYearFromVin(vinOf('9', 'H'), { earliest: 1994, latest: 2016 })).toBeUndefined();
  });
});
