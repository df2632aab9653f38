import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { TelegramStandIn } from '../faults/telegram-stand-in.ts';
import { TALK } from './conversation.bench.ts';

/** Owners who are in the middle of their write-up at the same time; each speaks again after all the others have. */
const COHORT = 1_000;
const FIRST_OWNER = 1_000;
/** Longest silence before something counts as broken. */
const PATIENCE_MILLISECONDS = 60_000;
/** After this long without a message nothing more is on its way. */
const QUIET_MILLISECONDS = 400;

export interface Run {
  turns: number;
  seconds: number;
  /** Messages that arrived at owners, of which a turn may send several. */
  arrived: number;
  /** Milliseconds from an update to the first reply, sorted. */
  latencies: number[];
}

export const atQuantile = (sorted: number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? Number.NaN;

/** Owners who write up their trucks with a program through a Bot API of our own, as fast as is asked for. */
export class Load {
  readonly standIn: TelegramStandIn;
  readonly #pending = new Map<number, number>();
  #turn = 0;
  #arrived = 0;
  #lastAt = 0;
  #latencies: number[] = [];
  #answered: () => void = () => {};

  constructor(token: string) {
    this.standIn = new TelegramStandIn({
      token,
      keepAll: false,
      inspect: (method, payload) => {
        if (method === 'sendMessage') this.#heard(Number(payload['chat_id']));
        return [];
      },
    });
  }

  #heard(chat: number): void {
    this.#arrived += 1;
    this.#lastAt = performance.now();
    const since = this.#pending.get(chat);
    if (since === undefined) return;
    this.#pending.delete(chat);
    this.#latencies.push(this.#lastAt - since);
    this.#answered();
  }

  /** The next owner says the next thing of their write-up; `since` is when it was meant to be said. */
  #say(since: number): void {
    const wave = Math.floor(this.#turn / COHORT);
    const cohort = Math.floor(wave / TALK.length);
    const owner = FIRST_OWNER + cohort * COHORT + (this.#turn % COHORT);
    this.#turn += 1;
    if (this.#pending.has(owner)) throw new Error('an owner who waits for an answer was to speak again');
    this.#pending.set(owner, since);
    this.standIn.person(owner).says(TALK[wave % TALK.length] ?? '');
  }

  async #measured(turns: number, work: () => Promise<void>): Promise<Run> {
    this.#latencies = [];
    const before = this.#arrived;
    const began = performance.now();
    this.#lastAt = began;
    await work();
    while (this.#pending.size > 0 || performance.now() - this.#lastAt < QUIET_MILLISECONDS) {
      if (performance.now() - this.#lastAt > PATIENCE_MILLISECONDS) throw new Error('a message was never answered');
      await sleep(20);
    }
    return {
      turns,
      seconds: (this.#lastAt - began) / 1000,
      arrived: this.#arrived - before,
      latencies: this.#latencies.sort((a, b) => a - b),
    };
  }

  /** So many messages, of which so many always wait for their answer. */
  sustained(turns: number, waiting: number): Promise<Run> {
    return this.#measured(turns, async () => {
      let left = turns;
      let open = 0;
      await new Promise<void>((resolve, reject) => {
        let last = performance.now();
        const watch = setInterval(() => {
          if (performance.now() - last > PATIENCE_MILLISECONDS) reject(new Error('a message was never answered'));
        }, 1_000);
        const fill = (): void => {
          while (open < waiting && left > 0) {
            open += 1;
            left -= 1;
            this.#say(performance.now());
          }
          if (open === 0) {
            clearInterval(watch);
            resolve();
          }
        };
        this.#answered = () => {
          last = performance.now();
          open -= 1;
          // Not from inside the call that brought the answer.
          setImmediate(fill);
        };
        fill();
      });
      this.#answered = () => {};
    });
  }

  /** So many messages at random moments, so many a second on average, whether or not the program keeps up. */
  atRate(turns: number, aSecond: number, roll: () => number): Promise<Run> {
    return this.#measured(turns, async () => {
      let due = performance.now();
      for (let said = 0; said < turns;) {
        const now = performance.now();
        while (due <= now && said < turns) {
          this.#say(due);
          said += 1;
          due += (-Math.log(1 - roll()) * 1000) / aSecond;
        }
        await sleep(Math.max(1, due - performance.now()));
      }
    });
  }

  /** All messages at once; an owner speaks only once in it. */
  async backlog(turns: number): Promise<Run> {
    if (turns % COHORT !== 0) throw new Error(`a backlog is of whole thousands, not ${turns}`);
    return this.#measured(turns, async () => {
      const began = performance.now();
      for (let said = 0; said < turns; said++) {
        const owner = FIRST_OWNER + 10_000_000 + this.#turn++;
        this.#pending.set(owner, began);
        this.standIn.person(owner).says(TALK[0] ?? '');
      }
      await Promise.resolve();
    });
  }
}

/** A program of the bench as a process of its own. */
export class Contestant {
  readonly name: string;
  readonly child: ChildProcess;
  readonly #gone: Promise<never>;

  constructor(name: string, file: string, parameters: string[]) {
    this.name = name;
    this.child = spawn(
      process.execPath,
      ['--expose-gc', '--import', 'tsx', join(import.meta.dirname, file), ...parameters],
      { stdio: ['ignore', 'inherit', 'inherit', 'ipc'], env: { ...process.env, NODE_ENV: 'production' } },
    );
    this.#gone = once(this.child, 'exit').then(([code]) => Promise.reject(new Error(`${name} ended: ${code}`)));
    // Only whoever waits for a word of it is to learn that it has ended.
    this.#gone.catch(() => undefined);
  }

  async ready(): Promise<this> {
    await this.#says();
    return this;
  }

  async #says(): Promise<unknown> {
    const [message] = await Promise.race([once(this.child, 'message'), this.#gone]);
    return message;
  }

  /** What it holds after a collection: resident megabytes as the machine counts them, and megabytes of live heap. */
  async memory(): Promise<{ resident: number; heap: number }> {
    const answer = this.#says();
    this.child.send('memory');
    const { heapUsed } = (await answer) as NodeJS.MemoryUsage;
    const [, kilobytes] = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${this.child.pid}/status`, 'utf8')) ?? [];
    return { resident: Number(kilobytes) / 1024, heap: heapUsed / 1_048_576 };
  }

  async stop(): Promise<void> {
    if (this.child.exitCode !== null) return;
    const gone = once(this.child, 'exit');
    this.child.kill('SIGTERM');
    await gone;
  }
}
