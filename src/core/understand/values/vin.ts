/**
 * Vehicle identification numbers: 17 characters, no I, O or Q, check digit in position 9, as in 49 CFR 565.15.
 */

/** Value of each letter for the check digit: 49 CFR 565.15(c), Table III. */
const VALUE: Record<string, number> = {
  A: 1, B: 2, C: 3, D: 4, E: 5, F: 6, G: 7, H: 8,
  J: 1, K: 2, L: 3, M: 4, N: 5, P: 7, R: 9,
  S: 2, T: 3, U: 4, V: 5, W: 6, X: 7, Y: 8, Z: 9,
}; // prettier-ignore
/** Weight of each position: 49 CFR 565.15(c), Table IV. */
const WEIGHT = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

const FORM = /^[A-HJ-NPR-Z0-9]{17}$/;

/** The check digit that a VIN of the right form must carry in position 9; undefined for any other text. */
export function vinCheckDigit(vin: string): string | undefined {
  if (!FORM.test(vin)) return undefined;
  let sum = 0;
  for (let i = 0; i < 17; i++) {
    const char = vin[i] as string;
    sum += (VALUE[char] ?? Number(char)) * (WEIGHT[i] as number);
  }
  const rest = sum % 11;
  return rest === 10 ? 'X' : String(rest);
}

/** True for 17 characters of the right form whose check digit holds. */
export const isVin = (vin: string): boolean => vinCheckDigit(vin) === vin[8] && vin.length === 17;

export interface VinMention {
  start: number;
  end: number;
  /** Absent where the check digit fails. */
  vin?: string;
  /** A letter that a VIN cannot hold was replaced. */
  mended: boolean;
}

const MENDED: Record<string, string> = { I: '1', O: '0', Q: '0' };
/** The last five signs of a VIN are digits on light trucks, four on all (49 CFR 565.15(d)). */
const FIVE_DIGITS = /\d(?:\D*\d){4}/;
/** Wide spaces between the pieces count once. */
const LONGEST = 17 * 8;
const SPACE = ' '.charCodeAt(0);

/**
 * Finds VINs in a text: 17 letters and digits in one piece, or broken up by single spaces, dashes or dots. A stretch of
 * letters and digits that looks like a VIN and fails is given without `vin`, so that its digits are not taken for others.
 */
export function findVins(text: string): VinMention[] {
  const found: VinMention[] = [];
  if (!FIVE_DIGITS.test(text)) return found;
  for (const run of text.matchAll(/[\p{L}\p{N}]+/gu)) {
    const start = run.index;
    if (start < (found[found.length - 1]?.end ?? 0)) continue;
    const mention = oneRun(run[0], start) ?? brokenUp(text, start);
    if (mention) found.push(mention);
  }
  return found;
}

function oneRun(run: string, start: number): VinMention | undefined {
  if (run.length < 14 || run.length > 20 || !/^[A-Za-z0-9]+$/.test(run)) return undefined;
  const digits = run.replace(/\D/g, '').length;
  if (digits < 5 || digits === run.length) return undefined;
  return { start, end: start + run.length, ...read(run) };
}

function read(run: string): { vin?: string; mended: boolean } {
  const vin = run.toUpperCase();
  if (isVin(vin)) return { vin, mended: false };
  const mended = vin.replace(/[IOQ]/g, (char) => MENDED[char] as string);
  return mended !== vin && isVin(mended) ? { vin: mended, mended: true } : { mended: false };
}

const isLetterOrDigit = (code: number): boolean =>
  (code >= 48 && code <= 57) || (code >= 65 && code <= 90) || (code >= 97 && code <= 122);
const SEPARATORS = new Set([' ', '-', '.'].map((char) => char.charCodeAt(0)));

/**
 * "ZZ3-HT5M9-7-KC318402": pieces that together have 17 characters and whose check digit holds. One text in eleven passes
 * that by chance: so there must be a digit among the first eight and letters at all, the last four must be digits as the
 * rule has them, and nothing is mended.
 */
function brokenUp(text: string, start: number): VinMention | undefined {
  let compact = '';
  let separators = 0;
  let digits = 0;
  for (let at = start; at < start + LONGEST && at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (isLetterOrDigit(code)) {
      compact += text[at] as string;
      if (code <= 57) digits++;
      separators = 0;
      if (compact.length === 8 && digits === 0) return undefined;
    } else if (code === SPACE && text.charCodeAt(at - 1) === SPACE) continue;
    else if (SEPARATORS.has(code) && separators < 2) separators++;
    else return undefined;
    if (compact.length < 17) continue;
    if (isLetterOrDigit(text.charCodeAt(at + 1)) || digits < 7 || digits > 15 || !/\d{4}$/.test(compact))
      return undefined;
    const result = read(compact);
    return result.vin && !result.mended ? { start, end: at + 1, ...result } : undefined;
  }
  return undefined;
}
