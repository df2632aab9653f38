import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStage, textOf, type Browser, type Stage } from './counter-stage.ts';

let stage: Stage;
let desk: Browser;
beforeEach(async () => {
  stage = await openStage();
  desk = await stage.signIn('tock');
  await desk.get('/counter/import');
});
afterEach(() => stage.close());

const HEADER =
  'owner,phone,unit,vin,modelYear,engineLitres,cylinders,layout,fuel,odometerMiles,odometerDate,lastServices,lastServiceDate,lastServiceMiles';
// An invented VIN; its check digit (the ninth place) is 0 by the table of 49 CFR 565.15, worked by hand: the sum 264 is 24 times 11.
const GOOD = [
  'Willow Sedge,303-555-0161,12,ZZ0FT7B2010000417,2016,6.7,8,V,diesel,"97,400",2026-05-02,fuel-filter-service,2026-01-15,"90,100"',
  'Willow Sedge,303-555-0161,14,,2019,6.7,8,V,diesel,61000,2026-05-02,,,',
  'Reed Marsh,303-555-0162,,,2012,6.6,8,V,diesel,,,,,',
];
const BAD = [
  ['Sage Fallow,not a phone,,,2015,,,,,,,,,', 'is no phone number'],
  ['Moss Tarn,303-555-0164,,ZZ0FT7B2510000417,2015,,,,,,,,,', 'its check digit does not fit'],
  ['Fern Holt,303-555-0165,,,twenty,,,,,,,,,', 'a number such as'],
] as const;

const upload = (text: string) =>
  desk.upload('/counter/import', { name: 'list', fileName: 'list.csv', bytes: Buffer.from(text) });
const idOf = (body: string): string => /name="id" value="([0-9a-f]+)"/.exec(body)?.[1] ?? '';
const trucks = () => stage.system.store.views.vehicles(200);

describe('a list of customers, trucks and last services', () => {
  it('is looked at first: each bad row is named with its line and reason, and nothing is kept', async () => {
    const before = await trucks();
    const seen = textOf(await upload([HEADER, ...GOOD, ...BAD.map(([row]) => row)].join('\r\n')));
    expect(seen).toContain('To take over: 3. With something wrong: 3. Here already and left as they are: 0.');
    BAD.forEach(([, reason], index) => {
      expect(seen).toMatch(new RegExp(`line ${index + 5} [^]*${reason}`));
    });
    expect(await trucks()).toEqual(before);
  });

  it('is taken over when it is confirmed, with readings and last services, and nobody is written to', async () => {
    const { length } = await trucks();
    const looked = await upload([HEADER, ...GOOD, BAD[0][0]].join('\r\n'));
    const done = await desk.submit('/counter/import/take', { id: idOf(looked.body) });
    expect(textOf(done)).toContain('3 trucks are taken over.');
    const all = await trucks();
    expect(all).toHaveLength(length + 3);
    const [found] = await stage.system.store.views.search('ZZ0FT7B2010000417');
    expect(found?.owner).toMatchObject({ name: 'Willow Sedge', phone: '(303) 555-0161', consented: false });
    expect(found?.vehicle.papers).toEqual({ unit: '12' });
    expect(found?.vehicle.readings.map(({ miles, date, source }) => [miles, date, source])).toEqual([
      [90_100, '2026-01-15', 'staff'],
      [97_400, '2026-05-02', 'staff'],
    ]);
    expect(found?.vehicle.records).toMatchObject([{ services: ['fuel-filter-service'], odometerMiles: 90_100 }]);
    // Rows of one name and number are one owner with two trucks.
    expect(new Set((await stage.system.store.views.search('Willow Sedge')).map(({ owner }) => owner.id)).size).toBe(1);
    await stage.system.desk.drain();
    expect(await stage.system.store.views.talk(found?.owner.id ?? '')).toEqual([]);
    expect(found?.followUps).toEqual([]);
    const page = textOf(await desk.get(`/counter/truck/${found?.vehicle.id}`));
    expect(page).toContain('the owner has not agreed to reminders');
  });

  it('is taken over once, however often it is confirmed; a second look finds its trucks here already', async () => {
    const text = [HEADER, ...GOOD].join('\n');
    const id = idOf((await upload(text)).body);
    await desk.submit('/counter/import/take', { id });
    const { length } = await trucks();
    expect(textOf(await desk.submit('/counter/import/take', { id }))).toContain('taken over already');
    expect(textOf(await upload(text))).toContain('To take over: 0. With something wrong: 0. Here already');
    expect(await trucks()).toHaveLength(length);
  });

  it('comes back as the shop takes it away: its own export is known to the last row', async () => {
    const { length } = await trucks();
    const { body } = await desk.get('/counter/trucks.csv');
    expect(textOf(await upload(body))).toContain(`Here already and left as they are: ${length}.`);
  });

  it.each([
    ['no file', '', 'No file was chosen'],
    ['a picture', Buffer.from([0x89, 0x50, 0, 0]), 'no CSV'],
    ['a list without owners', 'phone,vin\n1,2', '"owner" is missing'],
  ])('says what is wrong with %s', async (_what, content, words) => {
    expect(textOf(await upload(content as string))).toContain(words);
  });

  it('is not for technicians', async () => {
    const technician = await stage.signIn('fenwick');
    expect((await technician.get('/counter/import')).statusCode).toBe(403);
  });
});
