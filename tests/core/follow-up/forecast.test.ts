import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, daysBetween } from '../../../src/core/follow-up/days.ts';
import { forecast } from '../../../src/core/follow-up/forecast.ts';
import type { ForecastRequest } from '../../../src/core/model/forecast.ts';

const steady = [
  { date: '2025-11-01', miles: 90_000 },
  { date: '2026-02-01', miles: 93_500 },
  { date: '2026-05-02', miles: 97_000 },
];
const ask = (more: Partial<ForecastRequest>) =>
  forecast({
    readings: steady,
    today: '2026-06-01',
    dueMiles: 101_000,
    modelYear: 2017,
    milesPerYear: 15_000,
    ...more,
  });

describe('a forecast', () => {
  it('places the odometer and the due date of a steady truck where its pace leads', () => {
    const answer = ask({});
    // 38 miles a day for 30 days, a little more in early summer.
    expect(answer.milesToday.p50).toBeGreaterThan(98_000);
    expect(answer.milesToday.p50).toBeLessThan(98_500);
    expect(daysBetween('2026-05-02', answer.dueDate.p50 ?? '')).toBeGreaterThan(85);
    expect(daysBetween('2026-05-02', answer.dueDate.p50 ?? '')).toBeLessThan(115);
    expect(answer.probabilityDue).toBeLessThan(0.05);
    expect(answer.rejected).toEqual([]);
  });

  it('says what it says whatever the order of the readings, and however often one is told', () => {
    const shuffled = [steady[2], steady[0], steady[2], steady[1], steady[0]].flatMap((reading) => reading ?? []);
    expect(ask({ readings: shuffled })).toEqual(ask({}));
  });

  it('takes two readings of one day as one place on the road', () => {
    const answer = ask({ readings: [...steady, { date: '2026-05-02', miles: 97_040 }] });
    expect(answer.rejected).toEqual([]);
    expect(answer.milesToday.p10).toBeGreaterThan(97_040);
  });

  it.each([
    ['a lost digit', { date: '2026-05-20', miles: 9_770 }, /lower/],
    ['an extra digit', { date: '2026-05-20', miles: 977_000 }, /more miles than/],
    ['the trip meter', { date: '2026-05-20', miles: 412 }, /lower/],
    ['kilometres', { date: '2026-05-20', miles: 157_300 }, /more miles than/],
    ['a date after today', { date: '2026-06-20', miles: 99_000 }, /after today/],
  ])('sets %s aside, says why, and forecasts as if it had not been told', (_case, wrong, because) => {
    const answer = ask({ readings: [...steady, wrong] });
    expect(answer.rejected).toEqual([{ ...wrong, because: expect.stringMatching(because) }]);
    expect({ ...answer, rejected: [] }).toEqual(ask({}));
  });

  it('sets a wrong reading in the middle or at the start aside once the others agree without it', () => {
    const middle = [
      { date: '2025-11-01', miles: 90_000 },
      { date: '2026-01-01', miles: 29_300 },
      { date: '2026-02-01', miles: 93_500 },
      { date: '2026-05-02', miles: 97_000 },
    ];
    expect(ask({ readings: middle }).rejected.map(({ miles }) => miles)).toEqual([29_300]);
    const start = [{ date: '2025-08-01', miles: 8_600 }, ...steady];
    expect(ask({ readings: start }).rejected.map(({ miles }) => miles)).toEqual([8_600]);
  });

  it('follows a new instrument once two readings agree on it, and brings the due mark along', () => {
    const swapped = [...steady, { date: '2026-07-20', miles: 1_200 }, { date: '2026-09-20', miles: 3_500 }];
    const answer = ask({ readings: swapped, today: '2026-10-01', dueMiles: 119_000 });
    expect(answer.rejected).toEqual([]);
    expect(answer.milesToday.p50).toBeGreaterThan(3_500);
    expect(answer.milesToday.p50).toBeLessThan(5_000);
    // About 97,000 + 3,000 at the swap, 2,300 since: some 16,600 miles are left at 14,000 a year.
    expect(answer.dueDate.p50?.slice(0, 4)).toMatch(/2027|2028/);
    const onNewScale = ask({ readings: swapped, today: '2026-10-01', dueMiles: 20_300 });
    expect(Math.abs(daysBetween(onNewScale.dueDate.p50 ?? '', answer.dueDate.p50 ?? ''))).toBeLessThan(60);
  });

  it.each([
    ['nothing at all', {}],
    ['the model year', { modelYear: 2019 }],
    ['what the owner drives', { milesPerYear: 24_000 }],
    ['both', { modelYear: 2011, milesPerYear: 6_000 }],
  ])('answers broadly without a reading, knowing %s, and asks today', (_case, known) => {
    const answer = forecast({ readings: [], today: '2026-06-01', dueMiles: 119_000, ...known });
    expect(answer.milesToday.p10).toBeGreaterThan(0);
    expect(answer.milesToday.p90 / answer.milesToday.p10).toBeGreaterThan(1.6);
    expect(answer.probabilityDue).toBeGreaterThanOrEqual(0);
    expect(answer.probabilityDue).toBeLessThanOrEqual(1);
    expect(answer.next).toEqual({ ask: '2026-06-01', offer: null });
  });

  it('answers as without a reading where all of them are dated after today', () => {
    const early = forecast({ readings: steady, today: '2025-06-01', dueMiles: 119_000, modelYear: 2017 });
    const none = forecast({ readings: [], today: '2025-06-01', dueMiles: 119_000, modelYear: 2017 });
    expect(early.rejected).toHaveLength(3);
    expect({ ...early, rejected: [] }).toEqual(none);
  });

  it('says that a mark is passed: due today with certainty, and offers today', () => {
    const answer = ask({ dueMiles: 96_500 });
    expect(answer.dueDate).toEqual({ p10: '2026-06-01', p50: '2026-06-01', p90: '2026-06-01' });
    expect(answer.probabilityDue).toBe(1);
    expect(answer.next).toEqual({ ask: null, offer: '2026-06-01' });
  });

  it('gives no date that lies more than ten years out', () => {
    const answer = ask({ dueMiles: 900_000 });
    expect(answer.dueDate).toEqual({ p10: null, p50: null, p90: null });
    expect(answer.next.ask).not.toBeNull();
  });

  it('knows the odometer exactly on the day of a reading', () => {
    expect(ask({ today: '2026-05-02' }).milesToday).toEqual({ p10: 97_000, p50: 97_000, p90: 97_000 });
  });

  it('stays sensible for a new truck with hardly a mile on it', () => {
    const answer = forecast({
      readings: [{ date: '2026-05-02', miles: 12 }],
      today: '2026-06-01',
      dueMiles: 22_000,
      modelYear: 2026,
    });
    expect(answer.milesToday.p50).toBeGreaterThan(12);
    expect(answer.next.ask).not.toBeNull();
  });
});

