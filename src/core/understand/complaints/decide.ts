import { DANGER_SYMPTOMS, type Symptom } from '../../model/ids.ts';
import { chanceBy, type Signs, type SignWeights } from '../opinion/weighing.ts';

/** How likely a symptom is that something speaks for, and what speaks. */
export interface Weighed {
  signs: Signs;
  chance: number;
}

/*
 * Limits of likelihood. They were chosen on messages that neither the patterns nor the weights had learnt from; see
 * tests/corpus/README.md.
 */
const TOLD = 0.5;
/** Where no pattern found it stated, and only words speak for it. */
const BY_WORDS = ['words-only', 'part-named', 'trouble-named', 'danger-word'];
const TOLD_BY_WORDS = 0.6;
/** What is this likely and not told is asked for; a danger that is not there does less harm as a question. */
const ASKED = 0.3;
const DANGER_ASKED = 0.08;
/** What a pattern read or hinted at is asked for sooner. */
const FOUND_ASKED = 0.15;
/** Where the whole reading of a complaint is less likely to be right than this, it is to be confirmed. */
const SURE = 0.6;

/** Whatever the words say, what is told plainly, or by two patterns that agree, is at least this sure once it is told. */
const SURE_PLAIN = 0.9;
const SURE_AGREEING = 0.65;

const DANGERS: ReadonlySet<Symptom> = new Set(DANGER_SYMPTOMS);

/** How likely each symptom is by its signs. */
export function weigh(evidence: ReadonlyMap<Symptom, Signs>, weights: SignWeights): Map<Symptom, Weighed> {
  return new Map([...evidence].map(([symptom, signs]) => [symptom, { signs, chance: chanceBy(signs, weights) }]));
}

const has = ({ signs }: Weighed, sign: string): boolean => signs.has(sign);

/** However likely the words make it: what is denied, only supposed or asked about, and what the owner did by hand. */
const NEVER_TOLD = ['denied', 'supposed', 'dropped-absent', 'dropped-own-hand'];
/** What is over or another truck's is told where the words around it speak for it: the past may reach too far. */
const TOLD_ELSEWHERE = 0.8;
const LEANING_ELSEWHERE = -2;

/** What the shop has taught is told: no likelihood doubts it. */
const TAUGHT = 'told-taught';
/** A sure pattern, or a phrase of several words that is known as it stands, is doubted less. */
const PLAIN = ['told-sure', 'told-phrase'];
const TOLD_PLAIN = 0.35;
const isPlain = (weighed: Weighed): boolean => PLAIN.some((sign) => has(weighed, sign));

/** True where what seems to be over or another truck's may be the owner's trouble all the same. */
const mayBeHere = ({ chance, signs }: Weighed): boolean =>
  chance >= TOLD_ELSEWHERE && (signs.get('elsewhere leaning') ?? LEANING_ELSEWHERE) >= LEANING_ELSEWHERE;

/** What is denied, supposed or over is asked for where the patterns see a danger in it, not for its words. */
const isStated = (weighed: Weighed): boolean =>
  !NEVER_TOLD.some((sign) => has(weighed, sign)) && !has(weighed, 'elsewhere');

function leastSure(weighed: Weighed): number {
  if (isPlain(weighed)) return SURE_PLAIN;
  return has(weighed, 'told-agreeing') ? SURE_AGREEING : TOLD;
}

/** True where the symptom is told. */
function isTold(weighed: Weighed): boolean {
  if (has(weighed, TAUGHT)) return true;
  if (NEVER_TOLD.some((sign) => has(weighed, sign))) return false;
  if (has(weighed, 'elsewhere')) return mayBeHere(weighed);
  if (isPlain(weighed)) return weighed.chance >= TOLD_PLAIN;
  return weighed.chance >= (BY_WORDS.some((sign) => has(weighed, sign)) ? TOLD_BY_WORDS : TOLD);
}

/** What is told of the symptoms that may be, what is to be asked for, and whether the whole is to be confirmed. */
export function decide(
  weighed: ReadonlyMap<Symptom, Weighed>,
  isEligible: (symptom: Symptom) => boolean,
): { told: Symptom[]; ask: Symptom[]; unsure: boolean; more: boolean } {
  const told: Symptom[] = [];
  const ask: Symptom[] = [];
  let sure = 1;
  let more = false;
  for (const [symptom, one] of weighed) {
    if (!isEligible(symptom)) continue;
    if (isTold(one)) {
      told.push(symptom);
      sure *= Math.max(one.chance, leastSure(one));
      continue;
    }
    if (!isStated(one)) continue;
    // A complaint without a name is seldom meant beside one that has a name.
    if (symptom !== 'other') sure *= 1 - Math.min(one.chance, TOLD);
    if (one.chance >= ASKED) more = true;
    const isFound = [...one.signs.keys()].some((sign) => sign.startsWith('told-') || sign === 'hint');
    const limit = DANGERS.has(symptom) ? DANGER_ASKED : isFound ? FOUND_ASKED : ASKED;
    if (one.chance >= limit) ask.push(symptom);
  }
  return { told, ask, unsure: told.length > 0 && sure < SURE, more };
}
