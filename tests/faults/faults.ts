import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { diceOf, oneOf, type Dice } from './dice.ts';
import { Owner, Staff, type Sent } from './faults-people.ts';
import { account, endLeases, tornState, waitingRows, type Findings } from './ledger.ts';
import { Program } from './program.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';

/*
 * Several people talk with the whole program, a process of its own, which is killed without warning again and again,
 * until every one of them has a truck written up, a request sent, accepted and closed. Then the database is compared
 * with what was sent and what arrived.
 *
 *   npm run faults -- --kills 100 --seed 7
 */
const STAFF_CHAT = -100200;
const PEOPLE_AT_ONCE = 5;
/** Longest silence before somebody counts as left without an answer. */
const PATIENCE_MILLISECONDS = 90_000;
/** Every so many restarts the right to send of the dead process is left to end by itself. */
const LEASE_LEFT_EVERY = 8;

export interface FaultsOutcome {
  kills: number;
  /** Kills by the moment that they were aimed at. */
  moments: Record<string, number>;
  people: number;
  messages: number;
  arrived: number;
  findings: Findings;
  /** Ends of the process that nobody asked for, and errors in its log. */
  ownEnds: string[];
  errors: string[];
  sound: boolean;
}

interface Shop {
  standIn: TelegramStandIn;
  program: Program;
  /** Resolves at the next call of the method, or after the time. */
  nextCall(method: string, milliseconds: number): Promise<void>;
}

/** Waits from the start of a process until the moment at which it is to be killed; answers with the moment's name. */
async function momentOf({ nextCall }: Shop, roll: Dice): Promise<string> {
  const moment = oneOf(roll, ['starting', 'any', 'any', 'sending', 'sending', 'sending', 'taking in', 'file'] as const);
  switch (moment) {
    case 'starting':
      await sleep(2_500 * roll());
      break;
    case 'any':
      await nextCall('getUpdates', 20_000);
      await sleep(4_000 * roll());
      break;
    case 'sending':
    case 'file':
      await nextCall('getUpdates', 20_000);
      await sleep(2_500 * roll());
      await nextCall(moment === 'file' ? 'sendDocument' : 'sendMessage', 4_000);
      await sleep(oneOf(roll, [0, 0, 2, 5, 15]));
      break;
    case 'taking in':
      await nextCall('getUpdates', 20_000);
      await sleep(1_000 * roll());
      // A call for updates follows as soon as the ones before are durable.
      await nextCall('getUpdates', 4_000);
      await sleep(oneOf(roll, [0, 1, 3, 8]));
      break;
    default:
      moment satisfies never;
  }
  return moment;
}

