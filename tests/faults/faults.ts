import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { diceOf, oneOf, type Dice } from './dice.ts';
import { Owner, Staff, type Sent, type Talker } from './faults-people.ts';
import { Forwarder, freePorts } from './forwarder.ts';
import { account, type Findings } from './ledger.ts';
import { Program } from './program.ts';
import { postgresData, sqliteData } from './shop-data.ts';
import { TelegramStandIn } from './telegram-stand-in.ts';
import { WebOwner } from './web-owner.ts';

/*
 * Several people talk with the whole program, some by messenger and some on its chat page, while it is killed without
 * warning again and again, until every one of them has a truck written up, a request sent, accepted and closed. Then
 * the database is compared with what was sent and what arrived. One process on SQLite takes its updates now by polling
 * and now by webhook, as the dice fall at each start; several processes on PostgreSQL take them by webhook, and one of
 * them is killed at a time.
 *
 *   npm run faults -- --kills 100 --seed 7
 *   npm run faults -- --kills 100 --seed 7 --processes 2
 */
const STAFF_CHAT = -100200;
const PEOPLE_AT_ONCE = 5;
/** Longest silence before somebody counts as left without an answer. */
const PATIENCE_MILLISECONDS = 240_000;
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

/** How the program is told to take its updates. */
type Taking = 'polling' | 'webhook';

interface Shop {
  standIn: TelegramStandIn;
  /** Resolves at the next call of the method, or after the time. */
  nextCall(method: string, milliseconds: number): Promise<void>;
  /** Resolves when the stand-in hands out an update for the first time, or after the time. */
  nextUpdate(milliseconds: number): Promise<void>;
}

/** Waits from the start of a process until the moment at which it is to be killed; answers with the moment's name. */
async function momentOf({ nextCall, nextUpdate }: Shop, taking: Taking, roll: Dice): Promise<string> {
  const moment = oneOf(roll, ['starting', 'any', 'any', 'sending', 'sending', 'sending', 'taking in', 'file'] as const);
  const ready = (): Promise<void> => nextCall(taking === 'polling' ? 'getUpdates' : 'setWebhook', 20_000);
  switch (moment) {
    case 'starting':
      await sleep(2_500 * roll());
      break;
    case 'any':
      await ready();
      await sleep(4_000 * roll());
      break;
    case 'sending':
    case 'file':
      await ready();
      await sleep(2_500 * roll());
      await nextCall(moment === 'file' ? 'sendDocument' : 'sendMessage', 4_000);
      await sleep(oneOf(roll, [0, 0, 2, 5, 15]));
      break;
    case 'taking in':
      await ready();
      await sleep(1_000 * roll());
      // A call for updates follows as soon as the ones before are durable; a post is under way when it is handed out.
      await (taking === 'polling' ? nextCall('getUpdates', 4_000) : nextUpdate(4_000));
      await sleep(oneOf(roll, [0, 1, 3, 8]));
      break;
    default:
      moment satisfies never;
  }
  return moment;
}

