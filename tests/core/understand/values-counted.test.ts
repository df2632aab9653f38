import { describe, expect, it } from 'vitest';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

const NUMBERS = [
  'modelYear',
  'engineLitres',
  'cylinders',
  'layout',
  'odometerMiles',
  'milesPerYear',
  'lastFuelFilterMiles',
  'lastOilChangeMiles',
] as const;

/** All numbers that an opening tells of the truck; a key with a question mark is to be confirmed. */
const numbersOf = (text: string): Record<string, unknown> => {
  const { facts } = read({ text, today: '2026-11-02' }, lexicon);
  const unsure = new Set<string>(facts.unsure ?? []);
  const told = NUMBERS.filter((key) => facts[key] !== undefined);
  return Object.fromEntries(told.map((key) => [unsure.has(key) ? `${key}?` : key, facts[key]]));
};
type Row = [text: string, numbers: Record<string, unknown>, why: string];

describe('work that is counted back from the odometer', () => {
  it.each<Row>([
    [
      'Fuel filter was done 12,000 miles ago, truck is at 96,000.',
      { odometerMiles: 96_000, lastFuelFilterMiles: 84_000 },
      'so many ago',
    ],
    [
      'Changed the oil 4,000 miles back, sitting at 88,500 now',
      { odometerMiles: 88_500, lastOilChangeMiles: 84_500 },
      'so many back',
    ],
    ['132,400 on it. Oil was changed 6k ago', { odometerMiles: 132_400, lastOilChangeMiles: 126_400 }, 'behind it'],
    [
      'its got 9,000 since the last oil change and reads 141,200',
      { odometerMiles: 141_200, lastOilChangeMiles: 132_200 },
      'since the work',
    ],
    [
      'The fuel filters have 15k on them and the truck has 150k',
      { odometerMiles: 150_000, lastFuelFilterMiles: 135_000 },
      'on the part',
    ],
    [
      '5,000 miles on this oil, 77,300 on the truck',
      { odometerMiles: 77_300, lastOilChangeMiles: 72_300 },
      'on the part, the other way round',
    ],
    [
      'how much for filters? last ones were 11k ago, im at 171,500',
      { odometerMiles: 171_500, lastFuelFilterMiles: 160_500 },
      'the work is named in the sentence before',
    ],
    [
      'Did oil 3 months and 4,000 miles ago. Shows 98,000',
      { odometerMiles: 98_000, lastOilChangeMiles: 94_000 },
      'a time beside it',
    ],
    [
      'cambie el filtro de combustible hace 12 mil millas, ahora trae 139,000',
      { odometerMiles: 139_000, lastFuelFilterMiles: 127_000 },
      'Spanish',
    ],
    [
      'trae 140 mil, lleva 8 mil millas desde el ultimo cambio de aceite',
      { odometerMiles: 140_000, lastOilChangeMiles: 132_000 },
      'Spanish, since the work',
    ],
    [
      'hace 10 mil millas que le cambiaron el filtro de diesel, va en 120,500',
      { odometerMiles: 120_500, lastFuelFilterMiles: 110_500 },
      'Spanish, the work behind',
    ],
    [
      'no se ha cambiado el filtro desde los 60 mil, trae 128 mil',
      { odometerMiles: 128_000, lastFuelFilterMiles: 60_000 },
      'not since: then it was done',
    ],
    [
      'oil has not been touched since 71,000, im at 84,000',
      { odometerMiles: 84_000, lastOilChangeMiles: 71_000 },
      'not since: then it was done',
    ],
    [
      "Oil hasn't been changed since we got her and that was at 60k. 88k now",
      { odometerMiles: 88_000, 'lastOilChangeMiles?': 60_000 },
      'not since it was bought: when it was done before nobody knows',
    ],
    ['changed the fuel filter 12k ago', {}, 'no odometer to count from'],
    ['Transmission was rebuilt 3,000 miles ago, 155,000 on it now', { odometerMiles: 155_000 }, 'other work'],
    ['oil light came on 200 miles ago, 155,000 on it now', { odometerMiles: 155_000 }, 'no work on the oil'],
    ['it started knocking 2,000 miles ago. 155,000. need an oil change', { odometerMiles: 155_000 }, 'a wish'],
    ['need oil and fuel filter. tires were done 10k ago. 99,000 on it', { odometerMiles: 99_000 }, 'what was done'],
    ['injectors have 40k on them and it has 150k', { odometerMiles: 150_000 }, 'on another part'],
    ['its been smoking since 60k, 128k now, filter hasnt been changed', { odometerMiles: 128_000 }, 'since a fault'],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('the same work more than once', () => {
  it.each<Row>([
    [
      'Oil was changed at 60,000 and then again at 65,500, its on 70,000 now',
      { odometerMiles: 70_000, lastOilChangeMiles: 65_500 },
      'the later one',
    ],
    [
      'fuel filter done at 88k, again at 103k. 115k on it',
      { odometerMiles: 115_000, lastFuelFilterMiles: 103_000 },
      'with nothing but an "again"',
    ],
    [
      'cambie el aceite a los 60,000 y otra vez a los 65,500, trae 70,000',
      { odometerMiles: 70_000, lastOilChangeMiles: 65_500 },
      'Spanish',
    ],
    [
      'Oil was changed at 60,000 and the brakes again at 65,500, now 70,000',
      { odometerMiles: 70_000, lastOilChangeMiles: 60_000 },
      'other work again',
    ],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('two works at one mileage', () => {
  it.each<Row>([
    [
      'filters and oil both done at 104k, 118,400 now',
      { odometerMiles: 118_400, lastFuelFilterMiles: 104_000, lastOilChangeMiles: 104_000 },
      'joined by an "and"',
    ],
    [
      'we changed both the oil and the fuel filter at 98k. 105k on her',
      { odometerMiles: 105_000, lastFuelFilterMiles: 98_000, lastOilChangeMiles: 98_000 },
      'the other way round',
    ],
    [
      'oil and fuel filters 6,000 miles ago, 118,400 now',
      { odometerMiles: 118_400, lastFuelFilterMiles: 112_400, lastOilChangeMiles: 112_400 },
      'counted back',
    ],
    [
      'filtros y aceite se cambiaron a los 98 mil, trae 105 mil',
      { odometerMiles: 105_000, lastFuelFilterMiles: 98_000, lastOilChangeMiles: 98_000 },
      'Spanish',
    ],
    [
      'oil and filter done at 98k, 105k now',
      { odometerMiles: 105_000, lastOilChangeMiles: 98_000 },
      'the filter of the oil',
    ],
    [
      'oil leak and fuel filter done at 98k, 105k now',
      { odometerMiles: 105_000, lastFuelFilterMiles: 98_000 },
      'a leak is no oil change',
    ],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('the unit of one number for the other', () => {
  it.each<Row>([
    [
      'Oil was done at 210,000, now 218,000 km',
      { odometerMiles: 135_459, lastOilChangeMiles: 130_488 },
      'kilometres behind the last one',
    ],
    [
      'it has 240,000 km. Fuel filter done at 228,000.',
      { odometerMiles: 149_129, lastFuelFilterMiles: 141_673 },
      'and behind the first',
    ],
    ['truck has 215,000 miles, the lake is 1,200 km away', { odometerMiles: 215_000 }, 'both units are told'],
    ['goes 400 km on a tank. 88,000 on the clock', { odometerMiles: 88_000 }, 'a short way tells no unit'],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('a pace that is reckoned up', () => {
  it.each<Row>([
    ['Wife figures about 1,100 miles a month.', { milesPerYear: 13_200 }, 'an estimate is what a pace is'],
    ['mi patron calcula unas 900 millas al mes', { milesPerYear: 10_800 }, 'Spanish'],
    ['i think about 15k a year but not sure', { 'milesPerYear?': 15_000 }, 'plainly in doubt'],
    ['25 miles each way to work 5 days a week', { milesPerYear: 13_000 }, 'there and back'],
    ['22 mi one way, monday thru friday', { milesPerYear: 11_440 }, 'the days by their names'],
    ['52 miles round trip, 4 days a week', { milesPerYear: 10_816 }, 'both ways are counted already'],
    ['40 millas de ida y vuelta de lunes a viernes', { milesPerYear: 10_400 }, 'Spanish'],
    ['40 miles a day so about 200 a week', { milesPerYear: 10_400 }, 'the second one needs no guess'],
    ['hago 50 millas diarias, o sea unas 250 a la semana', { milesPerYear: 13_000 }, 'Spanish'],
    ['works monday to friday, 40 miles a day', { milesPerYear: 10_400 }, 'the days before it'],
    ['can you do it monday to friday? i drive 40 miles a day', { 'milesPerYear?': 14_600 }, 'days of a visit'],
    ['the lake is 30 miles round trip', {}, 'no days'],
    ['1500 to 2000 miles a month', { 'milesPerYear?': 21_000 }, 'a range: its middle'],
    ['entre 300 y 400 millas a la semana', { 'milesPerYear?': 18_200 }, 'a range in Spanish'],
    ['cuts out at 60 to 70 miles an hour', {}, 'a range of speeds'],
    ['50 mph each way 5 days a week', {}, 'a speed'],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('which of two mileages the truck has', () => {
  it.each<Row>([
    [
      'Cluster was replaced at 120k and the new one shows 30k so 150k total',
      { odometerMiles: 150_000 },
      'all told, whatever it shows',
    ],
    [
      'odometer rolled over, says 38,200 but actual mileage is 138,200',
      { odometerMiles: 138_200 },
      'the actual one by its name',
    ],
    ['cambiaron el tablero, marca 22 mil, en total son 154 mil', { odometerMiles: 154_000 }, 'Spanish'],
    ['The cluster was swapped, it shows 12,400', { 'odometerMiles?': 12_400 }, 'nobody tells the sum'],
    ['about 205k, odo sticks', { 'odometerMiles?': 205_000 }, 'the instrument is off'],
    ['fuel gauge is broken and it has 120,000 miles', { odometerMiles: 120_000 }, 'another gauge is off'],
    ['14k total weight with trailer, 88,400 on it', { odometerMiles: 88_400 }, 'a sum of pounds'],
    [
      'The tractor has 3,100 hours and my wifes car 80,000 miles, but mine has 164,000',
      { odometerMiles: 164_000 },
      'other vehicles',
    ],
    ['The old truck went 300,000. This one is at 88,000.', { odometerMiles: 88_000 }, 'an earlier truck'],
    ['el carro de mi esposa tiene 80,000 millas pero mi troca trae 164,000', { odometerMiles: 164_000 }, 'Spanish'],
    [
      'The loader has 5,000 hours and the old dump truck 190,000 miles, but it is the pickup I am asking about and that has 88,400.',
      { odometerMiles: 88_400 },
      'the one that is asked about',
    ],
    ['guy is asking about 12,500 for it, 88,400 on it', { odometerMiles: 88_400 }, 'a price that is asked'],
    ['our service van has 212,000 on it', { odometerMiles: 212_000 }, 'a van that it is all about'],
    ['it has 81,000 and you told me to come back at 85,000', { odometerMiles: 81_000 }, 'what the shop told'],
    ['trae 81,000 y me dijeron que a las 85,000', { odometerMiles: 81_000 }, 'Spanish'],
    ['I put 96,000 on the form and it should be 69,000', { odometerMiles: 69_000 }, 'a correction'],
    ['I texted 112,300, that should read 121,300', { odometerMiles: 121_300 }, 'a correction by another word'],
    ['got 380 miles out of a tank, used to be 500. 120k on it', { odometerMiles: 120_000 }, 'how far a tank lasts'],
    ['solo dio 400 millas con ese tanque', {}, 'Spanish'],
    ['185 on it\nthousand i mean', { odometerMiles: 185_000 }, 'the thousands told behind'],
    [
      'need oil, now 138 500, last was 131 000',
      { odometerMiles: 138_500, lastOilChangeMiles: 131_000 },
      'thousands set apart by a space',
    ],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});

describe('years and engines that are only heard of', () => {
  it.each<Row>([
    ['its a 15\nmaybe 16\n6.7', { 'modelYear?': 2015, engineLitres: 6.7 }, 'a "maybe" right before another year'],
    ['2013 maybe 2014 with 120k', { 'modelYear?': 2013, odometerMiles: 120_000 }, 'in four digits'],
    ['its a 13, maybe 140k on it', { modelYear: 2013, odometerMiles: 140_000 }, 'what follows is no year'],
    ['its a 6.7 so im told', { 'engineLitres?': 6.7 }, 'hearsay'],
    ['es un 6.7 segun me dijeron', { 'engineLitres?': 6.7 }, 'Spanish'],
    ['six cylinders in a row, 5.9', { engineLitres: 5.9, cylinders: 6, layout: 'I' }, 'the layout in other words'],
    ['died 3 times in a row, 6.7', { engineLitres: 6.7 }, 'times in a row'],
    [
      'what would you take to rebuild the motor on a 2012, 6.7',
      { modelYear: 2012, engineLitres: 6.7 },
      'a price asked',
    ],
  ])('%s: %o, %s', (text, numbers) => {
    expect(numbersOf(text)).toEqual(numbers);
  });
});
