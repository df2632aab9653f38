import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string) => read({ text, today: '2026-01-12' }, lexicon).facts;

const BLACK = 'black-smoke';
const BLUE = 'blue-smoke';
const WHITE = 'white-smoke';
const SMOKES = [BLACK, BLUE, WHITE];

describe('where a denial stands', () => {
  it.each<[text: string, symptoms: string[], denied: string[], why: string]>([
    ['Truck is hard to start. Smoke there is none.', ['hard-start'], SMOKES, 'the no ends the clause'],
    ['smoke I see none, but it loses power', ['loss-of-power'], SMOKES, 'somebody sees none'],
    ['stalls at lights. But knocking I hear none', ['stalls'], ['knock'], 'somebody hears none'],
    ['The motor has no power. Oil loses it not.', ['loss-of-power'], ['oil-leak'], 'the order of another language'],
    ['Engine knocks, but too hot becomes it not', ['knock'], ['overheating'], 'the order of another language'],
    ['I looked for leaks and found none. loses coolant', ['coolant-loss'], ['fuel-leak', 'oil-leak'], 'a search'],
    ['looked for smoke, saw none. lost power', ['loss-of-power'], SMOKES, 'a search in two clauses'],
    ['stalls. Any smoke? Not that I have seen.', ['stalls'], SMOKES, 'an answer that begins with not'],
    ['stalls. Overheating it isnt', ['stalls'], ['overheating'], 'a no that is part of a word'],
    ['stalls. The smell of fuel is not there', ['stalls'], ['fuel-smell'], 'that it is there'],
    ['se apaga. Busqué fugas y no encontré nada', ['stalls'], ['fuel-leak', 'oil-leak'], 'a search in Spanish'],
    ['se apaga. No he visto humo', ['stalls'], SMOKES, '“no he” answers nothing'],
    ['hard to start. check engine light: off.', ['hard-start'], ['check-engine'], 'off answers of a lamp'],
    [
      'check engine light is on no it is not flashing no it does not run rough at idle',
      ['check-engine'],
      ['rough-idle'],
      'an answering no begins another statement',
    ],
    [
      'loses power on grades. no smoke and no water in the fuel till now',
      ['loss-of-power'],
      [BLACK, BLUE, 'water-in-fuel', WHITE],
      'till now says since when nobody saw any',
    ],
    ['no smoke except white in the morning', [WHITE], [BLACK, BLUE], 'what is excepted is there'],
    ['No sale humo negro, nomas blanco', [WHITE], [BLACK], 'what is excepted is there, in Spanish'],
  ])('%j tells of %j and denies %j: %s', (text, symptoms, denied) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual(denied);
  });
});

describe('what is denied of a thing by its name', () => {
  it.each<[text: string, symptoms: string[], denied: string[], why: string]>([
    ['Whole truck shakes at 60. It is not the brakes.', ['vibration'], ['brake-fault'], 'a cause that it is not'],
    ['brakes squeal. its not the steering', ['brake-fault'], ['steering-fault'], 'a cause that it is not'],
    ["won't crank, just clicks. it isn't the battery", ['no-crank'], ['charging-fault'], 'a cause that it is not'],
    ['shakes at 60. Has nothing to do with the steering', ['vibration'], ['steering-fault'], 'no cause of it'],
    ['stalls. no hard starts', ['stalls'], ['hard-start'], 'a no that a mere hint would use up'],
    ['stalls. fuel pump is quiet', ['stalls'], ['pump-whine'], 'a part without its noise'],
    ['vibra a 60. No es la transmisión', ['vibration'], ['transmission-slip'], 'the same in Spanish'],
    ['stalls. I made sure I did not put gas in it', ['stalls'], ['wrong-fuel'], 'what was not filled in'],
    ['stalls. it is not gasoline, I pumped it myself', ['stalls'], ['wrong-fuel'], 'what was not filled in'],
    ['stalls. never put anything but diesel in it', ['stalls'], ['wrong-fuel'], 'what alone was filled in'],
    ['runs hot. coolant level stays full', ['overheating'], ['coolant-loss'], 'it is not going anywhere'],
    ['runs hot. I had him check the coolant and it never drops', ['overheating'], ['coolant-loss'], 'the same'],
    ['Se calienta pero no pierde anticongelante', ['overheating'], ['coolant-loss'], 'the same in Spanish'],
    ['it is leaking diesel, but not on fire', ['fuel-leak'], ['fire-or-smoke'], 'no fire, and no engine without spark'],
    ['runs hot, no smoke under the hood', ['overheating'], ['fire-or-smoke'], 'of that place alone'],
    ['Steering and brakes still fine. stalls', ['stalls'], ['brake-fault', 'steering-fault'], 'both still fine'],
    ['engine ticks, oil pressure steady at 45', ['knock'], ['low-oil-pressure'], 'a value that holds'],
    ['engine shakes at idle. transmission shifts fine', ['rough-idle'], ['transmission-slip'], 'it shifts fine'],
  ])('%j tells of %j and denies %j: %s', (text, symptoms, denied) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual(denied);
  });
});

