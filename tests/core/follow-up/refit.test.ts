import { describe, expect, it } from 'vitest';
import { randomFor } from '../../../src/cli/simulate/random.ts';
import { addDays } from '../../../src/core/follow-up/days.ts';
import { ageAt, priorPace } from '../../../src/core/follow-up/pace.ts';
import { PARAMETERS, type Parameters } from '../../../src/core/follow-up/parameters.ts';
import { refitPrior, type TruckHistory } from '../../../src/core/follow-up/refit.ts';
import { dayNumber } from '../../../src/core/follow-up/days.ts';

const limits = { minimumTrucks: 60, minimumDays: 120, mustImproveBy: 0.03 };

/** Trucks whose pace is drawn from a prior: its mean, and a gamma law of its certainty for the rate. */
function fleet(count: number, prior: Parameters, factor: number, stated: boolean, seed: string): TruckHistory[] {
  return Array.from({ length: count }, (_, index) => {
    const random = randomFor(seed, index);
    const modelYear = random.integer(2010, 2023);
    const start = addDays('2026-01-05', random.integer(0, 20));
    const age = ageAt(dayNumber(start), { modelYear });
    const usual = 9_000 * Math.exp(0.5 * random.normal());
    const miles = Math.round(usual * age);
    const intake = stated ? { modelYear, milesPerYear: usual * Math.exp(0.3 * random.normal()) } : { modelYear };
    const { milesPerDay, k0 } = priorPace(miles, age, intake, prior);
    const pace = (factor * milesPerDay * (k0 - 1)) / (random.gamma(k0) * k0);
    const days = 365;
    const driven = pace * days * random.gamma(prior.a * days);
    return {
      ...intake,
      readings: [
        { date: start, miles },
        { date: addDays(start, days), miles: miles + driven },
      ],
    };
  });
}

describe('the prior refitted to a shop’s own trucks', () => {
  it('stays as it is with too few trucks, and says so', () => {
    const refit = refitPrior(fleet(59, PARAMETERS, 1.8, false, 'few'), PARAMETERS, limits);
    expect(refit.withoutStated).toEqual({ fitted: false, because: 'too-few-trucks', trucks: 59 });
    expect(refit.parameters).toEqual(PARAMETERS);
  });

  it('stays as it is where the shop’s trucks are like those it came from', () => {
    const refit = refitPrior(fleet(400, PARAMETERS, 1, false, 'same'), PARAMETERS, limits);
    expect(refit.withoutStated).toMatchObject({ fitted: false, because: 'no-better' });
  });

  it.each([
    ['trucks that drive 80 % more than intake tells', 1.8, false],
    ['trucks that drive half of it', 0.5, false],
    ['owners who state too little by far', 1.8, true],
  ])('finds %s', (name, factor, stated) => {
    const refit = refitPrior(fleet(400, PARAMETERS, factor, stated, name), PARAMETERS, limits);
    const outcome = stated ? refit.withStated : refit.withoutStated;
    expect(outcome).toMatchObject({ fitted: true, trucks: 400 });
    if (!outcome.fitted) return;
    expect(outcome.errorAfter).toBeLessThan(outcome.errorBefore);
    const intake = stated ? { modelYear: 2016, milesPerYear: 9_000 } : { modelYear: 2016 };
    const before = priorPace(90_000, 10, intake, PARAMETERS).milesPerDay;
    const after = priorPace(90_000, 10, intake, refit.parameters).milesPerDay;
    expect(after / before / factor).toBeGreaterThan(0.85);
    expect(after / before / factor).toBeLessThan(1.15);
    expect(outcome.coefficients.k0 / (stated ? 8.27 : 5.17)).toBeGreaterThan(0.6);
    expect(outcome.coefficients.k0 / (stated ? 8.27 : 5.17)).toBeLessThan(1.7);
  });

  it('leaves the other prior alone, and keeps the old parameters to go back to', () => {
    const refit = refitPrior(fleet(200, PARAMETERS, 2, false, 'back'), PARAMETERS, limits);
    expect(refit.parameters.prior.withStated).toEqual(PARAMETERS.prior.withStated);
    expect(refit.parameters.prior.withoutStated).not.toEqual(PARAMETERS.prior.withoutStated);
    expect(refit.before).toBe(PARAMETERS);
  });

  it.each([
    ['a history that is too short', 60, 3_000],
    ['a truck that never moved', 365, 0],
  ])('does not learn from %s', (_case, days, driven) => {
    const trucks = Array.from({ length: 100 }, (_, index) => ({
      modelYear: 2015,
      readings: [
        { date: '2026-01-05', miles: 80_000 + index },
        { date: addDays('2026-01-05', days), miles: 80_000 + index + driven },
      ],
    }));
    expect(refitPrior(trucks, PARAMETERS, limits).withoutStated).toMatchObject({
      because: 'too-few-trucks',
      trucks: 0,
    });
  });
});
