import { describe, expect, it } from 'vitest';
import type { Symptom } from '../../../src/core/model/ids.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

/** Everyday ways to tell each complaint: common practice, no source. */
const COMPLAINTS: [symptom: Symptom, ways: string[]][] = [
  ['no-crank', ['just clicks when i turn the key', "won't crank", 'starter does nothing', 'dead, no crank at all']],
  ['cranks-no-start', ["cranks but won't start", "turns over but won't fire", 'cranks all day, never catches']],
  ['hard-start', ['hard to start in the morning', 'takes forever to start', 'long crank before it starts']],
  ['stalls', ['it stalls at lights', 'keeps dying on me', 'shuts off going down the road']],
  ['loss-of-power', ['no power going uphill', "it's gutless", 'lost power on the highway']],
  ['reduced-power-message', ['says engine power reduced', 'went into limp mode', 'reduced power message on the dash']],
  ['surging', ['the rpm goes up and down by itself', 'engine surges at cruise']],
  ['rough-idle', ['idles rough', 'shakes at idle']],
  ['knock', ['engine is knocking', 'a knock from the motor']],
  ['pump-whine', ['fuel pump is whining', 'whine from the high pressure pump']],
  ['black-smoke', ['blowing black smoke', 'black smoke out the tailpipe']],
  ['white-smoke', ['white smoke on cold start', 'blows white smoke']],
  ['blue-smoke', ['blue smoke out the exhaust', 'smokes blue']],
  ['fuel-smell', ['smells like diesel fuel', 'i smell raw fuel']],
  ['fuel-leak', ['leaking diesel', 'fuel dripping under the truck']],
  ['metal-in-fuel', ['metal in the fuel filter', 'found metal flakes in the fuel']],
  ['water-in-fuel', ['water in fuel light is on', 'water in the diesel']],
  ['wrong-fuel', ['put gas in it by mistake', 'filled it with gasoline']],
  ['check-engine', ['check engine light is on', 'engine light came on']],
  ['low-fuel-pressure', ['low fuel pressure', 'rail pressure is too low']],
  ['overheating', ["it's overheating", 'runs hot', 'temp gauge in the red']],
  ['coolant-loss', ['losing coolant', 'coolant leak', 'keeps needing antifreeze']],
  ['oil-leak', ['oil leak', 'leaking oil']],
  ['low-oil-pressure', ['oil pressure is low', 'oil pressure light came on']],
  ['exhaust-smell-in-cab', ['exhaust smell in the cab', 'fumes inside the cab']],
  ['frequent-regeneration', ['regens all the time', 'constant regens']],
  ['particulate-filter-warning', ['dpf light is on', 'particulate filter full message']],
  ['exhaust-fluid-warning', ['def light is on', 'exhaust fluid warning']],
  ['turbo-noise', ['turbo is whistling loud', 'turbo screams']],
  ['poor-economy', ['bad mpg lately', 'fuel mileage dropped']],
  ['runaway', ["engine ran away, wouldn't shut off", "it revs by itself and won't shut down"]],
  ['fire-or-smoke', ['smoke from under the hood', 'flames under the hood']],
  ['brake-fault', ['brakes are grinding', 'brake pedal goes to the floor']],
  ['steering-fault', ['steering is loose', 'hard to steer']],
  ['charging-fault', ['battery light is on', "alternator isn't charging"]],
  ['vibration', ['vibrates at 60', 'shakes on the highway']],
  ['transmission-slip', ['transmission slips', 'slips out of gear']],
];

type Facts = Partial<Record<'modelYear' | 'engineLitres' | 'odometerMiles', number>>;

/** Ways to put the truck beside the complaint, and what is told of the truck. */
const BESIDE: [write: (complaint: string) => string, facts: Facts, why: string][] = [
  [
    (it) => `2017 6.7 V8 diesel, 118k on it, ${it}`,
    { modelYear: 2017, engineLitres: 6.7, odometerMiles: 118_000 },
    'the truck first',
  ],
  [(it) => `${it}. 118k on it`, { odometerMiles: 118_000 }, 'the mileage behind it'],
  [(it) => `${it}, its a 2015 6.7`, { modelYear: 2015, engineLitres: 6.7 }, 'the truck behind it'],
  [
    (it) => `Hi, I've got a 2014 with 131,400 miles. ${it.charAt(0).toUpperCase()}${it.slice(1)}.`,
    { modelYear: 2014, odometerMiles: 131_400 },
    'in sentences',
  ],
  [(it) => `${it.toUpperCase()}! 98K MILES`, { odometerMiles: 98_000 }, 'in capitals'],
  [
    (it) => `can you look at my truck? ${it}. 6.7 with 92 thousand miles`,
    { engineLitres: 6.7, odometerMiles: 92_000 },
    'behind a question',
  ],
];

describe.each(BESIDE)('an everyday complaint beside its truck', (write, facts, why) => {
  it.each(COMPLAINTS.flatMap(([symptom, ways]) => ways.map((way) => [write(way), symptom] as const)))(
    `%j tells of %s (${why})`,
    (text, symptom) => {
      const { modelYear, engineLitres, odometerMiles, symptoms, unsure } = read({ text }, lexicon).facts;
      expect({ modelYear, engineLitres, odometerMiles, symptoms, unsure }).toEqual({
        ...{ modelYear: undefined, engineLitres: undefined, odometerMiles: undefined, unsure: undefined },
        ...facts,
        symptoms: [symptom],
      });
    },
  );
});
