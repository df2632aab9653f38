import { describe, expect, it } from 'vitest';
import type { ReadRequest } from '../../../src/core/model/reading.ts';
import { read } from '../../../src/core/understand/mod.ts';
import { lexicon } from './reading.ts';

/** The wanted facts of a reading; a key with a question mark is read and to be confirmed, null is not read at all. */
const told = (text: string, wanted: Readonly<Record<string, unknown>>, request: Partial<ReadRequest> = {}) => {
  const { facts } = read({ text, today: '2026-11-02', ...request }, lexicon);
  const unsure = new Set<string>(facts.unsure ?? []);
  const got = Object.fromEntries(
    Object.entries(facts).map(([key, value]) => [unsure.has(key) ? `${key}?` : key, value as unknown]),
  );
  return Object.fromEntries(Object.keys(wanted).map((key) => [key, got[key] ?? null]));
};
type Row = [text: string, wanted: Record<string, unknown>, why: string];
type Reply = [asked: NonNullable<ReadRequest['asked']>, ...Row];

describe('two values of one fact', () => {
  it.each<Row>([
    [
      "He says 184,300 but I went out and looked and it's 184,930, and it smokes white.",
      { odometerMiles: 184_930 },
      'what was looked at comes before what somebody says',
    ],
    [
      'I told you 121,000 on the phone but it is really 112,000. Rough idle.',
      { odometerMiles: 112_000 },
      'what was told before is taken back',
    ],
    [
      'I wrote to you 96 000 miles but it is mistake, correct is 69 000. Sorry.',
      { odometerMiles: 69_000 },
      'a mistake',
    ],
    [
      'Correction on that truck its a 2011 not a 2021 and miles are 204,118 not 240,118.',
      { modelYear: 2011, odometerMiles: 204_118 },
      'that truck is the one that was spoken of',
    ],
    [
      'put 35s on it so the odo reads low now. dash says 201,560 but real life is more like 207',
      { 'odometerMiles?': 201_560 },
      'an instrument that is known to be off',
    ],
    ['cluster was swapped, shows 12,400', { 'odometerMiles?': 12_400 }, 'an instrument of another truck'],
    ['Backup rig is a gas job with 140k so I need this one.', { odometerMiles: null, fuel: null }, 'the other truck'],
    [
      'paid 31,000 for it with 77,000 miles, is the kit worth it',
      { odometerMiles: null },
      'the mileage it was bought with',
    ],
    ['Dear shop, at 163,000 of use it began to smoke blue', { odometerMiles: 163_000 }, 'of use is of the truck'],
    ['Hello. 74 911 on the odometer. It hesitates.', { odometerMiles: 74_911 }, 'a blank between the thousands'],
    [
      'I put 18,000 on it last year and it has 96,000 now',
      { odometerMiles: 96_000 },
      'last year is a time, no last work',
    ],
    [
      'it has only 9,800 miles on the rebuilt engine and 240,000 on the body, knocks',
      { odometerMiles: null },
      'a part that is newer than the truck',
    ],
    ['my daughter guesses 120,000. Oil leak.', { 'odometerMiles?': 120_000 }, 'a guess'],
    [
      'I have driven it 40,000 since I bought it and it reads 131,200',
      { odometerMiles: 131_200 },
      'what it reads is of now, whatever was told of the past',
    ],
    ['The idle hour meter says 4,120 and the odometer 88,940.', { odometerMiles: 88_940 }, 'hours of the engine'],
    ['Oil I changed before 3000 km.', { lastOilChangeMiles: null }, 'how long ago'],
    ['since about 2022 it has smoked', { modelYear: null }, 'when it began'],
    ['i tow heavy, 14k most days, exhaust smell', { odometerMiles: null, tows: true }, 'a weight that is pulled'],
  ])('%j says %j: %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });

  it.each<Reply>([
    [
      'odometerMiles',
      'I wrote 178,412 but it should be 187,412',
      { odometerMiles: 187_412 },
      'should be corrects here',
    ],
    ['odometerMiles', 'Earlier I said 150,000; on checking I find 151,306', { odometerMiles: 151_306 }, 'said before'],
    ['odometerMiles', '301 on the trip and 187,412 on the other', { odometerMiles: 187_412 }, 'trip told after it'],
    ['odometerMiles', '91,077.3 by the cluster. Engine hours 2,914.', { odometerMiles: 91_077 }, 'hours of the engine'],
    ['odometerMiles', 'the number is 187412', { odometerMiles: 187_412 }, 'the number that was asked for'],
    [
      'odometerMiles',
      'that would be one eighty seven four twelve',
      { odometerMiles: 187_412, troubleCodes: null },
      'be is no letter of a code',
    ],
    [
      'modelYear',
      'It is a two thousand nineteen, although it was built in November of 2018.',
      { modelYear: 2019 },
      'a month makes the year a date',
    ],
    ['modelYear', 'I said 2015 before but the title says 2016', { modelYear: 2016 }, 'said before'],
    ['modelYear', '2017 truck, engine out of a 2015', { modelYear: 2017 }, 'the year of a part'],
    ['modelYear', 'it was born in 2021', { modelYear: 2021 }, 'the year was asked for'],
    ['modelYear', '2013 with a 2015 engine', { modelYear: 2013 }, 'the year of a part'],
    ['modelYear', 'my last one was a 2009, this is a 2013', { modelYear: 2013 }, 'the truck before it'],
    ['odometerMiles', 'mil perdones, son 163,208', { odometerMiles: 163_208 }, 'a thousand pardons'],
    ['milesPerYear', 'last year 14,200', { milesPerYear: 14_200 }, 'the year just over tells the pace'],
    ['milesPerYear', '8,000 since I retired', { milesPerYear: 8000 }, 'a pace that has changed'],
    ['lastFuelFilterMiles', 'that was back at 110,250 miles', { lastFuelFilterMiles: 110_250 }, 'back at is where'],
    ['lastFuelFilterMiles', 'not since I bought it at 90k', { lastFuelFilterMiles: null }, 'when it was bought'],
    [
      'lastFuelFilterMiles',
      'I told you 95k but the bill says 105k',
      { lastFuelFilterMiles: 105_000 },
      'a bill tells a mileage as well as a price',
    ],
    ['modelYear', '16 i do believe', { 'modelYear?': 2016 }, 'believed'],
    ['modelYear', 'I thought 2014 but the title has 2015', { modelYear: 2015 }, 'thought before'],
    ['engine', 'thought it was the 6.4 but it is the 6.0', { engineLitres: 6 }, 'thought before'],
    ['odometerMiles', 'put 123,870 in your form, real one is 132,870', { odometerMiles: 132_870 }, 'the real one'],
    [
      'lastFuelFilterMiles',
      'did them myself, odometer was 88,000',
      { lastFuelFilterMiles: 88_000 },
      'what the odometer was, and not what it is',
    ],
    ['modelYear', '2K9', { modelYear: 2009 }, 'one digit after the thousands'],
    ['modelYear', '2018 cab on a 2012 frame', { modelYear: null }, 'two trucks made one'],
    ['milesPerYear', 'a couple hundred a week', { milesPerYear: null }, 'how many hundreds nobody says'],
    ['milesPerYear', 'I estimate 7,200 per annum', { milesPerYear: 7200 }, 'estimated, and no price'],
    ['lastFuelFilterMiles', 'The record shows 73 thousand.', { lastFuelFilterMiles: 73_000 }, 'what a paper shows'],
    ['breatherOriginal', 'once, at 75k', { odometerMiles: null }, 'when the work was done'],
    ['breatherOriginal', 'the one from 2014', { modelYear: null }, 'when the work was done'],
    [
      'engine',
      'six-point-seven V-eight',
      { engineLitres: 6.7, cylinders: 8, layout: 'V' },
      'hyphens between the words of a number',
    ],
    ['engine', 'I said 6.0 but it is a 6.4', { engineLitres: 6.4 }, 'said before'],
    [
      'engine',
      'six point seven V eight diesel',
      { engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel' },
      'a V before a number is no volt',
    ],
    ['engine', 'eight cylinders in a vee', { cylinders: 8, layout: 'V' }, 'the layout after the count'],
    ['milesPerYear', 'liek 850 a weke', { milesPerYear: 44_200 }, 'two letters swapped'],
    ['lastFuelFilterMiles', 'the invoice has 85,000 on it', { lastFuelFilterMiles: 85_000 }, 'a paper, and no price'],
    ['lastFuelFilterMiles', 'air filter was 90k, fuel filter 85k', { lastFuelFilterMiles: 85_000 }, 'another filter'],
  ])('asked for %s, %j says %j: %s', (asked, text, wanted) => {
    expect(told(text, wanted, { asked })).toEqual(wanted);
  });
});

describe('whether the truck tows', () => {
  it.each<Row>([
    [
      "when I got a trailer of steers behind me coming up out of the river bottom it just won't pull",
      { tows: true },
      'what the truck no longer pulls says nothing against the trailer',
    ],
    ['pulling a load of calves it falls on its face', { tows: true }, 'animals are pulled in a trailer'],
    ['Pulled over at mile marker 118 with the boat on', { tows: true }, 'pulling over is no towing, the boat is'],
    ['It overheats as soon as the float is on the back', { tows: true }, 'a horse float'],
    ['Under load with the boat it smokes black', { tows: true }, 'the load is the boat'],
    ['with two horses in the slant load it drops out of gear', { tows: true }, 'horses in their trailer'],
    ['thirty-foot gooseneck five days a week. Rough idle.', { tows: true }, 'a trailer and how often'],
    ['cuando traigo el remolque se apaga', { tows: true }, 'to bring the trailer'],
    ['Put ten thousand pounds behind it and it gets hot', { tows: true }, 'a weight that hangs on behind'],
    ['two jet skis on a trailer and it wont climb', { tows: true }, 'what stands on a trailer'],
    ['the guy behind me was pulling a trailer and hit me, brakes feel soft', { tows: null }, 'somebody else who tows'],
    ['bringing a trailer load of pigs to market it overheated', { tows: true }, 'a load by its trailer'],
    ['I dont pull anything with it. Stalls.', { tows: false }, 'two negations that deny once'],
    ['my other truck tows the boat, this one just whines', { tows: null }, 'the other truck'],
    ['I need to know if it can pull a camper. It knocks.', { tows: null }, 'a question'],
    ['would it be able to pull a 30 foot trailer?', { tows: null }, 'a question'],
    ['On the grade out of the canyon, with the camper aboard, it loses power', { tows: null }, 'a camper in the bed'],
    ['been hauling a lot of bees', { tows: null }, 'often, and still on a flatbed perhaps'],
    ['hauling 96 hives tonight and it quit', { tows: null }, 'hives ride on a flatbed as well'],
    ['I hauled a load of firewood in the bed and now it squeals', { tows: null }, 'in the bed'],
    ['lost power pulling out of the driveway', { tows: null }, 'pulling out'],
  ])('%j says %j: %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });

  it.each<Row>([
    ['nothing heavier than a utility trailer', { tows: true }, 'a bound, and no denial'],
    ['horses yes', { tows: true }, 'what is towed'],
    ['gooseneck, 20k', { tows: true, odometerMiles: null }, 'how much, and no mileage'],
    ['No, sir. It is a commuter.', { tows: false }, 'the no comes first'],
    ['just groceries and kids', { tows: false }, 'what it does instead'],
    ['camper in the bed only', { tows: false }, 'carried and not towed'],
    ['My towing days are over', { tows: false }, 'over'],
    ['will be, getting a camper in spring', { tows: null }, 'not yet'],
    ['camper on the bed, nothing behind', { tows: false }, 'nothing behind'],
    ['solo la uso para ir al trabajo', { tows: false }, 'what it does instead'],
    ['planning to get a fifth wheel', { tows: null }, 'not yet'],
  ])('asked for it, %j says %j: %s', (text, wanted) => {
    expect(told(text, wanted, { asked: 'tows' })).toEqual(wanted);
  });
});

describe('what was fitted, changed or found', () => {
  it.each<Reply>([
    [
      'breatherOriginal',
      'The breather is, as far as I am aware, the one it left the factory with',
      { 'breatherOriginal?': true },
      'a doubt between two commas',
    ],
    ['breatherOriginal', 'Original, to my knowledge', { 'breatherOriginal?': true }, 'a doubt that follows'],
    ['breatherOriginal', 'it has had two already', { breatherOriginal: false }, 'more than the first'],
    ['breatherOriginal', 'ya lleva dos', { breatherOriginal: false }, 'the same in Spanish'],
    ['breatherOriginal', 'no sé', { breatherOriginal: null }, 'nobody knows, which is no no'],
    ['breatherOriginal', 'Not that I have ever seen a bill for.', { breatherOriginal: null }, 'neither yes nor no'],
    ['breatherOriginal', 'it is new', { breatherOriginal: false }, 'it is, with more after it, is no yes'],
    ['breatherOriginal', 'nunca', { breatherOriginal: null }, 'never changed, or never original'],
    ['pumpProtected', 'i am told it has one', { 'pumpProtected?': true }, 'told by somebody'],
    ['pumpProtected', 'it is going on this winter', { pumpProtected: null }, 'not yet'],
    ['pumpReplaced', 'appointment for the recall is next month', { pumpReplaced: null }, 'not yet'],
    ['breatherOriginal', 'as delivered', { breatherOriginal: true }, 'as the truck came'],
    ['pumpProtected', 'we put the bypass kit on ourselves', { pumpProtected: true }, 'put on'],
    ['pumpProtected', 'All stock.', { pumpProtected: false }, 'nothing was added'],
    ['pumpReplaced', 'two plunger pump now', { pumpReplaced: true }, 'the other design by its name'],
  ])('asked for %s, %j says %j: %s', (asked, text, wanted) => {
    expect(told(text, wanted, { asked })).toEqual(wanted);
  });

  it.each<Row>([
    [
      'breather filter is, I believe, the factory one; oil everywhere',
      { 'breatherOriginal?': true },
      'a doubt between two commas',
    ],
    ['checked the filter for metal and it is clean', { metalFound: false }, 'looking for it is not finding it'],
    ['I want you to check the filter for metal', { metalFound: null }, 'looking for it is not finding it'],
    ['there is already a protection kit on the pump, it stalls', { pumpProtected: true }, 'already on'],
    [
      "get him down for that kit that protects the pump, ours doesn't have one on it yet",
      { pumpProtected: false },
      'one is the kit',
    ],
  ])('%j says %j: %s', (text, wanted) => {
    expect(told(text, wanted)).toEqual(wanted);
  });
});

describe('when to come', () => {
  // 2026-11-02 is a Monday.
  it.each<Row>([
    ['a week on Thursday', { wantedTime: { date: '2026-11-12', part: 'any' } }, 'as the British say it'],
    ['Thursday week', { wantedTime: { date: '2026-11-12', part: 'any' } }, 'shorter'],
    ['this coming friday', { wantedTime: { date: '2026-11-06', part: 'any' } }, 'the next one'],
    ['Wednesday at half nine', { wantedTime: { date: '2026-11-04', part: 'morning' } }, 'an hour in words'],
    ['thursday at two', { wantedTime: { date: '2026-11-05', part: 'afternoon' } }, 'an hour in words'],
    ['tomorrow before ten', { wantedTime: { date: '2026-11-03', part: 'morning' } }, 'an hour in words after before'],
    ['friday 13:30', { wantedTime: { date: '2026-11-06', part: 'afternoon' } }, 'a clock, and not the 13th'],
    [
      'later this week, friday say',
      { wantedTime: { date: '2026-11-06', part: 'any' } },
      'a day of the week named before',
    ],
    ['friday, not the afternoon', { wantedTime: { date: '2026-11-06', part: 'morning' } }, 'the other half'],
    [
      'anytime after one on friday',
      { wantedTime: { date: '2026-11-06', part: 'afternoon' } },
      'not any time, but after an hour',
    ],
    ['thurs a.m.', { wantedTime: { date: '2026-11-05', part: 'morning' } }, 'the last point ends the message'],
    ['tuesday but not before noon', { wantedTime: { date: '2026-11-03', part: 'afternoon' } }, 'the other half'],
    [
      'I am away till Thursday, Friday then',
      { wantedTime: { date: '2026-11-06', part: 'any' } },
      'days that rule themselves out',
    ],
    [
      'gone until the 9th',
      { 'wantedTime?': { from: '2026-11-09', to: '2026-11-30', part: 'any' } },
      'from then on, to be confirmed',
    ],
  ])('%j is %j: %s', (text, wanted) => {
    expect(told(text, wanted, { asked: 'wantedTime' })).toEqual(wanted);
  });
});
