import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const facts = (text: string) => read({ text, today: '2026-01-12' }, lexicon).facts;

describe('symptoms in words that the lexicon had not met', () => {
  it.each<[text: string, symptoms: string[], why: string]>([
    ['truck died at the light. my brother says its the pump', ['stalls'], 'the truck itself'],
    ['the truck just shut off going down the interstate and coasted', ['stalls'], 'while it was driven'],
    ['buzz in the floor from 55 on up, stops when I slow down', ['vibration'], 'a speed from which on'],
    ['steady shake through the seat past 65 with or without the trailer', ['vibration'], 'felt in the seat at a speed'],
    ['hear a rapping from the engine when cold', ['knock'], 'one more word for it'],
    ['it will not do over 50 on the flat with nothing behind it', ['loss-of-power'], 'a speed that it cannot do'],
    ["wouldn't pull over the pass yesterday, foot flat to the floor", ['loss-of-power'], 'no pulling over to the side'],
    ['se le va la fuerza subiendo la loma', ['loss-of-power'], 'power that goes away'],
    ['takes a good 15 seconds of cranking before she lights', ['hard-start'], 'how long it is cranked'],
    ['starts on the fourth try every morning', ['hard-start'], 'how often it is tried'],
    ['puff of blue for the first ten seconds after I start it', ['blue-smoke'], 'seconds of smoke are no long crank'],
    ['spins and spins, never lights', ['cranks-no-start'], 'cranking without an end'],
    ['da arranque bien pero no prende', ['cranks-no-start'], 'cranking in the south'],
    ["won't do anything but click when I turn the key", ['no-crank'], 'a click and no more'],
    [
      "in third the motor races and we don't go any faster",
      ['transmission-slip'],
      'the engine goes and the truck does not',
    ],
    ['my gauge at the filter head reads 3 pounds, used to be 12', ['low-fuel-pressure'], 'what it read before'],
    ['put a cookie sheet under it and there was oil in it in the morning', ['oil-leak'], 'what is put under it'],
    ["there's a puddle under the front, neighbor says it is motor oil", ['oil-leak'], 'a spot, then what it is'],
    ['diesel running off the frame rail in a stream', ['fuel-leak'], 'fuel that runs'],
    ['its leakin desil by the tank', ['fuel-leak'], 'spelt as it sounds'],
    ['fuel spraying off the front of the motor and the cab reeks of it', ['fuel-leak', 'fuel-smell'], 'it is the fuel'],
    ['the coolant bottle empties itself every couple days', ['coolant-loss'], 'a bottle that empties'],
    ["I've put two gallons of antifreeze in since Monday", ['coolant-loss'], 'what was filled up since'],
    ['it wants to do its cleaning every day', ['frequent-regeneration'], 'regeneration by its effect'],
    ['light like a muffler full of dots is on', ['particulate-filter-warning'], 'the symbol'],
    ['down from 16 to 11 to the gallon since October', ['poor-economy'], 'from one figure to another'],
    ['used to see 17 to the gallon, lucky to see 12 now', ['poor-economy'], 'a past that is compared with'],
    ['steering wheel turns a good way before anything happens', ['steering-fault'], 'play in other words'],
    ['with the camper behind us the temp gauge climbed to H', ['overheating'], 'what is towed is no other truck'],
    ['se prendió el rojo de la batería', ['charging-fault'], 'the lamp left out'],
    ["I'm filling up every three days where it used to be every five", ['poor-economy'], 'how often it is filled'],
    ['turn the key, dash lights come on, nothing else', ['no-crank'], 'nothing beside the lamps'],
    ['takes forever to drop into reverse', ['transmission-slip'], 'a gear that comes late'],
    ['antes me daba 18 y ahora 12', ['poor-economy'], 'before and now'],
    ['hard starting again like before you fixed it', ['hard-start'], 'mended and back'],
    ['knocks like a man with a hammer and blows white smoke', ['knock', 'white-smoke'], 'where a comparison ends'],
    ['smoke from under the hood. Shut off. Everybody is out.', ['fire-or-smoke'], "the owner's own hand"],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it.each<[text: string, why: string]>([
    ["my combine driver quit yesterday so I can't get the truck to you till Saturday", 'a person who quits'],
    ['call me when the rain quits, need an oil change', 'the weather'],
    ['I turned the reminder texts off by accident, turn them back on', 'messages that are turned off'],
    ["cluster is dead on the bench, I can't power it up to see", 'the power of a panel'],
    ['touch wood nothing has broken yet, just want the oil changed', 'an idiom of luck'],
    ['fires right up, runs fine, just needs the filters', 'on the first try is no hard start'],
    ['is towing 8000 lbs hard on the transmission', 'what is hard on a part'],
    ["what's a fuel pressure test cost", 'work that is asked for by its name'],
    ['price for draining the separator?', 'work that is asked for by its name'],
    ['the steer got loose and I need to move my appointment', 'cattle'],
    [
      'hypothetically, a splash of gas in the tank. what goes first? does it knock?',
      'questions about what is supposed',
    ],
    ['my old truck did that and it was a bad brake, this one just needs filters', 'the truck before this one'],
    ['humo no sale, nomas quiero el cambio de aceite', 'a no behind its thing'],
    ['no smoke no knock before you ask, just due for fuel filters', 'what somebody does next'],
    ['hard start you guys fixed is still good, just need an oil change', 'still good is not back'],
    ['lost power at the house so my phone was dead, can we do Friday', 'the power of a house'],
    ['thanks for fixing the overheating, temp stays put now', 'thanked for'],
    ['running late, stuck in traffic behind a wreck that caught fire', 'what happened to others'],
    ['can I leave it running hot shot loads till Friday', 'a trade'],
    ['what temp should it run pulling a grade', 'a question in general'],
    ['does it hurt to let it idle all night', 'a question in general'],
  ])('%j tells of nothing: %s', (text) => {
    expect(facts(text).symptoms ?? []).toEqual([]);
  });

  it('denies what is said to be absent with the no behind it, and with a Scottish one', () => {
    expect(facts('humo no sale, nomas quiero el cambio de aceite').deniedSymptoms).toContain('black-smoke');
    expect(facts("there's nae smoke, it just wants filters").deniedSymptoms).toContain('white-smoke');
  });
});
