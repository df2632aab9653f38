import { describe, expect, it } from 'vitest';
import { facts } from './lexicon.ts';

describe('miles a year that were asked for: 52 weeks or 12 months to the year', () => {
  const asked = { asked: 'milesPerYear', today: '2026-08-02' } as const;
  it.each([
    ['15000', 15_000],
    ['15,000', 15_000],
    ['15k', 15_000],
    ['15k a year', 15_000],
    ['15k/yr', 15_000],
    ['15k per year', 15_000],
    ['about 15k', 15_000],
    ['fifteen thousand', 15_000],
    ['probly around 15 thousand', 15_000],
    ['15k ish', 15_000],
    ['15 thousand or so', 15_000],
    ['1,000 a month', 12_000],
    ['1000/month', 12_000],
    ['1k a month', 12_000],
    ['a thousand a month', 12_000],
    ['about twelve hundred a month', 14_400],
    ['1500 miles per month', 18_000],
    ['300 a week', 15_600],
    ['300 miles a week', 15_600],
    ['about 300/wk', 15_600],
    ['three hundred miles a week', 15_600],
    ['60 miles a day 5 days a week', 15_600],
    ['60 a day, 5 days a week', 15_600],
    ['50 miles a day six days a week', 15_600],
    ['i drive 15k', 15_000],
    ['we put 15k on it every year', 15_000],
    ['24000 km', 14_913],
    ['24,000 kilometers a year', 14_913],
    ['2000 km a month', 14_913],
    ['used to do 30k but now 15k', 15_000],
    ['30k before i retired, 15k now', 15_000],
    ['20k no 15k', 15_000],
    ['15k. its a 2016', 15_000],
    ['15 mil', 15_000],
    ['15 mil al año', 15_000],
    ['unas 15 mil millas por año', 15_000],
    ['mil al mes', 12_000],
    ['como mil millas al mes', 12_000],
    ['300 a la semana', 15_600],
    ['quince mil', 15_000],
    ['yearly about 15,000', 15_000],
  ])('%j is %i', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ milesPerYear: miles });
  });
  it.each([
    ['15', 15_000],
    ['fifteen', 15_000],
    ['10 to 20k', 15_000],
    ['between 10 and 20 thousand', 15_000],
    ['10-20k', 15_000],
    ['15k i think', 15_000],
    ['not sure, maybe 15k', 15_000],
    ['50 miles a day', 18_250],
    ['de 10 a 20 mil', 15_000],
  ])('%j is %i, to be confirmed', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ 'milesPerYear?': miles });
  });
  it.each(['hardly any', 'a lot', 'depends', 'its a weekend toy', 'two trips to the coast'])(
    '%j gives none',
    (text) => {
      const read = facts(text, asked);
      expect(read).not.toHaveProperty('milesPerYear');
      expect(read).not.toHaveProperty('milesPerYear?');
    },
  );
});

describe('miles a year in an opening message', () => {
  it.each([
    ['I drive 18,000 miles a year', 18_000],
    ['i run 110k a yr', 110_000],
    ['we only do about 5k a year', 5_000],
    ['put maybe 20k on it a year', 20_000],
    ['about 200 miles a week', 10_400],
    ['1,500 miles a month', 18_000],
    ['le meto 20 mil al año', 20_000],
    ['averaging 25,000 annually', 25_000],
  ])('%j is %i', (text, miles) => {
    expect(facts(text)).toMatchObject({ milesPerYear: miles });
  });
  it.each(['$200 a month', 'pay 12,000 a year for parts', 'twice a year', 'burns a quart a week'])(
    '%j gives none',
    (text) => {
      expect(facts(text)).not.toHaveProperty('milesPerYear');
    },
  );
});

