/** A word of a message as the lexicon divides it, its usual spelling in `text`, and its value where it is a number. */
export interface SeenWord {
  text: string;
  value?: number;
}

/** The names of the lexicon's classes of words that begin at a word of the message. */
export type ClassesAt = (position: number) => readonly string[];

/** Longer words also count by their first letters, so that "leaked" and "leakage" speak for the same. */
export const STEM = 5;

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
 * with an @ before them the classes of the lexicon, so that one word of a class speaks for the others.
 */
export function featuresOf(words: readonly SeenWord[], classesAt: ClassesAt = () => []): string[] {
  const found = new Set<string>();
  let before = '';
  words.forEach((seen, position) => {
    const word = wordOf(seen);
    found.add(word);
    if (word.length > STEM) found.add(`${word.slice(0, STEM)}*`);
    if (before !== '') found.add(`${before} ${word}`);
    before = word;
    for (const name of classesAt(position)) if (isNamed(name)) found.add(`@${name}`);
  });
  return [...found];
}
