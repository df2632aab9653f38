import { describe, expect, it } from 'vitest';
import { randomFor } from '../../src/cli/simulate/random.ts';
import { paceFrom, type Pace } from '../../src/core/follow-up/pace.ts';
import { PARAMETERS } from '../../src/core/follow-up/parameters.ts';
import { daysQuantile, probabilityAtMost } from '../../src/core/follow-up/predict.ts';

/**
 * The closed form against brute force: a pace is drawn from its gamma distribution, the miles of the horizon from the
 * gamma process with that pace, and the share that stays below the mark is counted. No beta function takes part.
 */
const DRAWS = 60_000;

function simulatedShare(pace: Pace, days: number, miles: number): number {
  const random = randomFor('gamma process', days, miles);
  const { a, af, halfLifeDays, c, changeDays, kj } = pace.parameters;
  const left = 2 ** ((-c * days) / halfLifeDays);
  const k = pace.k0 + a * pace.weight * left;
  const scale = (a / af) * (pace.r0 + pace.miles * left);
  const now = (a * (pace.r0 + pace.miles)) / (pace.k0 + a * pace.weight - 1);
  let below = 0;
  for (let draw = 0; draw < DRAWS; draw++) {
    const changes = random.chance(1 - Math.exp(-days / changeDays));
    const certainty = changes ? kj : k;
    const mean = changes ? ((kj - 1) * now) / af : scale;
    const rate = (random.gamma(certainty) * certainty) / mean;
    const driven = (random.gamma(af * days) * af * days) / rate;
    if (driven <= miles) below += 1;
  }
  return below / DRAWS;
}

describe('the forecast in closed form', () => {
  const fresh = paceFrom({ day: 0, odometer: 0, milesPerDay: 38, k0: 5.17 }, PARAMETERS);
  const known: Pace = { ...fresh, weight: 120, miles: 120 * 31 };

  it.each([
    ['a fresh truck, a month', fresh, 30, 1200],
    ['a fresh truck, a year', fresh, 365, 12_000],
    ['a known truck, two months', known, 60, 2100],
    ['a known truck, a long horizon', known, 500, 22_000],
    ['a known truck, the low tail', known, 90, 1300],
  ])('agrees with %s of simulated driving', (_case, pace, days, miles) => {
    const exact = probabilityAtMost(pace, days, miles);
    const error = Math.sqrt((exact * (1 - exact)) / DRAWS);
    expect(Math.abs(simulatedShare(pace, days, miles) - exact)).toBeLessThan(4 * error);
  });

  it('names due days by which the stated share of simulated trucks has come', () => {
    const days = daysQuantile(known, 4000, 0.9, 4000) ?? 0;
    expect(1 - simulatedShare(known, days, 4000)).toBeCloseTo(0.9, 1);
  });
});
