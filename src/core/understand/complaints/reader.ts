import { DANGER_SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import type { Askable } from '../../model/reading.ts';
import type { Message } from '../text.ts';
import { explainAway, withoutAbsent, withoutLooseOther, withoutOwnHand, withoutSimiles } from './competing.ts';
import { readFacts } from './facts.ts';
import type { Finding } from './finding.ts';
import { readIntent } from './intents.ts';
import type { ComplaintLexicon, Rule } from './lexicon.ts';
import { mostLike } from './likeness.ts';
import { isDoubted, shares, textOf } from './matches.ts';
import { findPattern, type Match, type Scene } from './pattern.ts';
import { Polarity } from './polarity.ts';
import { sceneOf } from './scene.ts';
import { Scopes } from './scopes.ts';
import { expectsMore, isPartOnly, isPhrase, opinionOn, settle, takeBack, takeNamed } from './second-opinion.ts';
import { Similes } from './similes.ts';
import type { ComplaintReading, Context, ScopeKind } from './types.ts';
import { unreadClauses } from './unread.ts';
import type { Hit } from './vocabulary.ts';
import type { Word } from './words.ts';

/** Nobody writes more than this to a shop; the rest of a longer text is not read, and what was read is unsure. */
const MOST_TOKENS = 2000;
const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);
/** What only asks, and may be settled. */
const OPEN: ReadonlySet<string> = new Set(['hint', 'danger']);
/** A danger that is only asked about or feared is asked for. */
const OPEN_SCOPES: ReadonlySet<ScopeKind> = new Set<ScopeKind>(['hypothetical', 'question']);
/** What is said there speaks for nothing that the owner's truck does now. */
const ELSEWHERE: ReadonlySet<ScopeKind | undefined> = new Set<ScopeKind>(['past', 'other-truck']);
const OWN_NO = new Set(['no', 'sin']);
/** Wishes whose words complain of nothing: "quit pinging me" is no knock. */
const NO_COMPLAINT: ReadonlySet<Intent> = new Set(['opt-out', 'opt-in', 'cancel', 'reschedule', 'tamper']);

/** Who asks for these names parts that are to be worked on, not what is wrong with them. */
const ERRANDS: ReadonlySet<Intent> = new Set(['book', 'price', 'help', 'reschedule', 'cancel']);

/** Reads a message with a compiled lexicon. */
export function readScene(message: Message, { asked, today }: Context, lexicon: ComplaintLexicon): ComplaintReading {
  const isTooLong = message.tokens.length > MOST_TOKENS;
  const read = isTooLong ? { ...message, tokens: message.tokens.slice(0, MOST_TOKENS) } : message;
  const scene = sceneOf(read, lexicon, today);
  const similes = new Similes(scene, lexicon.scope.simile, lexicon.trouble);
  scene.aside = similes.within;
  const found = findAll(scene, asked, lexicon);
  const told = found.filter(({ rule }) => rule.meaning.says === 'symptom').map(({ match }) => match.from);
  const scopes = new Scopes(scene, lexicon, told.length > 0 ? Math.min(...told) : undefined);
  const judged = judge(found, scene, scopes, lexicon);
  const wished = wishedAway(judged);
  const findings = judged.filter(({ rule, own }) => rule.meaning.says === 'intent' || !isWithin(own, wished));
  const mayTell = asked === undefined || asked === 'symptoms';
  const symptoms = readSymptoms(findings, { scopes, similes, mayTell, wished }, scene, lexicon);
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
  };
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

/** Every place where any rule of the lexicon holds. */
function findAll(scene: Scene, asked: Askable | undefined, lexicon: ComplaintLexicon): { rule: Rule; match: Match }[] {
  const byClass = new Map<number, Hit[]>();
  for (const hits of scene.at) {
    for (const hit of hits) {
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
      if (!rule.pattern.parts.every((part) => part.some((id) => byClass.has(id)))) continue;
      for (const match of findPattern(rule.pattern, hits, scene)) found.push({ rule, match });
    }
  }
  return found;
}

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
    if (['danger', 'denial', 'fact'].includes(rule.meaning.says)) continue;
    for (const hit of match.hits) {
      if (hit.class !== lexicon.scope.not) continue;
      for (let at = hit.from; at < hit.to; at++) consumed.add(at);
    }
  }
  const polarity = new Polarity(scene, lexicon, consumed);
  return withOwn.map(({ rule, match, own }) => ({
    rule,
    match,
    own,
    denied: !saysItsOwnNo(rule, match, scene, lexicon) && polarity.isDenied(match, own),
    scope: scopes.of(match, own),
  }));
}

