/** The forms in which a word of the lexicon occurs in a text. */

const VOWELS = new Set('aeiou');

/**
 * The everyday inflections of an English word: "drip" gives drips, dripped, dripping, drippin and, because people
 * spell as they hear, driped and driping too.
 */
export function inflections(word: string): string[] {
  const last = word.at(-1) ?? '';
  const before = word.at(-2) ?? '';
  const stems = new Set<string>();
  if (last === 'e') stems.add(word.slice(0, -1));
  else stems.add(word);
  if (word.length >= 3 && !VOWELS.has(last) && VOWELS.has(before) && !'wxyh'.includes(last)) stems.add(word + last);
  const forms = new Set<string>([word]);
  if (/(s|x|z|ch|sh)$/.test(word)) forms.add(`${word}es`);
  else if (last === 'y' && !VOWELS.has(before)) forms.add(`${word.slice(0, -1)}ies`);
  else forms.add(`${word}s`);
  for (const stem of stems) {
    const past = last === 'y' && !VOWELS.has(before) ? `${word.slice(0, -1)}ied` : `${stem}ed`;
    forms.add(past);
    forms.add(`${stem}ing`);
    forms.add(`${stem}in`);
  }
  return [...forms];
}

/** How one word differs from another where a single slip of the finger explains it, the likeliest slip first. */
export type Slip = 'swapped' | 'dropped' | 'added' | 'changed';
export const SLIP_ORDER: Record<Slip, number> = { swapped: 0, dropped: 1, added: 2, changed: 3 };

/** The slip that turns `meant` into `typed`, or undefined where one slip is not enough. */
export function slipBetween(typed: string, meant: string): Slip | undefined {
  const difference = typed.length - meant.length;
  if (difference > 1 || difference < -1 || typed === meant) return undefined;
  let head = 0;
  const shorter = Math.min(typed.length, meant.length);
  while (head < shorter && typed.charCodeAt(head) === meant.charCodeAt(head)) head++;
  if (difference === -1) return endAlike(typed, head, meant, head + 1) ? 'dropped' : undefined;
  if (difference === 1) return endAlike(typed, head + 1, meant, head) ? 'added' : undefined;
  if (endAlike(typed, head + 1, meant, head + 1)) return 'changed';
  const swapped = typed[head] === meant[head + 1] && typed[head + 1] === meant[head];
  return swapped && endAlike(typed, head + 2, meant, head + 2) ? 'swapped' : undefined;
}

/** Whether two words that end at the same distance from these places are alike from there on. */
function endAlike(one: string, from: number, other: string, otherFrom: number): boolean {
  for (let at = from, otherAt = otherFrom; at < one.length; at++, otherAt++) {
    if (one.charCodeAt(at) !== other.charCodeAt(otherAt)) return false;
  }
  return true;
}

/** Every text that is left when one letter is taken out, and the text itself: two words one slip apart share one. */
export function withoutOneLetter(word: string): string[] {
  const left = [word];
  for (let at = 0; at < word.length; at++) left.push(word.slice(0, at) + word.slice(at + 1));
  return left;
}
