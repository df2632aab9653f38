import { writeFile } from 'node:fs/promises';
import { stderr } from 'node:process';
import sharp from 'sharp';
import type { FollowUpPolicy } from '../../core/follow-up/mod.ts';
import { fixedInterval, lastTwoPace, leastSquaresPace, yearlyCalendar } from './baselines.ts';
import { comparisonPicture } from './comparison-picture.ts';
import { judge, telltale } from './own-method.ts';
import type { Method, ReminderRules, TruckOutcome } from './reminders.ts';
import type { Measured } from './statistics.ts';
import { compareReminders, measuresOf, pairedDifference } from './study.ts';
import { WORLDS, type WorldName } from './world.ts';

/** What is compared: as the `simulate` command was asked. */
export interface Comparison {
  vehicles: number;
  years: number;
  seed: string;
  world: WorldName;
  policy: string;
  offers: ReminderRules['offers'];
}

/** A shop that is asked every so often, whatever the truck drives. */
const ASK_EVERY_DAYS = 90;
const LAST_TWO_APART_DAYS = 14;
const INTERVAL_MILES = 22_000;

export interface ComparedRow {
  name: string;
  within: Measured;
  late: Measured;
  messages: Measured;
  /** How many points more the shop's own setting has within 1,000 miles, on the same owners; absent for itself. */
  behind?: Measured;
}

/**
 * The shop's setting beside a yearly calendar and beside asking at a fixed distance with a straight line, on the same
 * owners and the same dice: trucks, answers and readings without the conversation around them. A table on standard
 * error, a picture in the file.
 */
export async function compare(policy: FollowUpPolicy, asked: Comparison, file: string): Promise<void> {
  const rows = compared(policy, asked);
  stderr.write(`${table(rows, asked)}\n`);
  const svg = comparisonPicture(rows, asked);
  await writeFile(file, file.endsWith('.svg') ? svg : await sharp(Buffer.from(svg), { density: 144 }).png().toBuffer());
  stderr.write(`picture: ${file}\n`);
}

export function compared(policy: FollowUpPolicy, asked: Comparison): ComparedRow[] {
  const { leadDays, noticeDays } = policy;
  const methods: Method[] = [
    telltale(asked.policy, policy),
    yearlyCalendar(judge, leadDays),
    fixedInterval(
      'last-two-readings',
      (seen) => lastTwoPace(seen, LAST_TWO_APART_DAYS),
      judge,
      ASK_EVERY_DAYS,
      leadDays,
    ),
    fixedInterval('least-squares', leastSquaresPace, judge, ASK_EVERY_DAYS, leadDays),
  ];
  const rules: ReminderRules = {
    years: asked.years,
    noticeDays,
    intervalMiles: INTERVAL_MILES,
    offers: asked.offers,
    perYear: asked.offers === 'all-taken' ? Infinity : 12,
  };
  const outcomes = compareReminders(WORLDS[asked.world], asked.seed, asked.vehicles, methods, rules);
  const own = outcomes.get(asked.policy) ?? [];
  const onTime = ({ milesLate }: TruckOutcome['services'][number]) => Math.abs(milesLate) <= 1000;
  return methods.map(({ name }, index) => {
    const theirs = outcomes.get(name) ?? [];
    const { within1000, over1500Late, messagesPerVehicleYear } = measuresOf(name, theirs);
    const row = { name, within: within1000, late: over1500Late, messages: messagesPerVehicleYear };
    return index === 0 ? row : { ...row, behind: pairedDifference(own, theirs, onTime) };
  });
}

const percent = ({ value, standardError }: Measured): string =>
  `${(100 * value).toFixed(1)} ± ${(100 * standardError).toFixed(1)}`.padStart(14);

function table(rows: readonly ComparedRow[], { vehicles, years, seed, world, offers }: Comparison): string {
  const head = `side by side: ${vehicles} vehicles, ${years} years, seed ${seed}, ${world} world, offers ${offers}`;
  const lines = rows.map(
    ({ name, within, late, messages, behind }) =>
      `  ${name.padEnd(20)}${percent(within)}${percent(late)}   ` +
      `${messages.value.toFixed(2)} ± ${messages.standardError.toFixed(2)}${behind ? percent(behind) : ''}`,
  );
  const columns = `  ${''.padEnd(20)}  within 1,000   >1,500 late   messages/yr   points behind`;
  return [head, columns, ...lines].join('\n');
}
