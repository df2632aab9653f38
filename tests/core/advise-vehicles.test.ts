import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  builtIn,
  compileVehicles,
  dieselOnly,
  familiesFor,
  fuelFilterMiles,
  type DieselFamily,
} from '../../src/core/advise/vehicles.ts';
import { findingLine, type FlowFile } from '../../src/core/model/checked.ts';
import type { Facts } from '../../src/core/model/facts.ts';
import { flowFiles, vehicleBook } from './advise-vehicles-files.ts';

const vehicles = vehicleBook();
const ids = (facts: Facts) => familiesFor(facts, vehicles).map(({ id }) => id);
const onlyFamily = (facts: Facts): DieselFamily => {
  const [family, ...others] = dieselOnly(familiesFor(facts, vehicles));
  if (!family || others.length > 0) throw new Error(`not one family: ${ids(facts).join(', ')}`);
  return family;
};
const diesel = (engineLitres: number, layout: 'V' | 'I', modelYear: number): Facts => ({
  engineLitres,
  layout,
  modelYear,
  fuel: 'diesel',
});

describe('the fuel-system design of US light-duty diesels (common knowledge of the trade, from memory)', () => {
  it.each([
    [diesel(7.3, 'V', 1995), 'oil-actuated', true],
    [diesel(7.3, 'V', 2003), 'oil-actuated', true],
    [diesel(6.0, 'V', 2003), 'oil-actuated', true],
    [diesel(6.0, 'V', 2007), 'oil-actuated', true],
    [diesel(6.4, 'V', 2008), 'other-common-rail', true],
    [diesel(6.4, 'V', 2010), 'other-common-rail', true],
    [diesel(6.7, 'V', 2011), 'two-plunger', true],
    [diesel(6.7, 'V', 2024), 'two-plunger', true],
    [diesel(6.6, 'V', 2001), 'three-plunger', true],
    [diesel(6.6, 'V', 2010), 'three-plunger', true],
    [diesel(6.6, 'V', 2011), 'two-plunger', true],
    [diesel(6.6, 'V', 2016), 'two-plunger', true],
    [diesel(6.6, 'V', 2017), 'other-common-rail', true],
    [diesel(5.9, 'I', 1996), 'inline-mechanical', true],
    [diesel(5.9, 'I', 2000), 'rotary', true],
    [diesel(5.9, 'I', 2003), 'three-plunger', true],
    [diesel(5.9, 'I', 2007), 'three-plunger', true],
    [diesel(6.7, 'I', 2007), 'three-plunger', true],
    [diesel(6.7, 'I', 2018), 'three-plunger', true],
    [diesel(6.7, 'I', 2019), 'two-plunger', true],
    [diesel(6.7, 'I', 2020), 'two-plunger', true],
    [diesel(6.7, 'I', 2021), 'three-plunger', true],
    [diesel(3.0, 'V', 2014), 'two-plunger', true],
    [diesel(3.0, 'V', 2019), 'two-plunger', true],
    [diesel(3.0, 'V', 2021), 'other-common-rail', false],
    [diesel(3.0, 'I', 2021), 'other-common-rail', false],
    [diesel(5.0, 'V', 2017), 'two-plunger', false],
    [diesel(2.8, 'I', 2018), 'other-common-rail', false],
  ] as const)('%o is %s, certain: %s', (facts, design, certain) => {
    const { fuelSystem } = onlyFamily(facts);
    expect([fuelSystem.design, fuelSystem.certain]).toEqual([design, certain]);
  });

  it.each([
    [diesel(7.3, 'V', 1994), ['rotary', 'oil-actuated'], 'changed during 1994'],
    [diesel(5.9, 'I', 1998), ['inline-mechanical', 'rotary'], 'changed during 1998'],
  ])('%o may be either of %o: %s', (facts, designs) => {
    expect(dieselOnly(familiesFor(facts, vehicles)).map(({ fuelSystem }) => fuelSystem.design)).toEqual(designs);
  });

  it('asks about the recalls that changed the pump on the 6.7 L inline six of 2019 and 2020 and on the 3.0 L V6', () => {
    expect(
      dieselOnly(vehicles.families)
        .filter(({ recallHint }) => recallHint)
        .map(({ id }) => id),
    ).toEqual(['i6-6.7-2019', 'v6-3.0-2014']);
  });
});

