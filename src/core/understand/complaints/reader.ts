import { DANGER_SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import type { Askable } from '../../model/reading.ts';
import type { Message } from '../text.ts';
import { isPhrase } from './evidence.ts';
import { readFacts } from './facts.ts';
import type { Finding } from './finding.ts';
import { readIntent } from './intents.ts';
import type { ComplaintLexicon, Meaning, Rule } from './lexicon.ts';
import { mostLike } from './likeness.ts';
import { textOf } from './matches.ts';
import { isDeniedOfOnesOwn } from './other-vehicles.ts';
import { findPattern, type Match, type Scene } from './pattern.ts';
import { Polarity } from './polarity.ts';
import { sceneOf } from './scene.ts';
import { Scopes } from './scopes.ts';
import { leaningsOn } from './second-opinion.ts';
import { Similes } from './similes.ts';
import { readSymptoms } from './symptoms.ts';
import type { ComplaintReading, Context, ScopeKind } from './types.ts';
import { unreadClauses } from './unread.ts';
import { asksMore, wishesFound } from './wishes.ts';
import type { Hit } from './vocabulary.ts';

/** Nobody writes more than this to a shop; the rest of a longer text is not read, and what was read is unsure. */
const MOST_TOKENS = 2000;
const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);
/** What is said there speaks for nothing that the owner's truck does now. */
const ELSEWHERE: ReadonlySet<ScopeKind | undefined> = new Set<ScopeKind>([
  'past',
  'other-truck',
  'hypothetical',
  'question',
]);
/** What these say leaves a "not" among their words free to deny. */
const KEEP_NEGATIONS: ReadonlySet<Meaning['says']> = new Set<Meaning['says']>(['danger', 'denial', 'fact', 'topic']);
/** Wishes whose words complain of nothing: "quit pinging me" is no knock. */
const NO_COMPLAINT: ReadonlySet<Intent> = new Set(['opt-out', 'opt-in', 'cancel', 'reschedule', 'tamper']);

/** Reads a message with a compiled lexicon. */
export function readScene(message: Message, { asked, today }: Context, lexicon: ComplaintLexicon): ComplaintReading {
  const isTooLong = message.tokens.length > MOST_TOKENS;
  const read = isTooLong ? { ...message, tokens: message.tokens.slice(0, MOST_TOKENS) } : message;
  const scene = sceneOf(read, lexicon, today);
  const similes = new Similes(scene, lexicon);
  scene.aside = similes.within;
  const found = findAll(scene, asked, lexicon);
  const told = found.flatMap(({ rule: { meaning }, match }) =>
    meaning.says === 'symptom' ? [{ symptom: meaning.symptom, match }] : [],
  );
  const scopes = new Scopes(scene, lexicon, told);
  const judged = judge(found, scene, scopes, lexicon);
  const wished = wishedAway(judged);
  const beside = besideThePoint(scene, lexicon);
  const findings = judged.filter(
    ({ rule, own, match }) => rule.meaning.says === 'intent' || !(isWithin(own, wished) || runsInto(match, beside)),
  );
  const mayTell = asked === undefined || asked === 'symptoms';
  // "Used to get 18, now 12": the past that a complaint compares with belongs to it.
  const compared = plainlyTold(findings);
  const towsNothing = saysItTowsNothing(findings);
  const absent = onlyDenied(findings, compared);
  const isElsewhere = (at: number): boolean =>
    (ELSEWHERE.has(scopes.at(at)) && !compared.has(at)) ||
    wished.has(at) ||
    beside.has(at) ||
    towsNothing.has(at) ||
    absent.has(at);
  const affirmed = affirmedIn(findings, scene, lexicon);
  const leanings = leaningsOn(scene, lexicon, isElsewhere, (at) => affirmed.has(at));
  const surroundings = { scopes, similes, mayTell, wished, leanings };
  const symptoms = readSymptoms(findings, surroundings, scene, lexicon);
  // "Cant read it, windshield's cracked right there": why another question has no answer is no complaint.
  if (!mayTell) symptoms.present.delete('other');
  const { booleans, words: factWords, unsure } = readFacts(findings, asked, message, scene, lexicon);
  const intent = readIntent(findings, asked, symptoms.present.size + symptoms.ask.size > 0, scene, lexicon);
  const unread = unreadClauses(findings, symptoms, { scopes, similes }, scene, lexicon, message);

  const reading: ComplaintReading = {
    symptoms: [...symptoms.present.keys()].sort(),
    deniedSymptoms: [...symptoms.denied.keys()].sort(),
    // A danger comes before everything else: what else may be meant is not asked for first.
    symptomsUnsure:
      symptoms.present.size > 0 &&
      ((unread.trouble && symptoms.more && ![...symptoms.present.keys()].some((symptom) => DANGERS.has(symptom))) ||
        symptoms.unsure ||
        isTooLong),
    ask: [...symptoms.ask].sort(),
    booleans,
    booleansUnsure: unsure,
    words: factWords,
    scopes: scopes.spans(),
    unread: unread.clauses,
    offers: [],
    weighed: symptoms.weighed,
  };
  if (leanings) {
    reading.wishes = {
      found: wishesFound(findings, scene),
      leanings: leanings.intents,
      asksMore: asksMore(scene, lexicon.scope['asks-for-work']),
    };
  }
  if (intent.intent) reading.intent = intent.intent;
  if (intent.match) reading.intentIsPlain = intent.match.hits.length === 0 || isPhrase(intent.match, scene);
  if (intent.match) reading.words.intent = textOf([intent.match], message, scene);
  if (symptoms.present.size > 0) reading.words.symptoms = textOf([...symptoms.present.values()].flat(), message, scene);
  if (symptoms.denied.size > 0)
    reading.words.deniedSymptoms = textOf([...symptoms.denied.values()].flat(), message, scene);
  if (unread.trouble || (reading.symptoms.length === 0 && intent.match === undefined)) {
    const plain = scene.words.filter((word) => !word.filler && word.value === undefined).map((word) => word.text);
    reading.offers = mostLike(plain, lexicon.likeness).filter((symptom) => !symptoms.present.has(symptom));
  }
  return reading;
}

