import type { Facts } from '../../../src/core/model/facts.ts';
import { SYMPTOMS, type Symptom } from '../../../src/core/model/ids.ts';
import { shopBook } from './flows.ts';

/** A number from 0 to 1, the same row of them for the same seed. */
export type Dice = () => number;

/** Lehmer's generator with the multiplier and modulus of Park and Miller (1988). */
export function dice(seed: number): Dice {
  let state = (seed % 2_147_483_646) + 1;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

const pick = <T>(all: readonly T[], roll: Dice): T => all[Math.floor(roll() * all.length)] as T;

const CODES = ['P0087', 'P0299', 'P0401', 'P0300', 'P2463', 'P20EE', 'P0562', 'P0700', 'P2269', 'P0128', 'U0100'];

/** A made-up truck with every fact that can be asked for: its engine is one of the book's, its history fits its odometer. */
export function truckOf(roll: Dice): Facts {
  const diesel = shopBook().vehicles.families.filter(({ fuel }) => fuel === 'diesel');
  const gasoline = shopBook().vehicles.families.filter(({ fuel }) => fuel === 'gasoline');
  const family = pick(roll() < 0.95 ? diesel : gasoline, roll);
  const { from, to } = family.years;
  const odometerMiles = 5_000 + Math.floor(roll() * 195_000);
  const ago = (most: number): number => Math.max(0, odometerMiles - Math.floor(roll() * most));
  const complaint = roll() < 0.4 ? [] : [pick(SYMPTOMS, roll), ...(roll() < 0.3 ? [pick(SYMPTOMS, roll)] : [])];
  return {
    modelYear: from + Math.floor(roll() * ((to ?? 2026) - from + 1)),
    engineLitres: family.litres,
    cylinders: family.cylinders,
    layout: family.layout,
    fuel: family.fuel,
    odometerMiles,
    symptoms: [...new Set<Symptom>(complaint)].sort(),
    troubleCodes: roll() < 0.7 ? [] : [pick(CODES, roll)],
    tows: roll() < 0.5,
    lastFuelFilterMiles: ago(40_000),
    lastOilChangeMiles: ago(12_000),
    oilChangeIntervalMiles: pick([5_000, 7_500, 10_000], roll),
    breatherOriginal: roll() < 0.6,
    pumpProtected: roll() < 0.2,
    pumpReplaced: roll() < 0.15,
    pumpFittedAtMiles: roll() < 0.85 ? 0 : ago(100_000),
    metalFound: roll() < 0.03,
  };
}

/** What an owner may have told of a truck so far: often engine, odometer and complaint, seldom the rest. */
export function partOf(truck: Facts, roll: Dice): Facts {
  const often = ['modelYear', 'engineLitres', 'cylinders', 'layout', 'fuel', 'odometerMiles', 'symptoms'];
  const told = Object.entries(truck).filter(([key]) => roll() < (often.includes(key) ? 0.75 : 0.25));
  return Object.fromEntries(told);
}
