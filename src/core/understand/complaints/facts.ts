import type { Askable } from '../../model/reading.ts';
import type { Message } from '../text.ts';
import { factReplies } from './fact-replies.ts';
import { clauseHolds, isAsked, isOfTheMoment, isOpen, isOthersOwn } from './fact-scopes.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import { isDoubted, shares, textOf } from './matches.ts';
import { isBareAnswer, openingAnswer, speaksOfAnother } from './opening-answer.ts';
import type { Match, Scene } from './pattern.ts';
import type { ComplaintBoolean, ComplaintKey, ComplaintReading } from './types.ts';
import type { Word } from './words.ts';

/** "It's the original one, I think.": a short clause of its own that only doubts. */
const LONGEST_HEDGE = 5;
function isHedgedAfter(match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const last = scene.words[match.to - 1] as Word;
  const next = scene.clauses[last.clause + 1];
  if (!next || next.question || next.to - next.from > LONGEST_HEDGE) return false;
  // "An equipment hauler, maybe 12k": what is doubted is how much.
  if (scene.words.slice(next.from, next.to).some(({ value }) => value !== undefined)) return false;
  return (scene.at[next.from] ?? []).some(
    ({ class: id }) => id === lexicon.scope['half-sure'] || id === lexicon.scope['not-sure'],
  );
}

/**
 * "The breather is, as far as I am aware, the one from the factory", "to my knowledge, it is the original": a doubt
 * inside what is said, or in a short clause of its own right before it.
 */
function isHedgedWithin(match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const first = (scene.words[match.from] as Word).clause;
  const last = (scene.words[match.to - 1] as Word).clause;
  const before = scene.clauses[first - 1];
  const here = scene.clauses[first];
  const leads = before && before.sentence === here?.sentence && before.to - before.from <= LONGEST_HEDGE_BEFORE;
  const from = leads ? before.from : match.from;
  const to = first === last ? match.from : match.to;
  return scene.at
    .slice(from, to)
    .some((hits) =>
      hits.some(({ class: id }) => id === lexicon.scope['half-sure'] || id === lexicon.scope['not-sure']),
    );
}
const LONGEST_HEDGE_BEFORE = 7;

/** "No sé": no no, but that nobody knows. */
const isNotKnown = ({ words, clauses }: Scene, { to }: Match, { grammar }: ComplaintLexicon): boolean =>
  grammar.knowing.has(words[to]?.text ?? '') && clauses[words[to]?.clause ?? -1]?.to === to + 1;

/** "It is going on this winter": a yes by its verb is one where nothing follows. */
function isCutShort(match: Match, { words, clauses }: Scene, { grammar }: ComplaintLexicon): boolean {
  const last = words[match.to - 1] as Word;
  const goesOn = match.to < (clauses[last.clause]?.to ?? match.to);
  return match.to - match.from > 1 && goesOn && grammar.yesByVerb.has(last.text);
}

/** "No power when I haul the skid steer": the "no" ends before the "when", and denies no hauling. */
function isCutOff({ rule: { meaning }, match }: Finding, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const [first, second] = match.hits;
  if (meaning.says !== 'fact' || meaning.value || !first || !second || second.from <= first.to) return false;
  if (first.class !== lexicon.scope.not) return false;
  return scene.at
    .slice(first.to, second.from)
    .some((hits) => hits.some(({ class: id }) => id === lexicon.scope['stops-negation']));
}

const holds = (match: Match, classId: number, scene: Scene): boolean =>
  match.hits.some(({ from, to }) =>
    scene.at.slice(from, to).some((hits) => hits.some((hit) => hit.class === classId && hit.to <= to)),
  );

/** "Tows nothing but a camper", "nobody ever changed the breather": a yes that holds a no, which denies nothing more. */
function usesItsNo({ rule: { meaning }, match }: Finding, scene: Scene, { grammar, scope }: ComplaintLexicon): boolean {
  if (meaning.says !== 'fact' || !meaning.value || meaning.asked) return false;
  return match.hits.some(
    (part) =>
      grammar.ownNo.has(scene.words[part.from]?.text ?? '') ||
      (scene.at[part.from] ?? []).some((hit) => hit.class === scope.not && hit.to <= part.to),
  );
}

const isOf = ({ rule: { meaning } }: Finding, fact: ComplaintBoolean): boolean =>
  meaning.says === 'fact' && meaning.fact === fact;

