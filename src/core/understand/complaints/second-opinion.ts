import { DANGER_SYMPTOMS, type Symptom } from '../../model/ids.ts';
import type { ClassesAt, SeenWord } from '../opinion/features.ts';
import { BY_WORDS, likelihoods } from '../opinion/mod.ts';
import type { Token } from '../text.ts';
import type { ComplaintLexicon } from './lexicon.ts';
import type { Match, Scene } from './pattern.ts';
import type { Hit } from './vocabulary.ts';

/*
 * The second opinion takes back what one weak pattern read and the words of the message make unlikely, settles what a
 * pattern only hinted at, and tells nothing of which no part and no trouble is named. The limits were chosen on the
 * messages of strangers, each set judged by weights fitted to all the others.
 */
interface Limits {
  /** What one weak pattern read and is less likely than this is taken back. */
  doubted: number;
  /** Below this even what two patterns agree on is only asked for. */
  doubtedStrong: number;
  /** A hint this likely is taken for told. */
  settled: number;
  /** Where no pattern read or hinted at anything, what is this likely and named in the owner's own statement is told. */
  named: number;
  /** The same where it is only a part that is named, and no trouble. */
  namedThing: number;
  /** The same beside what was read. */
  namedBeside: number;
  /** What no pattern read or hinted at and the words make this likely is asked for. */
  asked: number;
}
const ORDINARY: Limits = {
  doubted: 0.05,
  doubtedStrong: 0.02,
  settled: 0.2,
  named: 0.4,
  namedThing: 0.6,
  namedBeside: 0.75,
  asked: 0.5,
};
/**
 * A danger is asked for much sooner and told later, since a danger that is not there does less harm as a question. Of
 * 504 danger wordings, each set judged by weights fitted to the others, 503 were read or asked for, and a danger that was
 * not there was asked for in 6 of a hundred openings.
 */
const OF_DANGER: Limits = {
  doubted: 0.08,
  doubtedStrong: 0.05,
  settled: 0.7,
  named: 0.8,
  namedThing: 0.9,
  namedBeside: 0.9,
  asked: 0.045,
};
/**
 * Of a weak pattern whose two words stand side by side less is doubted: in 300 openings that nothing was fitted to both
 * such readings between this and 0.1 were right, and both below it wrong, while of 11 looser ones 10 were wrong.
 */
const DOUBTED_CLOSE = 0.03;
/** In a longer message the few words of a complaint do not show; its patterns stand as they are. */
const MOST_WORDS = 150;

const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);
const limitsOf = (symptom: Symptom): Limits => (DANGERS.has(symptom) ? OF_DANGER : ORDINARY);

const LONG_PHRASE = 3;

/** True where a phrase of several telling words was found as it stands: nothing that is learnt from words doubts it. */
export const isPhrase = ({ hits }: Match, scene: Scene): boolean =>
  hits.some(({ from, to }) => scene.words.slice(from, to).filter(({ filler }) => !filler).length >= LONG_PHRASE);

/** True where two patterns agree, one of them on two things that stand together. */
function agree(matches: readonly Match[]): boolean {
  if (matches.length < 2 || !matches.some(({ hits }) => hits.length > 1)) return false;
  return matches.some(({ hits, from, to }) => {
    const used = hits.reduce((sum, hit) => sum + hit.to - hit.from, 0);
    return to - from - used <= 2;
  });
}

/** A part and what is wrong with it, side by side: "other" gathers what has no likeness, so words say little of it. */
const isSideBySide = ({ hits, from, to }: Match): boolean =>
  hits.length > 1 && to - from - hits.reduce((sum, hit) => sum + hit.to - hit.from, 0) <= 1;

/** The words of a text as the lexicon spells them: the opinions were fitted to well spelt ones mostly. */
export function mendedTokens(tokens: readonly Token[], { joints, vocabulary }: ComplaintLexicon): Token[] {
  return tokens.map((token) =>
    token.kind === 'word'
      ? { ...token, text: joints.spellings.get(token.text) ?? vocabulary.mended(token.text) }
      : token,
  );
}

/** How likely each symptom is by the words of a message, those that are aside left out; undefined where they cannot tell. */
export function opinionOn(
  scene: Scene,
  lexicon: ComplaintLexicon,
  isAside: (position: number) => boolean = () => false,
): Likely | undefined {
  if (!lexicon.opinion || scene.words.length > MOST_WORDS) return undefined;
  const { opinion, opinionOfClass } = lexicon;
  return likelihoods(opinion, saidIn(scene, lexicon), {
    classesAt: (position, count) => {
      for (const { class: id } of scene.at[position] ?? []) count(opinionOfClass[id]);
    },
    isAside,
    scale: BY_WORDS,
  });
}

/** The words of a scene as the lexicon spells them. */
export const saidIn = (scene: Scene, { vocabulary }: ComplaintLexicon): SeenWord[] =>
  scene.words.map(({ text, value }) => (value === undefined ? { text: vocabulary.mended(text) } : { text, value }));

/** The names of the classes that begin at each word of a scene. */
export const classesIn =
  (scene: Scene, { classNames }: ComplaintLexicon): ClassesAt =>
  (position) =>
    (scene.at[position] ?? []).map(({ class: id }) => classNames[id] ?? '');