/** Kills and talks until everybody is served. `print` is told how it goes. */
export async function runFaults(
  { kills, seed, processes = 1 }: { kills: number; seed: number; processes?: number },
  print: (line: string) => void,
): Promise<FaultsOutcome> {
  const folder = mkdtempSync(join(tmpdir(), 'telltale-faults-'));
  const data = processes > 1 ? postgresData(folder) : sqliteData(folder);
  const roll = diceOf(seed);
  const calls = new Map<string, Set<() => void>>();
  const standIn = await new TelegramStandIn({
    inspect: (method) => {
      for (const wake of calls.get(method) ?? []) wake();
      return [];
    },
  }).listen();
  const ports = await freePorts(processes);
  const forwarder = new Forwarder(ports);
  const url = await forwarder.listen();
  const programs = ports.map(
    (port) =>
      new Program({
        ...data.environment,
        TELEGRAM_TOKEN: standIn.token,
        TELEGRAM_API_ROOT: standIn.apiRoot,
        STAFF_CHAT: String(STAFF_CHAT),
        PUBLIC_URL: '',
        DEMO: 'off',
        PORT: String(port),
        LOG_LEVEL: 'warn',
      }),
  );
  /** Several processes can only share the updates of one bot where they are posted. */
  const takingNow = (): Taking => (processes > 1 || roll() < 0.5 ? 'webhook' : 'polling');
  const begin = (program: Program | undefined, taking: Taking): void =>
    program?.start({ PUBLIC_URL: taking === 'webhook' ? url : '' });
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
  const nextUpdate = async (milliseconds: number): Promise<void> => {
    const [before, end] = [standIn.queue.handedOut.size, Date.now() + milliseconds];
    while (standIn.queue.handedOut.size === before && Date.now() < end) await sleep(2);
  };
  const shop: Shop = { standIn, nextCall, nextUpdate };

  const sent: Sent[] = [];
  const owners: Talker[] = [];
  const ownerAt = (index: number): Talker => {
    const dice = diceOf(seed + 100 + index);
    return index % 3 === 2 ? new WebOwner(() => url, index, dice, sent) : new Owner(standIn, 1001 + index, dice, sent);
  };
  const staff = new Staff(standIn, STAFF_CHAT, diceOf(seed + 1), sent);
  let killing = true;
  let talking = true;
  const talk = async (): Promise<void> => {
    while (talking) {
      const busy = owners.filter(({ done }) => !done).length;
      if ((killing || owners.length === 0) && busy < PEOPLE_AT_ONCE) {
        const owner = ownerAt(owners.length);
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
  const pages = new Map<string, string[]>();
  const refused: string[] = [];
  const killedAt: number[] = [];
  const moments: Record<string, number> = {};
  try {
    for (const program of programs.slice(1)) begin(program, 'webhook');
    for (let kill = 1; kill <= kills; kill++) {
      const program = programs[kill % processes];
      const taking = takingNow();
      if (!program?.runs) begin(program, taking);
      const moment = `${processes > 1 ? '' : `${taking}, `}${await momentOf(shop, taking, roll)}`;
      await program?.kill();
      // What the dead process had already written to the line still arrives.
      await sleep(30);
      killedAt.push(standIn.nextMessageId());
      moments[moment] = (moments[moment] ?? 0) + 1;
      torn.push(...(await data.torn()).map((what) => `after kill ${kill}: ${what}`));
      if (kill % LEASE_LEFT_EVERY !== 0) data.endLeases();
      if (processes > 1) begin(program, taking);
      const served = owners.filter(({ done }) => done).length;
      print(`kill ${kill}/${kills} (${moment}); ${served} of ${owners.length} people served`);
    }
    killing = false;
    for (const program of programs) if (!program.runs) begin(program, takingNow());
    const waitsFor = (owner: Talker): boolean => !owner.done && Date.now() - owner.lastActAt < PATIENCE_MILLISECONDS;
    for (let looks = 1; owners.some(waitsFor); looks++) {
      await sleep(50);
      if (looks % 400 === 0)
        print(`${owners.filter(({ done }) => !done).length} of ${owners.length} people are still served`);
    }
    const end = Date.now() + PATIENCE_MILLISECONDS;
    while (Date.now() < end && (standIn.queue.size > 0 || (await data.waiting()) > 0)) await sleep(200);
    for (const owner of owners) {
      if (!(owner instanceof WebOwner)) continue;
      pages.set(
        owner.address,
        ((await owner.read()) ?? []).map(({ text }) => text),
      );
      refused.push(...owner.refused);
    }
  } finally {
    talking = false;
    await talks;
    for (const program of programs) await program.stop();
    await forwarder.close();
    await standIn.close();
  }

  const people = owners.map(({ address }) => address);
  const chats = [...owners.filter((owner) => owner instanceof Owner).map(({ address }) => address), String(STAFF_CHAT)];
  const deliveries = new Map(chats.map((chat) => [chat, standIn.messagesTo(Number(chat))]));
  const findings = account(await data.file(), { sent, owners: people, deliveries, pages, kills: killedAt });
  findings.torn.push(...torn, ...(await data.torn()).map((what) => `at the end: ${what}`));
  await data.close();
  for (const { address, done } of owners) if (!done) findings.unanswered.push(`person ${address} was never served`);
  findings.unanswered.push(...refused);
  const { unanswered, twice, repeatedOutside, outOfOrder, lost } = findings;
  const [ownEnds, errors] = [programs.flatMap((one) => one.ownEnds), programs.flatMap((one) => one.errors)];
  const wrong = [unanswered, twice, findings.torn, repeatedOutside, outOfOrder, lost, ownEnds];
  const sound = wrong.every(({ length }) => length === 0);
  if (sound) rmSync(folder, { recursive: true });
  else print(`the database is kept in ${folder}`);
  const arrived = [...deliveries.values(), ...pages.values()].reduce((sum, { length }) => sum + length, 0);
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
  const given = {
    kills: numberAfter('--kills', 25),
    seed: numberAfter('--seed', 1),
    processes: numberAfter('--processes', 1),
  };
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
