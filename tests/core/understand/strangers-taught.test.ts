import { describe, expect, it } from 'vitest';
import type { ReadRequest } from '../../../src/core/model/reading.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

// 2026-01-12 is a Monday.
const facts = (text: string, asked?: ReadRequest['asked']) =>
  read({ text, today: '2026-01-12', ...(asked ? { asked } : {}) }, lexicon).facts;

describe('rules that what strangers wrote has taught, in other words than theirs', () => {
  it.each<[asked: ReadRequest['asked'], text: string, expected: object, why: string]>([
    [
      'wantedTime',
      'martes 20',
      { wantedTime: { date: '2026-01-20', part: 'any' } },
      'a day of the month after a weekday',
    ],
    ['wantedTime', 'thursday 22', { wantedTime: { date: '2026-01-22', part: 'any' } }, 'too big for an hour'],
    ['milesPerYear', '600 miles every 2 weeks', { milesPerYear: 15_600 }, '26 fortnights in 52 weeks'],
    ['milesPerYear', '500 millas cada dos semanas', { milesPerYear: 13_000 }, 'in Spanish'],
    ['milesPerYear', '900 miles every other week', { milesPerYear: 23_400 }, 'every second week'],
    ['odometerMiles', 'seventy niner thousand', { odometerMiles: 79_000 }, 'as spoken on the radio'],
    ['modelYear', 'mil novecientos noventa y nueve', { modelYear: 1999 }, 'a year in words is no mileage'],
    ['modelYear', 'the last of the old body so 2009?', { modelYear: 2009, unsure: ['modelYear'] }, 'asked back'],
    ['confirm', 'no pues sí', { answer: 'yes' }, 'a no that only begins'],
    ['tows', 'not sure, windshield is cracked', {}, 'incidental trouble is no complaint'],
    ['breatherOriginal', 'nah swapped it last spring', { breatherOriginal: false }, 'a no with what was done'],
    ['odometerMiles', '64,210. No, wrong line: 64,810.', { odometerMiles: 64_810 }, 'a no that begins a sentence'],
    [
      'wantedTime',
      'any time on the 20th, mornings are best',
      { wantedTime: { date: '2026-01-20', part: 'morning' } },
      'the half of the day that is said after any time',
    ],
    ['symptoms', 'nada más gotea aceite', { symptoms: ['oil-leak'] }, 'nothing but this'],
    ['engine', "it's a diesel, not the new gas one", { fuel: 'diesel' }, 'what stands between not and gas'],
  ])('%s: %j is %j: %s', (asked, text, expected) => {
    expect(facts(text, asked)).toMatchObject(expected);
    if (Object.keys(expected).length === 0) expect(facts(text, asked).symptoms).toBeUndefined();
  });

  it.each<[text: string, symptoms: string[], why: string]>([
    ['sin tocar el pedal el motor sube y baja solo', ['surging'], 'doing without one thing denies nothing of the next'],
    ['sin humo', [], 'without smoke there is none'],
    [
      'it had to be stopped with the brakes, it was revving to the moon by itself with the key off',
      ['runaway'],
      'brakes that were used',
    ],
    ['pull over dont drive it the brake pedal drops to the floor', ['brake-fault'], 'a not that has its own object'],
    ['Denies knock, oil leak, overheating. It smokes black under load.', ['black-smoke'], 'a list after denies'],
    ['idles at 600 comma oil pressure gauge reads zero period', ['low-oil-pressure'], 'marks that were dictated'],
    ['puffs blue out the back when it starts', ['blue-smoke'], 'the back of the truck is no time'],
    ['Overheated in 2017, new radiator then. Oil leak now', ['oil-leak'], 'a year that is over'],
    ['not perfume i smell its diesel in the cab', ['fuel-smell'], 'what it is after what it is not'],
    ['coolant leak, no codes', ['coolant-loss'], 'a no that has its own thing denies nothing before it'],
    ['not worried about that, but it is hard to start', ['hard-start'], 'what follows a but is told'],
    ['sat for a year, what do i do before starting it', [], 'before starting is no long start'],
    ['the tractor leaks diesel, the truck just needs filters', [], 'another machine'],
    ['we sold it, stop pinging me please', [], 'the words of another wish'],
    ['the gauge for the oil dropped to zero at the stop sign', ['low-oil-pressure'], 'a place to stop'],
    ['oil leak at the pan. brakes and steering are fine', ['oil-leak'], 'praise beside a bare word of danger'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it.each<[text: string, intent: string, why: string]>([
    ['88,104 this morning', 'odometer', 'nothing but a reading'],
    [
      'It is a 2014 at 127,000 and I just got it. What should be done to it and when?',
      'service',
      'a reading inside a question',
    ],
    ['Estimado señor, la camioneta pierde aceite', 'service', 'a greeting is no estimate'],
    ['does a person need the kit on a 2015', 'service', 'a person is anybody'],
    ['no dejen de mandarme los avisos', 'opt-in', 'not to stop'],
    ['take that def stuff off my truck', 'tamper', 'taking off in two words'],
    ['Stop. We mean it.', 'opt-out', 'a first sentence that is known'],
    ['please take me off of whatever sends this every month', 'opt-out', 'off a list, not off a day'],
    ['is 300 dollars fair for an oil change', 'price', 'what is asked of a sum'],
    ['do not message do not text', 'opt-out', 'a wish that begins with its own no'],
  ])('%j is wished as %s: %s', (text, intent) => {
    expect(facts(text).intent).toBe(intent);
  });

  it.each<[text: string, expected: object, why: string]>([
    [
      'injectors done at 141,200, now 160 ish',
      { odometerMiles: 160_000, unsure: ['odometerMiles'] },
      'ish may be much',
    ],
    ['Seal repaired at 98,000. Needs an oil change.', { odometerMiles: undefined }, 'a mileage of work that was done'],
    ['Check it before a 2,500 mile trip', { odometerMiles: undefined }, 'a journey'],
    ['oil pressure gauge reads 12 when hot', { odometerMiles: undefined }, 'a pressure'],
    ['Tires have 12k on them. Brakes squeal.', { odometerMiles: undefined }, 'a mileage of a part'],
    ['about 140k on it, 139,870 to be exact', { odometerMiles: 139_870 }, 'the exact one of two'],
    ['rebuilt the transmission in spring 2016 6.7 188k', { odometerMiles: 188_000 }, 'right after year and engine'],
    [
      "Breather filter's the original, I believe.",
      { breatherOriginal: true, unsure: ['breatherOriginal'] },
      'a doubt that follows',
    ],
    ['filter change on a 2015 model', { modelYear: 2015 }, 'a model of a year'],
  ])('%j says %j: %s', (text, expected) => {
    const { odometerMiles, modelYear, breatherOriginal, unsure } = facts(text);
    expect({ odometerMiles, modelYear, breatherOriginal, unsure }).toMatchObject(expected);
  });

  it('denies the leak of fuel alone where fuel is smelt and no leak is found', () => {
    expect(facts('smells of raw diesel by the tank, there is no leak').deniedSymptoms).toEqual(['fuel-leak']);
  });

  it.each<[text: string, symptoms: string[], why: string]>([
    ['It leaked oil in 2025, new gasket then. Filters please', [], 'the year before the message is over'],
    ['Knocked in 2019, new injector then', [], 'a year long over'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it('takes a year for over by the day of the message', () => {
    const told = (today: string) =>
      read({ text: 'Lost all its coolant in 2027, new radiator then.', today }, lexicon).facts.symptoms;
    expect(told('2028-02-01')).toBeUndefined();
    expect(told('2027-02-01')).toEqual(['coolant-loss']);
  });

  it.each<[text: string, fact: object, why: string]>([
    ['es la mera verdad, quiero precio de los filtros', { symptoms: undefined }, 'an everyday word is no slip'],
    ['a cramped shed and a stork on the roof', { symptoms: undefined }, 'nor are these'],
    ['thirsty miles of gravel, filters please', { odometerMiles: undefined }, 'nor one near a number word'],
  ])('%j is read as it is written: %s', (text, fact) => {
    const { symptoms, odometerMiles } = facts(text);
    expect({ symptoms, odometerMiles }).toMatchObject(fact);
  });

  it.each<[asked: ReadRequest['asked'], text: string, expected: object, why: string]>([
    ['modelYear', 'aught nine', { modelYear: 2009 }, 'a nought by its old name'],
    ['modelYear', '2014. The lot told me 2015 but they were wrong', { modelYear: 2014 }, 'what is called wrong'],
    ['engine', 'six four vee eight', { engineLitres: 6.4, cylinders: 8, layout: 'V' }, 'the letter as it is spoken'],
    ['engine', 'es un seis litros V8', { engineLitres: 6, cylinders: 8 }, 'an article before whole litres'],
    ['engine', 'uno punto nueve litros', { engineLitres: 1.9 }, 'a number before its point'],
    ['lastFuelFilterMiles', '60 thousand, 60,250 to be exact', { lastFuelFilterMiles: 60_250 }, 'the exact one of two'],
    [
      'milesPerYear',
      '300 a week, less in winter but it averages out',
      { milesPerYear: 15_600, unsure: undefined },
      'the seasons are in it',
    ],
    ['milesPerYear', '300 a week in summer', { unsure: ['milesPerYear'] }, 'a part of the year alone'],
    ['odometerMiles', 'a hundred an twelve thousand six hundred', { odometerMiles: 112_600 }, 'an and without its d'],
    [
      'wantedTime',
      'between 14 and 18 february',
      { wantedTime: { from: '2026-02-14', to: '2026-02-18', part: 'any' } },
      'the month is told with the second day',
    ],
    [
      'wantedTime',
      'del 3 al 5 de mayo',
      { wantedTime: { from: '2026-05-03', to: '2026-05-05', part: 'any' } },
      'in Spanish',
    ],
    ['wantedTime', '0900 8 feb', { wantedTime: { date: '2026-02-08', part: 'morning' } }, 'an hour in four digits'],
    [
      'wantedTime',
      'friday before lunch, I have a dentist at 3',
      { wantedTime: { date: '2026-01-16', part: 'morning' } },
      'the hour of something else',
    ],
    [
      'wantedTime',
      'tuesday 9am to 3pm',
      { wantedTime: { date: '2026-01-13', part: 'any' } },
      'both ends of a span count',
    ],
    ['wantedTime', 'ask me when the boss is off and I will write you', { intent: undefined }, 'off, but no message is'],
    ['breatherOriginal', 'never had the cover off', { breatherOriginal: true }, 'what nobody opened'],
    ['breatherOriginal', 'it is not the original', { breatherOriginal: false }, 'its own no'],
    ['breatherOriginal', 'no, it has not been changed', { breatherOriginal: undefined }, 'a no that may mean either'],
    ['breatherOriginal', 'bought it new and nobody ever touched it', { breatherOriginal: true }, 'new is the truck'],
    ['tows', 'no, the other one pulls the camper', { tows: false }, 'the answer comes first'],
    ['tows', 'no, only a small camper in summer', { tows: undefined }, 'a no that is taken back'],
    ['breatherOriginal', 'they put a new one in at 75k', { odometerMiles: undefined }, 'a mileage of work'],
  ])('%s: %j holds %j: %s', (asked, text, expected) => {
    const got = facts(text, asked) as Record<string, unknown>;
    for (const [key, value] of Object.entries(expected)) expect(got[key]).toEqual(value);
  });

  it.each<[text: string, expected: object, why: string]>([
    ['Due for my 120,000 mile service, what is in it?', { odometerMiles: undefined }, 'the name of a service'],
    ['book me a service, 118,400 miles', { odometerMiles: 118_400 }, 'a reading beside the word'],
    ['it shakes whenever I get up to 60', { odometerMiles: undefined }, 'a speed'],
    ['revved to 4k on its own', { odometerMiles: undefined }, 'revolutions'],
    ['gets 7.5 to the gallon', { engineLitres: undefined }, 'what it burns'],
    ['the turbo was replaced 2019, it is a 2016', { modelYear: 2016 }, 'the year of the work'],
    ['need it serviced, 2014 6.7 V8, 88k', { modelYear: 2014, odometerMiles: 88_000 }, 'the truck after the work'],
    ['my 05 leaks', { modelYear: 2005 }, 'no other number begins with a nought'],
    ['my 10 speed slips', { modelYear: undefined }, 'a transmission'],
    ['el boost no pasa de 14', { modelYear: undefined }, 'a limit'],
    ['got a 2016 I think, 98,200 on it', { odometerMiles: 98_200, unsure: ['modelYear'] }, 'whose doubt it is'],
    ['the 6.4 and a hundred ten thousand miles', { engineLitres: 6.4, odometerMiles: 110_000 }, 'no change follows'],
    ['he claims it has 66k on it', { odometerMiles: 66_000, unsure: ['odometerMiles'] }, 'only claimed'],
    ['they put a new one in at 140k, now at 171,200', { odometerMiles: 171_200 }, 'work, then the reading'],
    ['is in kilometers, 210 400', { odometerMiles: 130_736 }, 'grouped by a space'],
    ['the reader says papa zero four zero one', { troubleCodes: ['P0401'] }, 'letters as they are spelt aloud'],
    ['2015 6.7 inline', { layout: 'I' }, 'the layout after the litres'],
    [
      'two thousand sixteen six point seven diesel',
      { modelYear: 2016, engineLitres: 6.7 },
      'the year, then the engine',
    ],
    ['what would filters run on a 6.7, my own oil', { engineLitres: 6.7 }, 'run is no distance here'],
    ['what is a filter on the 6.7?', { engineLitres: 6.7 }, 'the engine that is spoken of'],
  ])('%j gives %j: %s', (text, expected) => {
    const got = facts(text) as Record<string, unknown>;
    for (const [key, value] of Object.entries(expected)) expect(got[key]).toEqual(value);
  });
});
