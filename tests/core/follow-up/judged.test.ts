import { describe, expect, it } from 'vitest';
import { judged } from '../../../src/core/follow-up/mod.ts';

const logged = {
  vehicleId: 'truck-1',
  at: '2026-05-10T17:00:00.000Z',
  dueMiles: 100_000,
  p10: '2026-06-01',
  p50: '2026-07-01',
  p90: '2026-08-01',
  readings: [
    { date: '2026-05-02', miles: 97_000 },
    { date: '2026-06-21', miles: 99_000 },
    { date: '2026-07-21', miles: 101_000 },
  ],
};

describe('forecasts held against what came', () => {
  it('are made from the last reading before them and answered by the readings after', () => {
    const [one] = judged([logged]);
    expect(one?.forecast.from).toEqual({ date: '2026-05-02', miles: 97_000 });
    expect(one?.forecast.readings).toBe(1);
    // Half of the 2,000 miles between the two readings about the mark, so half of their 30 days.
    expect(one?.outcome).toEqual({ outcome: 'reached', on: '2026-07-06', until: '2026-07-21' });
  });

  it('count once where several were logged from the same reading for the same mark', () => {
    expect(judged([logged, { ...logged, at: '2026-05-20T17:00:00.000Z' }])).toHaveLength(1);
    expect(judged([logged, { ...logged, at: '2026-06-25T17:00:00.000Z' }])).toHaveLength(2);
    expect(judged([logged, { ...logged, dueMiles: 120_000 }])).toHaveLength(2);
  });

  it('are left out where no reading came before them', () => {
    expect(judged([{ ...logged, at: '2026-04-01T17:00:00.000Z' }])).toEqual([]);
  });
});
