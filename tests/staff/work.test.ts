import { describe, expect, it } from 'vitest';
import type { ArrivalNote } from '../../src/core/mod.ts';
import { approved, arrivalOf, moreWork, servicesIn } from '../../src/staff/work.ts';

describe('more work, as staff write it', () => {
  it.each([
    [
      'EGR cooler leaks $700-900',
      [{ what: 'EGR cooler leaks', dollars: { low: 700, high: 900 } }],
      'one thing with a range',
    ],
    ['two hoses are soft $140', [{ what: 'two hoses are soft', dollars: { low: 140, high: 140 } }], 'one amount'],
    [
      'pan gasket $1,180 to $1,240; oil-service $90',
      [
        { what: 'pan gasket', dollars: { low: 1180, high: 1240 } },
        { what: 'oil-service', service: 'oil-service', dollars: { low: 90, high: 90 } },
      ],
      'several, and a service by its id alone',
    ],
    [
      'breather clogged crankcase-breather-filter $90',
      [{ what: 'breather clogged', service: 'crankcase-breather-filter', dollars: { low: 90, high: 90 } }],
      'a service beside the words',
    ],
  ])('%s', (said, items) => {
    expect(moreWork(said)).toEqual({ do: 'ask-approval', items });
  });

  it.each([
    ['', 'nothing'],
    ['EGR cooler leaks', 'what it costs is missing'],
    ['$700', 'what it is is missing'],
    ['EGR cooler $900-700', 'the ends are the wrong way round'],
    ['hoses $140; and the pan', 'one of them has no price: none is asked'],
  ])('%s is asked back: %s', (said) => {
    expect(moreWork(said)).toBe('staff-more-how');
  });
});

describe('what was said of more work, as staff write it down', () => {
  const record = { do: 'record-approval' };
  it.each([
    ['yes by phone Rosa Quint', { ...record, answer: 'yes', items: [], who: 'Rosa Quint', how: 'phone' }],
    ['no in person Rosa Quint', { ...record, answer: 'no', items: [], who: 'Rosa Quint', how: 'in-person' }],
    ['1, 3 in writing R. Quint', { ...record, answer: 'in-part', items: [0, 2], who: 'R. Quint', how: 'in-writing' }],
    ['2 signed Rosa Quint', { ...record, answer: 'in-part', items: [1], who: 'Rosa Quint', how: 'in-writing' }],
  ])('%s', (said, action) => {
    expect(approved(said)).toEqual(action);
  });

  it.each([
    ['yes', 'who and how are missing'],
    ['yes by phone', 'who is missing'],
    ['yes Rosa Quint', 'how is missing'],
    ['maybe by phone Rosa Quint', 'that is no answer'],
    ['', 'nothing'],
  ])('%s is asked back: %s', (said) => {
    expect(approved(said)).toBe('staff-approved-how');
  });
});

describe('what is taken down at arrival, as staff write it', () => {
  it.each<[string, ArrivalNote | undefined, string]>([
    ['', undefined, 'the truck is here and nothing more'],
    ['97,420', { odometerMiles: 97_420 }, 'a bare number is the odometer'],
    ['keys on hook 4; 97420 miles', { odometerMiles: 97_420, keys: 'on hook 4' }, 'in any order'],
    ['damage none', { damage: '' }, 'looked at, and none found'],
    ['damage left mirror cracked', { damage: 'left mirror cracked' }, ''],
    [
      'limit $300 Ann Lee; old parts no',
      { diagnosisLimit: { dollars: 300, signedBy: 'Ann Lee' }, oldPartsWanted: false },
      '',
    ],
  ])('%s', (said, arrival) => {
    expect(arrivalOf(said)).toEqual({ do: 'arrive', ...(arrival && { arrival }) });
  });

  it.each([
    ['97420; lunch at noon', 'a part that is none of these'],
    ['limit 300', 'nobody signed it'],
  ])('%s is asked back: %s', (said) => {
    expect(arrivalOf(said)).toBe('staff-here-how');
  });
});

describe('services in a text', () => {
  it('are those named by their ids, each once', () => {
    expect(servicesIn('Oil-Service, scan-diagnosis; oil-service and brakes')).toEqual([
      'scan-diagnosis',
      'oil-service',
    ]);
  });
});
