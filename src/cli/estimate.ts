import { estimate, EstimateRequestShape, type ServiceBook } from '../core/advise/mod.ts';
import type { Estimate } from '../core/model/advice.ts';
import type { Language } from '../core/model/ids.ts';

/** One line of the `estimate` command: the priced services, or what is wrong with the line and where. */
export function estimateLine(
  line: unknown,
  means: { services: ServiceBook; language?: Language },
): Estimate | { error: string } {
  const parsed = EstimateRequestShape.safeParse(line);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    return { error: `${issue?.path.map(String).join('.') || 'the line'}: ${issue?.message ?? 'unreadable'}` };
  }
  return estimate(parsed.data.facts, parsed.data.services, means.services, means.language ?? 'en');
}
