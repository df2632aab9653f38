import { describe, expect, it } from 'vitest';
import { odometerList } from '../../../src/core/converse/fleet.ts';
import { compileFlows } from '../../../src/core/mod.ts';
import { readFlowsFolder } from '../../../src/flows-folder.ts';

const checked = compileFlows(readFlowsFolder());
if (!checked.ok) throw new Error('flows/ is not sound');
const { fleetList, itemList } = checked.value.talk.questions;

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
    [
      'unidad 4 tiene 120300, unidad 7 marca 98200 millas',
      [
        ['4', '120300'],
        ['7', '98200'],
      ],
      'in Spanish',
    ],
    ['unit 4 leaks oil', [], 'no number of miles'],
    ['2017 6.7 V8 with 92k', [], 'no unit'],
  ])('%s', (said, pairs) => {
    expect(odometerList(said, fleetList).map(({ unit, number }) => [unit, number])).toEqual(pairs);
  });
});

describe('an answer that picks items by number', () => {
  it.each<[said: string, picks: boolean]>([
    ['1', true],
    ['1 and 3', true],
    ['only 1, 2 & 4.', true],
    ['yes to 2', true],
    ['solo 1 y 3', true],
    ['sí a la 1', true],
    ['yes', false],
    ['2 weeks', false],
    ['97000', false],
  ])('%j: %s', (said, picks) => {
    expect(itemList.test(said)).toBe(picks);
  });
});
