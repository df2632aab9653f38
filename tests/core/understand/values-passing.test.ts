import { describe, expect, it } from 'vitest';
import { told } from './reading.ts';

type Row = [text: string, wanted: Record<string, unknown>, why: string];

describe('a hedge between the year and the engine', () => {
  it.each<Row>([
    ['its a 2005 i think 6.0 diesel', { 'modelYear?': 2005, engineLitres: 6 }, 'right behind the year it doubts that'],
    ['2008 i think 6.4', { 'modelYear?': 2008, engineLitres: 6.4 }, 'with nothing else'],
    ['its a 99 model i think inline 6', { 'modelYear?': 1999, cylinders: 6, layout: 'I' }, 'a "model" between'],
    ['an 02 model i believe with the 7.3', { 'modelYear?': 2002, engineLitres: 7.3 }, 'little words behind it'],
    ['its a 6.7 i think 2015', { 'engineLitres?': 6.7, modelYear: 2015 }, 'the other way round'],
    ['i think its a 2011 6.7', { 'modelYear?': 2011, engineLitres: 6.7 }, 'before both it doubts the next one'],
    ['2017 i want to say, 6.7 inline', { 'modelYear?': 2017, engineLitres: 6.7 }, 'with a comma behind the hedge'],
    ['6.6 liter not sure what year, 130,000 miles', { odometerMiles: 130_000 }, 'what is doubted has its own name'],
    ['It is a 2014. i think 127k', { modelYear: 2014, 'odometerMiles?': 127_000 }, 'in a sentence of its own'],
    ['its a 2014 i think its got 97k', { 'odometerMiles?': 97_000 }, 'a statement of its own follows'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('a year right before an engine', () => {
  it.each<Row>([
    ['leaks oil up front 03 7.3 diesel', { modelYear: 2003, engineLitres: 7.3 }, 'at the end of a complaint'],
    ['shakes at highway speed 15 6.7 112k', { modelYear: 2015, odometerMiles: 112_000 }, 'without a nought'],
    ['shakes doing 65 6.7 diesel', { modelYear: null, engineLitres: 6.7 }, 'a speed'],
    ['limps at 20 6.7 diesel', { modelYear: null }, 'a speed, by the word before it'],
    ['coolant smell outside and not in the cab 99 7.3', { modelYear: 1999 }, 'a part of the truck is not numbered'],
    ['blew a hose on the interstate 2020 6.7 diesel', { modelYear: 2020 }, 'a road has no engine'],
    ['left it on interstate 2020', { modelYear: null }, 'the road alone'],
    ['unit 12 6.7 diesel wont start', { modelYear: null }, 'the number of a truck'],
    ['never howled like that before 2015 6.7 diesel', { modelYear: 2015 }, 'what ends the complaint dates no year'],
    ['never howled before 2015', { modelYear: null }, 'without an engine it does'],
    ['it is a ninety nine seven point three', { modelYear: 1999, engineLitres: 7.3 }, 'both in words'],
    ['its a fourteen six point seven', { modelYear: 2014, engineLitres: 6.7 }, 'two numbers, and no 146.7'],
    ['tengo una dos mil quince seis punto siete', { modelYear: 2015, engineLitres: 6.7 }, 'an article, and no 1,200'],
    ['es un seis punto siete ve ocho', { engineLitres: 6.7, cylinders: 8, layout: 'V' }, 'the letter as it is heard'],
    ['es del noventa y ocho', { modelYear: 1998 }, 'in words behind an article'],
    ['the temp is a ninety', { modelYear: null }, 'a temperature'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('numbers that are not those of the truck', () => {
  it.each<Row>([
    ['every week I put 2 litres and I do not see a drip', { engineLitres: null }, 'what is filled in'],
    ['I top up 3.0 litres every few days', { engineLitres: null }, 'what is filled in, in time'],
    ['it eats 6.5 litres on 100 now', { engineLitres: null }, 'what is burnt'],
    ['a 3 litre V6 diesel', { engineLitres: 3, cylinders: 6 }, 'an engine all the same'],
    ['2017 diesel. My old 6.0 never did this once.', { engineLitres: null, modelYear: 2017 }, 'an earlier truck'],
    ['My previous one, the 5.9, started easier', { engineLitres: null }, 'an earlier truck by another word'],
    ['unlike my old 7.3 this 2016 hates the cold', { engineLitres: null, modelYear: 2016 }, 'what it is compared with'],
    ['my brothers old 7.3 would start in any weather', { engineLitres: null }, 'told of then'],
    ['my old 6.0 is smoking again', { engineLitres: 6 }, 'the old truck that somebody has'],
    ['The oil pressure gauge, which has read 45 psi, now reads 12.', { 'odometerMiles?': null }, 'another gauge'],
    ['the gauge reads 12 now where it used to read 14 volts', { 'odometerMiles?': null }, 'told by what is behind it'],
    ['EGT shows 1300 on the grade', { odometerMiles: null }, 'a temperature in four digits'],
    ['the gauge normally shows 195 in temperature', { 'odometerMiles?': null }, 'a gauge by what it measures'],
    ['oil pressure is low, odometer reads 142k', { odometerMiles: 142_000 }, 'the odometer beside a pressure'],
    [
      'Oil runs down the housing. The flywheel was replaced at 88,000 miles.',
      { lastOilChangeMiles: null },
      'work on a thing that is named',
    ],
    [
      'The fuel filter receipt is here, it says it was changed at 70,114 miles',
      { lastFuelFilterMiles: 70_114 },
      'a word that points back names nothing',
    ],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('mileages said in passing', () => {
  it.each<Row>([
    ['checking in with the kms like you wanted: 181,250', { odometerMiles: 112_624 }, 'wanted by the shop, no price'],
    ['It has gone 410,000 km without a rebuild', { odometerMiles: 254_762 }, 'what it has gone in all'],
    [
      'price on fuel filters please previous ones were put in at sixty six thousand two hundred',
      { lastFuelFilterMiles: 66_200, odometerMiles: null },
      'work by the one before',
    ],
    ['he wanted 181,250 for it', { odometerMiles: null }, 'wanted for the truck'],
    ['It just went over 74,500 miles.', { odometerMiles: 74_500 }, 'no way that was gone'],
    ['it has run 275 000 km', { odometerMiles: 170_877 }, 'nor one that was run'],
    ['va para las doscientas mil millas', { odometerMiles: 200_000 }, 'and nothing that is due'],
    [
      'what would you charge for the fuel filters I did the last ones at one hundred and twenty eight thousand',
      { lastFuelFilterMiles: 128_000 },
      'the work stands between the price and the number',
    ],
    ['Please quote an oil change. The last was at 61,300.', { lastOilChangeMiles: 61_300 }, 'no last few miles'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('what is pulled', () => {
  it.each<Row>([
    ['it got hot pulling the big auger up from the creek', { tows: true }, 'a machine on wheels of its own'],
    ['whenever I draw a small caravan the fan roars', { tows: true }, 'a word for towing'],
    ['pulled the compressor belt off', { tows: null }, 'taken off'],
    ['no power when I haul the skid steer', { tows: true }, 'the no ends before the when'],
    ['no smoke whenever we tow the camper', { tows: true }, 'the same'],
    ['we never tow anything', { tows: false }, 'a no to the towing'],
    ['i pulled the plug and nothing came out', { tows: null }, 'nothing of what followed'],
    ['it overheats even when im not towing', { tows: null }, 'not at the moment tells of no other day'],
    ['sin jalar nada se calienta', { tows: null }, 'the same'],
    ['we quit towing with it years ago', { tows: null }, 'over'],
    ['it tows nothing', { tows: false }, 'nothing of what is towed'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});