/** "No smoke no check engine light", "dont call dont text": what says its own no is not denied by the one before it. */
function saysItsOwnNo({ meaning }: Rule, match: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  if (meaning.says === 'absent') return OWN_NO.has(scene.words[match.from]?.text ?? '');
  if (meaning.says !== 'intent') return false;
  return (scene.at[match.from] ?? []).some((hit) => hit.class === lexicon.scope.not);
}

interface SymptomsRead {
  present: Map<Symptom, Match[]>;
  denied: Map<Symptom, Match[]>;
  ask: Set<Symptom>;
  unsure: boolean;
  /** False where the words of the message make no further symptom likely. */
  more: boolean;
}

function readSymptoms(
  findings: readonly Finding[],
  {
    scopes,
    similes,
    mayTell,
    wished,
  }: { scopes: Scopes; similes: Similes; mayTell: boolean; wished: ReadonlySet<number> },
  scene: Scene,
  lexicon: ComplaintLexicon,
): SymptomsRead {
  const present = new Map<Symptom, Match[]>();
  const denied = new Map<Symptom, Match[]>();
  const ask = new Set<Symptom>();
  const put = (into: Map<Symptom, Match[]>, symptom: Symptom, match: Match): void => {
    const known = into.get(symptom);
    if (known) known.push(match);
    else into.set(symptom, [match]);
  };
  let unsure = false;
  // "Saw a flame, its gone now": a danger that went by itself has not been mended.
  const passed = scene.at.some((hits) => hits.some((hit) => hit.class === lexicon.scope['passed-by-itself']));
  const sure = new Set<Symptom>();
  const hinted = new Map<Symptom, Match[]>();
  const openHints = new Set<Symptom>();
  for (const { rule, match, denied: isDenied, scope } of findings) {
    const { meaning } = rule;
    if (meaning.says === 'symptom') {
      if (scope === undefined) {
        put(isDenied ? denied : present, meaning.symptom, match);
        if (meaning.sure && !isDenied) sure.add(meaning.symptom);
      } else if (
        !isDenied &&
        DANGERS.has(meaning.symptom) &&
        (OPEN_SCOPES.has(scope) || (scope === 'past' && passed))
      ) {
        ask.add(meaning.symptom);
      }
    } else if (meaning.says === 'absent') {
      if (scope === undefined && !isDenied) put(denied, meaning.symptom, match);
    } else if (meaning.says === 'denial') {
      if (scope === undefined && isDenied) for (const symptom of meaning.denies) put(denied, symptom, match);
    }
  }
  withoutAbsent(present, findings);
  const isAsked = mayTell || present.size > 0 || findings.some(({ rule }) => OPEN.has(rule.meaning.says));
  // "Used to get 18, now 12": the past that a complaint compares with belongs to it.
  const compared = wordsOf(present);
  const isElsewhere = (at: number): boolean => (ELSEWHERE.has(scopes.at(at)) && !compared.has(at)) || wished.has(at);
  const likely = isAsked ? opinionOn(scene, lexicon, isElsewhere) : undefined;
  const plain = new Map([...present].filter(([symptom]) => sure.has(symptom)));
  takeBack(likely, present, ask, scene, lexicon);
  for (const [symptom, matches] of plain) {
    present.set(symptom, matches);
    ask.delete(symptom);
  }
  // "Delete the particulate filter": who ends or undoes something complains of nothing that is so unlikely.
  if (wished.size > 0) for (const symptom of ask) if (!DANGERS.has(symptom)) ask.delete(symptom);
  const takenBack = new Set(ask);
  explainAway(present, scene, lexicon);
  withoutLooseOther(present, scene, lexicon);
  withoutOwnHand(present, scene);
  for (const symptom of withoutSimiles(present, similes)) if (DANGERS.has(symptom)) ask.add(symptom);
  const told = wordsOf(present);
  const toldClauses = new Set([...told].map((at) => (scene.words[at] as Word).clause));
  const refused = wordsOf(denied);
  // A bare word of danger beside a complaint ("stalled it with the brakes") or praise ("brakes are fine") stays a question.
  const saysMore = new Set([...present.values()].flat().map((match) => sentenceOf(match, scene)));
  scene.at.forEach((hits, at) => {
    if (hits.some((hit) => hit.class === lexicon.scope['all-is-well'])) {
      saysMore.add(scene.clauses[(scene.words[at] as Word).clause]?.sentence);
    }
  });
  for (const { rule, match, denied: isDenied, scope, own } of findings) {
    const { meaning } = rule;
    if (isDenied || (scope !== undefined && scope !== 'hypothetical' && scope !== 'question')) continue;
    if (meaning.says === 'hint') {
      if (similes.holds(match) && similes.explains(match, [...present.values()].flat())) continue;
      if (present.has(meaning.symptom) || denied.has(meaning.symptom)) continue;
      if ([...present.keys()].some((symptom) => lexicon.over.get(symptom)?.has(meaning.symptom))) continue;
      ask.add(meaning.symptom);
      const clause = (scene.words[match.from] as Word).clause;
      if (scope === undefined) put(hinted, meaning.symptom, match);
      if (scope === undefined && !toldClauses.has(clause)) openHints.add(meaning.symptom);
    } else if (meaning.says === 'danger') {
      if (meaning.ask.some((symptom) => present.has(symptom) || denied.has(symptom))) continue;
      if (shares(own, told) || shares(own, refused)) continue;
      for (const symptom of meaning.ask) {
        // "It ran away, I killed it with the brake"
        if ([...present.keys()].some((other) => lexicon.over.get(other)?.has(symptom))) continue;
        ask.add(symptom);
        if (scope === undefined && !saysMore.has(sentenceOf(match, scene))) put(hinted, symptom, match);
      }
    } else if (meaning.says === 'symptom' && scope === undefined && isDoubted(match, scene, lexicon)) {
      unsure = true;
      if (DANGERS.has(meaning.symptom)) ask.add(meaning.symptom);
    }
  }
  settle(likely, { present, denied, ask }, hinted, takenBack);
  const isAside = (at: number): boolean => scopes.at(at) !== undefined || wished.has(at);
  const isErrand = findings.some(
    ({ rule: { meaning }, denied: no }) => !no && meaning.says === 'intent' && ERRANDS.has(meaning.intent),
  );
  if (mayTell) takeNamed(likely, { present, denied, ask }, { isAside, isErrand }, scene, lexicon);
  if ([...openHints].some((symptom) => ask.has(symptom))) unsure = true;
  const spokenOf = new Set(
    findings.flatMap(({ rule: { meaning } }) => (meaning.says === 'symptom' ? meaning.symptom : [])),
  );
  if (isPartOnly(likely, present, (symptom) => denied.has(symptom) || spokenOf.has(symptom))) unsure = true;
  for (const symptom of present.keys()) denied.delete(symptom);
  // "A whiff of raw fuel, and there's no leak": the leak that is denied is one of fuel.
  if (present.has('fuel-smell') && denied.get('fuel-leak')?.some((match) => denied.get('oil-leak')?.includes(match))) {
    denied.delete('oil-leak');
  }
  return { present, denied, ask, unsure, more: expectsMore(likely, present, denied) };
}

const sentenceOf = (match: Match, scene: Scene): number | undefined =>
  scene.clauses[(scene.words[match.from] as Word).clause]?.sentence;

/** The word positions that these matches stand on. */
function wordsOf(read: ReadonlyMap<Symptom, readonly Match[]>): Set<number> {
  const words = new Set<number>();
  for (const matches of read.values()) {
    for (const { hits } of matches) for (const { from, to } of hits) for (let at = from; at < to; at++) words.add(at);
  }
  return words;
}
