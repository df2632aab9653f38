import { existsSync } from 'node:fs';
import { stderr, stdout } from 'node:process';
import { compileFlows, factsOf, type Vehicle } from '../../core/mod.ts';
import { acceptReadings, calibration, judged, refitPrior, type Refit } from '../../core/follow-up/mod.ts';
import type { Parameters, RefitOutcome, TruckHistory } from '../../core/follow-up/mod.ts';
import { openStore } from '../../edges/store/open.ts';
import { readFlowsFolder } from '../../flows-folder.ts';
import { orExit } from './flows.ts';

export const USAGE = 'calibration DATABASE [--refit yes]';

/** The most forecasts that are looked at, the latest first. */
const FORECASTS = 100_000;
const TRUCKS_AT_ONCE = 500;

/**
 * How the forecasts that a shop's database has logged met what came, one JSON object; with --refit also whether the
 * prior can be fitted to the shop's own trucks, and the lines for flows/follow-up.yaml if it can.
 */
export async function run([path, ...words]: string[]): Promise<number> {
  const refit = words.length === 2 && words[0] === '--refit' && words[1] === 'yes';
  if (path === undefined || (words.length > 0 && !refit)) {
    stderr.write(`usage: ${USAGE}\n`);
    return 2;
  }
  const isServer = /^postgres(ql)?:/.test(path);
  if (!isServer && !existsSync(path)) {
    stderr.write(`there is no database ${path}\n`);
    return 2;
  }
  const flows = orExit(compileFlows(readFlowsFolder()));
  // Nothing is forgotten here, so that no hash of an opt-out is made.
  const where = isServer ? ({ kind: 'postgres', url: path } as const) : ({ kind: 'sqlite', path } as const);
  const store = await openStore({ ...where, optOutKey: 'not used by this command'.repeat(2) });
  try {
    const logged = await store.views.forecasts(FORECASTS);
    const rows = calibration(judged(logged));
    stderr.write(`${table(rows)}\n`);
    const answer: Record<string, unknown> = { forecasts: logged.length, groups: rows };
    if (refit) {
      const fitted = refitPrior(await histories(store.views, flows.parameters), flows.parameters, flows.refit);
      answer.refit = { withStated: fitted.withStated, withoutStated: fitted.withoutStated };
      stderr.write(`${advice(fitted)}\n`);
    }
    stdout.write(`${JSON.stringify(answer)}\n`);
    return 0;
  } finally {
    await store.close();
  }
}

/** What every truck's accepted readings on its present instrument tell. */
async function histories(
  views: { vehicles(limit?: number, after?: string): Promise<{ vehicle: Vehicle }[]> },
  parameters: Parameters,
): Promise<TruckHistory[]> {
  const all: TruckHistory[] = [];
  let after: string | undefined;
  for (;;) {
    const some = await views.vehicles(TRUCKS_AT_ONCE, after);
    for (const { vehicle } of some) {
      const { modelYear, milesPerYear } = factsOf(vehicle.facts);
      const intake = { modelYear, milesPerYear };
      const { kept, rebases } = acceptReadings(vehicle.readings, '9999-12-31', intake, parameters);
      const since = rebases.at(-1)?.date ?? '';
      all.push({ ...intake, readings: kept.filter(({ date }) => date >= since) });
    }
    after = some.at(-1)?.vehicle.id;
    if (some.length < TRUCKS_AT_ONCE) return all;
  }
}

const percent = (share: number | undefined): string =>
  (share === undefined ? '–' : (100 * share).toFixed(1)).padStart(8);

function table(rows: ReturnType<typeof calibration>): string {
  const lines = rows.map(
    ({ group, answered, waiting, early, within, late, standardError }) =>
      `  ${group.padEnd(10)}${String(answered).padStart(8)}${String(waiting).padStart(9)}` +
      `${percent(early)}${percent(within)}${standardError === undefined ? '' : ` ± ${(100 * standardError).toFixed(1)}`}` +
      `${percent(late)}`,
  );
  return [
    'the 80 % range of the due date, by the number of readings it was made from (a good one holds 80 of 100)',
    '  readings  answered  waiting   early  within          late  (%)',
    ...lines,
  ].join('\n');
}

function advice(fitted: Refit): string {
  const why = (name: string, outcome: RefitOutcome): string =>
    outcome.fitted
      ? `  ${name}: fitted to ${outcome.trucks} trucks; the error on trucks left out fell from ` +
        `${outcome.errorBefore.toFixed(4)} to ${outcome.errorAfter.toFixed(4)}`
      : `  ${name}: not fitted (${outcome.because}, ${outcome.trucks} trucks)`;
  const lines = [why('withStated', fitted.withStated), why('withoutStated', fitted.withoutStated)];
  const blocks = (['withStated', 'withoutStated'] as const).flatMap((name) => {
    const outcome = fitted[name];
    return outcome.fitted ? [`  ${name}: ${JSON.stringify(outcome.coefficients)}`] : [];
  });
  if (blocks.length === 0) return ['the prior stays as it is:', ...lines].join('\n');
  return [
    'the prior fitted to this shop:',
    ...lines,
    'to use it, put this into flows/follow-up.yaml; to go back, take it out again:',
    'prior:',
    ...blocks,
  ].join('\n');
}