/** The words on which a symptom is told of the owner's truck as it is. */
function plainlyTold(findings: readonly Finding[]): ReadonlySet<number> {
  const words = new Set<number>();
  for (const { rule, own, denied, scope } of findings) {
    if (rule.meaning.says === 'symptom' && !denied && scope === undefined) for (const at of own) words.add(at);
  }
  return words;
}

/** "No it smokes all the time", "never doesn't knock": what is told though a "not" stands near it that is no part of it. */
function affirmedIn(findings: readonly Finding[], scene: Scene, lexicon: ComplaintLexicon): ReadonlySet<number> {
  const affirmed = new Set<number>();
  const isNot = (at: number): boolean => scene.at[at]?.some((hit) => hit.class === lexicon.scope.not) ?? false;
  const told = findings.filter(
    ({ rule, denied, scope }) => rule.meaning.says === 'symptom' && !denied && scope === undefined,
  );
  for (const { own } of told) for (const at of own) affirmed.add(at);
  // "It never fires": there the "not" is part of what is told.
  for (const { own } of told) if ([...own].some(isNot)) for (const at of own) affirmed.delete(at);
  return affirmed;
}

/** "It's not on fire": what is denied, and told of nothing else, leans to no other complaint. */
function onlyDenied(findings: readonly Finding[], told: ReadonlySet<number>): ReadonlySet<number> {
  const words = new Set<number>();
  for (const { rule, own, denied, scope } of findings) {
    const isDenial = rule.meaning.says === 'symptom' ? denied : rule.meaning.says === 'absent' && !denied;
    if (isDenial && scope === undefined) for (const at of own) if (!told.has(at)) words.add(at);
  }
  return words;
}

/** "It doesn't pull a trailer": what a truck is never used for leans to no weakness of it. */
function saysItTowsNothing(findings: readonly Finding[]): ReadonlySet<number> {
  const words = new Set<number>();
  for (const { rule, match, denied } of findings) {
    const { meaning } = rule;
    if (denied || meaning.says !== 'fact' || meaning.fact !== 'tows' || meaning.value || meaning.asked) continue;
    for (let at = match.from; at < match.to; at++) words.add(at);
  }
  return words;
}

/** The words that lean to a complaint one by one and mean none as they stand ("pull off the job"). */
function besideThePoint(scene: Scene, lexicon: ComplaintLexicon): ReadonlySet<number> {
  const words = new Set<number>();
  for (const hits of scene.at) {
    for (const hit of hits) {
      if (hit.class !== lexicon.scope['beside-the-point']) continue;
      for (let at = hit.from; at < hit.to; at++) words.add(at);
    }
  }
  return words;
}

/** The words that a wish like "quit pinging me" stands on. */
function wishedAway(findings: readonly Finding[]): ReadonlySet<number> {
  const words = new Set<number>();
  for (const { rule, own, denied, scope } of findings) {
    if (rule.meaning.says !== 'intent' || !NO_COMPLAINT.has(rule.meaning.intent)) continue;
    if (denied || scope === 'other-truck' || scope === 'seller') continue;
    for (const at of own) words.add(at);
  }
  return words;
}

function isWithin(own: ReadonlySet<number>, words: ReadonlySet<number>): boolean {
  if (words.size === 0) return false;
  for (const at of own) if (!words.has(at)) return false;
  return true;
}

/** True where a match is one expression that runs into these words: "cant pull" of "cant pull off the job". */
function runsInto({ hits }: Match, words: ReadonlySet<number>): boolean {
  const [only, second] = hits;
  if (!only || second || words.size === 0) return false;
  for (let at = only.from; at < only.to; at++) if (words.has(at)) return true;
  return false;
}

