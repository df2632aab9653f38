import { readdirSync, readFileSync } from 'node:fs';
import { findingLine, type FlowFile } from '../../../../src/core/model/checked.ts';
import type { ReadRequest } from '../../../../src/core/model/reading.ts';
import { readMessage } from '../../../../src/core/understand/text.ts';
import { compileValues, type ValuesLexicon } from '../../../../src/core/understand/values/lexicon.ts';
import { readValues, type ValuesReading } from '../../../../src/core/understand/values/mod.ts';

/** The files of flows/language as they are. */
export function languageFiles(): FlowFile[] {
  const folder = new URL('../../../../flows/language/', import.meta.url);
  return readdirSync(folder)
    .sort()
    .map((name) => ({ path: `flows/language/${name}`, text: readFileSync(new URL(name, folder), 'utf8') }));
}

let compiled: ValuesLexicon | undefined;

export function valuesLexicon(): ValuesLexicon {
  if (compiled) return compiled;
  const checked = compileValues(languageFiles());
  if (!checked.ok) throw new Error(checked.findings.map(findingLine).join('\n'));
  compiled = checked.value;
  return compiled;
}

/** Reads a text as the values half of the reader does, with no scopes from complaints. */
export function reading(text: string, request: Partial<ReadRequest> = {}): ValuesReading {
  return readValues(readMessage(text), { text, ...request }, valuesLexicon(), []);
}

/** The facts without `unsure`, and the keys that are unsure with a question mark behind them. */
export function facts(text: string, request: Partial<ReadRequest> = {}): Record<string, unknown> {
  const { unsure, ...rest } = reading(text, request).facts;
  const marked = new Set(unsure ?? []);
  return Object.fromEntries(Object.entries(rest).map(([key, value]) => [marked.has(key) ? `${key}?` : key, value]));
}
