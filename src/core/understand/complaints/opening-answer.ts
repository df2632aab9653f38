import type { Askable } from '../../model/reading.ts';
import type { Finding } from './finding.ts';
import type { Meaning, Rule } from './lexicon.ts';
import type { Scene } from './pattern.ts';

/** A yes or no by itself, whatever follows it. */
export const isBareAnswer = ({ written }: Rule): boolean => /^answer-(yes|no)\b/.test(written);

/** A "not" says no of what follows it, and is no answer by itself: "not if I can help it". */
const NO_ANSWER = new Set(['not', 'dont', 'doesnt', 'never', 'nunca']);

/** Words that take part of an answer back: "no, only a small camper". */
const TAKES_BACK = new Set('only just but except unless sometimes mean wait solo nomas pero excepto menos'.split(' '));

/**
 * The yes or no that the answer to a question begins with: it is the answer, whatever is told of other trucks after it.
 * Undefined where none begins it, or where the rest may take it back.
 */
export function openingAnswer(
  findings: readonly Finding[],
  asked: Askable | undefined,
  scene: Scene,
): Extract<Meaning, { says: 'fact' }> | undefined {
  if (asked === undefined || NO_ANSWER.has(scene.words[0]?.text ?? '')) return undefined;
  if (scene.words.some(({ text }) => TAKES_BACK.has(text))) return undefined;
  for (const { rule, match } of findings) {
    const { meaning } = rule;
    const opens = match.from === 0 && meaning.says === 'fact' && meaning.fact === asked && meaning.asked;
    if (opens && isBareAnswer(rule)) return meaning;
  }
  return undefined;
}

const ANOTHER = new Set(['other', 'others', 'another', 'otro', 'otra', 'hers', 'theirs']);

/** Whether the clause of a word names another one: "no, the other one pulls the camper". */
export function speaksOfAnother(scene: Scene, at: number): boolean {
  const clause = scene.clauses[scene.words[at]?.clause ?? -1];
  if (!clause) return false;
  return scene.words.slice(clause.from, clause.to).some(({ text }) => ANOTHER.has(text));
}
