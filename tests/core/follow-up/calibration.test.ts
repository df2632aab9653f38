import { describe, expect, it } from 'vitest';
import { calibration, outcomeOf, pinballLoss, type LoggedForecast } from '../../../src/core/follow-up/calibration.ts';
import { addDays } from '../../../src/core/follow-up/days.ts';

const logged = (more: Partial<LoggedForecast> = {}): LoggedForecast => ({
  vehicleId: 'v1',
  at: '2026-05-02T16:00:00.000Z',
  from: { date: '2026-05-02', miles: 97_000 },
  readings: 3,
  dueMiles: 101_000,
  p10: '2026-07-10',
  p50: '2026-08-10',
  p90: '2026-09-20',
  ...more,
});

describe('the answer to a logged forecast', () => {
  it.each([
    [
      'lies on the line between the readings about the mark',
      [
        ['2026-08-01', 100_000],
        ['2026-08-31', 103_000],
      ],
      { outcome: 'reached', on: '2026-08-11' },
    ],
    ['is the day itself where the mark is read', [['2026-08-01', 101_000]], { outcome: 'reached', on: '2026-08-01' }],
    ['waits while the mark is not reached', [['2026-08-01', 100_000]], { outcome: 'not-yet', by: '2026-08-01' }],
    ['is unknown without a later reading', [], { outcome: 'unknown' }],
    [
      'is unknown where the readings about it lie too far apart to tell',
      [['2026-12-01', 104_000]],
      { outcome: 'unknown' },
    ],
    ['does not count readings from before the forecast', [['2026-01-01', 101_500]], { outcome: 'unknown' }],
  ] as const)('%s', (_case, readings, outcome) => {
    expect(
      outcomeOf(
        logged(),
        readings.map(([date, miles]) => ({ date, miles })),
      ),
    ).toMatchObject(outcome);
  });

  it('ends at a new instrument, whose numbers say nothing about the mark', () => {
    const readings = [
      { date: '2026-06-01', miles: 98_200 },
      { date: '2026-08-01', miles: 250_000, clusterReset: true },
    ];
    expect(outcomeOf(logged(), readings)).toEqual({ outcome: 'not-yet', by: '2026-06-01' });
  });
});

describe('the calibration of a log', () => {
  const rows = (days: number[], readings = 3) =>
    days.map((day) => ({
      forecast: logged({ readings }),
      outcome: { outcome: 'reached', on: addDays('2026-05-02', day), until: '2027-05-02' } as const,
    }));

  it('counts truths before, within and after the range, with a standard error, by number of readings', () => {
    const [all, one, , some] = calibration([...rows([50, 80, 100, 120, 140]), ...rows([200], 1)]);
    expect(all).toMatchObject({ group: 'all', answered: 6, waiting: 0, early: 1 / 6, late: 1 / 6 });
    expect(all?.within).toBeCloseTo(4 / 6, 12);
    expect(all?.standardError).toBeCloseTo(Math.sqrt(((4 / 6) * (2 / 6)) / 6), 12);
    expect(one).toMatchObject({ group: '1', answered: 1, late: 1 });
    expect(some).toMatchObject({ group: '3-4', answered: 5, early: 0.2, within: 0.8 });
  });

  it('counts a truck that is still short of the mark after its range as late, and one within it as waiting', () => {
    const [all] = calibration([
      { forecast: logged(), outcome: { outcome: 'not-yet', by: '2026-09-21' } },
      { forecast: logged(), outcome: { outcome: 'not-yet', by: '2026-09-01' } },
      { forecast: logged(), outcome: { outcome: 'unknown' } },
    ]);
    expect(all).toEqual({ group: 'all', answered: 1, waiting: 2, early: 0, within: 0, late: 1, standardError: 0 });
  });

  it('judges a range only when the readings go beyond it, or early answers would be counted before late ones can be', () => {
    const reached = (until: string) => ({ outcome: 'reached', on: '2026-07-01', until }) as const;
    const [all] = calibration([
      { forecast: logged(), outcome: reached('2026-09-20') },
      { forecast: logged(), outcome: reached('2026-09-19') },
      { forecast: logged({ p90: null }), outcome: reached('2027-05-02') },
    ]);
    expect(all).toMatchObject({ answered: 1, waiting: 2, early: 1 });
  });

  it('knows the last day on the same instrument', () => {
    const readings = [
      { date: '2026-08-01', miles: 101_000 },
      { date: '2026-10-01', miles: 103_000 },
      { date: '2026-11-01', miles: 200, clusterReset: true },
    ];
    expect(outcomeOf(logged(), readings)).toEqual({ outcome: 'reached', on: '2026-08-01', until: '2026-10-01' });
  });

  it('says nothing about shares where nothing is answered', () => {
    expect(calibration([])[0]).toEqual({ group: 'all', answered: 0, waiting: 0 });
  });

  it('takes the pinball loss of ln days: a forecast that was right loses least', () => {
    const exact = logged({ p10: '2026-08-10', p50: '2026-08-10', p90: '2026-08-10' });
    const right = calibration([
      { forecast: exact, outcome: { outcome: 'reached', on: '2026-08-10', until: '2027-05-02' } },
    ])[0];
    expect(right?.loss).toBe(0);
    const wrong = calibration([
      { forecast: exact, outcome: { outcome: 'reached', on: '2026-11-18', until: '2027-05-02' } },
    ])[0];
    expect(wrong?.loss).toBeCloseTo((Math.log(200 / 100) * (0.1 + 0.5 + 0.9)) / 3, 12);
  });

  it.each([
    ['below by one at 10 %', 9, 10, 0.1, 0.1],
    ['above by one at 10 %', 11, 10, 0.1, 0.9],
    ['below by two at the median', 8, 10, 0.5, 1],
  ])('weighs an error %s', (_case, forecast, truth, quantile, loss) => {
    expect(pinballLoss(forecast, truth, quantile)).toBeCloseTo(loss, 12);
  });
});
