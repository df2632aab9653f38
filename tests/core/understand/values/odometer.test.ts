import { describe, expect, it } from 'vitest';
import type { ReadRequest } from '../../../../src/core/model/reading.ts';
import { facts, reading } from './lexicon.ts';

const LAST = { lastOdometerMiles: 97_214, lastReadingDate: '2026-05-02', today: '2026-08-02' };
const asked: Partial<ReadRequest> = { asked: 'odometerMiles', ...LAST };

describe('an odometer that was asked for', () => {
  it.each([
    // digits
    ['101204', 101_204],
    ['101,204', 101_204],
    ['101.204', 101_204],
    ['101 204', 101_204],
    ["101'204", 101_204],
    ['101,204.7', 101_204],
    ['101204.3 miles', 101_204],
    ['101,204mi', 101_204],
    ['101204 mi.', 101_204],
    ['It reads 101,204', 101_204],
    ['its at 101204 right now', 101_204],
    ['101,204 as of this morning', 101_204],
    ['Just looked, 101204', 101_204],
    ['ok went out and checked: 101204', 101_204],
    ['Mileage: 101,204', 101_204],
    ['odo 101204 trip 233.4', 101_204],
    ['Trip A 233.4, odo 101,204', 101_204],
    ['ODO101204', 101_204],
    ['1 0 1 2 0 4', 101_204],
    ['1-0-1-2-0-4', 101_204],
    ['1o1,2o4', 101_204],
    // thousands
    ['101k', 101_000],
    ['101K miles', 101_000],
    ['101 k', 101_000],
    ['101.2k', 101_200],
    ['101.2 k miles', 101_200],
    ['101 thousand', 101_000],
    ['101 thou', 101_000],
    ['101thousand', 101_000],
    ['101 thousand 2 hundred', 101_200],
    ['101 thousand 204', 101_204],
    ['101 thousand and 204', 101_204],
    ['1 hundred 1 thousand 2 hundred', 101_200],
    // about
    ['about 101k', 101_000],
    ['bout 101k', 101_000],
    ['right around 101,000', 101_000],
    ['roughly 101 thousand', 101_000],
    ['~101k', 101_000],
    ['just over 101k', 101_000],
    ['a hair over 101k', 101_000],
    ['a tad under 101k', 101_000],
    ['almost 101,000', 101_000],
    ['closing in on 101k', 101_000],
    ['getting close to 101k', 101_000],
    ['101k ish', 101_000],
    ['101kish', 101_000],
    ['101k-ish', 101_000],
    ['101k or so', 101_000],
    ['101k give or take', 101_000],
    ['101k and some change', 101_000],
    ['101k plus', 101_000],
    ['101k+', 101_000],
    ['101,000 and change', 101_000],
    ['101 and change', 101_000],
    ['101 n change', 101_000],
    ['101 and some', 101_000],
    ['101-something thousand', 101_000],
    ['101 something thousand', 101_000],
    ['just turned 101k', 101_000],
    ['just rolled past 101,000', 101_000],
    ['she hit 101k yesterday', 101_000],
    ['broke 101k last week', 101_000],
    ['crossed the 101k mark', 101_000],
    // words
    ['one hundred one thousand two hundred four', 101_204],
    ['one hundred and one thousand two hundred and four', 101_204],
    ['a hundred and one thousand', 101_000],
    ['hundred and one thousand', 101_000],
    ['a hundred one thousand five hundred', 101_500],
    ['one oh one thousand', 101_000],
    ['one-oh-one thousand two hundred', 101_200],
    ['ninety nine thousand', 99_000],
    ['ninety-nine thousand eight hundred and fifty', 99_850],
    ['ninety nine k', 99_000],
    ['a hundred grand', 100_000],
    ['One hundred thousand even', 100_000],
    ['a hundred thousand on the nose', 100_000],
    // sentences around it
    ['Hey sorry for the late reply, we were camping. Truck is at 101,204 now', 101_204],
    ['101204, been pulling the trailer all summer', 101_204],
    ['101,204 and I will need new tires soon too', 101_204],
    ['got 101,204 on her, 3 kids and a dog riding along', 101_204],
    ['101204. also can you text my wife instead 555-0188', 101_204],
    ['101204 - call me at 208-555-0188', 101_204],
    ['we drove 2,300 miles to the coast and back so now its 101,204', 101_204],
    ['oil change is due at 105,000 and its at 101,204', 101_204],
    ['sticker says 105,000 but the dash says 101,204', 101_204],
    ['when you guys did the oil it was 96,900, now 101,204', 101_204],
    ['last time 97,214, this time 101,204', 101_204],
    ['101204 miles, 2,890 hours', 101_204],
    ['paid 85 for diesel lol. 101,204', 101_204],
    ['its my 2016 btw. 101204', 101_204],
    // corrections
    ['101,240 sorry 101,204', 101_204],
    ['101240. oops, 101204', 101_204],
    ['101240 i mean 101204', 101_204],
    ['101240 *101204', 101_204],
    ['*101204', 101_204],
    ['typo, 101204', 101_204],
    ['101204 not 101240', 101_204],
    ['not 101240, 101204', 101_204],
    ['its 101240.. no its 101204', 101_204],
    ['101,240, correction 101,204', 101_204],
    ['91k no wait 101k', 101_000],
    ['101240 scratch that 101204', 101_204],
    ['97k no 101k', 101_000],
    // Spanish
    ['101 mil', 101_000],
    ['101 mil 200', 101_200],
    ['101 mil millas', 101_000],
    ['ciento un mil doscientas millas', 101_200],
    ['ciento uno mil', 101_000],
    ['noventa y nueve mil quinientas', 99_500],
    ['cien mil', 100_000],
    ['como cien mil millas', 100_000],
    ['ya va en 101,204', 101_204],
    ['trae 101,204 millas', 101_204],
    ['tiene 101.204', 101_204],
    ['ahorita marca 101204', 101_204],
    ['101 mil y pico', 101_000],
    ['101 y feria', 101_000],
    ['unas 101 mil', 101_000],
    ['casi 101 mil', 101_000],
    ['el odómetro dice 101,204', 101_204],
    ['101240 perdón 101204', 101_204],
    ['101240, digo, 101204', 101_204],
    ['son 101204, no 101240', 101_204],
    // kilometres: 1 mi = 1.609344 km (NIST SP 811)
    ['162,000 km', 100_662],
    ['162000 kilometers', 100_662],
    ['162.000 kms', 100_662],
    ['162 mil kilómetros', 100_662],
    ['162k km', 100_662],
    ['162 thousand clicks', 100_662],
    ['190,000 clicks on it', 118_061],
    ['the dash is in kilometers, 162,000', 100_662],
  ])('%j is %i miles, plainly', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ odometerMiles: miles });
  });

  it.each([
    ['101', 101_000, 'thousands unspoken'],
    ['101.2', 101_200, 'thousands unspoken'],
    ['101 2', 101_200, 'thousands unspoken'],
    ['one oh one', 101_000, 'thousands unspoken'],
    ['ninety nine', 99_000, 'thousands unspoken'],
    ['ninety nine five', 99_500, 'thousands unspoken'],
    ['a hundred and one', 101_000, 'thousands unspoken'],
    ['ciento uno', 101_000, 'thousands unspoken'],
    ['99 something', 99_000, 'thousands unspoken'],
    ['1012', 1_012, 'a digit or two dropped'],
    ['10120', 10_120, 'lower than the last reading'],
    ['1012040', 1_012_040, 'a digit too many'],
    ['1,01204', 101_204, 'comma in the wrong place'],
    ['97,000', 97_000, 'lower than the last reading'],
    ['i think 101,204', 101_204, 'hedged'],
    ['101,204 i think', 101_204, 'hedged'],
    ['not sure, maybe 101k', 101_000, 'hedged'],
    ['101,204 if i remember right', 101_204, 'hedged'],
    ['between 100 and 102k', 101_000, 'a range'],
    ['100-102k', 101_000, 'a range'],
    ['somewhere from 100 to 102 thousand', 101_000, 'a range'],
    ['100k or 102k', 101_000, 'a range'],
    ['entre 100 y 102 mil', 101_000, 'a range'],
    ['de 100 a 102 mil', 101_000, 'a range'],
    ['was 101,204 back in july', 101_204, 'a reading that is over'],
    ['250,000', 250_000, 'faster than a truck can be driven'],
    ['4000 more than last time', 101_214, 'told against the last reading'],
    ['add 4k', 101_214, 'told against the last reading'],
    ['about 4,000 miles more', 101_214, 'told against the last reading'],
    ['same as last time', 97_214, 'told against the last reading'],
    ['hasnt moved', 97_214, 'told against the last reading'],
    ['igual que la vez pasada', 97_214, 'told against the last reading'],
    ['4 mil más que la otra vez', 101_214, 'told against the last reading'],
    ['1012046, last digit is tenths i think', 101_204, 'tenths run on'],
    ['162000 i think its km', 100_662, 'kilometres only thought so'],
    ['1S1,204', 151_204, 'letter S for a digit'],
  ])('%j is %i miles, to be confirmed: %s', (text, miles) => {
    expect(facts(text, asked)).toMatchObject({ 'odometerMiles?': miles });
  });

  it.each([
    ['will look tomorrow'],
    ['dont know, im not in the truck'],
    ['3,120 hours'],
    ['sticker says 105,000'],
    ['next oil change at 105,000'],
    ['due at 105k'],
    ['you quoted me 1,450'],
    ['$1,450 is too much'],
    ['call me 555-0133'],
    ['i drive about 15k a year'],
    ['sold it in 2024'],
    ['range says 412 miles to empty'],
    ['trip meter says 412.6'],
    ['busy till 5'],
    ['ask me in 2 weeks'],
    ['im 300 miles from home'],
    ['la vendí'],
    ['al rato te digo'],
    ['son 3,120 horas'],
    ['gimme 10 min'],
    ['pulling 12,000 lbs right now'],
  ])('%j holds no reading', (text) => {
    const read = facts(text, asked);
    expect(read).not.toHaveProperty('odometerMiles');
    expect(read).not.toHaveProperty('odometerMiles?');
  });

  it('says why it doubts, and what else may be meant', () => {
    const late = { ...asked, lastOdometerMiles: 101_180, lastReadingDate: '2026-09-10', today: '2026-09-21' };
    expect(reading('151200', late).doubts).toEqual([
      { key: 'odometerMiles', because: 'too-fast', perhaps: expect.any(Number) },
    ]);
    expect(reading('10431', asked).doubts?.[0]).toMatchObject({
      because: 'lower-than-last',
      perhaps: expect.any(Number),
    });
    expect(reading('1012046', asked).doubts?.[0]).toMatchObject({ because: 'too-fast', perhaps: 101_204 });
    expect(reading('162000', asked).doubts?.[0]).toMatchObject({
      because: 'too-fast',
      perhaps: 100_662,
    });
  });

  it('keeps the words that it read', () => {
    expect(reading("she's at about 101k now", asked).words.odometerMiles).toBe('101k');
    expect(reading('ninety nine thousand four hundred miles', asked).words.odometerMiles).toBe(
      'ninety nine thousand four hundred miles',
    );
  });

  it.each(['no idea', 'idk', 'couldnt tell you', 'no sé', 'ni idea', 'beats me 🤷'])(
    '%j: is not asked again',
    (text) => {
      expect(reading(text, asked).doesNotKnow).toEqual(['odometerMiles']);
    },
  );
});

