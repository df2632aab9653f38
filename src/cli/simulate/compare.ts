import { writeFile } from 'node:fs/promises';
import { stderr } from 'node:process';
import sharp from 'sharp';
import type { FollowUpPolicy } from '../../core/follow-up/mod.ts';
import { fixedInterval, lastTwoPace, leastSquaresPace, yearlyCalendar } from './baselines.ts';
import { comparisonPicture } from './comparison-picture.ts';
import { straightLine, telltaleForecast } from './forecasters.ts';
import { judge, telltale } from './own-method.ts';
import type { Method, ReminderRules, TruckOutcome } from './reminders.ts';
import type { Measured } from './statistics.ts';
import { compareForecasts, compareReminders, FAITHFUL, measuresOf, pairedDifference } from './study.ts';
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
  /** The same shares for owners who answer at least half of the questions and do not haul heavy loads. */
  faithful: { within: Measured; late: Measured };
}

export interface ComparedForecast {
  name: string;
  /** Pinball loss of ln days at 10, 50 and 90 %, ours over theirs: as it stands, and given the best constant spread. */
  asItStands: Measured;
  withBestSpread: Measured;
}

/**
 * The shop's setting beside a yearly calendar and beside asking at a fixed distance with a straight line, on the same
 * owners and the same dice: trucks, answers and readings without the conversation around them. A table on standard
 * error, the picture as SVG and as PNG.
 */
export async function compare(policy: FollowUpPolicy, asked: Comparison, file: string): Promise<void> {
  const rows = compared(policy, asked);
  stderr.write(`${table(rows, asked)}\n`);
  stderr.write(`${forecastTable(comparedForecasts(asked))}\n`);
  const svg = comparisonPicture(rows, asked);
  const name = file.replace(/\.(svg|png)$/, '');
  await writeFile(`${name}.svg`, svg);
  await writeFile(`${name}.png`, await sharp(Buffer.from(svg), { density: 144 }).png({ palette: true }).toBuffer());
  stderr.write(`pictures: ${name}.svg, ${name}.png\n`);
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
    const some = measuresOf(name, theirs, FAITHFUL);
    const faithful = { within: some.within1000, late: some.over1500Late };
    const row = { name, within: within1000, late: over1500Late, messages: messagesPerVehicleYear, faithful };
    return index === 0 ? row : { ...row, behind: pairedDifference(own, theirs, onTime) };
  });
}

/** Forecasts at random times for random marks, ours beside straight lines through the same readings. */
export function comparedForecasts({ world, seed, vehicles }: Comparison): ComparedForecast[] {
  const lines = [
    straightLine('last-two-readings', (seen) => lastTwoPace(seen, LAST_TWO_APART_DAYS)),
    straightLine('least-squares', leastSquaresPace),
  ];
  const { ratios } = compareForecasts(WORLDS[world], seed, vehicles, judge, [telltaleForecast, ...lines]);
  return ratios.map(({ against: name, asItStands, withBestSpread }) => ({ name, asItStands, withBestSpread }));
}

const ratio = ({ value, standardError }: Measured): string => `${value.toFixed(3)} ± ${standardError.toFixed(3)}`;

function forecastTable(rows: readonly ComparedForecast[]): string {
  const lines = rows.map(
    ({ name, asItStands, withBestSpread }) =>
      `  ${name.padEnd(20)}${ratio(asItStands).padStart(17)}${ratio(withBestSpread).padStart(20)}`,
  );
  const head = 'loss of the forecast (ln days at 10, 50 and 90 %), ours over theirs, at random times for random marks';
  return [head, `  ${''.padEnd(20)}     as it stands   best constant spread`, ...lines].join('\n');
}

const percent = ({ value, standardError }: Measured): string =>
  `${(100 * value).toFixed(1)} ± ${(100 * standardError).toFixed(1)}`.padStart(14);

function table(rows: readonly ComparedRow[], { vehicles, years, seed, world, offers }: Comparison): string {
  const head = `side by side: ${vehicles} vehicles, ${years} years, seed ${seed}, ${world} world, offers ${offers}`;
  const lines = rows.map(
    ({ name, within, late, messages, behind, faithful }) =>
      `  ${name.padEnd(20)}${percent(within)}${percent(late)}   ` +
      `${messages.value.toFixed(2)} ± ${messages.standardError.toFixed(2)}` +
      `${percent(faithful.within)}${percent(faithful.late)}${behind ? percent(behind) : ''}`,
  );
  const columns = `  ${''.padEnd(20)}  within 1,000   >1,500 late   messages/yr   faithful: within    >1,500 late  points behind`;
  return [head, columns, ...lines].join('\n');
}
