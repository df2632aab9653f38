import { DANGER_SYMPTOMS, type Symptom } from '../../model/ids.ts';
import { explainAway, withoutAbsent, withoutLooseOther, withoutOwnHand, withoutSimiles } from './competing.ts';
import { decide, weigh, type Weighed } from './decide.ts';
import { evidenceOf, type Dropped, type Leanings } from './evidence.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import { isDoubted, laidToAnother, shares } from './matches.ts';
import type { Match, Scene } from './pattern.ts';
import type { Scopes } from './scopes.ts';
import { tellingWords } from './second-opinion.ts';
import type { Similes } from './similes.ts';
import type { ScopeKind } from './types.ts';
import type { Word } from './words.ts';

const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);
/** A danger that is only asked about or feared is asked for. */
const OPEN_SCOPES: ReadonlySet<ScopeKind> = new Set<ScopeKind>(['hypothetical', 'question']);

export interface SymptomsRead {
  /** What is told, with the places that it was read from. */
  present: Map<Symptom, Match[]>;
  denied: Map<Symptom, Match[]>;
  ask: Set<Symptom>;
  /** True where what is told may not be the whole or the right complaint. */
  unsure: boolean;
  /** False where the words of the message make no further symptom likely. */
  more: boolean;
  /** What each symptom was weighed by; empty where nothing was fitted. */
  weighed: ReadonlyMap<Symptom, Weighed>;
}

/** The surroundings in which symptoms are read. */
export interface Surroundings {
  scopes: Scopes;
  similes: Similes;
  /** True where the message may tell of symptoms that no pattern found: an opening, or an answer about symptoms. */
  mayTell: boolean;
  /** The words that a wish like "quit pinging me" stands on. */
  wished: ReadonlySet<number>;
  /** How the words lean to each symptom and intent; undefined where they cannot tell. */
  leanings: Leanings | undefined;
}

/** Reads what is told, denied and to be asked for: patterns find, and what they found is weighed against the words. */
export function readSymptoms(
  findings: readonly Finding[],
  surroundings: Surroundings,
  scene: Scene,
  lexicon: ComplaintLexicon,
): SymptomsRead {
  const { scopes, similes, wished, leanings, mayTell } = surroundings;
  const { present, denied, ask } = statements(findings, scene, lexicon);
  const read = new Map([...present].map(([symptom, matches]) => [symptom, [...matches]]));
  const dropped = compete(present, ask, { findings, similes, scene, lexicon });
  // "Delete the particulate filter": who ends or undoes something complains of nothing.
  if (wished.size > 0) for (const symptom of ask) if (!DANGERS.has(symptom)) ask.delete(symptom);
  const hints = openHints(findings, { present, denied, ask }, similes, scene, lexicon);
  let { unsure } = hints;
  let more = true;
  let weighed: ReadonlyMap<Symptom, Weighed> = new Map();
  if (leanings && lexicon.weighing) {
    const isAside = (at: number): boolean => scopes.at(at) !== undefined || wished.has(at);
    const patterned = { findings, present, read, dropped };
    weighed = weigh(evidenceOf(patterned, leanings, isAside, scene, lexicon), lexicon.weighing.symptoms);
    const found = new Set(present.keys());
    // "It keeps cleaning the exhaust filter": words that lean to a warning lamp too tell of none.
    const isLeanedTo = (symptom: Symptom): boolean =>
      [...found].some((other) => lexicon.leansTo.get(other)?.has(symptom));
    const decided = decide(
      weighed,
      (symptom) => found.has(symptom) || hints.hinted.has(symptom) || (mayTell && !isLeanedTo(symptom)),
    );
    for (const symptom of found) if (!decided.told.includes(symptom)) present.delete(symptom);
    for (const symptom of decided.told) {
      const matches = present.get(symptom) ?? hints.hinted.get(symptom) ?? read.get(symptom);
      present.set(symptom, matches ?? tellingWords(symptom, scene, lexicon));
      ask.delete(symptom);
    }
    for (const symptom of ask) if (!DANGERS.has(symptom) && !decided.ask.includes(symptom)) ask.delete(symptom);
    for (const symptom of decided.ask) if (!denied.has(symptom)) ask.add(symptom);
    unsure ||= decided.unsure;
    more = decided.more;
  } else if (hints.isOpen) unsure = true;
  for (const symptom of present.keys()) denied.delete(symptom);
  // "A whiff of raw fuel, and there's no leak": the leak that is denied is one of fuel.
  if (present.has('fuel-smell') && denied.get('fuel-leak')?.some((match) => denied.get('oil-leak')?.includes(match))) {
    denied.delete('oil-leak');
  }
  return { present, denied, ask, unsure, more, weighed };
}

/** True where the clause goes on to say that what a match tells of went by itself. */
function isGone({ to }: Match, scene: Scene, lexicon: ComplaintLexicon): boolean {
  const end = scene.clauses[(scene.words[to - 1] as Word).clause]?.to ?? to;
  for (let at = to; at < end; at++) {
    if (scene.at[at]?.some((hit) => hit.class === lexicon.scope['passed-by-itself'])) return true;
  }
  return false;
}

