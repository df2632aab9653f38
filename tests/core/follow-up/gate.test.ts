import { describe, expect, it } from 'vitest';
import { confirmReading, gate } from '../../../src/core/follow-up/gate.ts';

const steady = [
  { date: '2025-11-01', miles: 90_000 },
  { date: '2026-02-01', miles: 93_500 },
  { date: '2026-05-02', miles: 97_000 },
];
const intake = { modelYear: 2017, milesPerYear: 15_000 };

describe('the gate for a new reading', () => {
  it.each([
    ['what the pace leads to', '2026-08-01', 100_500],
    ['a rounded thousand below the last one, the same day', '2026-05-02', 96_500],
    ['a truck that stood for ten days', '2026-05-12', 97_000],
    ['a long trip', '2026-06-01', 101_500],
    ['a quiet summer', '2026-08-01', 97_900],
  ])('lets %s pass', (_case, date, miles) => {
    expect(gate(steady, { date, miles }, intake)).toEqual({ verdict: 'plausible' });
  });

  it.each([
    ['a lost digit', '2026-08-01', 10_050, 'lower-than-last', 100_850],
    ['an extra digit', '2026-08-01', 1_005_000, 'too-fast', 100_500],
    ['a changed digit', '2026-08-01', 160_500, 'too-fast', 100_500],
    ['kilometres', '2026-08-01', 161_740, 'too-fast', 100_500],
    ['the trip meter', '2026-08-01', 3_400, 'lower-than-last', 100_400],
    ['thousands left out', '2026-08-01', 100, 'lower-than-last', 100_000],
    ['the hundred thousand left out', '2026-08-01', 1_100, 'lower-than-last', 101_100],
  ])('doubts %s and proposes what was meant', (_case, date, miles, because, meant) => {
    const answer = gate(steady, { date, miles }, intake);
    expect(answer).toMatchObject({ verdict: 'suspicious', because });
    if (answer.verdict !== 'suspicious') return;
    expect(answer.expected).toBeGreaterThan(100_000);
    expect(answer.expected).toBeLessThan(102_000);
    expect(answer.alternatives.length).toBeGreaterThan(0);
    expect(answer.alternatives.length).toBeLessThanOrEqual(3);
    expect(Math.min(...answer.alternatives.map((one) => Math.abs(one.miles - meant)))).toBeLessThan(500);
  });

  it('doubts a truck that hardly moved in half a year', () => {
    const fast = [
      { date: '2025-11-01', miles: 90_000 },
      { date: '2026-01-01', miles: 98_000 },
      { date: '2026-03-01', miles: 106_000 },
      { date: '2026-05-02', miles: 114_000 },
    ];
    expect(gate(fast, { date: '2026-11-02', miles: 114_010 }, { milesPerYear: 48_000 })).toMatchObject({
      verdict: 'suspicious',
      because: 'too-slow',
    });
  });

  it('believes a first reading, which there is nothing to doubt by', () => {
    expect(gate([], { date: '2026-05-02', miles: 97_000 })).toEqual({ verdict: 'plausible' });
  });
});

describe('a doubted reading that the owner stands by', () => {
  it('drops the reading before it where the new one then fits', () => {
    const typo = [...steady, { date: '2026-07-01', miles: 109_200 }];
    const after = confirmReading(typo, { date: '2026-08-01', miles: 100_500 }, intake);
    // The gate had already set the typo aside, or drops it now: either way it is gone.
    expect(after.readings.map(({ miles }) => miles)).toEqual([90_000, 93_500, 97_000, 100_500]);
  });

  it('drops a wrong reading that had once been believed', () => {
    const believed = [...steady, { date: '2026-05-30', miles: 100_900 }];
    const after = confirmReading(believed, { date: '2026-06-10', miles: 98_400 }, intake);
    expect(after.outcome).toBe('previous-was-wrong');
    expect(after.dropped).toEqual([{ date: '2026-05-30', miles: 100_900 }]);
  });

  it.each([
    ['a lost digit', 8_407, 102_531],
    ['an extra digit', 840_700, 102_531],
  ])('drops the only reading, which had %s and nothing to doubt it by', (_slip, first, stoodBy) => {
    const only = { date: '2026-02-17', miles: first };
    const after = confirmReading([only], { date: '2027-02-02', miles: stoodBy }, intake);
    expect(after).toEqual({
      outcome: 'previous-was-wrong',
      readings: [{ date: '2027-02-02', miles: stoodBy }],
      dropped: [only],
    });
  });

  it('is a new instrument where nothing else explains it, and the next reading on it is plausible', () => {
    const after = confirmReading(steady, { date: '2026-08-01', miles: 1_200 }, intake);
    expect(after.outcome).toBe('new-cluster');
    expect(after.readings.at(-1)).toEqual({ date: '2026-08-01', miles: 1_200, clusterReset: true });
    expect(gate(after.readings, { date: '2026-10-01', miles: 3_600 }, intake)).toEqual({ verdict: 'plausible' });
    expect(gate(after.readings, { date: '2026-10-01', miles: 103_000 }, intake).verdict).toBe('suspicious');
  });

  it('is simply kept where the gate had no doubt', () => {
    expect(confirmReading(steady, { date: '2026-08-01', miles: 100_500 }, intake)).toMatchObject({
      outcome: 'fits',
      dropped: [],
    });
  });
});
