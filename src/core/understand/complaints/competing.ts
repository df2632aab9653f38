import type { Symptom } from '../../model/ids.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Similes } from './similes.ts';
import type { Word } from './words.ts';

/** What is said to be absent ("the light never came on") is not present by its name alone. */
export function withoutAbsent(present: Map<Symptom, Match[]>, findings: readonly Finding[]): void {
  for (const { rule, own, denied, scope } of findings) {
    if (rule.meaning.says !== 'absent' || denied || scope !== undefined) continue;
    const left = present.get(rule.meaning.symptom)?.filter((match) => !match.hits.some((hit) => own.has(hit.from)));
    if (left === undefined) continue;
    if (left.length === 0) present.delete(rule.meaning.symptom);
    else present.set(rule.meaning.symptom, left);
  }
}

/**
 * "Sitting at the speaker with a dead motor": beside a complaint that has a name, a part and a state make another one
 * only where they stand together. Of what strangers wrote, no loosely read other part was meant.
 */
export function withoutLooseOther(present: Map<Symptom, Match[]>, scene: Scene, lexicon: ComplaintLexicon): void {
  const others = present.get('other');
  if (!others || present.size === 1) return;
  const sentenceOf = (at: number): number | undefined => scene.clauses[(scene.words[at] as Word).clause]?.sentence;
  const named = new Set<number | undefined>();
  for (const [symptom, matches] of present) {
    if (symptom !== 'other') for (const match of matches) named.add(sentenceOf(match.from));
  }
  const isThing = (at: number): boolean =>
    (scene.at[at] ?? []).some((hit) => hit.class === lexicon.scope['sign-of-work']);
  const stands = others.filter(({ hits, to, from }) => {
    const [first, last] = hits.length < 2 ? [] : hits.slice().sort((one, other) => one.from - other.from);
    if (!first || !last) return true;
    let apart = false;
    for (let at = first.to; at < last.from; at++) if (!(scene.words[at] as Word).filler) apart = true;
    return !apart || (!named.has(sentenceOf(from)) && !isThing(to));
  });
  if (stands.length > 0) present.set('other', stands);
  else present.delete('other');
}

/** "Smoke under the truck. Shut off. Everybody out": beside a complaint, what stands alone is the owner's own hand. */
export function withoutOwnHand(present: Map<Symptom, Match[]>, scene: Scene, { grammar }: ComplaintLexicon): void {
  const stalls = present.get('stalls');
  if (!stalls || present.size === 1) return;
  const left = stalls.filter(({ from }) => {
    const clause = scene.clauses[(scene.words[from] as Word).clause];
    if (!clause || clause.to - clause.from !== 2) return true;
    return !grammar.ownHand.has([scene.words[from], scene.words[from + 1]].map((word) => word?.text).join(' '));
  });
  if (left.length > 0) present.set('stalls', left);
  else present.delete('stalls');
}

/** Drops what is only compared with; answers the symptoms that went. */
export function withoutSimiles(present: Map<Symptom, Match[]>, similes: Similes): Symptom[] {
  const told = [...present.values()].flat();
  const gone: Symptom[] = [];
  for (const [symptom, matches] of [...present]) {
    const left = matches.filter((match) => !similes.holds(match) || !similes.explains(match, told));
    if (left.length > 0) present.set(symptom, left);
    else {
      present.delete(symptom);
      gone.push(symptom);
    }
  }
  return gone;
}

/** Drops a symptom where another one of the same sentence explains it ("won't start, just clicks"). */
export function explainAway(present: Map<Symptom, Match[]>, scene: Scene, lexicon: ComplaintLexicon): void {
  const clause = (match: Match): number => (scene.words[match.from] as Word).clause;
  const near = (one: Match, other: Match): boolean =>
    Math.abs(clause(one) - clause(other)) <= 1 &&
    scene.clauses[clause(one)]?.sentence === scene.clauses[clause(other)]?.sentence;
  for (const [symptom, matches] of [...present]) {
    for (const other of lexicon.over.get(symptom) ?? []) {
      const left = present.get(other)?.filter((match) => {
        return !matches.some((strong) => near(strong, match));
      });
      if (left === undefined) continue;
      if (left.length === 0) present.delete(other);
      else present.set(other, left);
    }
  }
}