describe('the last fuel filter that was asked for', () => {
  const asked = {
    asked: 'lastFuelFilterMiles',
    lastOdometerMiles: 97_214,
    lastReadingDate: '2026-08-01',
    today: '2026-08-02',
  } as const;
  it.each([
    ['85k', 85_000],
    ['85,200', 85_200],
    ['at 85k', 85_000],
    ['around 85 thousand', 85_000],
    ['about 85k i did both', 85_000],
    ['did em at 85k', 85_000],
    ['changed at 85,200', 85_200],
    ['last spring at 85k', 85_000],
    ['85k, due again at 100k', 85_000],
    ['eighty five thousand', 85_000],
    ['you guys did it at 85,200', 85_200],
    ['back in 2024 at 85k', 85_000],
    ['85k and the oil at 92k', 85_000],
    ['80k no 85k', 85_000],
    ['a los 85 mil', 85_000],
    ['a las 85 mil millas', 85_000],
    ['como a los 85 mil', 85_000],
    ['los cambié a las 85,200', 85_200],
    ['137,000 km', 85_128],
  ])('%j is %i', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ lastFuelFilterMiles: miles });
  });
  it.each([
    ['85', 85_000],
    ['12k ago', 85_214],
    ['about 12,000 miles ago', 85_214],
    ['12k miles back', 85_214],
    ['85k i think', 85_000],
    ['maybe 80 or 85k', 82_500],
    ['105k', 105_000],
    ['hace 12 mil millas', 85_214],
    ['hace como 12 mil', 85_214],
  ])('%j is %i, to be confirmed', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ 'lastFuelFilterMiles?': miles });
  });
  it.each([
    ['98,000', '2026-07-01', 98_000, 'a month at an ordinary pace brings the truck there'],
    ['104k', '2026-07-01', 104_000, 'a month of long hauls does'],
  ])('%j is believed where the last reading is of %s: %i, since %s', (text, lastReadingDate, miles) => {
    expect(facts(text, { ...asked, lastReadingDate })).toMatchObject({ lastFuelFilterMiles: miles });
  });
  it.each([
    ['98,000', '2026-08-02', 'the truck was read today and is not there'],
    ['125k', '2026-07-01', 'nobody drives that in a month'],
  ])('%j is asked about where the last reading is of %s: %s', (text, lastReadingDate) => {
    expect(facts(text, { ...asked, lastReadingDate })).toHaveProperty('lastFuelFilterMiles?');
  });
  it.each([
    'never',
    'no idea',
    'last fall',
    'two years ago',
    '6 months ago',
    'in 2023',
    'due at 100k',
    'sticker says 100,000',
    'the shop before you did it',
    'nunca',
    '3 oil changes ago',
  ])('%j gives none', (text) => {
    const read = facts(text, asked);
    expect(read).not.toHaveProperty('lastFuelFilterMiles');
    expect(read).not.toHaveProperty('lastFuelFilterMiles?');
  });
  it('tells the present odometer apart', () => {
    expect(facts('85k, its at 97,400 now', asked)).toMatchObject({
      lastFuelFilterMiles: 85_000,
      odometerMiles: 97_400,
    });
  });
});

describe('the last fuel filter in an opening message', () => {
  it.each([
    ['fuel filters last changed at 85k, now 118k', 85_000, 118_000],
    ['last fuel filter at 85,000, 118,000 now', 85_000, 118_000],
    ['118k. fuel filter was done at 85k', 85_000, 118_000],
    ['changed the fuel filters at 85k and it has 118k on it', 85_000, 118_000],
    ['fuel filters were replaced at 85,000 miles. Truck has 118,000.', 85_000, 118_000],
    ['filtro de combustible cambiado a las 85 mil, ahora trae 118 mil', 85_000, 118_000],
  ])('%j: %i', (text, filter, odometer) => {
    expect(facts(text)).toMatchObject({ lastFuelFilterMiles: filter, odometerMiles: odometer });
  });
  it.each(['need a fuel filter at 118k', 'fuel filter due at 120k', 'how much for a fuel filter, 118k'])(
    '%j gives none',
    (text) => {
      expect(facts(text)).not.toHaveProperty('lastFuelFilterMiles');
    },
  );
});