/** A truck's history that can be true: gaps of days, miles that a truck can drive in them. */
const histories = fc
  .record({
    start: fc.integer({ min: 0, max: 2000 }),
    odometer: fc.integer({ min: 5_000, max: 250_000 }),
    steps: fc.array(fc.record({ days: fc.integer({ min: 1, max: 200 }), pace: fc.integer({ min: 5, max: 90 }) }), {
      maxLength: 8,
    }),
    modelYear: fc.option(fc.integer({ min: 2005, max: 2020 }), { nil: undefined }),
    milesPerYear: fc.option(fc.integer({ min: 3_000, max: 40_000 }), { nil: undefined }),
    ahead: fc.integer({ min: 300, max: 30_000 }),
    wait: fc.integer({ min: 0, max: 400 }),
  })
  .map(({ start, odometer, steps, modelYear, milesPerYear, ahead, wait }) => {
    const readings = [{ date: addDays('2020-01-01', start), miles: odometer }];
    for (const { days, pace } of steps) {
      const last = readings.at(-1) ?? { date: '', miles: 0 };
      readings.push({ date: addDays(last.date, days), miles: last.miles + days * pace });
    }
    const last = readings.at(-1) ?? { date: '', miles: 0 };
    const today = addDays(last.date, wait);
    const request: ForecastRequest = { readings, today, dueMiles: last.miles + ahead };
    if (modelYear !== undefined) request.modelYear = modelYear;
    if (milesPerYear !== undefined) request.milesPerYear = milesPerYear;
    return { request, last };
  });

