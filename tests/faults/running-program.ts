import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';

export const ROOT = resolve(import.meta.dirname, '../..');

/** The whole program as a process, with everything that it says and the code that it ends with. */
export class RunningProgram {
  readonly child: ChildProcess;
  out = '';
  err = '';

  constructor(environment: Record<string, string>, words: string[] = ['src/main.ts'], program = process.execPath) {
    const own = program === process.execPath ? ['src/run.mjs', ...words] : words;
    this.child = spawn(program, own, {
      cwd: ROOT,
      env: {
        PATH: process.env['PATH'],
        HOME: process.env['HOME'],
        NODE_ENV: 'production',
        PORT: '0',
        DEMO: 'off',
        LOG_LEVEL: 'warn',
        ...environment,
      },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.child.stdout?.on('data', (bytes: Buffer) => (this.out += bytes.toString('utf8')));
    this.child.stderr?.on('data', (bytes: Buffer) => (this.err += bytes.toString('utf8')));
  }

  get pid(): number {
    return this.child.pid ?? 0;
  }

  get ended(): boolean {
    return this.child.exitCode !== null || this.child.signalCode !== null;
  }

  /** Where its pages are, once it listens and takes messages. */
  async listens(): Promise<string> {
    await until(() => this.ended || /chat page: +\S+\n/.test(this.out), 'the program listens');
    const [, url] = /chat page: +(http:\/\/\S+)\/\n/.exec(this.out) ?? [];
    if (url === undefined) throw new Error(`the program ended with ${String(this.child.exitCode)}: ${this.err}`);
    return url;
  }

  /** Waits until it has ended by itself. */
  async ends(): Promise<number | string> {
    if (!this.ended) await once(this.child, 'exit');
    return this.child.exitCode ?? this.child.signalCode ?? 'unknown';
  }

  async stop(signal: NodeJS.Signals = 'SIGTERM'): Promise<number | string> {
    if (!this.ended) this.child.kill(signal);
    return this.ends();
  }
}

/** Waits until the condition holds. */
export async function until(
  condition: () => boolean | Promise<boolean>,
  what: string,
  milliseconds = 60_000,
): Promise<void> {
  const end = Date.now() + milliseconds;
  while (!(await condition())) {
    if (Date.now() > end) throw new Error(`waited in vain: ${what}`);
    await sleep(25);
  }
}