describe('an odometer in an opening message', () => {
  it.each([
    ['2016 6.7 diesel, 118k, loses power', 118_000],
    ['truck has 118,400 miles on it', 118_400],
    ['118400 miles', 118_400],
    ['118,400', 118_400],
    ['its got 118k on the clock', 118_000],
    ['w/ 118k', 118_000],
    ['at 118k right now', 118_000],
    ['Odometer: 118400', 118_400],
    ['bought it at 60k, now at 118k', 118_000],
    ['bought it with 60,000 miles and it has 118,000 now', 118_000],
    ['had the turbo replaced at 90k, its got 118k now', 118_000],
    ['injectors were done at 95,000. 118,400 today.', 118_400],
    ['transmission rebuilt 20k ago, 118k on the truck', 118_000],
    ['warranty ran out at 100k, im at 118k', 118_000],
    ['quoted 9,800 at the dealer. 118,400 miles', 118_400],
    ['I have put 30k on it since the last filter, 118k total', 118_000],
    ['118k and it tows a 14k fifth wheel', 118_000],
    // a starter that clicks is no unit
    ['wont turn over no more, just clicks. 118k on it', 118_000],
    ['just clicks, 118k on it', 118_000],
    ['pulling 12,000 pounds with 118,000 on her', 118_000],
    ['every 5,000 miles I change the oil. 118k', 118_000],
    ['oil change due at 120k, im at 118,400', 118_400],
    ['118 thousand miles', 118_000],
    ['one hundred eighteen thousand miles', 118_000],
    ['a hundred eighteen thousand on it', 118_000],
    ['tiene 118 mil millas', 118_000],
    ['trae 190,000 km', 118_061],
    ['190 000 km on the clock', 118_061],
    ['a quarter million miles', 250_000],
    ['half a million miles on this old girl', 500_000],
    ['118k miles, call me at 208-555-0142', 118_000],
    ['needs fuel filters at 118k', 118_000],
    ['how much for the pump kit? 118k 2016', 118_000],
    ['its a 3500 with 118k', 118_000],
  ])('%j: %i', (text, miles) => {
    expect(facts(text)).toMatchObject({ odometerMiles: miles });
  });

  it.each([
    ['got two-twenty on it', 220_000],
    ['118 on the clock', 118_000],
    ['think shes at 118k', 118_000],
    ['about 118k i think', 118_000],
    ['1184000 miles', 1_184_000],
    ['the dial says 87 something', 87_000],
  ])('%j: %i, to be confirmed', (text, miles) => {
    expect(facts(text)).toMatchObject({ 'odometerMiles?': miles });
  });

  it.each([
    ['two trucks, a 2014 with 201k and a 2019 with 88k'],
    ['quoted 9,800 for injectors'],
    ['they want $12,500 for a new pump'],
    ['pulls a 14k gooseneck'],
    ['gvw is 26,000'],
    ['rail pressure 23k'],
    ['idles at 1200 rpm'],
    ['my 2500 wont start'],
    ['repair order 20417'],
    ['invoice #118400'],
    ['I live at 11840 county road 5'],
    ['20 miles from home'],
    ['its 80 miles away'],
    ['drove it 400 miles yesterday and it quit'],
    ['leaks a quart every 1,000 miles'],
    ['turbo went out at 118k last year'],
    ['I put 18,000 miles a year on it'],
    ['zip is 83702'],
    ['the pump was replaced at 110,000'],
    ['warranty ended at 100,000'],
    ['it happens at 1500'],
    ['tires 265/70R17'],
    ['4,310 hours'],
    ['exhaust cleaning every 120 miles'],
    ['i have 3 trucks'],
    ['cambié el turbo a las 90 mil'],
    ['cuesta 3,200 dólares'],
  ])('%j holds none', (text) => {
    const read = facts(text);
    expect(read).not.toHaveProperty('odometerMiles');
    expect(read).not.toHaveProperty('odometerMiles?');
  });
});