const check = <T extends unknown[]>(property: fc.IProperty<T>) => fc.assert(property, { numRuns: 150 });

describe('every forecast', () => {
  it('has its quantiles in order and never runs backwards from the last believed reading', () => {
    check(
      fc.property(histories, ({ request }) => {
        const { milesToday, dueDate, probabilityDue, rejected } = forecast(request);
        const bad = new Set(rejected.map(({ miles }) => miles));
        const believed = request.readings.filter(({ miles }) => !bad.has(miles)).at(-1)?.miles ?? 0;
        const date = (value: string | null) => value ?? '9999-12-31';
        expect(milesToday.p10).toBeLessThanOrEqual(milesToday.p50);
        expect(milesToday.p50).toBeLessThanOrEqual(milesToday.p90);
        expect(milesToday.p10).toBeGreaterThanOrEqual(believed);
        expect(date(dueDate.p10) <= date(dueDate.p50) && date(dueDate.p50) <= date(dueDate.p90)).toBe(true);
        expect(date(dueDate.p10) >= request.today).toBe(true);
        expect(probabilityDue).toBeGreaterThanOrEqual(0);
        expect(probabilityDue).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('has exactly one next step, today or later', () => {
    check(
      fc.property(histories, ({ request }) => {
        const { ask: question, offer } = forecast(request).next;
        expect((question === null) !== (offer === null)).toBe(true);
        expect((question ?? offer ?? '') >= request.today).toBe(true);
      }),
    );
  });

  it('moves on with time: more miles, likelier due, and never surer of either than before', () => {
    check(
      fc.property(histories, fc.integer({ min: 1, max: 200 }), ({ request }, days) => {
        const now = forecast(request);
        const later = forecast({ ...request, today: addDays(request.today, days) });
        expect(later.milesToday.p10).toBeGreaterThanOrEqual(now.milesToday.p10);
        expect(later.milesToday.p50).toBeGreaterThanOrEqual(now.milesToday.p50);
        expect(later.milesToday.p90).toBeGreaterThanOrEqual(now.milesToday.p90);
        expect(later.probabilityDue).toBeGreaterThanOrEqual(now.probabilityDue - 3e-4);
        const width = ({ milesToday }: typeof now) => milesToday.p90 - milesToday.p10;
        expect(width(later)).toBeGreaterThanOrEqual(width(now));
      }),
    );
  });

  it('is due later where the mark lies further on', () => {
    check(
      fc.property(histories, fc.integer({ min: 1, max: 20_000 }), ({ request }, miles) => {
        const near = forecast(request);
        const far = forecast({ ...request, dueMiles: request.dueMiles + miles });
        for (const quantile of ['p10', 'p50', 'p90'] as const) {
          expect((far.dueDate[quantile] ?? '9999') >= (near.dueDate[quantile] ?? '9999')).toBe(true);
        }
        expect(far.probabilityDue).toBeLessThanOrEqual(near.probabilityDue);
      }),
    );
  });

  it('names the first day on which the truck is due with the stated probability', () => {
    check(
      fc.property(histories, ({ request }) => {
        const { dueDate } = forecast(request);
        for (const [date, probability] of [
          [dueDate.p10, 0.1],
          [dueDate.p50, 0.5],
          [dueDate.p90, 0.9],
        ] as const) {
          if (date === null || date <= request.today) continue;
          expect(forecast({ ...request, today: date }).probabilityDue).toBeGreaterThanOrEqual(probability - 1e-6);
          const before = forecast({ ...request, today: addDays(date, -1) });
          expect(before.probabilityDue).toBeLessThan(probability + 1e-6);
        }
      }),
    );
  });
});
