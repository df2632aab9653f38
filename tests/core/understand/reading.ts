import { findingLine } from '../../../src/core/model/checked.ts';
import { compileLexicon, read, type Lexicon } from '../../../src/core/understand/mod.ts';
import { languageFiles } from './values/lexicon.ts';

function compiled(): Lexicon {
  const checked = compileLexicon(languageFiles());
  if (!checked.ok) throw new Error(checked.findings.map(findingLine).join('\n'));
  return checked.value;
}

/** The reader's lexicon as it stands in flows/language. */
export const lexicon = compiled();

/** The wanted facts of an opening; a key with a question mark is read and to be confirmed, null is not read at all. */
export function told(text: string, wanted: Readonly<Record<string, unknown>>): Record<string, unknown> {
  const { facts } = read({ text, today: '2026-11-02' }, lexicon);
  const unsure = new Set<string>(facts.unsure ?? []);
  const got = Object.fromEntries(
    Object.entries(facts).map(([key, value]) => [unsure.has(key) ? `${key}?` : key, value as unknown]),
  );
  return Object.fromEntries(Object.keys(wanted).map((key) => [key, got[key] ?? null]));
}