/** The yes-or-no facts; what is said both ways is left out. */
export function readFacts(
  findings: readonly Finding[],
  asked: Askable | undefined,
  message: Message,
  scene: Scene,
  lexicon: ComplaintLexicon,
): Pick<ComplaintReading, 'booleans' | 'words'> & { unsure: ComplaintBoolean[] } {
  const booleans: ComplaintReading['booleans'] = {};
  const words: Partial<Record<ComplaintKey, string>> = {};
  const unsure = new Set<ComplaintBoolean>();
  const conflicting = new Set<ComplaintBoolean>();
  const opening = openingAnswer(findings, asked, scene, lexicon);
  const cutOff = new Set(findings.filter((finding) => isCutOff(finding, scene, lexicon)));
  const replies = factReplies(findings, scene, lexicon).filter(({ fact }) => fact !== asked);
  const settled = new Set(replies.flatMap(({ settles }) => [...settles]));
  const affirmed = findings.filter((finding) => usesItsNo(finding, scene, lexicon));
  for (const { fact, value, finding } of replies) {
    booleans[fact] = value;
    words[fact] = textOf([finding.match], message, scene);
  }
  for (const finding of findings) {
    const { rule, match, own, denied, scope } = finding;
    const { meaning } = rule;
    if (meaning.says !== 'fact' || denied || cutOff.has(finding) || settled.has(finding)) continue;
    if (meaning.asked && asked !== meaning.fact) continue;
    if (asked !== meaning.fact) {
      if (isOpen(match, scene, lexicon) || isOthersOwn(match, meaning.fact, scene, lexicon)) continue;
      if (meaning.fact !== 'tows' && isAsked(match, scene, lexicon)) continue;
      if (meaning.fact === 'tows' && !meaning.value && isOfTheMoment(match, findings, scene, lexicon)) continue;
    }
    if (!meaning.value && affirmed.some((other) => isOf(other, meaning.fact) && shares(own, other.own))) continue;
    // "No, the other truck does that": an answer that stands first is about the truck that was asked about.
    const answersFirst = meaning.asked && match.from === 0;
    // "Boat's still hooked on": a machine that hangs on behind is no other truck.
    const isHauled = meaning.fact === 'tows' && holds(match, lexicon.scope['other-machine'], scene);
    const ofAnother = scope === 'other-truck' && !answersFirst;
    if (ofAnother && !(isHauled && !speaksOfAnother(scene, match.from, lexicon))) continue;
    // "What does a truck need that pulls a trailer every weekend?": asked of what it does as a habit.
    const isHabit = meaning.fact === 'tows' && meaning.value && clauseHolds(match.from, 'often-days', scene, lexicon);
    if (scope === 'question' && !isHabit) continue;
    if (isBareAnswer(rule) && (isNotKnown(scene, match, lexicon) || isCutShort(match, scene, lexicon))) continue;
    // "No, sir. It is a commuter."
    const goesOn =
      isBareAnswer(rule) && match.from > 0 && lexicon.grammar.pointsAtIt.has(scene.words[match.from]?.text ?? '');
    const passing =
      goesOn || (!isBareAnswer(rule) && (match.hits.length === 1 || speaksOfAnother(scene, match.from, lexicon)));
    if (passing && meaning.fact === opening?.fact && meaning.value !== opening.value) continue;
    // "Would you trust it to pull a camper?"
    if (meaning.fact === 'tows' && scope === 'hypothetical') continue;
    // "Never towed a thing with it": what holds the negation says more than what leaves it out.
    const negated = (other: Finding): boolean =>
      !cutOff.has(other) &&
      other.rule.meaning.says === 'fact' &&
      other.rule.meaning.fact === meaning.fact &&
      !other.rule.meaning.value &&
      (!other.rule.meaning.asked || asked === meaning.fact) &&
      other.match.hits.length > 1 &&
      shares(own, other.own);
    if (meaning.value && !affirmed.includes(finding) && findings.some(negated)) continue;
    const known = booleans[meaning.fact];
    if (known !== undefined && known !== meaning.value) conflicting.add(meaning.fact);
    booleans[meaning.fact] = meaning.value;
    words[meaning.fact] = textOf([match], message, scene);
    // What a seller claims, and what the owner only believes, is to be confirmed.
    const believed =
      isDoubted(match, scene, lexicon, ['not-sure', 'half-sure']) ||
      isHedgedWithin(match, scene, lexicon) ||
      isHedgedAfter(match, scene, lexicon);
    const isNoHabit = meaning.fact === 'tows' && meaning.value && clauseHolds(match.from, 'once-only', scene, lexicon);
    if (isNoHabit || meaning.unsure || scope === 'seller' || believed) unsure.add(meaning.fact);
  }
  for (const fact of conflicting) {
    delete booleans[fact];
    delete words[fact];
    unsure.delete(fact);
  }
  return { booleans, words, unsure: [...unsure].sort() };
}
