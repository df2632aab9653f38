import type { ReadResult } from '../../src/core/model/reading.ts';

/** One labelled message of the corpus. */
export interface CorpusLine {
  text: string;
  facts: Record<string, unknown>;
  mayBeUnsure?: string[];
  intentAny?: string[];
  either?: string[];
  loose?: string[];
  note?: string;
  asked?: string;
  lastOdometerMiles?: number;
  lastReadingDate?: string;
  today?: string;
}

export interface Judged {
  right: boolean;
  /** At least one fact was recorded plainly with a wrong value, or invented. */
  silentlyWrong: boolean;
  wrong: string[];
  missed: string[];
}

const normal = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(normal).sort();
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(
      Object.entries(value)
        .sort()
        .map(([key, inner]) => [key, normal(inner)]),
    );
  }
  return value;
};
const same = (a: unknown, b: unknown): boolean => JSON.stringify(normal(a)) === JSON.stringify(normal(b));

/**
 * Judges one reading against its label, key by key: a labelled fact must be there and plain; one in `mayBeUnsure` must
 * be flagged or left out; in `either` both are right; any other key is invented. An unlabelled denial, and an intent of
 * service, odometer or book that is not labelled, are let pass. `keys` limits the judgement to some facts.
 */
export function judge(line: CorpusLine, result: ReadResult, keys?: (key: string) => boolean): Judged {
  const want = line.facts;
  const got = result.facts as Record<string, unknown>;
  const unsure = new Set(result.facts.unsure ?? []);
  const soft = new Set(line.mayBeUnsure ?? []);
  const wrong: string[] = [];
  const missed: string[] = [];
  for (const key of new Set([...Object.keys(want), ...Object.keys(got)])) {
    if (key === 'unsure' || (keys && !keys(key))) continue;
    if (key === 'deniedSymptoms' && !(key in want)) continue;
    const w = want[key];
    const g = got[key];
    if (key === 'intent') {
      const passes = w === undefined && [undefined, 'service', 'odometer', 'book'].includes(g as string | undefined);
      const right = line.intentAny
        ? line.intentAny.includes(g as string)
        : passes || g === w || (g === undefined && soft.has(key));
      if (!right) (g === undefined ? missed : wrong).push(`${key}: ${String(g)} for ${String(line.intentAny ?? w)}`);
      continue;
    }
    const near =
      key === 'milesPerYear' && typeof g === 'number' && typeof w === 'number' && Math.abs(g - w) <= 0.005 * w;
    const equal = same(w, g) || near;
    if (line.loose?.includes(key)) {
      const share = Array.isArray(g) && Array.isArray(w) && w.some((id) => g.includes(id));
      if (g !== undefined && !unsure.has(key) && !share) wrong.push(`${key}: ${JSON.stringify(g)}`);
    } else if (line.either?.includes(key) && g !== undefined && equal) continue;
    else if (soft.has(key)) {
      if (g !== undefined && !unsure.has(key)) wrong.push(`${key}: sure of ${JSON.stringify(g)}`);
    } else if (w !== undefined && g !== undefined && !unsure.has(key) && equal) continue;
    else if (g === undefined) missed.push(key);
    else if (unsure.has(key)) missed.push(`${key}? ${JSON.stringify(g)}`);
    else wrong.push(`${key}: ${JSON.stringify(g)} for ${JSON.stringify(w)}`);
  }
  return { right: wrong.length === 0 && missed.length === 0, silentlyWrong: wrong.length > 0, wrong, missed };
}
