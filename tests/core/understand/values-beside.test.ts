import { describe, expect, it } from 'vitest';
import { told } from './reading.ts';

type Row = [text: string, wanted: Record<string, unknown>, why: string];

describe('a year behind its engine', () => {
  it.each<Row>([
    ['its a 6.4 08', { modelYear: 2008, engineLitres: 6.4 }, 'with a nought'],
    ['6.7 diesel 14, wont start', { modelYear: 2014, engineLitres: 6.7 }, 'at the end of what is said'],
    ['6.7 v8 12, 143k', { modelYear: 2012, odometerMiles: 143_000 }, 'behind the cylinders, before the mileage'],
    ['7.3 diesel 99 smokes white', { modelYear: 1999 }, 'the end of a century, before the complaint'],
    ['5.9 inline six 06. knocks', { modelYear: 2006, cylinders: 6 }, 'behind the layout'],
    ['motor 6.7 diesel 15, no prende', { modelYear: 2015 }, 'in Spanish'],
    ['6.7 diesel 45', { modelYear: null }, 'a speed'],
    ['6.7 diesel 15 mpg', { modelYear: null }, 'counted'],
    ['6.7 v8, 12 volts at the battery', { modelYear: null }, 'measured'],
    ['6.7 V8 17 of us drive it', { modelYear: null }, 'what is said goes on'],
    ['5.9 12 valve', { modelYear: null }, 'a part of the engine'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('a year with a price before it', () => {
  it.each<Row>([
    ['costs on a 2016 crew cab diesel to do the filters', { modelYear: 2016 }, 'costs are of work on it'],
    ['quote for a 2010 with 6.7 please', { modelYear: 2010 }, 'a quote too'],
    ['i want to say 2015', { 'modelYear?': 2015 }, 'a hedge that holds a "want"'],
    ['i want to say its got 120 thousand', { 'odometerMiles?': 120_000 }, 'the same before a mileage'],
    ['I paid 2018 for it', { modelYear: null }, 'a price'],
    ['quoted me 2010 for injectors', { modelYear: null }, 'a price that somebody was told'],
    ['We bought it in 2016 with the inline six', { modelYear: null, cylinders: 6 }, 'when something happened'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('a year that is doubted', () => {
  it.each<Row>([
    ['6.7, a 12 or a 13 cant remember', { 'modelYear?': 2012 }, 'one of two'],
    ['its an 08 or 09', { 'modelYear?': 2008 }, 'the second one without an article'],
    ['6.7 diesel a 14 maybe a 15', { 'modelYear?': 2014 }, 'joined by a "maybe"'],
    ['es del 14 o del 15', { 'modelYear?': 2014 }, 'in Spanish'],
    ['i forget if its a 17 or 18', { 'modelYear?': 2017 }, 'the doubt comes first'],
    ['its a 2009 i beleive', { 'modelYear?': 2009 }, 'a hedge that is misspelt'],
    ['a 2017 i gess', { 'modelYear?': 2017 }, 'a letter missing in it'],
    ['somewhere around a 2012', { 'modelYear?': 2012 }, 'about when'],
    ['como del 2010', { 'modelYear?': 2010 }, 'about when, in Spanish'],
    ['i forget when, the oil was done at 80,000. 2014 6.7', { modelYear: 2014 }, 'another thing is forgotten'],
    ['the oil is thin, 2014 6.7', { modelYear: 2014 }, 'a word that is a letter off a hedge'],
    ['a 14 or 15 hour drive, it overheated', { modelYear: null }, 'hours'],
    ['its a 14 or 15k gross truck', { modelYear: null }, 'a weight'],
    ["mine's a '15 w/ 118k", { modelYear: 2015, odometerMiles: 118_000 }, 'a stroke that joins nothing'],
    ['deisal pickup, 2012', { fuel: 'diesel', modelYear: 2012 }, 'the fuel misspelt'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('a pace by its name', () => {
  it.each<Row>([
    ['Yearly distance: 18,000 miles', { milesPerYear: 18_000, odometerMiles: null }, 'a colon between'],
    ['Annual usage is 22k', { milesPerYear: 22_000, odometerMiles: null }, 'without a unit'],
    ['monthly distance is about 1,200 mi', { milesPerYear: 14_400 }, 'a month'],
    ['Miles per year: 16,000', { milesPerYear: 16_000, odometerMiles: null }, 'the period in its name'],
    ['Annual miles: 11,500. Odometer 98,200.', { milesPerYear: 11_500, odometerMiles: 98_200 }, 'beside the odometer'],
    ['recorrido anual 30,000 km', { milesPerYear: 18_641, odometerMiles: null }, 'in Spanish and kilometres'],
    ['we do 40k miles a year, 3 states', { milesPerYear: 40_000 }, 'what follows is no pace'],
    ['Annual inspection at 112,000 miles', { milesPerYear: null, odometerMiles: 112_000 }, 'an inspection'],
    ['annual fee was 14,500', { milesPerYear: null }, 'money'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('work that is written down with its mileage', () => {
  it.each<Row>([
    [
      'dad wrote oil 88,400 on the air box, odo says 93,112',
      { lastOilChangeMiles: 88_400, odometerMiles: 93_112 },
      'without an "at"',
    ],
    [
      'the tape on the dash says fuel filter 77,300 and the truck shows 90,120',
      { lastFuelFilterMiles: 77_300, odometerMiles: 90_120 },
      'the tape speaks, not the dash',
    ],
    [
      'The log reads: oil 91,200, fuel filter 80,500, odometer 96,010',
      { lastOilChangeMiles: 91_200, lastFuelFilterMiles: 80_500, odometerMiles: 96_010 },
      'a list',
    ],
    [
      'it says fuel filter at 60,300 and oil at 66,800. truck reads 70,412.',
      { lastFuelFilterMiles: 60_300, lastOilChangeMiles: 66_800, odometerMiles: 70_412 },
      '"it says" is no odometer where the work is named',
    ],
    [
      'Records show oil and filter at 90,000, fuel filter at 84,000',
      { lastOilChangeMiles: 90_000, lastFuelFilterMiles: 84_000 },
      'the oil and its filter',
    ],
    ['Written on the fuel filter: 101,500', { lastFuelFilterMiles: 101_500, odometerMiles: null }, 'on the part'],
    ['Need the oil done. Sticker has the last one at 88,200', { lastOilChangeMiles: 88_200 }, 'the last one'],
    ['The sticker says oil was last changed at 77,000', { lastOilChangeMiles: 77_000 }, 'what was done'],
    [
      "Last ones at 161,500, she's at 178,900. Just wants fuel filters.",
      { lastFuelFilterMiles: 161_500, odometerMiles: 178_900 },
      'the work is named behind it',
    ],
    [
      'mi papa escribio filtro de diesel 98,000 en una cinta, ahora tiene 112,400',
      { lastFuelFilterMiles: 98_000, odometerMiles: 112_400 },
      'in Spanish',
    ],
    ['Oil sticker says next due at 145,000', { lastOilChangeMiles: null, odometerMiles: null }, 'what is due'],
    [
      'how much for oil change and fuel filter its at 171500',
      { lastFuelFilterMiles: null, odometerMiles: 171_500 },
      'wanted work',
    ],
    ['oil light on at 120,000 miles', { lastOilChangeMiles: null, odometerMiles: 120_000 }, 'a light'],
    ['fuel filter light at 98,000', { lastFuelFilterMiles: null }, 'a light of the filter'],
    ['fuel filter is 12,000 miles overdue', { lastFuelFilterMiles: null, odometerMiles: null }, 'how late it is'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('what the truck had when it was come by', () => {
  it.each<Row>([
    ['I bought it in 2016 with 45 thousand on it. Now it has 121,500.', { odometerMiles: 121_500 }, 'another sentence'],
    ["Had 30 thousand on it when we got it and it's at 88,000", { odometerMiles: 88_000 }, 'in one sentence'],
    ['When my dad passed it had 90,000 on it. I am at 104,500.', { odometerMiles: 104_500 }, 'inherited'],
    ['started out with 15k on the clock and now 210k', { odometerMiles: 210_000 }, 'as new'],
    ['We bought this truck off a farmer in 2017, it had 62 thousand on it', { odometerMiles: null }, 'only then'],
    ['cuando me la dieron traia 50,000, ahora marca 77,300', { odometerMiles: 77_300 }, 'in Spanish'],
    ['it had 131,500 on it this morning', { odometerMiles: 131_500 }, 'a past that is today'],
    [
      'I just bought my first diesel, a 2016 with 88,300 miles',
      { modelYear: 2016, odometerMiles: 88_300 },
      'listed with the year',
    ],
    [
      "2011 6.7, I bought it the spring we moved, and it's at 121,000 and something",
      { odometerMiles: 121_000 },
      'told of now',
    ],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('miles that a warning counts down', () => {
  it.each<Row>([
    ['DEF light started a countdown, now it says 240 miles', { 'odometerMiles?': null }, 'a countdown'],
    ['Exhaust fluid low, 480 miles it says now', { 'odometerMiles?': null }, 'by what the warning is of'],
    ['no start in 50 miles it says', { 'odometerMiles?': null }, 'what comes then'],
    ['urea baja, dice 300 millas', { 'odometerMiles?': null }, 'in Spanish'],
    [
      'the message counts down, it is at 320 mi now. truck has 88,000',
      { odometerMiles: 88_000 },
      'the odometer beside it',
    ],
    ['dash says 98,400 miles and exhaust fluid low', { odometerMiles: 98_400 }, 'too many for a countdown'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('trouble codes with blanks, and codes that are taken back', () => {
  it.each<Row>([
    ['scanner gives P 0 4 0 1', { troubleCodes: ['P0401'] }, 'each sign by itself'],
    ['reader says p 20 ee', { troubleCodes: ['P20EE'] }, 'letters among the digits, where a reader is named'],
    ['put p 20 ee on the list', { troubleCodes: null }, 'no code is spoken of'],
    ["It's not P0401, it's P0404", { troubleCodes: ['P0404'] }, 'the first one is denied'],
    ['P0299, no wait, P0399', { troubleCodes: ['P0399'] }, 'corrected'],
    ['P0299 not P0399', { troubleCodes: ['P0299'] }, 'the second one is denied'],
    ['el codigo no es P0299, es P0399', { troubleCodes: ['P0399'] }, 'in Spanish'],
    ['P0299 but no power loss, P2263', { troubleCodes: ['P0299', 'P2263'] }, 'a no that belongs to a complaint'],
    ['P0299 never cleared, P2263 new', { troubleCodes: ['P0299', 'P2263'] }, 'a never that denies no code'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('what is towed', () => {
  it.each<Row>([
    ['it shudders wehn i pul the trialer', { tows: true }, 'misspelt'],
    ['smells hot when weve got the backhoe behind', { tows: true }, 'behind, and nothing behind what'],
    ['I pull a 40 ft flatbed with it', { tows: true }, 'by its length'],
    ['14,200 lb on the trailer and 600 miles to go', { tows: true, odometerMiles: null }, 'by its weight'],
    ['no jala nada mas que un camper', { tows: true }, 'a no that leaves a trailer'],
    ['con la retro atras se queda sin frenos', { tows: true }, 'in Spanish'],
    ['What do you suggest for a truck that pulls a camper every weekend?', { tows: true }, 'a habit in a question'],
    ['Can it pull a trailer every weekend?', { tows: null }, 'asked whether it can'],
    ['the skid steer behind the barn leaks', { tows: null }, 'behind a place'],
    ['guy behind me saw smoke', { tows: null }, 'somebody behind'],
    ['It does not pull any trailer', { tows: false, symptoms: null }, 'not, and no weakness'],
    ["doesn't pull a trailer, never has.", { tows: false, symptoms: null }, 'never'],
    ["I don't pull a trailer with it, just drive to work", { tows: false, symptoms: null }, 'by its owner'],
    ['no jala remolque, casi no se usa', { tows: false, symptoms: null }, 'in Spanish, and no weakness'],
    ["It's not a tow rig, never had a hitch", { tows: false }, 'what it is not'],
    ["it won't pull a trailer up the hill anymore", { symptoms: ['loss-of-power'] }, 'what it cannot is a weakness'],
    ["doesn't pull like it used to", { tows: null, symptoms: ['loss-of-power'] }, 'weaker than before'],
    ['ya no jala en las subidas', { tows: null, symptoms: ['loss-of-power'] }, 'weak, in Spanish'],
  ])('%s: %o, %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});
