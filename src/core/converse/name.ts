import { bare } from './commands.ts';

/** A name has at most so many words; what has more is a sentence. */
const MOST_WORDS = 5;

/**
 * The name in an answer to "what name may I give the shop?": without what is said before it, and without a phone number
 * that came along. Nothing where it is a question, a number or a sentence.
 */
export function nameIn(said: string, leads: readonly string[]): string | undefined {
  let words = said
    .replace(/[+(]?\d[\d\s().-]{5,}\d/, ' ')
    .trim()
    .split(/\s+/)
    .filter(Boolean);
  for (let before = -1; before !== words.length;) {
    before = words.length;
    const lead = leads.find((phrase) => {
      const length = phrase.split(' ').length;
      return length < words.length && leadForm(words.slice(0, length).join(' ')) === phrase;
    });
    if (lead) words = words.slice(lead.split(' ').length);
  }
  const name = words.join(' ').replace(/[\s,.;:!-]+$/u, '');
  if (!/\p{L}/u.test(name) || /[\d?¿]/.test(name) || words.length > MOST_WORDS || name.length > 80) return undefined;
  return name;
}

const leadForm = (words: string): string => bare(words.replace(/['’]/g, ''));
