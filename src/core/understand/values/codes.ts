/**
 * Diagnostic trouble codes of the form of SAE J2012 / ISO 15031-6: a letter P, C, B or U, a digit 0 to 3, and three
 * hexadecimal digits.
 */
export interface CodeMention {
  start: number;
  end: number;
  code: string;
  /** The letter or a digit was missing, so the code must be confirmed. */
  unsure: boolean;
}

/** A letter o may stand for a zero, and l or I for a one, in any digit of the code. */
const DIGIT = '[0-9oOlI]';
const HEX = '[0-9a-fA-FoOlI]';
const GAP = '[ \\u00a0]?[-–./]?[ \\u00a0]?';
/** The code's five signs, with at most a space, a dash or a point between two of them. */
const WHOLE = new RegExp(
  `(?<![\\p{L}\\p{N}])([pcbuPCBU])(${GAP})([0-3oOlI])(${GAP})(${HEX})(${GAP})(${HEX})(${GAP})(${HEX})(?![\\p{L}\\p{N}])`,
  'gu',
);
const SHORT = new RegExp(`(?<![\\p{L}\\p{N}])([pP])(${DIGIT}{3})(?![\\p{L}\\p{N}])`, 'gu');
const NUMBER_ONLY = /(?<![\p{L}\p{N}])([0-3][0-9a-fA-F]{3})(?![\p{L}\p{N}])/gu;

const zero = (text: string): string => text.replace(/[oO]/g, '0').replace(/[lI]/g, '1').toUpperCase();

/**
 * Finds trouble codes in all their spellings: "p0087", "P-0401", "P 2 0 3 B", "p20 3f", "PO299", and spoken letters
 * and digits. `afterCodeWord` tells whether "code" or the like stands before an offset; only there a code without its
 * letter, or with a digit missing, is taken, as unsure.
 */
export function findCodes(text: string, afterCodeWord: (offset: number) => boolean): CodeMention[] {
  const found: CodeMention[] = [];
  for (const match of text.matchAll(WHOLE)) {
    const [whole, letter, gap1, d1, gap2, d2, gap3, d3, gap4, d4] = match as unknown as string[];
    const digits = `${d1}${d2}${d3}${d4}`;
    const gaps = `${gap1}${gap2}${gap3}${gap4}`;
    const strict = gaps === '' && /^[0-3][0-9a-f]{3}$/i.test(digits);
    // Letters for digits, or gaps: "place" and "b 3 fa c" are no codes, so two or three of the signs must be digits.
    if (!strict && digits.replace(/\D/g, '').length < (gaps === '' ? 2 : 3)) continue;
    // "a P 250 3 times" is not a code: broken up before the last sign only after other gaps.
    if (/^[cbu]$/.test(letter as string) && gap1 !== '' && (gap1 as string).includes(' ') && gap2 === '') continue;
    const code = `${(letter as string).toUpperCase()}${zero(digits)}`;
    if (/^[PCBU][0-3][0-9A-F]{3}$/.test(code)) {
      found.push({ start: match.index, end: match.index + (whole as string).length, code, unsure: false });
    }
  }
  const free = (start: number): boolean => !found.some((code) => start >= code.start && start < code.end);
  for (const match of text.matchAll(SHORT)) {
    if (!free(match.index)) continue;
    const code = `P0${zero(match[2] as string)}`;
    found.push({ start: match.index, end: match.index + match[0].length, code, unsure: true });
  }
  for (const match of text.matchAll(NUMBER_ONLY)) {
    if (!free(match.index) || !afterCodeWord(match.index)) continue;
    found.push({
      start: match.index,
      end: match.index + match[0].length,
      code: `P${(match[1] as string).toUpperCase()}`,
      unsure: true,
    });
  }
  return found.sort((a, b) => a.start - b.start);
}
