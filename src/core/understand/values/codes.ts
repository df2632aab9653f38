import { isOneOf, type Scan } from './cues.ts';
import type { Numeral, ValuesLexicon } from './lexicon.ts';

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
const NUMBER_ONLY = /(?<![\p{L}\p{N}])([0-3][0-9a-fA-F]{3}|[1-9][0-9]{2})(?![\p{L}\p{N}])/gu;
/** "P0087 and 0191", "P0087/0191": the second leaves out its letter. */
const GOES_ON = /^\s*(?:[,/&]|(\p{L}+))\s*([0-3][0-9a-fA-F]{3})(?![\p{L}\p{N}])/u;
/** "P0087, 2016 6.7 V8": a truck's year comes after a code more often than a code without its letter. */
const LIKE_A_YEAR = /^(?:19[89]|20[0-3])\d$/;

/** "SPN 3251 FMI 2": codes of heavy vehicles (SAE J1939), which have another form. */
const FAILURE_MODE = /(?<![\p{L}\p{N}])(spn|fmi)(?!\p{L})/iu;

const zero = (text: string): string => text.replace(/[oO]/g, '0').replace(/[lI]/g, '1').toUpperCase();

/**
 * Finds trouble codes in all their spellings: "p0087", "P-0401", "P 2 0 3 B", "p20 3f", "PO299", and spoken letters
 * and digits. `afterCodeWord` tells whether "code" or the like stands before an offset; only there a code without its
 * letter, or with a digit missing, is taken, as unsure. `besideCodeWord` tells whether codes are spoken of in its
 * sentence; there two digits among the five signs are enough ("p 20 ee"). `joins` are the words between two codes.
 */
export function findCodes(
  text: string,
  afterCodeWord: (offset: number) => boolean,
  besideCodeWord: (offset: number) => boolean,
  joins: ReadonlySet<string>,
): CodeMention[] {
  const found: CodeMention[] = [];
  for (const match of text.matchAll(WHOLE)) {
    const [whole, letter, gap1, d1, gap2, d2, gap3, d3, gap4, d4] = match as unknown as string[];
    const digits = `${d1}${d2}${d3}${d4}`;
    const gaps = `${gap1}${gap2}${gap3}${gap4}`;
    const strict = gaps === '' && /^[0-3][0-9a-f]{3}$/i.test(digits);
    // Letters for digits, or gaps: "place" and "b 3 fa c" are no codes, so two or three of the signs must be digits.
    const least = gaps === '' || (/p/i.test(letter as string) && besideCodeWord(match.index)) ? 2 : 3;
    if (!strict && digits.replace(/\D/g, '').length < least) continue;
    // "a P 250 3 times" is not a code: broken up before the last sign only after other gaps.
    if (/^[cbu]$/.test(letter as string) && gap1 !== '' && (gap1 as string).includes(' ') && gap2 === '') continue;
    const code = `${(letter as string).toUpperCase()}${zero(digits)}`;
    if (/^[PCBU][0-3][0-9A-F]{3}$/.test(code)) {
      found.push({ start: match.index, end: match.index + (whole as string).length, code, unsure: false });
    }
  }
  const covered = new Set(found.flatMap(({ start, end }) => Array.from({ length: end - start }, (_, i) => start + i)));
  const free = (start: number): boolean => !covered.has(start);
  for (const code of [...found]) {
    const more = GOES_ON.exec(text.slice(code.end, code.end + 24));
    if (!more || LIKE_A_YEAR.test(more[2] as string) || (more[1] !== undefined && !joins.has(more[1]))) continue;
    const end = code.end + more[0].length;
    const next = `${code.code[0] as string}${(more[2] as string).toUpperCase()}`;
    found.push({ start: end - (more[2] as string).length, end, code: next, unsure: true });
    for (let at = code.end; at < end; at++) covered.add(at);
  }
  for (const match of text.matchAll(SHORT)) {
    if (!free(match.index)) continue;
    const code = `P0${zero(match[2] as string)}`;
    found.push({ start: match.index, end: match.index + match[0].length, code, unsure: true });
  }
  for (const match of text.matchAll(NUMBER_ONLY)) {
    if (!free(match.index) || !afterCodeWord(match.index) || FAILURE_MODE.test(text)) continue;
    found.push({
      start: match.index,
      end: match.index + match[0].length,
      code: `P${(match[1] as string).toUpperCase().padStart(4, '0')}`,
      unsure: true,
    });
  }
  return found.sort((a, b) => a.start - b.start);
}

const SIGNS = 4;

/** Codes read out: "p zero zero eight seven", "P00 eighty seven". At least one of the digits is a word. */
export function findSpokenCodes(
  scan: Scan,
  lexicon: ValuesLexicon,
  codeSpokenOf: (first: number) => boolean,
): CodeMention[] {
  const found: CodeMention[] = [];
  const numerals = [lexicon.words.en.numerals, lexicon.words.es.numerals];
  for (let first = 0; first < scan.pieces.length; first++) {
    const name = scan.words[first] as string;
    const letter = lexicon.little.codeLetters.get(name);
    // What follows must be a number, a word for one, or a letter of the code.
    const next = scan.words[first + 1];
    // "That would be one eighty seven", "you one time": a word of its own, unless a code is spoken of.
    const isWord = isOneOf(scan, first, 'lettersAndWords') && !codeSpokenOf(first);
    if (!letter || isWord || next === undefined || (next.length > 1 && !isSign(scan, first + 1, numerals))) continue;
    let signs = '';
    let spoken = false;
    let at = first + 1;
    for (; at < scan.pieces.length && signs.length < SIGNS; at++) {
      const word = scan.words[at] as string;
      const numeral = numerals.map((map) => map.get(word)).find((entry) => entry !== undefined);
      if (scan.pieces[at]?.kind === 'number') signs += word;
      else if (word === 'o') signs += '0';
      else if (numeral && 'value' in numeral && numeral.value < 100) {
        // "eighty seven" is two signs, of which the unit fills the second.
        const unit = numeral.is === 'unit' && /[2-9]0$/.test(signs) && tensBefore(scan, at, numerals);
        signs = unit ? signs.slice(0, -1) + String(numeral.value) : signs + String(numeral.value);
        spoken = true;
      } else if (/^[a-f]$/.test(word)) signs += word.toUpperCase();
      else if (word !== '-') break;
      if (signs.length === SIGNS && /[2-9]0$/.test(signs)) {
        const next = numerals.map((map) => map.get(scan.words[at + 1] ?? '')).find((entry) => entry !== undefined);
        if (next?.is === 'unit' && next.value > 0 && tensBefore(scan, at + 1, numerals)) {
          signs = signs.slice(0, -1) + String(next.value);
          at++;
        }
      }
    }
    const code = letter + signs;
    if (spoken && /^[PCBU][0-3][0-9A-F]{3}$/.test(code)) {
      found.push({ start: scan.pieces[first]?.start ?? 0, end: scan.pieces[at - 1]?.end ?? 0, code, unsure: false });
      first = at - 1;
    }
  }
  return found;
}

const isSign = (scan: Scan, at: number, numerals: readonly ReadonlyMap<string, Numeral>[]): boolean =>
  scan.pieces[at]?.kind === 'number' || numerals.some((map) => map.has(scan.words[at] as string));

const tensBefore = (scan: Scan, at: number, numerals: readonly ReadonlyMap<string, Numeral>[]): boolean =>
  numerals.some((map) => map.get(scan.words[at - 1] ?? '')?.is === 'ten');
