import type { Symptom } from '../../model/ids.ts';
import type { Message } from '../text.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Scopes } from './scopes.ts';
import type { Similes } from './similes.ts';
import type { Word } from './words.ts';

/** What was read of symptoms, with the places. */
interface Read {
  present: ReadonlyMap<Symptom, readonly Match[]>;
  denied: ReadonlyMap<Symptom, readonly Match[]>;
}

/**
 * The clauses that no pattern read and that may tell something, for the shop to label, as they were written.
 * `trouble` is true where one of them holds a word of trouble that goes on about nothing that was read.
 */
export function unreadClauses(
  findings: readonly Finding[],
  symptoms: Read,
  { scopes, similes }: { scopes: Scopes; similes: Similes },
  scene: Scene,
  lexicon: ComplaintLexicon,
  message: Message,
): { clauses: string[]; trouble: boolean } {
  const segments = segmentsOf(scene);
  const covered = scene.words.map(() => false);
  const read = scene.clauses.map(() => false);
  const told = new Set<number>();
  for (const { rule, match, scope } of findings) {
    const { meaning } = rule;
    if (meaning.says === 'topic' || (meaning.says === 'danger' && scope === undefined)) continue;
    if (meaning.says === 'hint' && !symptoms.present.has(meaning.symptom)) continue;
    const tells = meaning.says !== 'intent' && meaning.says !== 'fact' && meaning.says !== 'danger';
    for (const hit of match.hits) {
      read[(scene.words[hit.from] as Word).clause] = true;
      for (let at = hit.from; at < hit.to; at++) {
        covered[at] = true;
        if (tells || scope !== undefined) told.add(segments[at] as number);
      }
    }
  }
  // Words that go on about a complaint of the same sentence need no reading of their own ("starts hard, a long grind").
  const explained = new Map<number, Set<number>>();
  for (const read of [symptoms.present, symptoms.denied]) {
    for (const [symptom, matches] of read) {
      for (const match of matches) {
        const sentence = scene.clauses[(scene.words[match.from] as Word).clause]?.sentence ?? 0;
        const known = explained.get(sentence) ?? new Set<number>();
        for (const id of lexicon.wordsOf.get(symptom) ?? []) known.add(id);
        explained.set(sentence, known);
      }
    }
  }
  const clauses: string[] = [];
  let trouble = false;
  scene.clauses.forEach((clause, index) => {
    let telling = false;
    const goesOn = explained.get(clause.sentence);
    for (let at = clause.from; at < clause.to; at++) {
      if (similes.at(at) && goesOn) continue;
      if (covered[at] || scopes.at(at) !== undefined || told.has(segments[at] as number)) continue;
      const hits = scene.at[at] ?? [];
      if (hits.some((hit) => lexicon.calm.has(hit.class))) continue;
      if (goesOn && hits.some((hit) => goesOn.has(hit.class))) continue;
      if (hits.some((hit) => lexicon.trouble.has(hit.class))) telling = true;
    }
    // Beside a complaint of the same sentence it only tells more of it ("no pull, then a bang").
    if (telling && !goesOn) trouble = true;
    const long = clause.to - clause.from >= 3 && symptoms.present.size === 0 && !read[index];
    if (telling || long) {
      clauses.push(
        message.text.slice((scene.words[clause.from] as Word).start, (scene.words[clause.to - 1] as Word).end),
      );
    }
  });
  return { clauses: clauses.slice(0, 20), trouble };
}

/** Numbers the parts of clauses that joining words set apart ("it smokes and it shakes"). */
function segmentsOf(scene: Scene): number[] {
  let segment = 0;
  return scene.words.map((word, at) => {
    if (at > 0 && (scene.joins.has(word.text) || word.clause !== scene.words[at - 1]?.clause)) segment++;
    return segment;
  });
}
