import type { Intent } from '../../model/ids.ts';
import type { Token } from '../text.ts';
import { BY_FEATURES, likelihoods, WEIGHT_UNIT, type Opinion } from './mod.ts';

/*
 * The second opinion on the intent. By itself it is right less often than the patterns; where it holds what they read
 * for next to impossible, they are mostly wrong, and it knows better. Of 300 openings that nothing was fitted to and
 * whose wording no pattern had learnt from, the patterns had 283 right and 11 wrong; with these limits 291 and 4.
 */
const DOUBTED = 0.01;
/** Service is what is left where no wish was read, so it is doubted sooner. */
const DOUBTED_SERVICE = 0.1;
const SURE = 0.6;
/** To stop writing, or to answer about emissions equipment, takes more. */
const SURE_OF_GRAVE = 0.8;
const GRAVE: ReadonlySet<Intent> = new Set(['opt-out', 'tamper']);
/** In a longer message the few words of a wish do not show. */
const MOST_TOKENS = 150;

/** How likely an intent is before any word is seen: a rare one is not doubted for being rare. */
const prior = (intent: Intent, { labels, bias }: Opinion<Intent>): number =>
  1 / (1 + Math.exp(-(bias[labels.indexOf(intent)] ?? 0) / WEIGHT_UNIT));

/**
 * The intent when both opinions are weighed: as it was read, what is likely instead, or none where nobody can tell. Who
 * `complains` wants service unless another wish is likely.
 */
export function weighIntent(
  read: Intent | undefined,
  complains: boolean,
  tokens: readonly Token[],
  opinion: Opinion<Intent> | undefined,
): Intent | undefined {
  if (!opinion || tokens.length > MOST_TOKENS || (read && GRAVE.has(read))) return read;
  const likely = likelihoods(
    opinion,
    tokens.filter(({ kind }) => kind !== 'mark'),
    { scale: BY_FEATURES },
  );
  const limit = read === 'service' ? DOUBTED_SERVICE : DOUBTED;
  if (read && (likely.get(read) ?? 1) >= Math.min(limit, prior(read, opinion))) return read;
  let best: Intent | undefined;
  for (const [intent, chance] of likely) if (best === undefined || chance > (likely.get(best) ?? 0)) best = intent;
  if (best === undefined || (read === undefined && best === 'service')) return undefined;
  if ((likely.get(best) ?? 0) >= (GRAVE.has(best) ? SURE_OF_GRAVE : SURE)) return best;
  return read === 'service' && complains ? read : undefined;
}
