import { stderr, stdout } from 'node:process';
import { z } from 'zod';
import { compileFlows, type Flows } from '../../core/mod.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import { Life } from '../simulate/life.ts';
import { dateAfter } from '../simulate/reminders.ts';
import { openVirtualShop } from '../simulate/shop.ts';
import { ratioOf } from '../simulate/statistics.ts';
import { arrival, WORLDS } from '../simulate/world.ts';
import { orExit } from './flows.ts';

const Options = z.strictObject({
  vehicles: z.coerce.number().int().min(1).max(100_000),
  years: z.coerce.number().positive().max(20),
  seed: z.string().min(1),
  policy: z.enum(['closer-to-due', 'fewer-messages']).optional(),
});
type Options = z.infer<typeof Options>;

const FIRST_DAY = '2026-01-01';

/** Runs the real conversation, store and follow-ups under a virtual clock, and prints one JSON object of measures. */
export async function run(words: string[]): Promise<number> {
  const options = optionsOf(words);
  if (typeof options === 'string') {
    stderr.write(
      `${options}\nusage: simulate --vehicles N --years Y --seed S [--policy closer-to-due|fewer-messages]\n`,
    );
    return 2;
  }
  const files = readFlowsFolder().map((file) =>
    options.policy && file.path.endsWith('shop.yaml')
      ? { ...file, text: file.text.replace(/^(\s*policy:).*$/m, `$1 ${options.policy}`) }
      : file,
  );
  stdout.write(`${JSON.stringify(await simulate(orExit(compileFlows(files)), options))}\n`);
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

/** The measures of a whole run; the same options give the same object. */
export async function simulate(flows: Flows, { vehicles, years, seed, policy }: Options): Promise<object> {
  const began = performance.now();
  const zone = flows.shop.zone;
  const shop = await openVirtualShop(flows, `${FIRST_DAY}T17:00:00.000Z`);
  const arrivals = Array.from({ length: vehicles }, (_, index) => ({ index, ...arrival(WORLDS.hard, seed, index) }));
  const lives = new Map<string, Life>();
  const ended: Life[] = [];
  const lastDay = Math.ceil(years * 365.25) + 365;
  for (let day = 0; day < lastDay; day++) {
    const date = dateAfter(FIRST_DAY, day);
    shop.moveTo(`${date}T17:05:00.000Z`);
    for (const { index, owner, start } of arrivals.filter((one) => one.start === date)) {
      const life = new Life(`${index + 1}`, owner, start, shop);
      lives.set(life.address, life);
      await life.arrives();
    }
    shop.received();
    shop.moveTo(`${date}T18:00:00.000Z`);
    await shop.tick();
    for (const message of shop.received()) {
      const life = lives.get(message.address);
      const optedOut = (await shop.file(message.address))?.owner.optedOutAt !== undefined;
      await life?.reads(message.text, life.dayOf(date), message.unasked, message.at, zone, optedOut);
    }
    shop.moveTo(`${date}T20:00:00.000Z`);
    for (const [address, life] of lives) {
      const age = life.dayOf(date);
      if (age > years * 365.25) continue;
      life.outcome.days = age;
      if (age >= life.soldOn) {
        await life.sells();
        life.outcome.days = life.soldOn;
        lives.delete(address);
        ended.push(life);
      } else await life.does(age);
    }
    if (day % 20 === 0) progress(day / lastDay, began);
  }
  progress(1, began);
  const lost = await shop.lost();
  const all = [...ended, ...lives.values()].map(({ outcome }) => outcome);
  await shop.close();
  const share = (holds: (miles: number) => boolean) =>
    ratioOf(all.map(({ offers }) => [offers.filter(({ milesFromDue }) => holds(milesFromDue)).length, offers.length]));
  const sum = (of: (outcome: (typeof all)[number]) => number) => all.reduce((total, outcome) => total + of(outcome), 0);
  return {
    vehicles,
    years,
    seed,
    policy: policy ?? flows.shop.followUp.policy,
    vehicleYears: round(sum(({ days }) => days) / 365.25),
    messagesPerVehicleYear: measured(ratioOf(all.map(({ messages, days }) => [messages, days / 365.25]))),
    offeredWithin1000Miles: measured(share((miles) => Math.abs(miles) <= 1000)),
    offeredOver1500MilesLate: measured(share((miles) => miles > 1500)),
    servedWithin1000Miles: measured(
      ratioOf(
        all.map(({ services }) => [
          services.filter(({ milesLate }) => Math.abs(milesLate) <= 1000).length,
          services.length,
        ]),
      ),
    ),
    services: sum(({ services }) => services.length),
    offers: sum(({ offers }) => offers.length),
    questions: sum(({ questions }) => questions),
    answers: sum(({ answers }) => answers),
    bookings: sum(({ bookings }) => bookings),
    interval80: measured(ratioOf(all.map(({ held, ranges }) => [held, ranges]))),
    duplicatesSent: sum(({ duplicates }) => duplicates),
    followUpsLost: lost,
    messagesOutsideHours: sum(({ outsideHours }) => outsideHours),
    messagesAfterOptOut: sum(({ afterOptOut }) => afterOptOut),
  };
}

const round = (value: number): number => Math.round(value * 10_000) / 10_000;
const measured = ({ value, standardError }: { value: number; standardError: number }) => ({
  value: round(value),
  standardError: round(standardError),
});

function progress(part: number, began: number): void {
  const width = 30;
  const full = Math.round(part * width);
  const seconds = ((performance.now() - began) / 1000).toFixed(0);
  stderr.write(
    `\r[${'='.repeat(full)}${' '.repeat(width - full)}] ${(100 * part).toFixed(0)} %, ${seconds} s${part === 1 ? '\n' : ''}`,
  );
}
