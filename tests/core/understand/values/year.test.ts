import { describe, expect, it } from 'vitest';
import { facts, reading } from './lexicon.ts';

const asked = { asked: 'modelYear', today: '2026-08-02' } as const;

describe('a model year that was asked for', () => {
  it.each([
    ['2016', 2016],
    ['16', 2016],
    ["'16", 2016],
    ['’16', 2016],
    ['its a 16', 2016],
    ["it's a 2016", 2016],
    ['a 2016', 2016],
    ['2016 model', 2016],
    ['16 model', 2016],
    ['model year 2016', 2016],
    ['MY16', 2016],
    ['MY 2016', 2016],
    ['2016, bought it new', 2016],
    ['bought it in 2018 but its a 2016', 2016],
    ['it is a 2016. I bought it in 2019.', 2016],
    ['got it in 19, its a 16', 2016],
    ['2016.', 2016],
    ['2016!', 2016],
    ['two thousand sixteen', 2016],
    ['two thousand and sixteen', 2016],
    ['twenty sixteen', 2016],
    ['sixteen', 2016],
    ['20 16', 2016],
    ['2k16', 2016],
    ['2o16', 2016],
    ['twenty oh eight', 2008],
    ['twenty twenty', 2020],
    ['twenty twenty one', 2021],
    ['oh eight', 2008],
    ['08', 2008],
    ['an 08', 2008],
    ['2008 or so they told me lol no its 2008', 2008],
    ['99', 1999],
    ['1999', 1999],
    ['nineteen ninety nine', 1999],
    ['ninety nine', 1999],
    ['26', 2026],
    ['27', 2027],
    ['2015 no wait 2016', 2016],
    ['15. sorry 16', 2016],
    ['2015 *2016', 2016],
    ['not a 15, a 16', 2016],
    ['16 not 15', 2016],
    ['the title says 2016', 2016],
    ['registration says 2016', 2016],
    ['its a 2016 with 118k on it', 2016],
    ['2016 with the 6.7', 2016],
    ['2016 crew cab', 2016],
    ['dos mil dieciséis', 2016],
    ['es 2016', 2016],
    ['es del 2016', 2016],
    ['es un 2016', 2016],
    ['modelo 2016', 2016],
    ['del 16', 2016],
    ['año 2016', 2016],
    ['la compré en 2018 pero es 2016', 2016],
    ['dos mil trece, no, es dos mil catorce', 2014],
  ])('%j is %i', (text, year) => {
    expect(facts(text, asked)).toMatchObject({ modelYear: year });
  });

  it.each([
    ['20016', 2016],
    ['2061', 2016],
    ['16 or 17', 2016],
    ['16 maybe 17', 2016],
    ['2016 i think', 2016],
    ['i think 2016', 2016],
    ['pretty sure its a 2016', 2016],
    ['2016?', 2016],
    ['either a 16 or a 17', 2016],
    ['16/17 not sure', 2016],
    ['probably a 2016', 2016],
    ['creo que 2016', 2016],
    ['2016 o 2017', 2016],
    ['como 2016 más o menos', 2016],
    ['a lo mejor 2016', 2016],
  ])('%j is %i, to be confirmed', (text, year) => {
    expect(facts(text, asked)).toMatchObject({ 'modelYear?': year });
  });

  it.each([
    'no idea',
    'not sure',
    'my husband would know',
    'its in the glovebox',
    'built 03/15',
    'ni idea',
    '6.7 diesel',
  ])('%j gives none', (text) => {
    const read = facts(text, asked);
    expect(read).not.toHaveProperty('modelYear');
    expect(read).not.toHaveProperty('modelYear?');
  });

  it('names the other year', () => {
    expect(reading('16 or 17', asked).doubts).toEqual([{ key: 'modelYear', because: 'hedged', perhaps: 2017 }]);
  });
});

describe('a model year in an opening message', () => {
  it.each([
    ['2016 6.7 118k', 2016],
    ['16 6.7 diesel 118k', 2016],
    ['my 2016 wont start', 2016],
    ['my 16 wont start', undefined],
    ["my '16 wont start", 2016],
    ['its an 04', 2004],
    ['I have a 2016 diesel', 2016],
    ['got an 08 with the 6.4', 2008],
    ['06 model, smokes', 2006],
    ['the truck is a 2016', 2016],
    ['MY2016', 2016],
    ['Year: 2016', 2016],
    ['2016 one ton', 2016],
    ['es una 2016', 2016],
    ['camioneta 2016 diesel', 2016],
    ['del año 2016', 2016],
    ['2015, sorry, 2016', 2016],
    ['2016 (not 2017)', 2016],
    ['two thousand sixteen diesel', 2016],
    ['twenty sixteen with a knock', 2016],
  ])('%j: %j', (text, year) => {
    expect(facts(text).modelYear).toBe(year);
  });

  it.each([
    ['quoted $2,016 for it'],
    ['quoted 2016 dollars'],
    ['I live at 2016 mill lane'],
    ['2016 miles since the last one'],
    ['bought it in 2018'],
    ['since 2018 it smokes'],
    ['back in 19 they changed the pump'],
    ['rebuilt in 2019'],
    ['at 2015 hrs'],
    ['idles at 2016 rpm'],
    ['tyres balanced 2026-10-04'],
    ['a 2013 and a 2014'],
    ['I have 14 of them'],
    ['a 12 volt battery'],
    ['its a 20 minute drive'],
    ['the 16th works'],
    ['order number 2016'],
    ['en el 2018 le cambiaron la bomba'],
  ])('%j gives none', (text) => {
    expect(facts(text)).not.toHaveProperty('modelYear');
  });
});

describe('a number after a trouble code', () => {
  it.each([
    ['code P0087, 2016 6.7 v8', ['P0087'], 2016, 'a year, and no code that left out its letter'],
    ['P0087   y   2016', ['P0087'], 2016, 'the same with wide spaces'],
    ['P0087 and 0191, 2016', ['P0087', 'P0191'], 2016, 'a code that left out its letter, then a year'],
  ])('in "%s": codes %j and year %d, since it is %s', (text, codes, year, _why) => {
    expect(reading(text).facts).toMatchObject({ troubleCodes: codes, modelYear: year });
  });
});
