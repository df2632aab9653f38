import { DANGER_SYMPTOMS, SYMPTOMS, type Intent, type Symptom } from '../../model/ids.ts';
import { bounded, type Signs } from '../opinion/weighing.ts';
import type { Finding } from './finding.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';

/** Why a symptom that a pattern read was dropped again (see competing.ts). */
export type Dropped = 'absent' | 'explained' | 'loose' | 'own-hand' | 'simile';

/** What the patterns made of the symptoms of a message. */
export interface Patterned {
  findings: readonly Finding[];
  /** What stands after all, and what was read before anything was dropped. */
  present: ReadonlyMap<Symptom, readonly Match[]>;
  read: ReadonlyMap<Symptom, readonly Match[]>;
  dropped: ReadonlyMap<Symptom, Dropped>;
}

/** How each symptom and each intent is leaned to by the words alone, in log-odds. */
export interface Leanings {
  symptoms: ReadonlyMap<Symptom, number>;
  intents: ReadonlyMap<Intent, number>;
}

const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);
/** Who asks for these names parts that are to be worked on, not what is wrong with them. */
export const ERRANDS: ReadonlySet<Intent> = new Set(['book', 'price', 'help', 'reschedule', 'cancel']);
/** Whoever wants one of these complains of nothing more often than not. */
const OTHER_THAN_SERVICE: readonly Intent[] = [...ERRANDS, 'person', 'opt-out', 'odometer'];
/** A difference of leanings beyond these says no more. */
const ERRAND_RANGE = { least: -2, most: 8 };

/** Nothing is weighed that no pattern found and that the words lean away from more than this. */
const LEAST_LEANING = -3.5;
/** The same for a danger, which is asked for sooner. */
const LEAST_DANGER_LEANING = -4;

const LONG_PHRASE = 3;
/** True where a phrase of several telling words was found as it stands. */
export const isPhrase = ({ hits }: Match, scene: Scene): boolean =>
  hits.some(({ from, to }) => scene.words.slice(from, to).filter(({ filler }) => !filler).length >= LONG_PHRASE);

/** How many words stand between the parts of a match. */
const between = ({ hits, from, to }: Match): number =>
  to - from - hits.reduce((sum, hit) => sum + hit.to - hit.from, 0);

/** The symptoms that a phrase which the shop has taught, or a sure pattern, tells of. */
function plainlySaid(findings: readonly Finding[]): Map<Symptom, 'taught' | 'sure'> {
  const plain = new Map<Symptom, 'taught' | 'sure'>();
  for (const { rule, denied, scope } of findings) {
    const { meaning } = rule;
    if (meaning.says !== 'symptom' || denied || scope !== undefined) continue;
    if (meaning.taught) plain.set(meaning.symptom, 'taught');
    else if (meaning.sure && !plain.has(meaning.symptom)) plain.set(meaning.symptom, 'sure');
  }
  return plain;
}

/** How firmly patterns found something: plainly, a phrase, two that agree, two parts side by side or apart, one word. */
function firmness(matches: readonly Match[], plain: 'taught' | 'sure' | undefined, scene: Scene): string {
  if (plain) return plain;
  const pairs = matches.filter(({ hits }) => hits.length > 1);
  if (matches.some((match) => isPhrase(match, scene))) return 'phrase';
  if (matches.length > 1 && pairs.length > 0 && matches.some((match) => between(match) <= 2)) return 'agreeing';
  if (pairs.some((match) => between(match) <= 1)) return 'side-by-side';
  return pairs.length > 0 ? 'apart' : 'one-word';
}

/** How much more the words lean to anything else than to service, in log-odds. */
function errandLeaning({ intents }: Leanings): number {
  const lean = (intent: Intent): number => bounded(intents.get(intent) ?? LEAST_LEANING);
  const errand = Math.max(...OTHER_THAN_SERVICE.map(lean)) - lean('service');
  return Math.min(ERRAND_RANGE.most, Math.max(ERRAND_RANGE.least, errand));
}

/** What else was found of a symptom than a plain statement, most telling first. */
const OTHERWISE = ['denied', 'hint', 'danger-word', 'elsewhere', 'supposed'] as const;
type Otherwise = (typeof OTHERWISE)[number];

function otherwiseFound(findings: readonly Finding[]): Map<Symptom, Set<Otherwise>> {
  const found = new Map<Symptom, Set<Otherwise>>();
  const put = (symptom: Symptom, what: Otherwise): void => {
    const known = found.get(symptom);
    if (known) known.add(what);
    else found.set(symptom, new Set([what]));
  };
  for (const { rule, denied, scope } of findings) {
    const { meaning } = rule;
    const isOpen = scope === 'hypothetical' || scope === 'question';
    if (meaning.says === 'symptom') {
      if (denied) put(meaning.symptom, 'denied');
      else if (isOpen) put(meaning.symptom, 'supposed');
      else if (scope !== undefined) put(meaning.symptom, 'elsewhere');
    } else if (meaning.says === 'absent') {
      if (scope === undefined && !denied) put(meaning.symptom, 'denied');
    } else if (meaning.says === 'denial') {
      if (scope === undefined && denied) for (const symptom of meaning.denies) put(symptom, 'denied');
    } else if (meaning.says === 'hint') {
      if (!denied && scope === undefined) put(meaning.symptom, 'hint');
      else if (!denied && isOpen) put(meaning.symptom, 'supposed');
    } else if (meaning.says === 'danger' && !denied) {
      for (const symptom of meaning.ask) put(symptom, scope === undefined ? 'danger-word' : 'supposed');
    }
  }
  return found;
}