describe('figures that hang on the family', () => {
  it.each([
    [2016, false, 'early', 'the bracket of the years to 2016'],
    [2017, false, 'late', 'another bracket from 2017'],
    [2019, false, 'late', 'the last year without the further return fitting'],
    [2020, true, 'late', 'one more return fitting from 2020'],
  ])('the kit on a 6.7 L V8 of %i: extra return fitting %s, bracket %s (%s; common practice, no source)', (...row) => {
    const [year, extraReturnFitting, bracket] = row;
    const labourHours = { low: 4, high: 5 };
    expect(onlyFamily(diesel(6.7, 'V', year)).kit).toMatchObject({ extraReturnFitting, bracket, labourHours });
  });

  it.each<[Facts, number | undefined, number, string]>([
    [diesel(6.7, 'V', 2016), undefined, 22_000, 'common practice, no source'],
    [diesel(6.7, 'V', 2016), 7_500, 22_000, 'three oil changes would be 22,500'],
    [diesel(6.7, 'V', 2016), 5_000, 15_000, 'every third oil change comes first'],
    [diesel(6.7, 'I', 2010), undefined, 15_000, 'many filters are nearer 15,000'],
    [diesel(7.3, 'V', 1999), 3_000, 6_000, 'every second oil change comes first'],
  ])('%o with oil changes every %s miles: fuel filter every %i miles (%s)', (facts, oil, miles) => {
    expect(fuelFilterMiles(onlyFamily(facts), oil)).toBe(miles);
  });

  it.each([
    [diesel(6.7, 'I', 2015), 67_500],
    [diesel(6.7, 'V', 2015), 100_000],
    [diesel(7.3, 'V', 1999), undefined],
  ])('the crankcase breather filter of %o is due at %s miles', (facts, miles) => {
    expect(onlyFamily(facts).breather.miles).toBe(miles);
  });
});

describe('which families a truck can belong to', () => {
  it('is every family while nothing is known', () => {
    expect(ids({})).toHaveLength(vehicles.families.length);
  });

  it.each<[Facts, string[], string]>([
    [{ engineLitres: 6.7, modelYear: 2017 }, ['i6-6.7-2013', 'v8-6.7-2017'], 'the litres fit a straight six and a V8'],
    [{ engineLitres: 6.7, modelYear: 2017, layout: 'V' }, ['v8-6.7-2017'], 'the layout tells them apart'],
    [{ engineLitres: 6.7, modelYear: 2017, cylinders: 6 }, ['i6-6.7-2013'], 'and so do the cylinders'],
    [
      { engineLitres: 6.0, modelYear: 2005 },
      ['v8-6.0-gasoline-1999', 'v8-6.0-2003'],
      'the litres do not give the fuel',
    ],
    [
      { engineLitres: 6.6, modelYear: 2022 },
      ['v8-6.6-gasoline-2020', 'v8-6.6-2017'],
      'the litres do not give the fuel',
    ],
    [{ engineLitres: 6.6, modelYear: 2014 }, ['v8-6.6-2011'], 'no gasoline 6.6 L in that year'],
    [{ engineLitres: 7.3, modelYear: 2021 }, ['v8-7.3-gasoline-2020'], 'no diesel 7.3 L in that year'],
    [{ engineLitres: 6.4, modelYear: 2015 }, ['v8-6.4-gasoline-2014'], 'no diesel 6.4 L in that year'],
    [
      { engineLitres: 6.7, modelYear: 2017, layout: 'V', unsure: ['layout'] },
      ['i6-6.7-2013', 'v8-6.7-2017'],
      'unsure is unknown',
    ],
    [{ engineFamily: 'v8-6.7-2020', engineLitres: 6.6 }, ['v8-6.7-2020'], 'the shop has told the family'],
    [
      { engineFamily: 'no-such', engineLitres: 6.4, modelYear: 2009 },
      ['v8-6.4-2008'],
      'an unknown family says nothing',
    ],
    [{ engineLitres: 6.7, modelYear: 2005 }, [], 'no 6.7 L before 2007'],
    [{ engineLitres: 9.9 }, [], 'no such engine'],
  ])('%o can be %o: %s', (facts, families) => {
    expect(ids(facts).sort()).toEqual([...families].sort());
  });

  it('never loses a family by knowing less', () => {
    const keys = ['engineLitres', 'cylinders', 'layout', 'fuel', 'modelYear'] as const;
    const truck = fc.constantFrom(...vehicles.families).chain((family) =>
      fc.record({
        family: fc.constant(family),
        modelYear: fc.integer({ min: family.years.from, max: family.years.to ?? 2040 }),
        forgotten: fc.subarray([...keys]),
      }),
    );
    fc.assert(
      fc.property(truck, ({ family, modelYear, forgotten }) => {
        const { litres, cylinders, layout, fuel } = family;
        const whole: Facts = { engineLitres: litres, cylinders, layout, fuel, modelYear };
        const part = Object.fromEntries(Object.entries(whole).filter(([key]) => !forgotten.includes(key as never)));
        expect(ids(whole)).toContain(family.id);
        expect(new Set(ids(part))).toEqual(new Set([...ids(part), ...ids(whole)]));
        expect(ids({ ...whole, unsure: forgotten })).toEqual(ids(part));
      }),
    );
  });
});

