import { existsSync } from 'node:fs';
import { stderr, stdout } from 'node:process';
import { z } from 'zod';
import { compileFlows } from '../../core/mod.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import { measuresOfRun } from '../simulate/measures.ts';
import { live } from '../simulate/run.ts';
import { WORLDS } from '../simulate/world.ts';
import { orExit } from './flows.ts';

export const USAGE =
  'simulate --vehicles N --years Y --seed S [--policy closer-to-due|fewer-messages] ' +
  '[--offers all-taken|as-people-do] [--world hard|survey] [--database FILE] [--compare FILE.svg|FILE.png]';

const Options = z.strictObject({
  vehicles: z.coerce.number().int().min(1).max(100_000),
  years: z.coerce.number().positive().max(20),
  seed: z.string().min(1),
  policy: z.enum(['closer-to-due', 'fewer-messages']).optional(),
  offers: z.enum(['all-taken', 'as-people-do']).default('all-taken'),
  world: z.enum(['hard', 'survey']).default('hard'),
  /** A file for the database of the run, for looking at it afterwards; in memory where absent. */
  database: z.string().min(1).optional(),
  compare: z
    .string()
    .regex(/\.(svg|png)$/, 'expected a file name that ends in .svg or .png')
    .optional(),
});
type Options = z.infer<typeof Options>;

/** Runs the real conversation, store and follow-ups under a virtual clock, and prints one JSON object of measures. */
export async function run(words: string[]): Promise<number> {
  const options = optionsOf(words);
  if (typeof options === 'string') {
    stderr.write(`${options}\nusage: ${USAGE}\n`);
    return 2;
  }
  const { policy, world, compare, database, ...asked } = options;
  if (options.database && existsSync(options.database)) {
    stderr.write(`${options.database} is there already\n`);
    return 2;
  }
  const files = readFlowsFolder().map((file) =>
    policy && file.path.endsWith('shop.yaml')
      ? { ...file, text: file.text.replace(/^(\s*policy:).*$/m, `$1 ${policy}`) }
      : file,
  );
  const flows = orExit(compileFlows(files));
  const began = performance.now();
  const outcomes = await live(flows, { ...asked, world: WORLDS[world], ...(database && { database }) }, (part) =>
    progress(part, began),
  );
  const settings = { ...asked, world, policy: policy ?? flows.shop.followUp.policy };
  stdout.write(`${JSON.stringify({ ...settings, ...measuresOfRun(outcomes) })}\n`);
  if (compare) await (await import('../simulate/compare.ts')).compare(flows.policy, settings, compare);
  return 0;
}

function optionsOf(words: readonly string[]): Options | string {
  const given: Record<string, string> = {};
  for (let index = 0; index < words.length; index += 2) {
    const name = /^--([a-z]+)$/.exec(words[index] ?? '')?.[1];
    const value = words[index + 1];
    if (!name || value === undefined) return `"${words[index]}" is not an option with a value`;
    given[name] = value;
  }
  const parsed = Options.safeParse(given);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  return `--${issue?.path.join('.') ?? ''}: ${issue?.message ?? 'wrong'}`;
}

let shown = -1;

/** A bar on standard error, drawn anew at every percent. */
function progress(part: number, began: number): void {
  const percent = Math.floor(100 * part);
  if (percent === shown) return;
  shown = percent;
  const width = 30;
  const full = Math.round(part * width);
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  stderr.write(
    `\r[${'='.repeat(full)}${' '.repeat(width - full)}] ${percent} %, ${seconds} s${part === 1 ? '\n' : ''}`,
  );
}
