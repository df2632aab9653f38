import { FluentBundle, FluentResource, type FluentVariable } from '@fluent/bundle';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from './checked.ts';
import { LANGUAGES, type Language } from './ids.ts';
import { nearest } from './nearest.ts';

/** What the shop says, per language, by message id. */
export interface Texts {
  ids: ReadonlySet<string>;
  /** Renders a message. Throws a `TextFault` for an unknown id or a missing variable: both are faults of ours. */
  say(language: Language, id: string, values?: Record<string, FluentVariable>): string;
}

/** An id that is not in flows/texts, or a variable that was not given. */
export class TextFault extends Error {
  readonly code = 'text-fault';
  constructor(id: string, because: string) {
    super(`text "${id}": ${because}`);
  }
}

const LOCALES: Record<Language, string> = { en: 'en-US', es: 'es-US' };

/** Checks flows/texts/*.ftl: every message stands in every language, and with the same variables. */
export function compileTexts(files: readonly FlowFile[]): Checked<Texts> {
  const findings: FlowFinding[] = [];
  const bundles = new Map<Language, FluentBundle>();
  const places = new Map<Language, Map<string, { file: FlowFile; line: number; variables: string }>>();
  for (const language of LANGUAGES) {
    const bundle = new FluentBundle(LOCALES[language], { useIsolating: false });
    const seen = new Map<string, { file: FlowFile; line: number; variables: string }>();
    for (const file of files.filter(({ path }) => path.endsWith(`${language}.ftl`))) {
      for (const message of messagesOf(file)) {
        if (seen.has(message.id)) {
          findings.push({ file: file.path, line: message.line, message: `the text "${message.id}" stands twice` });
        }
        seen.set(message.id, { file, line: message.line, variables: message.variables });
      }
      bundle.addResource(new FluentResource(file.text), { allowOverrides: true });
    }
    for (const [id, place] of seen) {
      if (!bundle.hasMessage(id)) {
        findings.push({ file: place.file.path, line: place.line, message: `the text "${id}" cannot be read` });
      }
    }
    bundles.set(language, bundle);
    places.set(language, seen);
  }
  const onlyIn = (one: Language, not: Language): string[] =>
    [...(places.get(one)?.keys() ?? [])].filter((id) => !places.get(not)?.has(id));
  for (const language of LANGUAGES) {
    for (const other of LANGUAGES.filter((name) => name !== language)) {
      for (const [id, place] of places.get(language) ?? []) {
        const twin = places.get(other)?.get(id);
        if (!twin) {
          findings.push({
            file: place.file.path,
            line: place.line,
            message: `the text "${id}" is missing in "${other}"${nearest(id, onlyIn(other, language))}`,
          });
        } else if (twin.variables !== place.variables && language < other) {
          const message = `the text "${id}" uses ${place.variables || 'no variables'}, in "${other}" ${twin.variables || 'none'}`;
          findings.push({ file: place.file.path, line: place.line, message });
        }
      }
    }
  }
  if (findings.length > 0) return unsound(findings);
  return sound({ ids: new Set(places.get('en')?.keys()), say: sayer(bundles) });
}

function sayer(bundles: ReadonlyMap<Language, FluentBundle>): Texts['say'] {
  return (language, id, values = {}) => {
    const bundle = bundles.get(language);
    const pattern = bundle?.getMessage(id)?.value;
    if (!bundle || !pattern) throw new TextFault(id, `unknown in "${language}"`);
    const faults: Error[] = [];
    const text = bundle.formatPattern(pattern, values, faults);
    if (faults[0]) throw new TextFault(id, faults[0].message);
    return text;
  };
}

function messagesOf(file: FlowFile): { id: string; line: number; variables: string }[] {
  const messages: { id: string; line: number; names: Set<string> }[] = [];
  file.text.split('\n').forEach((text, index) => {
    const id = /^([a-z][a-z0-9-]*)\s*=/.exec(text)?.[1];
    if (id) messages.push({ id, line: index + 1, names: new Set() });
    if (/^[#-]/.test(text)) return;
    for (const match of text.matchAll(/\$([a-zA-Z][\w-]*)/g)) messages.at(-1)?.names.add(match[1] ?? '');
  });
  return messages.map(({ id, line, names }) => ({ id, line, variables: [...names].sort().join(', ') }));
}
