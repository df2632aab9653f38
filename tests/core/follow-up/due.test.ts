import { describe, expect, it } from 'vitest';
import { dueMilesOf, type ServiceInterval } from '../../../src/core/follow-up/due.ts';
import type { FactKey, FactRecord, Facts } from '../../../src/core/model/facts.ts';
import type { ServiceId } from '../../../src/core/model/ids.ts';
import type { ServiceRecord } from '../../../src/core/model/owner.ts';

/** 22,000 miles or every third oil change: common practice for the 6.7 L V8 diesel of the case. The rest is for the test. */
const intervals: ServiceInterval[] = [
  {
    service: 'fuel-filter-service',
    everyMiles: 22_000,
    everyOilChanges: 3,
    everyMonths: 24,
    includedIn: ['pump-protection-kit'],
  },
  { service: 'oil-service', everyMiles: 7_500, everyMonths: 12 },
  { service: 'crankcase-breather-filter', everyMiles: 67_500, firstAtMiles: 67_500 },
  { service: 'pump-protection-kit', firstAtMiles: 80_000, once: true },
];

const facts = (known: Facts): FactRecord[] =>
  Object.entries(known)
    .filter(([key]) => key !== 'unsure')
    .map(([key, value]) => ({
      key: key as FactKey,
      value: value as FactRecord['value'],
      source: 'owner',
      sure: !known.unsure?.includes(key),
      at: '2026-01-01T00:00:00.000Z',
    }));

const record = (date: string, odometerMiles: number, services: ServiceId[]): ServiceRecord => ({
  id: `s-${date}`,
  date,
  odometerMiles,
  services,
  findings: [],
  putOff: [],
  closedBy: 'Robin',
});

const due = (known: Facts, records: ServiceRecord[] = []) =>
  Object.fromEntries(
    dueMilesOf({ facts: facts(known), records }, intervals).map(({ service, ...rest }) => [service, rest]),
  );

describe('what falls due on a truck', () => {
  it('is nothing by mileage while nobody knows what was done when, but for what comes once', () => {
    expect(Object.keys(due({}))).toEqual(['pump-protection-kit']);
    expect(due({})['pump-protection-kit']).toMatchObject({ miles: 80_000, because: 'first-time' });
  });

  it.each([
    ['the filter by its miles', { lastFuelFilterMiles: 97_000 }, 119_000, 'miles'],
    [
      'by every third oil change where the owner changes oil sooner',
      { lastFuelFilterMiles: 97_000, oilChangeIntervalMiles: 5_000 },
      112_000,
      'oil-changes',
    ],
    [
      'by its miles where three oil changes take longer',
      { lastFuelFilterMiles: 97_000, oilChangeIntervalMiles: 10_000 },
      119_000,
      'miles',
    ],
  ])('counts %s', (_case, known, miles, because) => {
    expect(due(known)['fuel-filter-service']).toMatchObject({ miles, because });
  });

  it('leaves out what rests on a number that is still in doubt', () => {
    expect(
      due({ lastFuelFilterMiles: 97_000, unsure: ['lastFuelFilterMiles'] })['fuel-filter-service'],
    ).toBeUndefined();
  });

  it('starts the filter anew with the kit, whose work includes it', () => {
    const done = due({ lastFuelFilterMiles: 80_000 }, [record('2026-03-01', 98_400, ['pump-protection-kit'])]);
    expect(done['fuel-filter-service']).toMatchObject({
      miles: 120_400,
      date: '2028-03-01',
      since: { miles: 98_400, date: '2026-03-01' },
    });
    expect(done['pump-protection-kit']).toBeUndefined();
  });

  it('takes the last record of several, and the owner’s word where it is newer', () => {
    const records = [
      record('2026-03-01', 98_400, ['fuel-filter-service']),
      record('2024-02-01', 71_000, ['fuel-filter-service']),
    ];
    expect(due({}, records)['fuel-filter-service']?.since.miles).toBe(98_400);
    expect(due({ lastFuelFilterMiles: 105_000 }, records)['fuel-filter-service']?.since.miles).toBe(105_000);
    expect(due({ lastFuelFilterMiles: 60_000 }, records)['fuel-filter-service']?.since.miles).toBe(98_400);
  });

  it.each([
    ['a protected pump needs no kit', { pumpProtected: true }],
    ['a pump of another design needs no kit', { pumpReplaced: true }],
  ])('%s', (_case, known) => {
    expect(due(known)['pump-protection-kit']).toBeUndefined();
  });

  it('counts the kit’s first time from the day the present pump was fitted', () => {
    expect(due({ pumpFittedAtMiles: 60_000 })['pump-protection-kit']?.miles).toBe(140_000);
  });

  it('watches the breather from the factory only while it is that one', () => {
    expect(due({ breatherOriginal: true })['crankcase-breather-filter']).toMatchObject({ miles: 67_500 });
    expect(due({ breatherOriginal: false })['crankcase-breather-filter']).toBeUndefined();
    const changed = due({}, [record('2026-03-01', 98_400, ['crankcase-breather-filter'])]);
    expect(changed['crankcase-breather-filter']).toMatchObject({ miles: 165_900, because: 'miles' });
  });

  it('keeps the day of a shorter month at its end, as months count', () => {
    const done = due({}, [
      record('2025-08-31', 98_400, ['fuel-filter-service']),
      record('2024-02-29', 98_400, ['oil-service']),
    ]);
    expect(done['fuel-filter-service']?.date).toBe('2027-08-31');
    expect(done['oil-service']?.date).toBe('2025-02-28');
  });

  it('names what comes first by miles first', () => {
    const list = dueMilesOf(
      { facts: facts({ lastFuelFilterMiles: 97_000, lastOilChangeMiles: 97_000 }), records: [] },
      intervals,
    );
    const miles = list.map((service) => service.miles ?? Infinity);
    expect(miles).toEqual([...miles].sort((one, other) => one - other));
  });
});
