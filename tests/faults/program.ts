import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { resolve } from 'node:path';

const ROOT = resolve(import.meta.dirname, '../..');

/** The whole program as a process of its own, started and killed at will. */
export class Program {
  readonly #environment: Record<string, string>;
  #child: ChildProcess | undefined;
  /** How often it was started. */
  starts = 0;
  /** Ends that nobody asked for, with the last words of the process. */
  readonly ownEnds: string[] = [];
  /** Lines of its log at the level of an error. */
  readonly errors: string[] = [];

  constructor(environment: Record<string, string>) {
    this.#environment = environment;
  }

  start(more: Record<string, string> = {}): void {
    const child = spawn(process.execPath, ['src/run.mjs', 'src/main.ts'], {
      cwd: ROOT,
      env: { ...process.env, NODE_ENV: 'production', ...this.#environment, ...more },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.starts += 1;
    this.#child = child;
    let tail = '';
    const listen = (bytes: Buffer): void => {
      const text = bytes.toString('utf8');
      tail = (tail + text).slice(-2000);
      this.errors.push(...text.split('\n').filter((line) => /"level":(50|60|"error"|"fatal")/.test(line)));
    };
    child.stdout.on('data', listen);
    child.stderr.on('data', listen);
    child.on('exit', (code, signal) => {
      if (signal !== 'SIGKILL' && this.#child === child) this.ownEnds.push(`exit ${String(code ?? signal)}: ${tail}`);
    });
  }

  get runs(): boolean {
    return this.#child !== undefined && this.#child.exitCode === null && this.#child.signalCode === null;
  }

  /** Kills at once, as a power cut would end it, and waits until it is gone. */
  async kill(): Promise<void> {
    const child = this.#child;
    if (!child || !this.runs) return;
    const gone = once(child, 'exit');
    child.kill('SIGKILL');
    await gone;
  }

  /** Asks it to end, as the machine does when it shuts down. */
  async stop(): Promise<void> {
    const child = this.#child;
    this.#child = undefined;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = once(child, 'exit');
    child.kill('SIGTERM');
    await gone;
  }
}