/** Whether a part or a trouble of each symptom is named where the owner's truck is spoken of as it is. */
function namedIn(
  scene: Scene,
  isAside: (position: number) => boolean,
  { classMeans, trouble, kinds }: ComplaintLexicon,
): Map<Symptom, 'trouble-named' | 'part-named'> {
  const named = new Map<Symptom, 'trouble-named' | 'part-named'>();
  scene.at.forEach((hits, position) => {
    if (isAside(position)) return;
    for (const { class: id } of hits) {
      const isTrouble = trouble.has(id);
      if (!isTrouble && kinds[id] === undefined) continue;
      for (const symptom of classMeans.get(id) ?? []) {
        if (isTrouble || !named.has(symptom)) named.set(symptom, isTrouble ? 'trouble-named' : 'part-named');
      }
    }
  });
  return named;
}

const SHORT = 10;
const LONG = 40;

/**
 * What speaks for and against each symptom of a message, as signs for the weighing: how firmly patterns tell of it,
 * how the words lean, what else the message tells. Symptoms of which nothing speaks are left out.
 */
export function evidenceOf(
  patterned: Patterned,
  leanings: Leanings,
  isAside: (position: number) => boolean,
  scene: Scene,
  lexicon: ComplaintLexicon,
): Map<Symptom, Signs> {
  const { findings, present, read, dropped } = patterned;
  const otherwise = otherwiseFound(findings);
  const named = namedIn(scene, isAside, lexicon);
  const isErrand = findings.some(
    ({ rule: { meaning }, denied }) => !denied && meaning.says === 'intent' && ERRANDS.has(meaning.intent),
  );
  const lean = (symptom: Symptom): number => bounded(leanings.symptoms.get(symptom) ?? LEAST_LEANING);
  const errand = errandLeaning(leanings);
  // What is denied is no likelier complaint, however much its words lean to it.
  const denied = new Set(
    [...otherwise].flatMap(([symptom, found]) => (found.has('denied') && !present.has(symptom) ? [symptom] : [])),
  );
  const plain = plainlySaid(findings);
  const evidence = new Map<Symptom, Signs>();
  for (const symptom of SYMPTOMS) {
    const matches = present.get(symptom);
    const found = otherwise.get(symptom);
    const leaning = lean(symptom);
    const isFound = matches || read.has(symptom) || found || named.has(symptom);
    if (!isFound && leaning <= (DANGERS.has(symptom) ? LEAST_DANGER_LEANING : LEAST_LEANING)) continue;
    const gone = dropped.get(symptom);
    const standing = matches
      ? `told-${firmness(matches, plain.get(symptom), scene)}`
      : gone
        ? `dropped-${gone}`
        : (OTHERWISE.find((what) => found?.has(what)) ?? named.get(symptom) ?? 'words-only');
    const signs = new Map<string, number>([
      [standing, 1],
      [`${standing} leaning`, leaning],
    ]);
    const sign = (name: string, strength = 1): unknown => signs.set(name, strength);
    const others = [...present.keys()].filter((other) => other !== symptom);
    const is = matches ? 'told' : 'untold';
    if (matches) {
      sign('told leaning', leaning);
      if ((read.get(symptom)?.length ?? 0) > 1) sign('told twice');
      if (found?.has('denied')) sign('told and denied');
      if (found?.has('hint')) sign('told and hinted');
      if (symptom === 'other') {
        sign('told other');
        sign('told other leaning', leaning);
      }
    } else if (named.has(symptom)) sign('untold named');
    if (others.length > 0) sign(`${is} beside others`);
    if (isErrand) sign(`${is} in an errand`);
    sign(`${is} errand leaning`, errand);
    if (DANGERS.has(symptom)) sign(`${is} danger`);
    sign('behind the likeliest', Math.max(0, mostOf(leanings, symptom, denied) - leaning));
    if (others.length > 0) sign('behind others told', Math.max(0, Math.max(...others.map(lean)) - leaning));
    if (scene.words.length < SHORT) {
      sign('short');
      sign('short leaning', leaning);
    } else if (scene.words.length > LONG) {
      sign('long');
      sign('long leaning', leaning);
    }
    evidence.set(symptom, signs);
  }
  return evidence;
}

function mostOf({ symptoms }: Leanings, except: Symptom, denied: ReadonlySet<Symptom>): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const [symptom, leaning] of symptoms) {
    if (symptom !== except && leaning > most && !denied.has(symptom)) most = leaning;
  }
  return bounded(most);
}
