import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';

/*
 * The measures side by side, each part in a process of its own so that none warms up or weighs on another.
 *
 *   npm run bench                   all parts of the table below
 *   npm run bench -- turns memory   only these
 *   npm run bench -- whole          the whole program, which takes minutes and runs only when it is named
 *   npm run bench -- long           the same over 200,000 turns, which takes much longer
 *   npm run bench -- processes      one, two and four processes on one PostgreSQL, which has to be installed
 */
interface Part {
  file: string;
  arguments?: string[];
  node?: string[];
  about: string;
  onlyNamed?: boolean;
}
const PARTS: Record<string, Part> = {
  turns: { file: 'turns.bench.ts', about: 'durable turns against bare statements and a synced append' },
  conversation: { file: 'conversation.bench.ts', about: "a write-up against the framework's conversations plug-in" },
  startup: { file: 'startup.bench.ts', about: 'from the start of the process to the first answer' },
  memory: { file: 'memory.bench.ts', node: ['--expose-gc'], about: 'memory with 10,000 conversations stored' },
  slots: { file: 'slots.bench.ts', about: 'finding times by the size of the diary' },
  sweep: { file: 'sweep.bench.ts', about: 'a tick of the clock by the number of vehicles stored' },
  advise: { file: 'advise.bench.ts', about: 'advice against a general rules engine' },
  whole: {
    ...{ file: 'whole.bench.ts', onlyNamed: true },
    about: 'updates in to replies out, beside the same write-up on the plug-in with its file storage',
  },
  long: {
    ...{ file: 'whole.bench.ts', arguments: ['--long', '200000'], onlyNamed: true },
    about: 'memory and speed of the whole program over 200,000 turns',
  },
  processes: {
    ...{ file: 'processes.bench.ts', onlyNamed: true },
    about: 'turns a second and order of one, two and four processes on one PostgreSQL',
  },
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !Object.hasOwn(PARTS, name));
if (unknown.length > 0) {
  const known = Object.entries(PARTS).map(([name, { about }]) => `  ${name.padEnd(14)}${about}`);
  process.stderr.write(`no part is called ${unknown.join(', ')}; there are\n${known.join('\n')}\n`);
  process.exit(2);
}

const failed: string[] = [];
const began = performance.now();
for (const [name, part] of Object.entries(PARTS)) {
  if (wanted.length > 0 ? !wanted.includes(name) : part.onlyNamed) continue;
  process.stderr.write(`${name}: ${part.about}\n`);
  const started = performance.now();
  const script = [
    ...(part.node ?? []),
    '--import',
    'tsx',
    join(import.meta.dirname, part.file),
    ...(part.arguments ?? []),
  ];
  console.log(`\n== ${name} ==`);
  const child = spawn(process.execPath, script, { stdio: ['ignore', 'inherit', 'inherit'] });
  const [code] = (await once(child, 'exit')) as [number | null];
  if (code !== 0) failed.push(name);
  process.stderr.write(`${name}: ${((performance.now() - started) / 1000).toFixed(0)} seconds\n`);
}
process.stderr.write(`all: ${((performance.now() - began) / 1000).toFixed(0)} seconds\n`);
if (failed.length > 0) {
  process.stderr.write(`failed: ${failed.join(', ')}\n`);
  process.exitCode = 1;
}
