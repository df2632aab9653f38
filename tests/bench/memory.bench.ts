import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { turn } from '../../src/core/mod.ts';
import { createDesk } from '../../src/edges/desk/desk.ts';
import { openStore } from '../../src/edges/store/open.ts';
import type { Incoming, Log } from '../../src/edges/store/types.ts';
import { loadFlows } from '../../src/system.ts';
import { table } from './report.ts';

/*
 * Memory of a process that holds many conversations in its database: real turns with the shop's flows fill it, every
 * owner with a message that opens a matter; then messages go to owners from all over.
 */
const STORED = 10_000;
const TAKEN_IN_TOGETHER = 200;
const MORE_TURNS = 1_000;
const NOW = '2026-11-02T16:00:00.000Z';
const silent: Log = { info: () => {}, warn: () => {}, error: () => {} };

const message = (owner: number, index: number, text: string): Incoming => ({
  channel: 'telegram',
  address: String(1_000 + owner),
  externalId: `bot:${index}`,
  event: { kind: 'message', channel: 'telegram', at: NOW, messageRef: String(index), text },
});

const megabytes = (bytes: number): string => (bytes / 1_048_576).toFixed(0);

interface Look {
  what: string;
  resident: number;
  heap: number;
}

export async function benchMemory(progress: (line: string) => void, stored = STORED): Promise<string[]> {
  const looks: Look[] = [];
  const look = (what: string): void => {
    globalThis.gc?.();
    const { rss, heapUsed } = process.memoryUsage();
    looks.push({ what, resident: rss, heap: heapUsed });
  };
  look('before anything is loaded');
  const folder = mkdtempSync(join(tmpdir(), 'telltale-bench-'));
  const path = join(folder, 'many.db');
  const flows = loadFlows();
  const store = await openStore({ kind: 'sqlite', path, optOutKey: 'bench' });
  const desk = createDesk({
    store,
    turn,
    flows,
    clock: () => NOW,
    zone: flows.shop.zone,
    log: silent,
    apology: () => 'Sorry.',
  });
  try {
    let index = 0;
    const batch = async (owners: number[], text: (owner: number) => string): Promise<void> => {
      await desk.receive(owners.map((owner) => message(owner, index++, text(owner))));
      await desk.drain();
    };
    await batch([0], () => 'hello');
    look('flows loaded, one conversation');
    const began = performance.now();
    for (let first = 1; first < stored; first += TAKEN_IN_TOGETHER) {
      const owners = Array.from({ length: Math.min(TAKEN_IN_TOGETHER, stored - first) }, (_, offset) => first + offset);
      await batch(owners, (owner) => `6.7 L V8 diesel with ${60_000 + owner} miles, starts hard when it is cold`);
      if (first % 2_000 === 1) progress(`memory: ${first} of ${stored} conversations`);
    }
    const seconds = (performance.now() - began) / 1000;
    look(`${stored} conversations stored`);
    for (let first = 0; first < MORE_TURNS; first += TAKEN_IN_TOGETHER) {
      const owners = Array.from({ length: TAKEN_IN_TOGETHER }, (_, offset) => ((first + offset) * 7_919) % stored);
      await batch([...new Set(owners)], () => 'what is due?');
    }
    look(`${MORE_TURNS} more turns over all of them`);
    const { waiting } = await counts(store);
    if (waiting > 0) throw new Error(`${waiting} messages still wait`);
    const [, one, many] = looks;
    const perTalk = one && many ? (many.resident - one.resident) / stored / 1024 : Number.NaN;
    return [
      `memory by the number of conversations (${(stored / seconds).toFixed(0)} whole turns a second while filling)`,
      ...table([
        ['', 'resident MB', 'heap MB'],
        ...looks.map(({ what, resident, heap }) => [what, megabytes(resident), megabytes(heap)]),
      ]),
      `${perTalk.toFixed(2)} KB of resident memory and ${(statSync(path).size / stored / 1024).toFixed(1)} KB on disk a conversation`,
    ];
  } finally {
    await store.close();
    rmSync(folder, { recursive: true });
  }
}

async function counts(store: Awaited<ReturnType<typeof openStore>>): Promise<{ waiting: number }> {
  return { waiting: await store.transaction(async (tx) => (await tx.takeWaiting(NOW, 10)).length) };
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const stored = Number(process.argv[2] ?? STORED);
  for (const line of await benchMemory((line) => process.stderr.write(`${line}\n`), stored)) console.log(line);
}
