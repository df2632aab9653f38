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

const MOST_KNOWN = 4096;
const known = new Map<string, Character>();

function character(char: string): Character {
  const found = known.get(char);
  if (found) return found;
  const made = classify(char);
  // A bounded number is kept, so that memory does not grow with what strangers type.
  if (known.size < MOST_KNOWN) known.set(char, made);
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

const END: Character = { folded: '', class: 'space' };

/** The character that starts at an offset, whole where it takes two UTF-16 units. */
function at(text: string, offset: number): Character {
  const code = text.charCodeAt(offset);
  if (code < 128) return (ASCII[code] ??= classify(text[offset] as string));
  return Number.isNaN(code) ? END : character(String.fromCodePoint(text.codePointAt(offset) as number));
}
const ASCII: Character[] = [];
const widthAt = (text: string, offset: number): number => ((text.codePointAt(offset) ?? 0) > 0xffff ? 2 : 1);

/** Cuts a text into tokens in one pass; every character but white space belongs to exactly one token. */
export function tokenise(text: string): Token[] {
  const tokens: Token[] = [];
  let spaced = true;
  for (let offset = 0; offset < text.length;) {
    const here = at(text, offset);
    if (here.class === 'space' || here.class === 'modifier' || here.class === 'accent') {
      spaced ||= here.class === 'space';
      offset += widthAt(text, offset);
      continue;
    }
    const token =
      here.class === 'letter' || here.class === 'digit'
        ? runAt(text, offset, spaced)
        : signAt(text, offset, here, spaced);
    tokens.push(token);
    offset = token.end;
    spaced = here.class === 'break';
  }
  return tokens;
}

/** A run of letters and digits, with the accents and the apostrophes inside it. */
function runAt(text: string, start: number, spaced: boolean): Token {
  let folded = '';
  let letters = false;
  let digits = false;
  let offset = start;
  for (let next = at(text, offset); offset < text.length; next = at(text, offset)) {
    if (next.class === 'letter') letters = true;
    else if (next.class === 'digit') digits = true;
    else if (next.class === 'apostrophe') {
      if (at(text, offset + 1).class !== 'letter') break;
    } else if (next.class !== 'accent') break;
    if (next.class !== 'apostrophe') folded += next.folded;
    offset += widthAt(text, offset);
  }
  const kind = letters && digits ? 'mixed' : letters ? 'word' : 'number';
  if (kind === 'word') folded = withoutDrawl(folded);
  return { kind, raw: text.slice(start, offset), text: folded, start, end: offset, spaced };
}

/** One punctuation mark, or one pictograph with what modifies it. */
function signAt(text: string, start: number, here: Character, spaced: boolean): Token {
  let offset = start + widthAt(text, start);
  const emoji = here.class === 'pictograph';
  while (emoji && offset < text.length && at(text, offset).class === 'modifier') offset += widthAt(text, offset);
  const raw = text.slice(start, offset);
  return { kind: emoji ? 'emoji' : 'mark', raw, text: here.folded, start, end: offset, spaced };
}

const DRAWL = /(\p{L})\1{2,}/gu;
const withoutDrawl = (word: string): string => (word.length > 3 ? word.replace(DRAWL, '$1') : word);

/** True where folding changes nothing, which is so for most of the lexicon and spares most of the work at start. */
export const isFolded = (words: string): boolean => /^[a-z]+( [a-z]+)*$/.test(words) && !/([a-z])\1\1/.test(words);

/** Lower case without accents and with single spaces: the form in which words of the lexicon are compared. */
export const fold = (text: string): string =>
  tokenise(text)
    .map((token) => (token.spaced ? ' ' : '') + token.text)
    .join('')
    .trim();

/** Cuts a message into tokens. */
export const readMessage = (text: string): Message => ({ text, tokens: tokenise(text) });
