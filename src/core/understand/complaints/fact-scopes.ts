import type { Finding } from './finding.ts';
import type { GrammarList } from './grammar.ts';
import type { ComplaintLexicon, ScopeClass } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import { sentenceAt } from './scene.ts';
import type { ComplaintBoolean } from './types.ts';
import type { Clause, Word } from './words.ts';

const clauseOf = ({ words, clauses }: Scene, position: number): Clause =>
  clauses[(words[position] as Word).clause] as Clause;

const is = (scene: Scene, position: number, list: GrammarList, { grammar }: ComplaintLexicon): boolean =>
  grammar[list].has(scene.words[position]?.text ?? '');

/** Whether the clause of a word holds words of a class. */
export function clauseHolds(position: number, name: ScopeClass, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const { from, to } = clauseOf(scene, position);
  return scene.at.slice(from, to).some((hits) => hits.some(({ class: id }) => id === lexicon.scope[name]));
}

/** "Don't know if the breather is original", "see whether it has the kit": neither way, and nothing to confirm. */
export const isOpen = (match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean =>
  clauseHolds(match.to - 1, 'not-known-whether', scene, lexicon);

/** "Was the breather ever changed?", "does it have the kit": asked of the very thing, and not told beside a question. */
export function isAsked(match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const clause = clauseOf(scene, match.from);
  if (clauseOf(scene, match.to - 1).sentence !== clause.sentence) return false;
  const first = scene.words.findIndex(({ text }, at) => at >= clause.from && !scene.joins.has(text));
  if (is(scene, first, 'asksWithMark', lexicon)) return clause.question;
  return is(scene, first, 'asksOfIt', lexicon) && (clause.question || is(scene, first + 1, 'askedOf', lexicon));
}

/** "My neighbor tows a boat", "a buddy has the kit": what others do with a truck of theirs. */
export function isOthersOwn(match: Match, fact: ComplaintBoolean, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const clause = clauseOf(scene, match.from);
  for (let at = clause.from; at < match.to; at++) {
    if (!is(scene, at, 'otherPeople', lexicon)) continue;
    if (scene.words.slice(clause.from, at).some(({ text }) => lexicon.grammar.vehicles.has(text))) return false;
    const isTheirs = fact === 'tows' ? !isWithThis(at, clause, scene, lexicon) : isHad(at, match, scene, lexicon);
    if (isTheirs) return true;
  }
  return false;
}

/** "… hauls his quads with it": with the truck that is spoken of. */
function isWithThis(position: number, { to }: Clause, scene: Scene, lexicon: ComplaintLexicon): boolean {
  for (let at = position; at < to; at++) {
    const isWith = is(scene, at, 'doneWith', lexicon) && is(scene, at + 1, 'withThis', lexicon);
    if (isWith) return true;
  }
  return false;
}

/** "A buddy has the kit on": nothing but having stands between the two. */
function isHad(position: number, match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  for (let at = position + 1; at <= match.from; at++) {
    if (is(scene, at, 'havingIt', lexicon)) return true;
    if (!scene.words[at]?.filler) return false;
  }
  return false;
}

/** "No trailer on, flat road, and it still bogs": how it was when it happened, and nothing of other days. */
export function isOfTheMoment(
  match: Match,
  findings: readonly Finding[],
  scene: Scene,
  { grammar }: ComplaintLexicon,
): boolean {
  const { from, to } = sentenceAt(scene, match.from);
  const says = (first: number, last: number, list: GrammarList): boolean =>
    scene.words.slice(first, last).some(({ text }) => grammar[list].has(text));
  if (says(match.from, match.to, 'ofAllTimes') || !says(match.to, to, 'evenSo')) return false;
  return findings.some(
    ({ rule: { meaning }, match: told }) => meaning.says === 'symptom' && told.from >= from && told.to <= to,
  );
}
