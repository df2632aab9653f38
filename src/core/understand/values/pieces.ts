import type { Token } from '../text.ts';

/** A token, or one run of letters or of digits out of a mixed token: "97k" is 97 and k, "v8" is v and 8. */
export interface Piece {
  kind: 'word' | 'number' | 'mark' | 'emoji';
  text: string;
  start: number;
  end: number;
  spaced: boolean;
  /** Which letters stood for digits in a number: `o` for the letter o as zero, `other` for S, l, I or B. */
  letters?: 'o' | 'other';
}

const LETTER_O = /^(?=.*\d)[\do]+$/;
const LETTERS_AS_DIGITS = /^(?=.*\d)[\dolisb]+$/;
/** Digits, letters, and the ending of "101kish". */
const SPLIT = /(\d+|[^\d]+?(?=ish$)|ish$|[^\d]+)/u;
const LONGEST_VALUE = 60;
const AS_DIGIT: Record<string, string> = { o: '0', l: '1', i: '1', s: '5', b: '8' };
const asDigits = (text: string): string => [...text].map((char) => AS_DIGIT[char] ?? char).join('');

/** Cuts mixed tokens apart; letters that were typed for digits ("1o4,5oo") become the digits they stand for. */
export function piecesOf(tokens: readonly Token[]): Piece[] {
  const pieces: Piece[] = [];
  tokens.forEach((token, index) => {
    // Nothing that is written as one word has so many signs; what is longer is no value.
    if (token.kind === 'mixed' && token.text.length > LONGEST_VALUE) {
      pieces.push({ ...token, kind: 'word' });
      return;
    }
    if (token.kind !== 'mixed') {
      pieces.push(oAlone(tokens, index) ? { ...token, kind: 'number', text: '000', letters: 'o' } : (token as Piece));
      return;
    }
    const { start, end, spaced, text } = token;
    const letters = lettersAsDigits(tokens, index);
    if (letters) {
      pieces.push({ kind: 'number', text: asDigits(text), start, end, spaced, letters });
      return;
    }
    let at = start;
    let first = true;
    for (const run of text.split(SPLIT).filter((part) => part !== '')) {
      // Folding may change lengths and drops apostrophes; then only the token as a whole leads back to the text.
      const exact = end - start === text.length;
      pieces.push({
        kind: /\d/.test(run) ? 'number' : 'word',
        text: run,
        start: exact ? at : start,
        end: exact ? at + run.length : end,
        spaced: first && spaced,
      });
      at += run.length;
      first = false;
    }
  });
  return pieces;
}

/** Whether letters in a mixed token were meant as digits: "1o4", "5oo", "2o18", "8S" before ",210". */
function lettersAsDigits(tokens: readonly Token[], index: number): 'o' | 'other' | undefined {
  const { text } = tokens[index] as Token;
  if (LETTER_O.test(text)) return text.length > 2 || grouped(tokens, index) ? 'o' : undefined;
  if (LETTERS_AS_DIGITS.test(text) && (grouped(tokens, index) || (text.length > 4 && /\d[lisb]\d/.test(text)))) {
    return 'other';
  }
  return undefined;
}

/** The three digits after a comma may be typed as letters altogether: "104,ooo". */
function oAlone(tokens: readonly Token[], index: number): boolean {
  return tokens[index]?.text === 'ooo' && groupsWith(tokens[index - 1], tokens[index - 2]);
}

const groupsWith = (mark: Token | undefined, digits: Token | undefined): boolean =>
  mark !== undefined &&
  (mark.text === ',' || mark.text === '.') &&
  !mark.spaced &&
  digits !== undefined &&
  (digits.kind === 'number' || digits.kind === 'mixed');

/** True where the token is one of the groups of a number such as 104,500. */
function grouped(tokens: readonly Token[], index: number): boolean {
  const token = tokens[index] as Token;
  if (!token.spaced && token.text.length === 3 && groupsWith(tokens[index - 1], tokens[index - 2])) return true;
  const next = tokens[index + 2];
  return (
    token.text.length <= 3 &&
    next !== undefined &&
    !next.spaced &&
    /^[\dolisb]{3}$/.test(next.text) &&
    groupsWith(tokens[index + 1], token)
  );
}
