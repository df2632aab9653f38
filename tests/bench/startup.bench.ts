import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { median, table } from './report.ts';

/* From the start of the process to the first answer: the shop's program on a fresh database, and one line of a command. */
const ROOT = resolve(import.meta.dirname, '../..');
const TIMES = 5;
const GIVEN_UP_MILLISECONDS = 30_000;
/** As npm start runs it, and module by module. */
const JOINED = ['src/run.mjs'];
const ONE_BY_ONE = ['--import', 'tsx'];
const LINE = '{"text":"2017 6.7 V8 diesel, 92k miles"}\n';

async function freePort(): Promise<number> {
  const server = createServer();
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  await once(server, 'close');
  return port;
}

const run = (script: string[], environment: Record<string, string> = {}): ChildProcess =>
  spawn(process.execPath, script, {
    cwd: ROOT,
    env: { ...process.env, ...environment },
    stdio: ['pipe', 'pipe', 'inherit'],
  });

/** As at a first start after an install that could not join; the other programs are joined again for who comes next. */
async function firstStart(): Promise<number> {
  await rm(join(ROOT, 'node_modules/.cache/telltale'), { recursive: true, force: true });
  const milliseconds = await programStart('on');
  await processTime([...JOINED, '--join', 'src/cli/telltale.ts'], '');
  return milliseconds;
}

async function answersAt(address: string): Promise<boolean> {
  return fetch(address).then(
    (response) => response.ok,
    () => false,
  );
}

/** Milliseconds until the program answers on its health page. */
async function programStart(demo: 'on' | 'off', by: string[] = JOINED): Promise<number> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  const port = await freePort();
  const began = performance.now();
  const child = run([...by, 'src/main.ts'], {
    DATABASE_PATH: join(folder, 'shop.sqlite'),
    DATABASE_URL: '',
    TELEGRAM_TOKEN: '',
    PUBLIC_URL: '',
    HOST: '127.0.0.1',
    PORT: String(port),
    DEMO: demo,
    LOG_LEVEL: 'silent',
  });
  const gone = once(child, 'exit');
  child.stdout?.resume();
  try {
    while (!(await answersAt(`http://127.0.0.1:${port}/healthz`))) {
      if (child.exitCode !== null) throw new Error(`the program ended with ${child.exitCode}`);
      if (performance.now() - began > GIVEN_UP_MILLISECONDS) throw new Error('the program does not answer');
      await sleep(5);
    }
    return performance.now() - began;
  } finally {
    child.kill('SIGTERM');
    await gone;
    rmSync(folder, { recursive: true });
  }
}

/** Milliseconds until a process has done its work and ended. */
async function processTime(script: string[], input: string): Promise<number> {
  const began = performance.now();
  const child = run(script);
  const gone = once(child, 'exit');
  let output = '';
  child.stdout?.on('data', (bytes: Buffer) => (output += bytes.toString('utf8')));
  child.stdin?.end(input);
  await gone;
  if (child.exitCode !== 0) throw new Error(`${script.join(' ')} ended with ${child.exitCode}`);
  if (input !== '' && !output.includes('"odometerMiles":92000')) throw new Error(`the line was not read: ${output}`);
  return performance.now() - began;
}

export async function benchStartup(progress: (line: string) => void): Promise<string[]> {
  const contestants: [string, () => Promise<number>][] = [
    ['the shop, fresh database', () => programStart('off')],
    ['the shop with its demo, fresh database', () => programStart('on')],
    ['the same, its modules to be joined first', firstStart],
    ['the same, its modules one by one', () => programStart('on', ONE_BY_ONE)],
    ['telltale read, one line', () => processTime([...JOINED, 'src/cli/telltale.ts', 'read'], LINE)],
    ['the same, its modules one by one', () => processTime([...ONE_BY_ONE, 'src/cli/telltale.ts', 'read'], LINE)],
    ['the runtime with the loader, nothing else', () => processTime([...ONE_BY_ONE, '--eval', '0'], '')],
    ['the runtime alone', () => processTime(['--eval', '0'], '')],
  ];
  const times = contestants.map((): number[] => []);
  for (let time = 1; time <= TIMES; time++) {
    progress(`start-up ${time}/${TIMES}`);
    for (const [index, [, measure]] of contestants.entries()) times[index]?.push(await measure());
  }
  const alone = median(times[times.length - 1] ?? []);
  return [
    `start-up until the first answer, ${TIMES} times, milliseconds`,
    ...table([
      ['', 'median', 'fastest', 'to the runtime alone'],
      ...contestants.map(([name], index) => {
        const own = times[index] ?? [];
        return [name, median(own).toFixed(0), Math.min(...own).toFixed(0), `${(median(own) / alone).toFixed(1)} x`];
      }),
    ]),
  ];
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  for (const line of await benchStartup((line) => process.stderr.write(`${line}\n`))) console.log(line);
}
