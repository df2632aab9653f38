import { describe, expect, it } from 'vitest';
import { compileFlows, outlookFor, type Facts, type Vehicle } from '../../src/core/mod.ts';
import { readFlowsFolder } from '../../src/flows-folder.ts';

const TODAY = '2027-02-02';
const AT = `${TODAY}T12:00:00.000Z`;
const checked = compileFlows(readFlowsFolder());
if (!checked.ok) throw new Error('flows/ is not sound');
const flows = checked.value;
const V8: Facts = { modelYear: 2018, engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel' };

const truck = (facts: Facts): Vehicle => ({
  id: 't',
  state: 'active',
  createdAt: AT,
  unknowable: [],
  records: [],
  readings: [{ id: 'r', miles: facts.odometerMiles ?? 0, date: TODAY, source: 'owner' }],
  facts: Object.entries(facts).map(([key, value]) => ({
    key,
    value,
    sure: true,
    source: 'owner',
    at: AT,
  })) as Vehicle['facts'],
});

describe('work that was never done, as far as is known', () => {
  it.each<[string, Facts, string, number]>([
    [
      'the kit before its mark',
      { pumpProtected: false, lastFuelFilterMiles: 70_000, odometerMiles: 72_000 },
      'pump-protection-kit',
      80_000,
    ],
    [
      'the kit within its marks',
      { pumpProtected: false, lastFuelFilterMiles: 80_000, odometerMiles: 84_000 },
      'pump-protection-kit',
      84_000,
    ],
    [
      'the kit long after',
      { pumpProtected: false, lastFuelFilterMiles: 140_000, odometerMiles: 141_000 },
      'pump-protection-kit',
      141_000,
    ],
    [
      'a filter nobody knows of, young truck',
      { pumpProtected: true, odometerMiles: 21_000 },
      'fuel-filter-service',
      22_000,
    ],
    [
      'a filter nobody knows of, past the first mark',
      { pumpProtected: true, odometerMiles: 23_000 },
      'fuel-filter-service',
      23_000,
    ],
  ])('%s is due at its mark, or now where that has passed', (_what, facts, service, miles) => {
    const outlook = outlookFor(truck({ ...V8, ...facts }), [], flows, TODAY);
    expect(outlook?.services).toContain(service);
    expect(outlook?.dueMiles).toBe(miles);
  });

  it('is offered once its mark has passed, and not before', () => {
    const next = (odometerMiles: number) =>
      outlookFor(truck({ ...V8, pumpProtected: true, odometerMiles }), [], flows, TODAY)?.next;
    expect(next(23_000)).toEqual({ ask: null, offer: TODAY });
    expect(next(8_000)?.offer).toBeNull();
  });
});