/** Every place where any rule of the lexicon holds. */
function findAll(scene: Scene, asked: Askable | undefined, lexicon: ComplaintLexicon): { rule: Rule; match: Match }[] {
  const byClass = new Map<number, Hit[]>();
  const isFound = new Uint8Array(lexicon.classNames.length);
  for (const hits of scene.at) {
    for (const hit of hits) {
      isFound[hit.class] = 1;
      const known = byClass.get(hit.class);
      if (known) known.push(hit);
      else byClass.set(hit.class, [hit]);
    }
  }
  const found: { rule: Rule; match: Match }[] = [];
  for (const [classId, hits] of byClass) {
    for (const rule of lexicon.rules.get(classId) ?? []) {
      const { meaning } = rule;
      if (meaning.says === 'fact' && meaning.asked && meaning.fact !== asked) continue;
      if (!areAllFound(rule.pattern.parts, isFound)) continue;
      for (const match of findPattern(rule.pattern, hits, scene)) found.push({ rule, match });
    }
  }
  return found;
}

/** Whether a message holds a word for every part of a pattern: most patterns end here. */
function areAllFound(parts: readonly (readonly number[])[], isFound: Uint8Array): boolean {
  for (const part of parts) if (!isAnyFound(part, isFound)) return false;
  return true;
}

function isAnyFound(part: readonly number[], isFound: Uint8Array): boolean {
  for (const id of part) if (isFound[id] === 1) return true;
  return false;
}

/** "No hard starts": what is only hinted at uses up no "not", unless it would be a danger. */
const isMereHint = (meaning: Meaning): boolean => meaning.says === 'hint' && !DANGERS.has(meaning.symptom);

function judge(
  found: readonly { rule: Rule; match: Match }[],
  scene: Scene,
  scopes: Scopes,
  lexicon: ComplaintLexicon,
): Finding[] {
  const positions = (match: Match): Set<number> => {
    const own = new Set<number>();
    for (const hit of match.hits) for (let at = hit.from; at < hit.to; at++) own.add(at);
    return own;
  };
  const withOwn = found.map(({ rule, match }) => ({ rule, match, own: positions(match) }));
  const consumed = new Set<number>();
  for (const { rule, match } of withOwn) {
    if (KEEP_NEGATIONS.has(rule.meaning.says) || isMereHint(rule.meaning)) continue;
    for (const hit of match.hits) {
      if (hit.class !== lexicon.scope.not) continue;
      for (let at = hit.from; at < hit.to; at++) consumed.add(at);
    }
  }
  const polarity = new Polarity(scene, lexicon, consumed);
  return withOwn.map(({ rule, match, own }) => {
    const { says } = rule.meaning;
    const scope = scopes.of(match, own);
    const isNamed = says === 'symptom' && rule.meaning.symptom !== 'other';
    const isNotOnes = isNamed && scope === 'other-truck' && isDeniedOfOnesOwn(match, scene, lexicon);
    const isStillAbsent = says === 'absent' && scope === 'past' && scopes.isMended(match);
    return {
      rule,
      match,
      own,
      denied:
        isNotOnes ||
        (!saysItsOwnNo(rule, match, scene, lexicon) && polarity.isDenied(match, own)) ||
        (says === 'symptom' && deniesWantOf(match, own, scene, lexicon)),
      deniedInPart: !isNotOnes && polarity.isDeniedInPart(match),
      scope: isNotOnes || isStillAbsent ? undefined : scope,
    };
  });
}

/** "No loss of oil pressure" says no to the loss, not to the pressure, though "no oil pressure" is a complaint. */
function deniesWantOf(match: Match, own: ReadonlySet<number>, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const holds = (at: number, name: 'not' | 'want-of'): boolean =>
    (scene.at[at] ?? []).some((hit) => hit.class === lexicon.scope[name]);
  return match.hits.some(({ from, to }) => {
    if (!holds(from, 'not')) return false;
    let apart = 0;
    for (let at = to; at < match.to && !own.has(at); at++) {
      if (holds(at, 'want-of')) return true;
      if (scene.words[at]?.filler !== true && ++apart > MOST_BEFORE_A_WANT) return false;
    }
    return false;
  });
}
/** "No real loss of power" */
const MOST_BEFORE_A_WANT = 1;

/** "No smoke no check engine light", "dont call dont text": what says its own no is not denied by the one before it. */
function saysItsOwnNo({ meaning }: Rule, match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  // "No horses, no trailer": each says its own no.
  if (meaning.says === 'absent' || (meaning.says === 'fact' && !meaning.value)) {
    return lexicon.grammar.ownNo.has(scene.words[match.from]?.text ?? '');
  }
  if (meaning.says !== 'intent') return false;
  return (scene.at[match.from] ?? []).some((hit) => hit.class === lexicon.scope.not);
}
