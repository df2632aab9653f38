import type { FactKey, Facts } from '../../../src/core/model/facts.ts';
import { SYMPTOMS, type Symptom } from '../../../src/core/model/ids.ts';
import { shopBook } from './flows.ts';

const { families } = shopBook().vehicles;
const distinct = <T>(values: T[]): T[] => [...new Set(values)];
const LITRES = distinct(families.map(({ litres }) => litres));
export const YEARS = Array.from({ length: 34 }, (_, index) => 1993 + index);

/** The trade's boundaries, with the mile before each: filter, oil, breather and kit intervals, and recent work. */
const BOUNDARIES = [1000, 5000, 7500, 10_000, 15_000, 20_000, 22_000, 22_500, 60_000, 67_500, 80_000, 100_000];
export const NEAR = [0, 1, ...BOUNDARIES.flatMap((miles) => [miles - 1, miles, miles + 1])];
const BREATHERS = [47_500, 62_500, 80_000, 95_000].flatMap((miles) => [miles - 2, miles - 1, miles, miles + 1]);
/** One code of each kind that the shop's table of codes tells apart, and one that it does not name. */
const CODES =
  'P0087 P0093 P008A P2269 P0300 P0380 P0401 P0299 P2463 P20EE P0128 P0524 P0562 P0700 C1234 U0100 P0500'.split(' ');

export type Key = Exclude<FactKey, 'vin' | 'deniedSymptoms' | 'intent' | 'unsure' | 'coverage' | 'inServiceDate'>;
const PASTS = ['lastFuelFilterMiles', 'lastOilChangeMiles', 'pumpFittedAtMiles'] as const;

/** Answers to one fact that tell the shop's rules apart, given the rest. */
export function answers(fact: Key, facts: Facts): readonly Facts[Key][] {
  const now = facts.odometerMiles;
  switch (fact) {
    case 'modelYear':
      return YEARS;
    case 'engineLitres':
      return [...LITRES, 29.9];
    case 'cylinders':
      return [3, 4, 5, 6, 8, 10];
    case 'layout':
      return ['V', 'I'];
    case 'fuel':
      return ['diesel', 'gasoline'];
    case 'odometerMiles': {
      const pasts = [0, ...PASTS.flatMap((past) => facts[past] ?? [])];
      return distinct([...BREATHERS, ...pasts.flatMap((past) => NEAR.map((miles) => past + miles))]);
    }
    case 'lastFuelFilterMiles':
    case 'lastOilChangeMiles':
    case 'pumpFittedAtMiles': {
      const then = now === undefined ? NEAR : [now + 1, ...NEAR.map((miles) => now - miles)];
      return then.filter((miles) => miles >= 0);
    }
    case 'oilChangeIntervalMiles': {
      const since = PASTS.flatMap((past) => (now === undefined ? [] : [now, now - (facts[past] ?? 0)]));
      const near = since
        .flatMap((miles) => [miles, miles / 2, miles / 3].map(Math.floor))
        .flatMap((miles) => [miles, miles + 1]);
      return distinct([0, 1, 5000, 7500, 10_000, 1_000_000, ...near]).filter((miles) => miles >= 0);
    }
    case 'symptoms':
      return [
        [],
        ...SYMPTOMS.map((symptom): Symptom[] => [symptom]),
        ['coolant-loss', 'white-smoke'],
        ['coolant-loss', 'no-crank'],
      ];
    case 'troubleCodes':
      return [[], ...CODES.map((code) => [code])];
    default:
      return [true, false];
  }
}

/** Every fact that can be asked for. */
export const ASKED: readonly Key[] = [
  'modelYear',
  'engineLitres',
  'cylinders',
  'layout',
  'fuel',
  'odometerMiles',
  'symptoms',
  'troubleCodes',
  'tows',
  'lastFuelFilterMiles',
  'lastOilChangeMiles',
  'oilChangeIntervalMiles',
  'breatherOriginal',
  'pumpProtected',
  'pumpReplaced',
  'pumpFittedAtMiles',
  'metalFound',
];
