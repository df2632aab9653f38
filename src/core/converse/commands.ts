import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml } from '../model/flow-yaml.ts';

/** Longer messages say more than that a truck is gone. */
const SHORT_WORDS = 14;
/** How many words a star stands for, at most. */
const STAR_WORDS = 3;

const CommandFile = z.strictObject({
  /** Short messages that hold one of these, and none of the words under `unless`. */
  said: z.strictObject({
    unless: z.array(z.string()),
    signals: z.record(z.string().regex(/^[A-Z][A-Z_]*$/), z.array(z.string())),
  }),
  commands: z.record(
    z.string().regex(/^[A-Z][A-Z_]*$/),
    z.strictObject({
      commands: z.array(z.string().regex(/^\/[a-z_]+$/)).default([]),
      phrases: z.array(z.string()).default([]),
    }),
  ),
});

/** Finds the signal of a message that is nothing but a command or one of its phrases. */
export type Commands = (text: string) => string | undefined;

/** Lower case, no accents, no punctuation, single spaces: the form in which phrases are compared. */
export const bare = (text: string): string =>
  text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}/ ]+/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/** "sold * truck": these words in this order, with up to three others where the star stands. */
function holding(patterns: readonly string[]): RegExp {
  const one = (pattern: string): string =>
    pattern
      .split(' ')
      .map((word) => (word === '*' ? `(?: [^ ]+){0,${STAR_WORDS}}` : ` ${bare(word)}`))
      .join('');
  return new RegExp(`^(?:[^ ]+ )*?(?:${patterns.map((pattern) => one(pattern).trimStart()).join('|')})(?: |$)`);
}

/** Checks flows/conversation/commands.yaml: known signals, no phrase for two of them. */
export function compileCommands(file: FlowFile, signals: readonly string[]): Checked<Commands> {
  const parsed = parseFlowYaml(file, CommandFile);
  if (!parsed.ok) return parsed;
  const { value, finding } = parsed.value;
  const findings: FlowFinding[] = [];
  const byPhrase = new Map<string, string>();
  for (const [signal, { commands, phrases }] of Object.entries(value.commands)) {
    const keys = ['commands', signal];
    if (!signals.includes(signal)) findings.push(finding(keys, `there is no signal "${signal}"`));
    for (const phrase of [...commands, ...phrases]) {
      const form = bare(phrase);
      const other = byPhrase.get(form);
      if (other) findings.push(finding(keys, `"${phrase}" already stands under ${other}`));
      byPhrase.set(form, signal);
    }
  }
  const said = Object.entries(value.said.signals).map(([signal, patterns]) => {
    if (!signals.includes(signal))
      findings.push(finding(['said', 'signals', signal], `there is no signal "${signal}"`));
    return { signal, pattern: holding(patterns) };
  });
  const unless = holding(value.said.unless);
  if (findings.length > 0) return unsound(findings);
  const saidIn = (text: string, form: string): string | undefined =>
    form.split(' ').length > SHORT_WORDS || text.includes('?') || unless.test(form)
      ? undefined
      : said.find(({ pattern }) => pattern.test(form))?.signal;
  return sound((text) => {
    if (text.length > 120) return undefined;
    const form = bare(text);
    return (
      byPhrase.get(form) ??
      saidIn(text, form) ??
      (form.startsWith('/') ? byPhrase.get(form.split(' ')[0] ?? '') : undefined)
    );
  });
}
