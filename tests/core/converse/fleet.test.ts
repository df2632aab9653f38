import { describe, expect, it } from 'vitest';
import { odometerList } from '../../../src/core/converse/fleet.ts';

describe('an odometer list in one message', () => {
  it.each<[string, [unit: string, number: string][], string]>([
    [
      'unit 4 120300, unit 7 98,200',
      [
        ['4', '120300'],
        ['7', '98,200'],
      ],
      'as people write it',
    ],
    [
      'Unit 4: 120300\nUnit 7: 98200',
      [
        ['4', '120300'],
        ['7', '98200'],
      ],
      'a line each',
    ],
    [
      'truck #4 is at 120.3k and truck 7 has 98200 miles',
      [
        ['4', '120.3k'],
        ['7', '98200'],
      ],
      'in a sentence',
    ],
    ['unit A-12 = 61000', [['A-12', '61000']], 'units have letters too'],
    ['unit 4 leaks oil', [], 'no number of miles'],
    ['2017 6.7 V8 with 92k', [], 'no unit'],
  ])('%s', (said, pairs) => {
    expect(odometerList(said).map(({ unit, number }) => [unit, number])).toEqual(pairs);
  });
});
