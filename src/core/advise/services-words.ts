import { FluentBundle, FluentResource, type FluentVariable } from '@fluent/bundle';
import type { FlowFile, FlowFinding } from '../model/checked.ts';
import { LANGUAGES, type Language } from '../model/ids.ts';

/** The messages of flows/services/words.*.ftl with the variables that each must use. */
const MESSAGES = {
  line: ['name'],
  'line-shared': ['name'],
  'line-within': ['name'],
  'line-not-for-engine': ['name'],
  'line-gasoline': ['name'],
  'line-kit-unconfirmed': ['line'],
  'line-only-if': ['line', 'condition'],
  limit: ['hours', 'amount'],
  'limit-within': ['hours', 'amount'],
  'limit-before-repair': ['hours', 'amount', 'repair'],
  'break-even': ['installedLow', 'installedHigh', 'avoidedLow', 'avoidedHigh', 'chanceLow', 'chanceHigh'],
} as const;
type MessageId = keyof typeof MESSAGES;

/** Says one message of the estimate in a language; `values` are its variables, already in words. */
export type Words = (language: Language, message: MessageId, values: Record<string, FluentVariable>) => string;

/** Reads the words of the estimate; every message must be there in every language with exactly its variables. */
export function readWords(files: readonly FlowFile[]): { words: Words; findings: FlowFinding[] } {
  const findings: FlowFinding[] = [];
  const bundles = new Map<Language, FluentBundle>();
  for (const language of LANGUAGES) {
    const file = files.find(({ path }) => path.endsWith(`flows/services/words.${language}.ftl`));
    if (!file) {
      findings.push({ file: `flows/services/words.${language}.ftl`, line: 1, message: 'the file is missing' });
      continue;
    }
    const bundle = new FluentBundle(language, { useIsolating: false });
    for (const error of bundle.addResource(new FluentResource(file.text))) {
      findings.push({ file: file.path, line: 1, message: error.message });
    }
    findings.push(...checkMessages(file, bundle));
    bundles.set(language, bundle);
  }
  const words: Words = (language, message, values) => {
    const bundle = bundles.get(language);
    const pattern = bundle?.getMessage(message)?.value;
    if (!bundle || !pattern) throw new Error(`TT-WORDS: no message ${message} in ${language}`);
    return bundle.formatPattern(pattern, values);
  };
  return { words, findings };
}

function checkMessages(file: FlowFile, bundle: FluentBundle): FlowFinding[] {
  const lines = file.text.split('\n');
  const lineOf = (id: string) => Math.max(lines.findIndex((line) => line.startsWith(`${id} =`)) + 1, 1);
  const findings = Object.entries(MESSAGES).flatMap(([id, variables]) => {
    if (!bundle.getMessage(id)?.value) {
      return [{ file: file.path, line: 1, message: `the message ${id} is missing` }];
    }
    const used = [...(lines[lineOf(id) - 1] ?? '').matchAll(/\$([a-zA-Z]+)/g)].map((match) => match[1] ?? '');
    const missing = variables.filter((name) => !used.includes(name)).map((name) => `${id} does not say $${name}`);
    const unknown = used
      .filter((name) => !(variables as readonly string[]).includes(name))
      .map((name) => `${id} uses $${name}, which it is not given; it is given $${variables.join(', $')}`);
    return [...missing, ...unknown].map((message) => ({ file: file.path, line: lineOf(id), message }));
  });
  const strays = lines.flatMap((line, index) => {
    const id = /^([a-z][a-z0-9-]*) =/.exec(line)?.[1];
    if (!id || id in MESSAGES) return [];
    return [{ file: file.path, line: index + 1, message: `nothing says the message ${id}` }];
  });
  return [...findings, ...strays];
}
