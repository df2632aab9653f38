import type { Message } from '../text.ts';
import type { ComplaintLexicon, ScopeClass } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Clause, Word } from './words.ts';

/** Whether two sets of word positions have one in common. */
export function shares(own: ReadonlySet<number>, words: ReadonlySet<number>): boolean {
  for (const position of own) if (words.has(position)) return true;
  return false;
}

/** "Not sure if", "suspected", "might be" in the same clause. */
export function isDoubted(
  match: Match,
  scene: Scene,
  lexicon: ComplaintLexicon,
  by: readonly ScopeClass[] = ['not-sure'],
): boolean {
  const clause = scene.clauses[(scene.words[match.from] as Word).clause] as Clause;
  const from = Math.max(clause.from, match.from - 8);
  const to = Math.min(clause.to, match.to + 3);
  for (let at = from; at < to; at++) {
    if ((scene.at[at] ?? []).some((hit) => by.some((name) => hit.class === lexicon.scope[name]))) return true;
  }
  return false;
}

/** The sentences of which something may be laid to another cause: "or it could have been the mower", and the one before. */
export function laidToAnother(scene: Scene, lexicon: ComplaintLexicon): ReadonlySet<number> {
  const sentences = new Set<number>();
  scene.at.forEach((hits, at) => {
    if (!hits.some((hit) => hit.class === lexicon.scope['other-cause'])) return;
    const sentence = scene.clauses[(scene.words[at] as Word).clause]?.sentence ?? 0;
    sentences.add(sentence).add(sentence - 1);
  });
  return sentences;
}

/** The words that matches stand on, in the order of the text. */
export function textOf(matches: readonly Match[], message: Message, scene: Scene): string {
  const spans = matches.map(({ from, to }) => ({ from, to })).sort((one, other) => one.from - other.from);
  const merged: { from: number; to: number }[] = [];
  for (const span of spans) {
    const last = merged.at(-1);
    if (last && span.from <= last.to) last.to = Math.max(last.to, span.to);
    else merged.push({ ...span });
  }
  return merged
    .slice(0, 12)
    .map(({ from, to }) => message.text.slice((scene.words[from] as Word).start, (scene.words[to - 1] as Word).end))
    .join(' … ');
}
