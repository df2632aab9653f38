import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml } from '../model/flow-yaml.ts';

const CommandFile = z.strictObject({
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
  if (findings.length > 0) return unsound(findings);
  return sound((text) => {
    if (text.length > 120) return undefined;
    const form = bare(text);
    return byPhrase.get(form) ?? (form.startsWith('/') ? byPhrase.get(form.split(' ')[0] ?? '') : undefined);
  });
}
