/**
 * Year codes of position 10 in their order from model year 1980; the cycle of 30 begins again in 2010.
 * 49 CFR 565.15(d)(1), Table VII: no I, O, Q, U, Z and no zero.
 */
const YEAR_CODES = 'ABCDEFGHJKLMNPRSTVWXY123456789';
const CYCLE_STARTS = [1980, 2010] as const;
const VIN = /^[A-HJ-NPR-Z0-9]{17}$/;

/**
 * Whether a model year is one that the year code of a VIN stands for, in any cycle; true where the VIN has no such code.
 * Position 7 is left out of it, since it need not tell the cycle on heavy trucks.
 */
export function yearFitsVin(modelYear: number, vin: string): boolean {
  const place = YEAR_CODES.indexOf(vin[9] ?? ' ');
  if (!VIN.test(vin) || place < 0) return true;
  return (modelYear - CYCLE_STARTS[0] - place) % YEAR_CODES.length === 0;
}

export interface YearFromVin {
  /** To be confirmed with the owner before anything relies on it. */
  modelYear: number;
  /** The same letter's year in the other cycle, where it is possible too. */
  otherYear?: number;
}

/**
 * The model year that a VIN gives, as a fact to confirm; undefined where the VIN is not one, or none of its years lies
 * from `earliest` to `latest` (both inclusive).
 *
 * Position 10 names the year within a cycle of 30 years. Position 7 tells the cycles apart: a digit from 1980 to 2009,
 * a letter from 2010 to 2039. That holds for cars and for trucks of at most 10,000 lb gross weight; heavier ones
 * need not follow it, so the other year is told wherever it is possible. The check digit is verified elsewhere.
 */
export function modelYearFromVin(vin: string, window: { earliest?: number; latest: number }): YearFromVin | undefined {
  const { earliest = 1994, latest } = window;
  const place = YEAR_CODES.indexOf(vin[9] ?? ' ');
  if (!VIN.test(vin) || place < 0) return undefined;
  const secondCycle = /[A-Z]/.test(vin[6] ?? '');
  const inOrder = secondCycle ? [...CYCLE_STARTS].reverse() : CYCLE_STARTS;
  const [modelYear, otherYear] = inOrder
    .map((start) => start + place)
    .filter((year) => year >= earliest && year <= latest);
  if (modelYear === undefined) return undefined;
  return otherYear === undefined ? { modelYear } : { modelYear, otherYear };
}