type Read = Pick<SymptomsRead, 'present' | 'denied' | 'ask'>;

function put(into: Map<Symptom, Match[]>, symptom: Symptom, match: Match): void {
  const known = into.get(symptom);
  if (known) known.push(match);
  else into.set(symptom, [match]);
}

/** What is stated of the owner's truck as it is, and the dangers that are asked about or that went by themselves. */
function statements(findings: readonly Finding[], scene: Scene, lexicon: ComplaintLexicon): Read {
  const present = new Map<Symptom, Match[]>();
  const denied = new Map<Symptom, Match[]>();
  const ask = new Set<Symptom>();
  // "Saw a flame, its gone now": a danger that went by itself has not been mended.
  const passed = scene.at.some((hits) => hits.some((hit) => hit.class === lexicon.scope['passed-by-itself']));
  for (const { rule, match, denied: isDenied, deniedInPart, scope } of findings) {
    const { meaning } = rule;
    // "Empty under the hood, no smoke though": nothing is told of the hood, and no danger there is denied.
    if (isDenied && deniedInPart && meaning.says === 'symptom' && DANGERS.has(meaning.symptom)) continue;
    if (meaning.says === 'symptom') {
      if (scope === undefined) put(isDenied ? denied : present, meaning.symptom, match);
      // "The fuel smell is gone": what went by itself is absent.
      else if (scope === 'past' && !DANGERS.has(meaning.symptom) && isGone(match, scene, lexicon)) {
        put(denied, meaning.symptom, match);
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
  return { present, denied, ask };
}

/** Drops from `present` what another statement explains or takes back; answers why each symptom went. */
function compete(
  present: Map<Symptom, Match[]>,
  ask: Set<Symptom>,
  given: { findings: readonly Finding[]; similes: Similes; scene: Scene; lexicon: ComplaintLexicon },
): Map<Symptom, Dropped> {
  const { findings, similes, scene, lexicon } = given;
  const dropped = new Map<Symptom, Dropped>();
  const step = (why: Dropped, drop: () => void): void => {
    const before = [...present.keys()];
    drop();
    for (const symptom of before) if (!present.has(symptom)) dropped.set(symptom, why);
  };
  step('absent', () => {
    withoutAbsent(present, findings);
  });
  step('explained', () => {
    explainAway(present, scene, lexicon);
  });
  step('loose', () => {
    withoutLooseOther(present, scene, lexicon);
  });
  step('own-hand', () => {
    withoutOwnHand(present, scene, lexicon);
  });
  step('simile', () => {
    for (const symptom of withoutSimiles(present, similes)) if (DANGERS.has(symptom)) ask.add(symptom);
  });
  return dropped;
}

/** Adds to `ask` what is only hinted at; answers the places of hints that may be settled. */
function openHints(
  findings: readonly Finding[],
  { present, denied, ask }: Read,
  similes: Similes,
  scene: Scene,
  lexicon: ComplaintLexicon,
): { hinted: Map<Symptom, Match[]>; unsure: boolean; isOpen: boolean } {
  const hinted = new Map<Symptom, Match[]>();
  const open = new Set<Symptom>();
  let unsure = false;
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
  const isOver = (symptom: Symptom): boolean =>
    [...present.keys()].some((other) => lexicon.over.get(other)?.has(symptom));
  const laid = laidToAnother(scene, lexicon);
  const mayNotBe = (match: Match): boolean =>
    isDoubted(match, scene, lexicon) || laid.has(sentenceOf(match, scene) ?? -1);
  for (const { rule, match, denied: isDenied, scope, own } of findings) {
    const { meaning } = rule;
    if (isDenied || (scope !== undefined && !OPEN_SCOPES.has(scope))) continue;
    if (meaning.says === 'hint') {
      if (similes.holds(match) && similes.explains(match, [...present.values()].flat())) continue;
      if (present.has(meaning.symptom) || denied.has(meaning.symptom) || isOver(meaning.symptom)) continue;
      ask.add(meaning.symptom);
      const clause = (scene.words[match.from] as Word).clause;
      if (scope === undefined) put(hinted, meaning.symptom, match);
      if (scope === undefined && !toldClauses.has(clause)) open.add(meaning.symptom);
    } else if (meaning.says === 'danger') {
      if (meaning.ask.some((symptom) => present.has(symptom) || denied.has(symptom))) continue;
      if (shares(own, told) || shares(own, refused)) continue;
      for (const symptom of meaning.ask) {
        // "It ran away, I killed it with the brake"
        if (isOver(symptom)) continue;
        ask.add(symptom);
        if (scope === undefined && !saysMore.has(sentenceOf(match, scene))) put(hinted, symptom, match);
      }
    } else if (meaning.says === 'symptom' && scope === undefined && mayNotBe(match)) {
      unsure = true;
      if (DANGERS.has(meaning.symptom)) ask.add(meaning.symptom);
    }
  }
  return { hinted, unsure, isOpen: [...open].some((symptom) => ask.has(symptom)) };
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
