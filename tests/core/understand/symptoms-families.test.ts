import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string) => read({ text, today: '2026-01-12' }, lexicon).facts;

describe('whole families of wording', () => {
  it.each<[text: string, symptoms: string[], denied: string[], why: string]>([
    ['Starts hard cold. No drop in oil pressure at all', ['hard-start'], ['low-oil-pressure'], 'no to the drop'],
    ['knocking at idle, no trouble with the oil pressure', ['knock'], ['low-oil-pressure'], 'no to the trouble'],
    ['no loss of coolant', [], ['coolant-loss'], 'no to the loss'],
    ['Fuel pump whines. There is no lack of fuel pressure', ['pump-whine'], ['low-fuel-pressure'], 'no to the lack'],
    ['brakes grind, steering is good', ['brake-fault'], ['steering-fault'], 'the one part is fine'],
    ['turbo whines, plenty of power', ['turbo-noise'], ['loss-of-power'], 'more than enough of it'],
    [
      'surges at idle, fuel pressure is good',
      ['surging'],
      ['low-fuel-pressure'],
      'two words right before another part',
    ],
    ['knocks, oil pressure is good', ['knock'], ['low-oil-pressure'], 'the value is good'],
    ['hard start, no check engine light', ['hard-start'], ['check-engine'], 'what is denied is no likelier complaint'],
    ['oil drip off the pan, no issue with the temperature', ['oil-leak'], ['overheating'], 'no to the issue'],
  ])('%j tells of %j and denies %j: %s', (text, symptoms, denied) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual(denied);
  });

  it('denies with "no" what has no other word for its want', () => {
    expect(facts('there is no oil pressure').symptoms).toEqual(['low-oil-pressure']);
  });

  it.each<[text: string, symptoms: string[], why: string]>([
    ['truck wont crank no more, just one click', ['no-crank'], 'what it no longer can is the trouble'],
    ['she dont start no more, spins and spins', ['cranks-no-start'], 'what it no longer can is the trouble'],
    ['it dont pull no more, 40 up the hill', ['loss-of-power'], 'what it no longer can is the trouble'],
    ['it dont smoke no more', [], 'what it no longer does is over'],
    ['Fuel smell is gone. Still starts hard', ['hard-start'], 'still goes with the other complaint'],
    ['the knock went away. still drips oil', ['oil-leak'], 'still goes with the other complaint'],
    ['the knock is gone. check engine light still on', ['check-engine'], 'still behind the other complaint'],
    ['la direccion esta bien dura', ['steering-fault'], 'bien before a word is very'],
    ['anti-freeze dripping out the bottom', ['coolant-loss'], 'two words that are one'],
    ['engine awl drippin frum the back', ['oil-leak'], 'spelt as it sounds'],
    ['diesel runnin out from under the tank', ['fuel-leak'], 'the last letter of a doing left out'],
    ['woan turn over, jes clicks', ['no-crank'], 'spelt as it sounds'],
    ['phone battery died, what time was it again', [], 'another battery'],
    ['you fixed the oil leak and it still leaks oil', ['oil-leak'], 'still goes with the mended one'],
    ['son put gas in it, drove a mile and it quit', ['stalls', 'wrong-fuel'], 'the second of two'],
    ['oil light came on and now it hammers', ['knock', 'low-oil-pressure'], 'the second of two'],
    [
      'it used to do a regen about once a trip, now its two or three',
      ['frequent-regeneration'],
      'how often it was, how often it is',
    ],
    ['did 4 regens since Tuesday', ['frequent-regeneration'], 'a count in a short time'],
    ['used to get 18, now im at 12', ['poor-economy'], 'two figures without their unit'],
    ['mpg is straight trash now', ['poor-economy'], 'a word of scorn'],
    ['pedal is soft, cant get the air over 60 psi', ['brake-fault'], 'a pressure is no speed'],
    ['truck has an oil leak. the loader smokes black, another man sees to it', ['oil-leak'], 'another machine'],
    ['cant make it tomorrow, half the roof is off and i cant pull off the job', [], 'nothing pulls here'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it.each<[text: string, why: string]>([
    ['temp needle went up on the hill, might just be the weather', 'laid to something else'],
    ['may have smelled diesel in the garage, or it could have been the mower', 'laid to something else'],
    ['I may be getting a bit of exhaust in the cab, hard to say', 'not sure of what was noticed'],
    ['spot of oil on the driveway, might be my neighbors old car', 'laid to somebody else'],
  ])('%j is to be confirmed: %s', (text) => {
    const { symptoms, unsure } = facts(text);
    expect(symptoms === undefined || unsure?.includes('symptoms')).toBe(true);
  });
});
