import type { Intent } from '../../model/ids.ts';
import { isPhrase } from './evidence.ts';
import type { Finding } from './finding.ts';
import type { Scene } from './pattern.ts';

/** How firmly patterns found a wish, firmest first. */
export const WISH_FIRMNESS = ['phrase', 'pair', 'word', 'otherwise'] as const;
export type WishFirmness = (typeof WISH_FIRMNESS)[number];

/** True where the message asks a question or asks for work, whatever else it hands in. */
export const asksMore = (scene: Scene, asksForWork: number): boolean =>
  scene.clauses.some(({ question }) => question) ||
  scene.at.some((hits) => hits.some((hit) => hit.class === asksForWork));

/** Every wish that a pattern found in the owner's own words, with how firmly. */
export function wishesFound(findings: readonly Finding[], scene: Scene): Map<Intent, WishFirmness> {
  const found = new Map<Intent, WishFirmness>();
  for (const { rule, match, denied, scope } of findings) {
    const { meaning } = rule;
    if (meaning.says !== 'intent' || denied || scope === 'other-truck' || scope === 'seller') continue;
    const firmness: WishFirmness = meaning.otherwise
      ? 'otherwise'
      : isPhrase(match, scene)
        ? 'phrase'
        : match.hits.length > 1
          ? 'pair'
          : 'word';
    const known = found.get(meaning.intent);
    if (!known || WISH_FIRMNESS.indexOf(firmness) < WISH_FIRMNESS.indexOf(known)) found.set(meaning.intent, firmness);
  }
  return found;
}
