import { performance } from 'node:perf_hooks';
import { fixedInterval, lastTwoPace, leastSquaresPace, yearlyCalendar } from '../../src/cli/simulate/baselines.ts';
import type { Method, ReminderRules } from '../../src/cli/simulate/reminders.ts';
import type { Measured } from '../../src/cli/simulate/statistics.ts';
import {
  compareForecasts,
  compareReminders,
  FAITHFUL,
  measuresOf,
  pairedDifference,
  type Selection,
} from '../../src/cli/simulate/study.ts';
import { WORLDS, type WorldName } from '../../src/cli/simulate/world.ts';
import { regularisedBeta } from '../../src/core/follow-up/beta.ts';
import { CLOSER_TO_DUE, forecast, PLAIN_POLICY } from '../../src/core/follow-up/mod.ts';
import { fewerMessages, judge, straightLine, telltale, telltaleForecast } from './telltale-method.ts';

/*
 * How well the forecast and the reminders do on made-up owners, side by side with a yearly calendar and with asking at
 * fixed intervals, on the same owners and the same dice; and how fast a forecast is.
 *
 *   npx tsx tests/bench/forecast.bench.ts [vehicles] [seed] [world]
 */
const vehicles = Number(process.argv[2] ?? 2000);
const seed = process.argv[3] ?? '1';
const worlds = (process.argv[4] ? [process.argv[4]] : ['hard', 'survey']) as WorldName[];

const LEAD_DAYS = 10;
const NOTICE_DAYS = 2;
const RULES: ReminderRules = {
  years: 3,
  noticeDays: NOTICE_DAYS,
  intervalMiles: 22_000,
  offers: 'all-taken',
  perYear: Infinity,
};

const METHODS: Method[] = [
  telltale('closer-to-due', CLOSER_TO_DUE),
  telltale('fewer-messages', fewerMessages()),
  telltale('plain rule', PLAIN_POLICY),
  yearlyCalendar(judge, LEAD_DAYS),
  fixedInterval('last two, every 90 days', (seen) => lastTwoPace(seen, 14), judge, 90, LEAD_DAYS),
  fixedInterval('least squares, every 90 days', leastSquaresPace, judge, 90, LEAD_DAYS),
];

const percent = ({ value, standardError }: Measured): string =>
  `${(100 * value).toFixed(1)} ± ${(100 * standardError).toFixed(1)}`.padStart(12);
const plain = ({ value, standardError }: Measured): string => `${value.toFixed(3)} ± ${standardError.toFixed(3)}`;

function speed(): void {
  const readings = Array.from({ length: 6 }, (_, index) => ({
    date: `2026-0${index + 1}-01`,
    miles: 90_000 + 1_150 * index,
  }));
  const time = (name: string, times: number, run: (index: number) => unknown) => {
    for (let index = 0; index < times / 5; index++) run(index);
    const start = performance.now();
    for (let index = 0; index < times; index++) run(index);
    console.log(`  ${name.padEnd(44)}${((1000 * (performance.now() - start)) / times).toFixed(1)} µs`);
  };
  console.log('speed');
  time('incomplete beta', 50_000, (index) => regularisedBeta(0.2 + 1e-6 * index, 60, 20));
  time('forecast of a truck with six readings', 3_000, (index) =>
    forecast({ readings, today: '2026-07-01', dueMiles: 100_000 + index, modelYear: 2017 }),
  );
}

function forecasts(world: WorldName): void {
  const pace = [
    straightLine('last two readings', (seen) => lastTwoPace(seen)),
    straightLine('last two, 14 days apart', (seen) => lastTwoPace(seen, 14)),
    straightLine('least squares', leastSquaresPace),
  ];
  const { accuracies, ratios } = compareForecasts(WORLDS[world], seed, vehicles, judge, [telltaleForecast, ...pace]);
  const [own] = accuracies;
  if (!own) return;
  console.log(`\nforecasts at random times, ${world} world, ${vehicles} vehicles, ${own.cases} forecasts`);
  console.log(`  80 % range of the due date holds  ${percent(own.coverage)} %`);
  console.log(`    truth before it / after it      ${percent(own.below)} / ${percent(own.above)} %`);
  for (const [readings, held] of Object.entries(own.coverageByReadings)) {
    console.log(`    made from ${readings.padEnd(4)} readings         ${percent(held)} %`);
  }
  if (own.odometerCoverage) console.log(`  80 % range of today’s odometer    ${percent(own.odometerCoverage)} %`);
  console.log(`  pinball loss of ln days           ${plain(own.loss)}`);
  for (const ratio of ratios) {
    console.log(`  loss over ${ratio.against.padEnd(24)}${plain(ratio.asItStands)} as it stands,`);
    console.log(`  ${' '.repeat(34)}${plain(ratio.withBestSpread)} given the best constant spread for these cases`);
  }
}

function reminders(world: WorldName, rules: ReminderRules, methods: readonly Method[]): void {
  const outcomes = compareReminders(WORLDS[world], seed, vehicles, methods, rules);
  console.log(`\nreminders, ${world} world, ${vehicles} vehicles, ${rules.years} years, offers ${rules.offers}`);
  console.log(
    `  ${'method'.padEnd(32)}within 1,000   >1,500 late  >1,000 early    never done   messages a year  services`,
  );
  const row = (name: string, method: string, of?: Selection) => {
    const measures = measuresOf(name, outcomes.get(method) ?? [], of);
    console.log(
      `  ${name.padEnd(30)}${percent(measures.within1000)}  ${percent(measures.over1500Late)}  ` +
        `${percent(measures.over1000Early)}  ${percent(measures.neverDone)}   ` +
        `${plain(measures.messagesPerVehicleYear)}    ${measures.services}`,
    );
  };
  for (const { name } of methods) {
    row(name, name);
    if (name === 'closer-to-due') {
      row('  of it: answer half, no haulers', name, FAITHFUL);
      for (const use of ['light', 'daily', 'work', 'heavy-haul'] as const) {
        row(`  of it: ${use}`, name, ({ owner }) => owner.driving.use === use);
      }
    }
  }
  const own = outcomes.get('closer-to-due') ?? [];
  for (const { name } of methods.slice(1)) {
    const hits = pairedDifference(own, outcomes.get(name) ?? [], ({ milesLate }) => Math.abs(milesLate) <= 1000);
    console.log(`  closer-to-due over ${name.padEnd(30)}${percent(hits)} points more within 1,000 miles`);
  }
}

speed();
for (const world of worlds) {
  forecasts(world);
  reminders(world, RULES, METHODS);
}
const [first] = worlds;
if (first) reminders(first, { ...RULES, offers: 'as-people-do', perYear: 12 }, METHODS.slice(0, 2));