describe('lamps that are dark, and what is over or another truck’s', () => {
  it.each<[text: string, symptoms: string[], denied: string[], why: string]>([
    ['La luz de «check engine» no está encendida. Tira aceite', ['oil-leak'], ['check-engine'], 'named in guillemets'],
    ['The "check engine" light is not on, but it stalls', ['stalls'], ['check-engine'], 'named in quotation marks'],
    ['battery light never came on. it stalls', ['stalls'], ['charging-fault'], 'a lamp that never came on'],
    [
      'regens every 60 miles. the filter light is not on',
      ['frequent-regeneration'],
      ['particulate-filter-warning'],
      'a lamp that is not on',
    ],
    [
      'The engine light went off on its own and has not come back. it stalls',
      ['stalls'],
      ['check-engine'],
      'off since then',
    ],
    [
      'My neighbor had metal in his fuel filter. Mine did not. it stalls',
      ['stalls'],
      ['metal-in-fuel'],
      'of the owner’s own truck',
    ],
    ['his truck smokes black, mine does not. it stalls', ['stalls'], [BLACK], 'of the owner’s own truck'],
  ])('%j tells of %j and denies %j: %s', (text, symptoms, denied) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual(denied);
  });
});

describe('a not that denies no symptom', () => {
  it.each<[text: string, symptoms: string[], why: string]>([
    ['no it smokes black all the time', [BLACK], 'it answers'],
    ['it never doesnt smoke black', [BLACK], 'two that affirm'],
    ['hasnt stopped smoking black since tuesday', [BLACK], 'what has not stopped is there'],
    ['cant go a day without it stalling', ['stalls'], 'no day without'],
    ['doesnt knock until its warm', ['knock'], 'from then on it does'],
    ['no smoke until it warms up, then white', [WHITE], 'from then on it does'],
    ['brakes there are none, went right to the floor', ['brake-fault'], 'a part that is not there'],
    ['power it has not', ['loss-of-power'], 'what a truck needs'],
    ['dpf light wont go off', ['particulate-filter-warning'], 'a lamp that stays on'],
    ['battery light isnt going out', ['charging-fault'], 'a lamp that stays on'],
    ['brakes squeal, not always', ['brake-fault'], 'now and then'],
    ['hot it knocks, cold it doesnt', ['knock'], 'now and then'],
    ['without any reason it stalls', ['stalls'], 'no reason is denied'],
    ['I cant live with this knocking', ['knock'], 'what nobody bears'],
    ['there is no stopping the oil leak', ['oil-leak'], 'what does not end'],
    ['oil light went off and came back on', ['low-oil-pressure'], 'a lamp that is back'],
    ['coolant isnt full, I add a gallon a week', ['coolant-loss'], 'it is going somewhere'],
    ['la direccion esta bien dura', ['steering-fault'], '“bien” says how hard it is'],
    ['transmission wont shift out of second', ['transmission-slip'], 'what it cannot do'],
    ['I put gas in it, not diesel', ['wrong-fuel'], 'what ought to have been filled in'],
    ['so it cranks and cranks and it never fires', ['cranks-no-start'], 'what it never does'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
    expect(facts(text).deniedSymptoms ?? []).toEqual([]);
  });

  it.each<[text: string, why: string]>([
    ['not sure if its the brakes or what, it shakes when I stop', 'nobody knows'],
    ['if its not the brakes what is it? it grinds when I stop', 'supposed'],
    ['its not just the brakes, it wanders too', 'more than those'],
    ['steering is fine cold but hard to turn when hot', 'fine until then'],
    ['My neighbor had a leak. Mine is not leaking fuel yet but it knocks', 'another trouble of the owner’s own'],
  ])('%j denies no other trouble: %s', (text) => {
    expect(facts(text).deniedSymptoms ?? []).not.toEqual(
      expect.arrayContaining([expect.stringMatching(/^(brake-fault|steering-fault|oil-leak|other)$/)]),
    );
  });
});

it('reads no end of messages from a message of the dash that is absent', () => {
  const { intent, deniedSymptoms } = facts('def countdown on the dash. No reduced power message yet.');
  expect(intent).toBe('service');
  expect(deniedSymptoms).toEqual(['reduced-power-message']);
});
