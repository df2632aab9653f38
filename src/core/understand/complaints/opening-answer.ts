import type { Askable } from '../../model/reading.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon, Meaning, Rule } from './lexicon.ts';
import type { Scene } from './pattern.ts';

/** A yes or no by itself, whatever follows it. */
export const isBareAnswer = ({ written }: Rule): boolean => /^answer-(yes|no)\b/.test(written);

/**
 * The yes or no that the answer to a question begins with: it is the answer, whatever is told of other trucks after it.
 * Undefined where none begins it, or where the rest may take it back.
 */
export function openingAnswer(
  findings: readonly Finding[],
  asked: Askable | undefined,
  scene: Scene,
  { grammar }: ComplaintLexicon,
): Extract<Meaning, { says: 'fact' }> | undefined {
  // "Not if I can help it": a "not" says no of what follows it, and is no answer by itself.
  if (asked === undefined || grammar.noAnswer.has(scene.words[0]?.text ?? '')) return undefined;
  // "No, only a small camper"
  if (scene.words.some(({ text }) => grammar.takesBack.has(text))) return undefined;
  for (const { rule, match } of findings) {
    const { meaning } = rule;
    const opens = match.from === 0 && meaning.says === 'fact' && meaning.fact === asked && meaning.asked;
    if (opens && isBareAnswer(rule)) return meaning;
  }
  return undefined;
}

/** Whether the clause of a word names another one: "no, the other one pulls the camper". */
export function speaksOfAnother(scene: Scene, at: number, { grammar }: ComplaintLexicon): boolean {
  const clause = scene.clauses[scene.words[at]?.clause ?? -1];
  if (!clause) return false;
  return scene.words.slice(clause.from, clause.to).some(({ text }) => grammar.another.has(text));
}
