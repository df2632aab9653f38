import { INTENTS, type Intent } from '../../model/ids.ts';
import { bounded, chanceBy, type Signs, type SignWeights } from './weighing.ts';

/** What speaks for each intent of a message. */
export interface WishEvidence {
  /** The intent as the patterns and rules read it. */
  read: Intent | undefined;
  /** Every wish that a pattern found, with how firmly. */
  found: ReadonlyMap<Intent, string>;
  /** How the words lean to each intent, in log-odds. */
  leanings: ReadonlyMap<Intent, number>;
  complains: boolean;
  givesReading: boolean;
  /** True where a short message gives a reading of the odometer and nothing else of the truck. */
  isOnlyReading: boolean;
  /** How many words the message has. */
  length: number;
}

/*
 * Limits of likelihood, chosen on 2,300 openings that neither the patterns nor the weights had learnt from.
 */
/** What a pattern read is left out below this: the conversation goes on with the facts as for service. */
const READ_STANDS = 0.25;
/** Another wish that a pattern found takes its place from here on. */
const FOUND_INSTEAD = 0.5;
/** A wish that no pattern found takes the place of nothing, or of service, which is what is left. */
const UNSPOKEN = 0.45;
/** The same in the place of a wish that a pattern found. */
const UNSPOKEN_INSTEAD = 0.5;
/** The same where the pattern read a wish to stop writing. */
const UNSPOKEN_INSTEAD_OF_OPT_OUT = 0.8;
/** How much the words must lean to service where nothing else was read. */
const SPOKEN_OF_WORK = 1;
/** To stop writing, or to refuse what emissions equipment forbids, is told by words alone only where they are plain. */
const UNSPOKEN_GRAVE = 0.7;
const GRAVE: ReadonlySet<Intent> = new Set(['opt-out', 'tamper']);
const SHORT = 8;
const LEAST_LEANING = -7;

/** What speaks for and against each intent, as signs for the weighing. */
export function wishSigns(evidence: WishEvidence): Map<Intent, Signs> {
  const { read, found, leanings, complains, givesReading, isOnlyReading, length } = evidence;
  const lean = (intent: Intent): number => bounded(leanings.get(intent) ?? LEAST_LEANING);
  return new Map(
    INTENTS.map((intent) => {
      const leaning = lean(intent);
      const standing = `wish-${found.get(intent) ?? 'unspoken'}`;
      const most = Math.max(...INTENTS.filter((other) => other !== intent).map(lean));
      const signs = new Map<string, number>([
        [standing, 1],
        [`${standing} leaning`, leaning],
        [intent, 1],
        [`${intent} leaning`, leaning],
        ['behind the likeliest', Math.max(0, most - leaning)],
      ]);
      if (read === intent) {
        signs.set('read', 1).set('read leaning', leaning).set(`read ${intent}`, 1);
      } else if (read === undefined) signs.set('nothing read', 1).set('nothing read leaning', leaning);
      if (complains) signs.set(intent === 'service' ? 'complaint and service' : 'complaint and a wish', 1);
      if (givesReading) {
        const beside = intent === 'odometer' || intent === 'service' ? intent : 'a wish';
        signs.set(`${isOnlyReading ? 'only a reading' : 'reading'} and ${beside}`, 1);
      }
      if (length < SHORT) signs.set('short leaning', leaning);
      return [intent, signs];
    }),
  );
}

/** How likely an intent must be to take the place of what was read. */
function limitFor(likeliest: Intent, { read, found }: WishEvidence): number {
  if (found.has(likeliest)) return FOUND_INSTEAD;
  if (GRAVE.has(likeliest)) return UNSPOKEN_GRAVE;
  if (!read || !found.has(read)) return UNSPOKEN;
  return read === 'opt-out' ? UNSPOKEN_INSTEAD_OF_OPT_OUT : UNSPOKEN_INSTEAD;
}

/** The likeliest intent by all that speaks for it; undefined where nobody can tell. Who complains wants service. */
export function weighIntent(evidence: WishEvidence, weights: SignWeights): Intent | undefined {
  const { read, found } = evidence;
  const chances = new Map([...wishSigns(evidence)].map(([intent, signs]) => [intent, chanceBy(signs, weights)]));
  const chanceOf = (intent: Intent): number => chances.get(intent) ?? 0;
  let likeliest: Intent = 'service';
  for (const [intent, chance] of chances) if (chance > chanceOf(likeliest)) likeliest = intent;
  const limit = limitFor(likeliest, evidence);
  // Service is what is left: words that nobody knows do not wish for it.
  const isUnknown = likeliest === 'service' && !read && (evidence.leanings.get('service') ?? 0) < SPOKEN_OF_WORK;
  // A question of what is advised wants advice on the truck, not an account of what the program can do.
  const isAdvice = likeliest === 'help' && read === 'service' && !found.has('help');
  if (likeliest !== read && !isAdvice && !isUnknown && chanceOf(likeliest) >= limit) return likeliest;
  if (read === 'service' && evidence.complains) return read;
  // To ask too often whether somebody wants the messages ended does less harm than to go on with them.
  const stands = read && (isAdvice || read === 'opt-out' || chanceOf(read) >= READ_STANDS);
  if (stands) return read;
  // What was taken for a wish is none, and the complaint beside it is left.
  return read && evidence.complains ? 'service' : undefined;
}