export type Likely = ReadonlyMap<Symptom, number>;

/** Takes back what a weak pattern read and the words make unlikely; a danger is asked for instead. */
export function takeBack(
  likely: Likely | undefined,
  present: Map<Symptom, Match[]>,
  ask: Set<Symptom>,
  scene: Scene,
  lexicon: ComplaintLexicon,
): void {
  if (!likely) return;
  for (const [symptom, matches] of [...present]) {
    const chance = likely.get(symptom) ?? 1;
    const { doubted, doubtedStrong } = limitsOf(symptom);
    const strong = agree(matches);
    const explained = [...present.keys()].some((other) => lexicon.over.get(other)?.has(symptom));
    const close = !DANGERS.has(symptom) && !explained && matches.some(isSideBySide);
    const limit = strong ? doubtedStrong : close ? DOUBTED_CLOSE : doubted;
    if (chance >= limit || matches.some((match) => isPhrase(match, scene))) continue;
    if (symptom === 'other' && (strong || matches.some(isSideBySide))) continue;
    present.delete(symptom);
    // What is all that was read is asked for rather than lost.
    if (strong || DANGERS.has(symptom) || present.size === 0) ask.add(symptom);
  }
}

export interface Weighed {
  present: Map<Symptom, Match[]>;
  denied: ReadonlyMap<Symptom, readonly Match[]>;
  ask: Set<Symptom>;
}

/**
 * Settles hints that the words make likely (`hinted` are their places), drops unlikely ones, and asks for the rest and
 * for what was taken back.
 */
export function settle(
  likely: Likely | undefined,
  { present, denied, ask }: Weighed,
  hinted: ReadonlyMap<Symptom, Match[]>,
  takenBack: ReadonlySet<Symptom>,
): void {
  if (!likely) return;
  const chance = (symptom: Symptom): number => likely.get(symptom) ?? 1;
  for (const symptom of [...ask]) {
    const matches = hinted.get(symptom);
    if (matches && chance(symptom) >= limitsOf(symptom).settled) {
      present.set(symptom, matches);
      ask.delete(symptom);
    } else if (chance(symptom) < ORDINARY.doubted && !DANGERS.has(symptom) && !takenBack.has(symptom))
      ask.delete(symptom);
  }
  for (const [symptom, share] of likely) {
    if (share >= limitsOf(symptom).asked && !present.has(symptom) && !denied.has(symptom)) ask.add(symptom);
  }
}

/** Takes for told what is likely and of which something is named outside of any scope and of what was read already. */
export function takeNamed(
  likely: Likely | undefined,
  { present, denied, ask }: Weighed,
  { isAside, isErrand }: { isAside: (position: number) => boolean; isErrand: boolean },
  scene: Scene,
  lexicon: ComplaintLexicon,
): void {
  if (!likely) return;
  const ranked = [...likely].sort((one, other) => other[1] - one[1] || (one[0] < other[0] ? -1 : 1));
  for (const [symptom, chance] of ranked) {
    const { named, namedThing, namedBeside } = limitsOf(symptom);
    if (chance < (present.size === 0 ? named : namedBeside)) continue;
    if (present.has(symptom) || denied.has(symptom)) continue;
    if ([...present.keys()].some((other) => lexicon.over.get(other)?.has(symptom))) continue;
    const classes = lexicon.wordsOf.get(symptom);
    const names = ({ class: id, from }: Hit): boolean =>
      classes?.has(id) === true && (lexicon.trouble.has(id) || lexicon.kinds[id] !== undefined) && !isAside(from);
    const hits = scene.at.flatMap((at) => at.filter(names));
    if (hits.length === 0) continue;
    if ((isErrand || chance < namedThing) && !hits.some((hit) => lexicon.trouble.has(hit.class))) continue;
    present.set(
      symptom,
      hits.map((hit) => ({ hits: [hit], from: hit.from, to: hit.to })),
    );
    ask.delete(symptom);
  }
}

/**
 * Whether what was not read is about as likely as what was: the complaint may be told in part. Of 165 openings with a
 * complaint, to which nothing was fitted, it flags 3 of 13 that were read wrongly and 2 of 152 that were read rightly.
 */
export function isPartOnly(
  likely: Likely | undefined,
  present: ReadonlyMap<Symptom, unknown>,
  isKnown: (symptom: Symptom) => boolean,
): boolean {
  if (!likely || present.size === 0) return false;
  const least = Math.min(...[...present.keys()].map((symptom) => likely.get(symptom) ?? 1));
  return [...likely].some(
    ([symptom, chance]) =>
      chance >= UNREAD && chance >= AS_LIKELY * least && !present.has(symptom) && !isKnown(symptom),
  );
}
const UNREAD = 0.4;
const AS_LIKELY = 0.8;

/** Whether the words make another symptom likely than those that were read or denied; true where nobody can tell. */
export function expectsMore(
  likely: Likely | undefined,
  present: ReadonlyMap<Symptom, unknown>,
  denied: ReadonlyMap<Symptom, unknown>,
): boolean {
  if (!likely) return true;
  return [...likely].some(
    ([symptom, chance]) => chance >= ORDINARY.asked && !present.has(symptom) && !denied.has(symptom),
  );
}
