import type { Rule } from './lexicon.ts';
import type { Match } from './pattern.ts';
import type { ScopeKind } from './types.ts';

/** A rule that was found, with what the sentence around it makes of it. */
export interface Finding {
  rule: Rule;
  match: Match;
  own: ReadonlySet<number>;
  denied: boolean;
  /** The denial stands inside, behind the first part: where that stands is not denied. */
  deniedInPart: boolean;
  scope: ScopeKind | undefined;
}
