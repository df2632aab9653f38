import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { csvOf, readTruckList, writeTruckList, type ListedTruck, type ListMeans } from '../../../src/core/book/mod.ts';
import { SERVICES } from '../../../src/core/model/ids.ts';
import { texts } from './fixtures.ts';

const TODAY = '2026-11-02';

// Stand-ins for the other stages: a VIN ends in an even digit, a phone has seven digits.
const means: ListMeans = {
  vinIsSound: (vin) => /^[A-Z0-9]{16}[02468]$/.test(vin),
  phone: (text) => (/^[\d-]{8}$/.test(text) ? text : null),
};
const VIN = 'ZZ000000000000010';

const read = (text: string) => readTruckList(text, TODAY, means);
const problems = (text: string) =>
  read(text).bad.flatMap(({ line, problems }) =>
    problems.map((problem) => `${line}: ${texts.say('en', problem.text, problem.values)}`),
  );

describe('a list of trucks', () => {
  it('gives owners, trucks, readings and last services', () => {
    const list = [
      'Owner,Phone,Unit,VIN,Model Year,Engine Litres,Cylinders,Layout,Fuel,Odometer Miles,Odometer Date,Last Services,Last Service Date,Last Service Miles,Note',
      `Zebulon Quartzley,555-0117,12,${VIN},2016,6.7,8,v,Diesel,"97,000",5/2/2026,oil-service fuel-filter-service,2026-01-15,"90,100","hauls hay, weekends"`,
    ].join('\r\n');
    expect(read(list)).toEqual({
      trucks: [
        {
          line: 2,
          owner: 'Zebulon Quartzley',
          phone: '555-0117',
          unit: '12',
          facts: { vin: VIN, modelYear: 2016, engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel' },
          reading: { miles: 97_000, date: '2026-05-02' },
          lastService: { services: ['oil-service', 'fuel-filter-service'], date: '2026-01-15', miles: 90_100 },
          note: 'hauls hay, weekends',
        },
      ],
      bad: [],
      unknownColumns: [],
    });
  });

  it.each([
    ['comma', 'owner,unit\nA,1\n'],
    ['semicolon', 'owner;unit\nA;1\n'],
    ['tab', 'owner\tunit\nA\t1\n'],
    ['a byte-order mark', '\ufeffowner,unit\nA,1'],
    ['line ends of another system', 'owner,unit\r\nA,1\r\n'],
    ['empty lines', 'owner,unit\n\nA,1\n , \n'],
    ['columns in another order, with one that nobody reads', 'colour,UNIT,Owner\ngreen,1,A\n'],
  ])('may be written with %s', (_how, text) => {
    expect(read(text).trucks.map(({ owner, unit }) => [owner, unit])).toEqual([['A', '1']]);
    expect(read(text).bad).toEqual([]);
  });

  it('names the columns that nobody reads', () => {
    expect(read('owner,colour\nA,green').unknownColumns).toEqual(['colour']);
  });

  it.each<[string, string, string[]]>([
    ['no owner column', 'name,unit\nA,1', ['1: "owner" is missing.']],
    ['an empty file', '', ['1: "owner" is missing.']],
    ['a row without an owner', 'owner,unit\n,7', ['2: "owner" is missing.']],
    [
      'every fault of a row at once',
      'owner,modelYear,fuel,odometerMiles\nA,20l6,coal,x',
      [
        '2: "modelYear" is "20l6": a number such as 97000 was expected.',
        '2: "fuel" is "coal": expected one of diesel, gasoline.',
        '2: "odometerMiles" is "x": a number such as 97000 was expected.',
        '2: "odometerMiles" stands without "odometerDate".',
      ],
    ],
    ['a year out of range', 'owner,modelYear\nA,1816', ['2: "modelYear" is "1816": expected from 1900 to 2028.']],
    [
      'commas that part no thousands',
      'owner,milesPerYear\nA,"12,5"',
      ['2: "milesPerYear" is "12,5": a number such as 97000 was expected.'],
    ],
    [
      'half a mile',
      'owner,lastOilChangeMiles\nA,100.5',
      ['2: "lastOilChangeMiles" is "100.5": a number such as 97000 was expected.'],
    ],
    [
      'a VIN with a wrong check digit',
      'owner,vin\nA,ZZ000000000000011',
      ['2: "ZZ000000000000011" is no VIN: its check digit does not fit.'],
    ],
    ['a phone number that is none', 'owner,phone\nA,call me', ['2: "call me" is no phone number.']],
    [
      'a day that does not exist',
      'owner,lastFuelFilterDate\nA,2/30/2026',
      ['2: "lastFuelFilterDate" is "2/30/2026": a day such as 2026-05-02 or 5/2/2026 was expected.'],
    ],
    [
      'a day to come',
      'owner,lastFuelFilterDate\nA,2026-11-03',
      ['2: "lastFuelFilterDate" is "2026-11-03": that day has not come yet.'],
    ],
    [
      'a service that nobody sells',
      'owner,lastServices,lastServiceDate,lastServiceMiles\nA,wash,2026-01-01,5',
      ['2: "lastServices" names "wash", which the shop does not sell.'],
    ],
    [
      'a service without its day',
      'owner,lastServices,lastServiceMiles\nA,oil-service,5',
      ['2: "lastServices" stands without "lastServiceDate".'],
    ],
    [
      'more cells than the header',
      'owner,unit\nA,1,2',
      ['2: The row cannot be read: it has more cells than the header.'],
    ],
    ['a truck twice, by VIN', `owner,vin\nA,${VIN}\nB,${VIN}`, ['3: The truck stands already on line 2.']],
    ['a truck twice, by owner and unit', 'owner,unit\nA,7\nB,7\na,7', ['4: The truck stands already on line 2.']],
    ['a name longer than any', `owner\n${'A'.repeat(200)}`, ['2: "owner" is longer than 120 characters.']],
  ])('is told of %s', (_what, text, expected) => {
    expect(problems(text)).toEqual(expected);
  });

  it('loses no row to a quotation mark in the wrong place', () => {
    const text = [
      'owner,note',
      'A,"fine"',
      'B,"not" fine',
      'C,so',
      'D,"open',
      'E,also',
      '"F","two',
      'lines"',
      'G,"open',
    ];
    const reading = read(text.join('\n'));
    expect(reading.trucks.map(({ owner, line }) => [owner, line])).toEqual([
      ['A', 2],
      ['C', 4],
      ['E', 6],
      ['F', 7],
    ]);
    expect(reading.bad.map(({ line }) => line)).toEqual([3, 5, 9]);
  });

  it('names the spoilt line and reads all others, wherever it stands', () => {
    const row = fc.nat(5).map((kind) => ['x,1', 'x,"1"', 'x,"a ""b"""', 'x,"two\nlines"', '"x",', 'x'][kind] ?? 'x');
    const spoilt = fc.constantFrom('x,"1" 2', 'x,1" 2"', 'x,"never closed', '"x,7');
    fc.assert(
      fc.property(fc.array(row, { maxLength: 30 }), spoilt, fc.nat(30), (rows, bad, where) => {
        const at = Math.min(where, rows.length);
        // Nothing below has a quotation mark of its own where the spoilt line's is open, or the two would pair.
        const below = rows.slice(at).filter((text) => !text.includes('"'));
        const all = ['owner,note', ...rows.slice(0, at), bad, ...below];
        const lines = all.map(
          (_, index) => 1 + all.slice(0, index).join('\n').split('\n').length - (index === 0 ? 1 : 0),
        );
        const reading = read(all.join('\n'));
        expect(reading.bad.map(({ line }) => line)).toEqual([lines[at + 1]]);
        expect(reading.trucks.map(({ line }) => line)).toEqual(
          lines.filter((_, index) => index > 0 && index !== at + 1),
        );
      }),
    );
  });
});

const words = fc
  .string({ unit: 'grapheme', minLength: 1, maxLength: 30 })
  .filter((text) => text.trim() === text && !/[\r\n]/.test(text));
const miles = fc.integer({ min: 0, max: 900_000 });
const day = fc
  .integer({ min: 0, max: 3000 })
  .map((back) => new Date(Date.UTC(2026, 10, 2 - back)).toISOString().slice(0, 10));
const truck: fc.Arbitrary<Omit<ListedTruck, 'line'>> = fc.record(
  {
    owner: words,
    phone: fc.integer({ min: 0, max: 9999 }).map((last) => `555-${String(last).padStart(4, '0')}`),
    unit: words,
    note: words,
    facts: fc.record(
      {
        modelYear: fc.integer({ min: 1990, max: 2027 }),
        engineLitres: fc.constantFrom(3, 6.4, 6.7),
        layout: fc.constantFrom('V' as const, 'I' as const),
        milesPerYear: miles.map((value) => Math.min(value, 400_000)),
        lastFuelFilterDate: day,
      },
      { requiredKeys: [] },
    ),
    reading: fc.record({ miles, date: day }),
    lastService: fc.record({
      services: fc.uniqueArray(fc.constantFrom(...SERVICES), { minLength: 1, maxLength: 3 }),
      date: day,
      miles,
    }),
  },
  { requiredKeys: ['owner', 'facts'] },
);
const withoutFormula = ({ owner, unit = '', note = '' }: Omit<ListedTruck, 'line'>) =>
  ![owner, unit, note].some((text) => /^'[=+\-@]/.test(text));

describe('a list that is written', () => {
  it('is read back as it was', () => {
    const lists = fc.uniqueArray(truck.filter(withoutFormula), {
      maxLength: 8,
      selector: ({ owner, unit }) => `${owner.toLowerCase()} ${(unit ?? '').toLowerCase()}`,
    });
    fc.assert(
      fc.property(lists, (list) => {
        const trucks = list.map((one, index) => ({ line: index + 2, ...one }));
        const reading = read(writeTruckList(trucks));
        expect(reading.bad).toEqual([]);
        expect(reading.trucks).toEqual(trucks);
      }),
    );
  });

  it('holds no cell that a spreadsheet takes for a formula', () => {
    const text = csvOf(
      ['owner', 'miles'],
      [
        ['=HYPERLINK("x")', 5],
        ['+1', 6],
        ['-2', 7],
        ['@SUM(A1)', 8],
        ['plain', -9],
      ],
    );
    const [, ...rows] = parse(text, { record_delimiter: '\r\n' });
    expect(rows.map(([cell]) => cell)).toEqual([`'=HYPERLINK("x")`, "'+1", "'-2", "'@SUM(A1)", 'plain']);
    expect(
      rows.map(([, cell]) => cell),
      'numbers stay numbers',
    ).toEqual(['5', '6', '7', '8', '-9']);
  });

  it('is CSV by RFC 4180: lines end with CRLF, and quotation marks are doubled', () => {
    expect(
      csvOf(
        ['a', 'b'],
        [
          ['x "y"', 'p,q'],
          ['two\nlines', undefined],
        ],
      ),
    ).toBe('a,b\r\n"x ""y""","p,q"\r\n"two\nlines",\r\n');
  });
});
