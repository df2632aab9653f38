import { describe, expect, it } from 'vitest';
import { afterReading, milesPerDay, paceFrom, type Pace } from '../../../src/core/follow-up/pace.ts';
import { PARAMETERS, type Parameters } from '../../../src/core/follow-up/parameters.ts';
import { daysQuantile, milesQuantile, probabilityAtMost } from '../../../src/core/follow-up/predict.ts';
import { FULL, FULL_PARAMETERS, PLAIN } from './examples.ts';

const quantiles = [
  ['p10', 0.1],
  ['p50', 0.5],
  ['p90', 0.9],
] as const;

describe('the bare gamma process with a random effect', () => {
  it.each(PLAIN.map((example) => [example.name, example] as const))('%s', (_name, example) => {
    const parameters: Parameters = {
      ...PARAMETERS,
      a: example.a,
      af: example.a,
      c: 0,
      changeDays: Infinity,
      season: 0,
    };
    const pace: Pace = { parameters, k0: example.k, r0: example.r, weight: 0, miles: 0, day: 0, odometer: 0 };
    expect(milesPerDay(pace)).toBeCloseTo(example.milesPerDay, 6);
    expect(probabilityAtMost(pace, example.horizonDays, example.miles)).toBeCloseTo(example.probability, 9);
    for (const [name, probability] of quantiles) {
      expect(daysQuantile(pace, example.miles, probability, 5000)).toBeCloseTo(example.dueDays[name], 5);
    }
  });
});

describe('with forgetting and a change of habit', () => {
  const parameters: Parameters = {
    ...PARAMETERS,
    a: FULL_PARAMETERS.a,
    af: FULL_PARAMETERS.af,
    halfLifeDays: FULL_PARAMETERS.halfLifeDays,
    c: FULL_PARAMETERS.c,
    changeDays: FULL_PARAMETERS.changeDays,
    kj: FULL_PARAMETERS.kj,
    season: 0,
  };

  it.each(
    FULL.map(
      (example) => [`${example.readings.length} readings at ${example.priorMilesPerDay} a day`, example] as const,
    ),
  )('%s', (_name, example) => {
    const [[day, odometer] = [0, 0], ...later] = example.readings;
    const start = { day, odometer, milesPerDay: example.priorMilesPerDay, k0: example.k0 };
    const pace = later.reduce((known, [on, miles]) => afterReading(known, on, miles), paceFrom(start, parameters));
    expect(pace.weight).toBeCloseTo(example.W, 5);
    expect(pace.miles).toBeCloseTo(example.X, 5);
    expect(pace.k0 + parameters.a * pace.weight).toBeCloseTo(example.k, 5);
    expect(pace.r0 + pace.miles).toBeCloseTo(example.r, 5);
    expect(milesPerDay(pace)).toBeCloseTo(example.milesPerDay, 5);
    expect(probabilityAtMost(pace, example.horizonDays, example.miles)).toBeCloseTo(example.probability, 7);
    for (const [name, probability] of quantiles) {
      const days = daysQuantile(pace, example.miles, probability, 5000);
      expect(days).toBeCloseTo(example.dueDays[name], 3);
      // The two inversions are each other's check: driven by that day with the remaining probability.
      expect(milesQuantile(pace, days ?? 0, 1 - probability)).toBeCloseTo(example.miles, 1);
    }
  });
});
