import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string) => read({ text, today: '2026-01-12' }, lexicon).facts;

const BLACK = 'black-smoke';
const BLUE = 'blue-smoke';
const WHITE = 'white-smoke';

describe('what is denied', () => {
  it.each<[text: string, symptoms: string[], denied: string[], why: string]>([
    ['Engine knocks. Blue smoke no, black also no.', ['knock'], [BLACK, BLUE], 'a no behind its thing, and one more'],
    [
      'humo negro no, humo blanco tampoco, pero pierde fuerza',
      ['loss-of-power'],
      [BLACK, WHITE],
      'the same in Spanish',
    ],
    ['The smoke is black. It is neither white nor blue.', [BLACK], [BLUE, WHITE], 'each says no for itself'],
    ['it puffs white when cold. Not blue, not black.', [WHITE], [BLACK, BLUE], 'colours beside smoke that is told'],
    ['rolling coal under load, no blue or white though', [BLACK], [BLUE, WHITE], 'colours behind one no'],
    ['coolant leak no, oil leak also no', [], ['coolant-loss', 'oil-leak'], 'the little word begins a clause'],
    ['whistles under the hood at boost, no smoke tho', ['turbo-noise'], [BLACK, BLUE, WHITE], 'no smoke, not no fire'],
    [
      'oil slick where I park. Oil pressure held, never dropped',
      ['oil-leak'],
      ['low-oil-pressure'],
      'of the thing itself',
    ],
    [
      'motor light is on and power is gone uphill',
      ['check-engine', 'loss-of-power'],
      [],
      'what is gone is the complaint',
    ],
    ['turbo got a new whistle. no smoke', ['turbo-noise'], [BLACK, BLUE, WHITE], 'a new sound is no new part'],
    ['turbo whistled, got a new turbo', [], [], 'a new part mends'],
  ])('%j tells of %j and denies %j: %s', (text, symptoms, denied) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual(denied);
  });
});

describe('two complaints in one breath, and one beside a price', () => {
  it.each<[text: string, symptoms: string[], why: string]>([
    ['It eats now 14 liter for 100, before it was 9', ['poor-economy'], 'so much now, so much then'],
    ['now 19 liters per 100 km, it was 14 in the spring', ['poor-economy'], 'so much now, so much then'],
    ['coolant needs 2 liters every 100 km, last year it was 1', ['coolant-loss'], 'litres of something else'],
    [
      'regens every 90 miles used to be 600 or so fuel mileage went to heck',
      ['frequent-regeneration', 'poor-economy'],
      'a figure ends what was',
    ],
    ['keeps wanting to clean the exhaust filter every ninety miles', ['frequent-regeneration'], 'no lamp is told'],
    [
      'the exhaust filter light is on and it regens constantly',
      ['frequent-regeneration', 'particulate-filter-warning'],
      'a lamp is told',
    ],
    ['Price for cleaning of soot filter? Lamp for it is on.', ['particulate-filter-warning'], 'its lamp, asked apart'],
    ['how much to clean the soot filter? check engine light is on', ['check-engine'], 'another lamp'],
    ['how much for an oil pan gasket? its drippin all over my driveway', ['oil-leak'], 'it is the part asked for'],
    ['how much for a power steering pump? mines so loud when i turn', ['steering-fault'], 'mine is the part asked for'],
    ['how much for an oil pan gasket?', [], 'a part alone complains of nothing'],
    ['how much for a power steering pump? mine is at the shop', [], 'mine, without a noise'],
    ['alternator wont keep the batteries up, exhaust smell in cab', ['charging-fault', 'exhaust-smell-in-cab'], 'both'],
    ['boiling over, had to dump 2 gal of coolant in', ['coolant-loss', 'overheating'], 'both'],
    ['se prendio el foco del motor y suben y bajan las vueltas solas', ['check-engine', 'surging'], 'both'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });
});
