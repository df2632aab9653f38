/** A word of a message as the lexicon divides it, its usual spelling in `text`, and its value where it is a number. */
export interface SeenWord {
  text: string;
  value?: number;
  /** True behind a "no" of the same clause: "no smoke" says another thing of smoke than "smoke" does. */
  negated?: boolean;
}

/** A message as the second opinion looks at it. */
export interface SeenText {
  words: readonly SeenWord[];
  /** True where a part of it is a question. */
  asks: boolean;
}

/** The names of the lexicon's classes of words that begin at a word of the message. */
export type ClassesAt = (position: number) => readonly string[];

/** Longer words also count by their first letters, so that "leaked" and "leakage" speak for the same. */
export const STEM = 5;
/** Before what is negated. */
export const NEGATED = '!';
/** Before the word that a message begins with. */
export const FIRST = '^';
/** The feature of a message that asks. */
export const ASKS = '??';

/** Words in brackets in a pattern are a class of their own that says no more than they do. */
export const isNamed = (className: string): boolean => !className.startsWith('(');

const NINE = '9'.charCodeAt(0);
const ZERO = '0'.charCodeAt(0);

function hasDigit(text: string): boolean {
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (code >= ZERO && code <= NINE) return true;
  }
  return false;
}

/** A word, or # for anything with a digit in it and for numbers in letters. */
export const wordOf = ({ text, value }: SeenWord): string => (value !== undefined || hasDigit(text) ? '#' : text);

/**
 * What a text holds, as the second opinion sees it: words, beginnings of long words, neighbouring pairs of words, and
 * with an @ before them the classes of the lexicon, so that one word of a class speaks for the others; with a ! before
 * them what is negated; the first word, and whether the text asks.
 */
export function featuresOf({ words, asks }: SeenText, classesAt: ClassesAt = () => []): string[] {
  const found = new Set<string>();
  let before = '';
  words.forEach((seen, position) => {
    const word = wordOf(seen);
    const mark = seen.negated ? NEGATED : '';
    found.add(mark + word);
    if (position === 0) found.add(FIRST + word);
    if (word.length > STEM) found.add(`${mark}${word.slice(0, STEM)}*`);
    if (before !== '') found.add(`${mark}${before} ${word}`);
    before = word;
    for (const name of classesAt(position)) if (isNamed(name)) found.add(`${mark}@${name}`);
  });
  if (asks) found.add(ASKS);
  return [...found];
}
