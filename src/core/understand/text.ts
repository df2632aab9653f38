import type { Language } from '../model/ids.ts';
import { guessLanguage } from './language.ts';

/**
 * One piece of a message. `word` is a run of letters, `number` a run of digits, `mixed` both ("97k", "p0087"),
 * `mark` one punctuation sign (a line break is the mark "\n"), `emoji` one pictograph with its modifiers.
 */
export interface Token {
  kind: 'word' | 'number' | 'mixed' | 'mark' | 'emoji';
  /** As typed. */
  raw: string;
  /** Folded: lower case, no accents, no inner apostrophes ("it's" is "its"), drawn-out letters once ("nooo" is "no"). */
  text: string;
  /** UTF-16 offsets in the message; `end` is exclusive. */
  start: number;
  end: number;
  /** True where white space or the message's begin stands before it. */
  spaced: boolean;
}

/** A message cut into tokens; the offsets always lead back to what was typed. */
export interface Message {
  text: string;
  tokens: Token[];
  language: Language;
}

const LETTER = /^\p{L}$/u;
const DIGIT = /^\p{Nd}$/u;
const LETTER_MARK = /^\p{M}$/u;
const SPACE = /^[\s\p{Z}\p{Cc}\p{Cf}]$/u;
const PICTOGRAPH = /^(\p{Extended_Pictographic}|\p{Regional_Indicator})$/u;
const PICTOGRAPH_MODIFIER = /^(\p{Emoji_Modifier}|\uFE0F|\uFE0E|\u200D|\u20E3)$/u;
const APOSTROPHES = new Set(["'", '’', '‘', '`', '´', 'ʼ']);
const DASHES = new Set(['‐', '‑', '‒', '–', '—', '−']);

type CharacterClass =
  'letter' | 'digit' | 'accent' | 'space' | 'break' | 'apostrophe' | 'pictograph' | 'modifier' | 'mark';

interface Character {
  folded: string;
  class: CharacterClass;
}

const known = new Map<string, Character>();

function character(char: string): Character {
  const found = known.get(char);
  if (found) return found;
  const made = classify(char);
  // Only the everyday characters are kept, so that memory does not grow with what strangers type.
  if (char <= '\u02ff') known.set(char, made);
  return made;
}

function classify(char: string): Character {
  if (char === '\n' || char === '\r' || char === '\u2028' || char === '\u2029') return { folded: '\n', class: 'break' };
  if (APOSTROPHES.has(char)) return { folded: "'", class: 'apostrophe' };
  if (DASHES.has(char)) return { folded: '-', class: 'mark' };
  if (PICTOGRAPH_MODIFIER.test(char)) return { folded: '', class: 'modifier' };
  if (LETTER_MARK.test(char)) return { folded: '', class: 'accent' };
  if (SPACE.test(char)) return { folded: ' ', class: 'space' };
  const folded = char.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();
  const first = String.fromCodePoint(folded.codePointAt(0) ?? 0xfffd);
  if (DIGIT.test(first)) return { folded: asciiDigits(folded), class: 'digit' };
  if (LETTER.test(first) && !PICTOGRAPH.test(char)) return { folded, class: 'letter' };
  if (PICTOGRAPH.test(char)) return { folded: char, class: 'pictograph' };
  return { folded, class: 'mark' };
}

/** Digits of other scripts as 0 to 9; Unicode lays each script's ten digits out in order. */
function asciiDigits(text: string): string {
  return [...text]
    .map((char) => {
      if (!DIGIT.test(char) || (char >= '0' && char <= '9')) return char;
      let value = 0;
      const code = char.codePointAt(0) ?? 0;
      while (value < 9 && DIGIT.test(String.fromCodePoint(code - value - 1))) value++;
      return String(value);
    })
    .join('');
}

/** Cuts a text into tokens in one pass; every character but white space belongs to exactly one token. */
export function tokenise(text: string): Token[] {
  const tokens: Token[] = [];
  const chars = [...text];
  let offset = 0;
  let spaced = true;
  let index = 0;
  while (index < chars.length) {
    const char = chars[index] as string;
    const here = character(char);
    if (here.class === 'space' || here.class === 'modifier' || here.class === 'accent') {
      spaced ||= here.class === 'space';
      offset += char.length;
      index++;
      continue;
    }
    const begin = index;
    const start = offset;
    let folded = '';
    let letters = false;
    let digits = false;
    if (here.class === 'letter' || here.class === 'digit') {
      for (; index < chars.length; index++) {
        const next = character(chars[index] as string);
        if (next.class === 'letter') letters = true;
        else if (next.class === 'digit') digits = true;
        else if (next.class === 'apostrophe') {
          const after = chars[index + 1];
          if (after === undefined || character(after).class !== 'letter') break;
        } else if (next.class !== 'accent') break;
        if (next.class !== 'apostrophe') folded += next.folded;
        offset += (chars[index] as string).length;
      }
    } else {
      folded = here.class === 'apostrophe' ? "'" : here.folded;
      offset += char.length;
      index++;
      if (here.class === 'pictograph') {
        while (index < chars.length && character(chars[index] as string).class === 'modifier') {
          offset += (chars[index] as string).length;
          index++;
        }
      }
    }
    const kind =
      letters && digits
        ? 'mixed'
        : letters
          ? 'word'
          : digits
            ? 'number'
            : here.class === 'pictograph'
              ? 'emoji'
              : 'mark';
    if (kind === 'word') folded = withoutDrawl(folded);
    tokens.push({ kind, raw: chars.slice(begin, index).join(''), text: folded, start, end: offset, spaced });
    spaced = here.class === 'break';
  }
  return tokens;
}

const DRAWL = /(\p{L})\1{2,}/gu;
const withoutDrawl = (word: string): string => (word.length > 3 ? word.replace(DRAWL, '$1') : word);

/** Lower case without accents and with single spaces: the form in which words of the lexicon are compared. */
export const fold = (text: string): string =>
  tokenise(text)
    .map((token) => (token.spaced ? ' ' : '') + token.text)
    .join('')
    .trim();

/** Cuts a message into tokens and guesses its language. */
export function readMessage(text: string): Message {
  const tokens = tokenise(text);
  return { text, tokens, language: guessLanguage(tokens) };
}
