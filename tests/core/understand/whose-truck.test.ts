import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string) => read({ text, today: '2026-01-12' }, lexicon).facts;

describe('whose truck a message speaks of', () => {
  it.each<[text: string, symptoms: string[], why: string]>([
    ["it's for the work truck, leaks coolant under the water pump", ['coolant-loss'], 'an owner names his own so'],
    ['the farm truck never starts on cold mornings', ['cranks-no-start'], 'the never belongs to the complaint'],
    ['the old pickup smokes black', ['black-smoke'], 'old, and the only one'],
    ['my other truck needs work too, the pump whines', ['pump-whine'], 'one of two, and the only one spoken of'],
    ["Knocks when cold. The wife's truck, 2016, 6.7.", ['knock'], 'only named after its complaint'],
    ['la troca del trabajo se calienta mucho', ['overheating'], 'the truck of the work'],
    ['the work truck is fine but my pickup overheats', ['overheating'], 'the other one does well'],
    ['my other truck the gas one runs great, this diesel is hard to start', ['hard-start'], 'this against the other'],
    ['the farm truck never smoked. mine shakes at idle', ['rough-idle'], 'mine against the other'],
    ['it shimmies at sixty my other truck is fine', ['vibration'], 'told to its end before the other is named'],
    ['Turbo whistles. My husbands truck knocks too', ['turbo-noise'], 'a complaint of its own'],
    ['I sold my old truck because it leaked oil. The new one has a check engine light on.', ['check-engine'], 'sold'],
    ['it shimmies at sixty on my other truck. mine is fine', [], 'what belongs to the other before its name'],
    ['the work truck overheats. My own pickup just needs an oil change', [], 'set against the own'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it.each<[text: string, fact: 'modelYear' | 'engineLitres' | 'odometerMiles', value: number | undefined, why: string]>(
    [
      ["the work truck's a 2018 and it stalls", 'modelYear', 2018, 'an owner names his own so'],
      ['mileage on the work truck today is 148,620', 'odometerMiles', 148_620, 'an owner names his own so'],
      ['my old 2006 6.0 wont crank', 'engineLitres', 6, 'old, and the only one'],
      ['The engine shuts off. My old 6.0 never did this once.', 'engineLitres', undefined, 'another engine'],
      ['my old 6.0 leaked oil but this 6.7 leaks coolant', 'engineLitres', 6.7, 'this against the old one'],
      ['I handed her my old truck, a 2015. She says it loses power', 'modelYear', 2015, 'the only one spoken of'],
      ['White smoke. My other truck, a 2012, does not do this.', 'modelYear', undefined, 'another year'],
    ],
  )('%j tells %s as %j: %s', (text, fact, value) => {
    expect(facts(text)[fact]).toBe(value);
  });
});
