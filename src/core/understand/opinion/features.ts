import type { Token } from '../text.ts';

/** Longer words also count by their first letters, so that "leaked" and "leakage" speak for the same. */
export const STEM = 5;

/** A word, or # for anything with a digit in it. */
export const wordOf = ({ kind, text }: Token): string => (kind === 'number' || kind === 'mixed' ? '#' : text);

/** What a text holds, as the second opinion sees it: words, beginnings of long words, neighbouring pairs of words. */
export function featuresOf(tokens: readonly Token[]): string[] {
  const found = new Set<string>();
  let before = '';
  for (const token of tokens) {
    if (token.kind === 'mark') continue;
    const word = wordOf(token);
    found.add(word);
    if (word.length > STEM) found.add(`${word.slice(0, STEM)}*`);
    if (before !== '') found.add(`${before} ${word}`);
    before = word;
  }
  return [...found];
}