/** Kills and talks until everybody is served. `print` is told how it goes. */
export async function runFaults(
  { kills, seed }: { kills: number; seed: number },
  print: (line: string) => void,
): Promise<FaultsOutcome> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-faults-'));
  const path = join(folder, 'shop.sqlite');
  const roll = diceOf(seed);
  const calls = new Map<string, Set<() => void>>();
  const standIn = await new TelegramStandIn({
    inspect: (method) => {
      for (const wake of calls.get(method) ?? []) wake();
      return [];
    },
  }).listen();
  const program = new Program({
    TELEGRAM_TOKEN: standIn.token,
    TELEGRAM_API_ROOT: standIn.apiRoot,
    STAFF_CHAT: String(STAFF_CHAT),
    DATABASE_PATH: path,
    DATABASE_URL: '',
    PUBLIC_URL: '',
    DEMO: 'off',
    PORT: '0',
    LOG_LEVEL: 'warn',
  });
  const nextCall = (method: string, milliseconds: number): Promise<void> =>
    new Promise((resolve) => {
      const waiting = calls.get(method) ?? new Set();
      calls.set(method, waiting);
      const done = (): void => {
        clearTimeout(timer);
        waiting.delete(done);
        resolve();
      };
      const timer = setTimeout(done, milliseconds);
      waiting.add(done);
    });

  const sent: Sent[] = [];
  const owners: Owner[] = [];
  const staff = new Staff(standIn, STAFF_CHAT, diceOf(seed + 1), sent);
  let killing = true;
  let talking = true;
  const talk = async (): Promise<void> => {
    while (talking) {
      const busy = owners.filter(({ done }) => !done).length;
      if (killing && busy < PEOPLE_AT_ONCE) {
        const owner = new Owner(standIn, 1001 + owners.length, diceOf(seed + 100 + owners.length), sent);
        owners.push(owner);
        owner.begins();
      }
      for (const owner of owners) owner.step();
      staff.step();
      await sleep(20);
    }
  };
  const talks = talk();

  const torn: string[] = [];
  const killedAt: number[] = [];
  const moments: Record<string, number> = {};
  try {
    for (let kill = 1; kill <= kills; kill++) {
      program.start();
      const moment = await momentOf({ standIn, program, nextCall }, roll);
      await program.kill();
      // What the dead process had already written to the line still arrives.
      await sleep(30);
      killedAt.push(standIn.nextMessageId());
      moments[moment] = (moments[moment] ?? 0) + 1;
      if (existsSync(path)) {
        torn.push(...tornState(path).map((what) => `after kill ${kill}: ${what}`));
        if (kill % LEASE_LEFT_EVERY !== 0) endLeases(path);
      }
      const served = owners.filter(({ done }) => done).length;
      print(`kill ${kill}/${kills} (${moment}); ${served} of ${owners.length} people served`);
    }
    killing = false;
    program.start();
    const waitsFor = (owner: Owner): boolean => !owner.done && Date.now() - owner.lastActAt < PATIENCE_MILLISECONDS;
    for (let looks = 1; owners.some(waitsFor); looks++) {
      await sleep(50);
      if (looks % 400 === 0)
        print(`${owners.filter(({ done }) => !done).length} of ${owners.length} people are still served`);
    }
    const end = Date.now() + PATIENCE_MILLISECONDS;
    while (Date.now() < end && (standIn.queue.size > 0 || waitingRows(path) > 0)) await sleep(200);
  } finally {
    talking = false;
    await talks;
    await program.stop();
    await standIn.close();
  }

  const people = owners.map(({ person }) => person.id);
  const deliveries = new Map([...people, STAFF_CHAT].map((chat) => [chat, standIn.messagesTo(chat)]));
  const findings = account(path, { sent, owners: people, botId: standIn.bot.id, deliveries, kills: killedAt });
  findings.torn.push(...torn, ...tornState(path).map((what) => `at the end: ${what}`));
  for (const { person, done } of owners) if (!done) findings.unanswered.push(`person ${person.id} was never served`);
  const { unanswered, twice, repeatedOutside, outOfOrder, lost } = findings;
  const wrong = [unanswered, twice, findings.torn, repeatedOutside, outOfOrder, lost, program.ownEnds];
  const sound = wrong.every(({ length }) => length === 0);
  if (sound) rmSync(folder, { recursive: true });
  else print(`the database is kept in ${folder}`);
  const arrived = [...deliveries.values()].reduce((sum, { length }) => sum + length, 0);
  const { ownEnds, errors } = program;
  return { kills, moments, people: people.length, messages: sent.length, arrived, findings, ownEnds, errors, sound };
}

/** The counts in one line, the last of a run. */
export function summary({ kills, people, messages, arrived, findings, ownEnds }: FaultsOutcome): string {
  const { unanswered, twice, repeatedInWindow, repeatedOutside, torn, outOfOrder, lost } = findings;
  return [
    `kills ${kills}`,
    `people ${people}`,
    `messages in ${messages}`,
    `messages out ${arrived}`,
    `unanswered ${unanswered.length}`,
    `effects twice ${twice.length}`,
    `lost ${lost.length}`,
    `repeated sends ${repeatedInWindow + repeatedOutside.length} (outside the send window ${repeatedOutside.length})`,
    `out of order ${outOfOrder.length}`,
    `torn state ${torn.length}`,
    `own ends ${ownEnds.length}`,
  ].join(', ');
}

function numberAfter(name: string, otherwise: number): number {
  const at = process.argv.indexOf(name);
  if (at < 0) return otherwise;
  const value = Number(process.argv[at + 1]);
  if (Number.isSafeInteger(value) && value >= 0) return value;
  process.stderr.write(`${name} takes a whole number, such as ${name} ${otherwise}\n`);
  process.exit(2);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const given = { kills: numberAfter('--kills', 25), seed: numberAfter('--seed', 1) };
  const began = Date.now();
  const outcome = await runFaults(given, (line) => process.stderr.write(`${line}\n`));
  const { findings, ownEnds, errors } = outcome;
  const { repeatedInWindow: _allowed, ...lists } = findings;
  for (const [kind, found] of Object.entries({ ...lists, ownEnds, errors })) {
    for (const what of found.slice(0, 20)) console.log(`${kind}: ${what}`);
  }
  console.log(
    `seed ${given.seed}, ${Math.round((Date.now() - began) / 1000)} seconds, kills ${JSON.stringify(outcome.moments)}`,
  );
  console.log(summary(outcome));
  process.exit(outcome.sound ? 0 : 1);
}