describe('the year ranges of every engine', () => {
  it('leave no model year of a diesel without a family between its first and its last', () => {
    for (const engine of new Set(dieselOnly(vehicles.families).map((family) => family.engine))) {
      const families = vehicles.families.filter((family) => family.engine === engine);
      const last = Math.max(...families.map(({ years }) => years.to ?? 2030));
      for (let year = Math.min(...families.map(({ years }) => years.from)); year <= last; year++) {
        expect([engine, year, families.filter((family) => builtIn(family, year)).length > 0]).toEqual([
          engine,
          year,
          true,
        ]);
      }
    }
  });

  const broken = (change: (text: string) => string): string[] => {
    const files = flowFiles('vehicles').map((file): FlowFile =>
      file.path.endsWith('v8.yaml') ? { ...file, text: change(file.text) } : file,
    );
    const checked = compileVehicles(files);
    return checked.ok ? [] : checked.findings.map(findingLine);
  };
  const lineOf = (fragment: string): number => {
    const text = flowFiles('vehicles').find(({ path }) => path.endsWith('v8.yaml'))?.text ?? '';
    return text.slice(0, text.indexOf(fragment)).split('\n').length;
  };

  it.each<[string, (text: string) => string, string, RegExp]>([
    [
      'an overlap',
      (text) => text.replace('{ from: 2017, to: 2019 }', '{ from: 2016, to: 2019 }'),
      '{ from: 2017, to: 2019 }',
      /v8-6\.7-2017 overlaps v8-6\.7-2011 in 2016/,
    ],
    [
      'a gap',
      (text) => text.replace('{ from: 2017, to: 2019 }', '{ from: 2018, to: 2019 }'),
      '{ from: 2017, to: 2019 }',
      /no family covers 2017-2017 before v8-6\.7-2017/,
    ],
    [
      'a family that ends before it starts',
      (text) => text.replace('{ from: 2008, to: 2010 }', '{ from: 2012, to: 2010 }'),
      '{ from: 2008, to: 2010 }',
      /ends in 2010, before it starts in 2012/,
    ],
    [
      'a changeover in which nothing changes over',
      (text) => text.replace('{ year: 1994', '{ year: 1999'),
      '{ year: 1994',
      /no two families meet in the changeover year 1999/,
    ],
    [
      'an id that is used twice',
      (text) => text.replace('id: v8-6.7-2020', 'id: v8-6.7-2017'),
      'id: v8-6.7-2020',
      /the id v8-6\.7-2017 is used twice/,
    ],
    [
      'a two-plunger pump without fitting data of the kit',
      (text) => text.replace('design: three-plunger', 'design: two-plunger'),
      'id: v8-6.6-2001',
      /v8-6\.6-2001 has the two-plunger pump and needs the kit's fitting data/,
    ],
    ['an engine without its source', (text) => text.replace('    source: from memory\n', ''), '- id: v8-7.3', /source/],
    ['a misspelt key', (text) => text.replace('fuelFilter:', 'fuelfilter:'), 'fuelFilter:', /fuelfilter|fuelFilter/],
  ])('refuses %s and names the line', (_what, change, fragment, message) => {
    const findings = broken(change);
    expect(findings.some((finding) => message.test(finding))).toBe(true);
    expect(findings.map((finding) => Number(finding.split(':')[1]))).toContain(lineOf(fragment));
  });

  it('gives every part its own source, or the one of its engine', () => {
    const { fuelSystem, fuelFilter } = onlyFamily(diesel(6.7, 'V', 2016));
    expect(fuelSystem.source).toBe('from memory');
    expect(fuelFilter.source).toMatch(/^common practice, no source/);
  });

  it('refuses a book without files', () => {
    expect(compileVehicles([]).ok).toBe(false);
  });
});
