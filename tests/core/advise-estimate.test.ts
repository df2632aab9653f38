import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { estimate, EstimateRequestShape } from '../../src/core/advise/estimate.ts';
import { labourOf } from '../../src/core/advise/services-cost.ts';
import { compileServices, serviceText } from '../../src/core/advise/services.ts';
import { dieselOnly, familiesFor } from '../../src/core/advise/vehicles.ts';
import { findingLine, type FlowFile } from '../../src/core/model/checked.ts';
import type { Facts } from '../../src/core/model/facts.ts';
import { LANGUAGES, SERVICES, type ServiceId } from '../../src/core/model/ids.ts';
import { flowFiles, serviceBook, vehicleBook } from './advise-vehicles-files.ts';

const book = serviceBook();
const vehicles = vehicleBook();
const RATE = book.labourRateCents / 100;
const V8: Facts = { engineLitres: 6.7, layout: 'V', modelYear: 2016 };
const labour = (facts: Facts, ids: ServiceId[]) => labourOf(ids, familiesFor(facts, vehicles), book);
const kitFamilies = dieselOnly(vehicles.families).filter(({ kit }) => kit);

/** Any facts that narrow the engine, whether or not such a truck exists. */
const anyFacts: fc.Arbitrary<Facts> = fc
  .record(
    {
      engineLitres: fc.constantFrom(2.8, 3.0, 5.0, 5.3, 5.9, 6.0, 6.4, 6.6, 6.7, 7.3, 9.9),
      layout: fc.constantFrom('V', 'I'),
      cylinders: fc.constantFrom(4, 6, 8),
      fuel: fc.constantFrom('diesel', 'gasoline'),
      modelYear: fc.integer({ min: 1990, max: 2027 }),
      symptoms: fc.constantFrom([], ['knock'], ['loss-of-power']),
    },
    { requiredKeys: [] },
  )
  .map((facts) => facts as Facts);
const anyServices = fc.subarray([...SERVICES]);

describe('figures of the trade (common practice, no source)', () => {
  it('the kit takes 4 to 5 hours on every 6.7 L V8', () => {
    for (const modelYear of [2011, 2016, 2017, 2019, 2020, 2024]) {
      const { services } = labour({ ...V8, modelYear }, ['pump-protection-kit']);
      expect(services).toEqual([{ id: 'pump-protection-kit', applies: true, labourHours: { low: 4, high: 5 } }]);
    }
  });

  it.each(kitFamilies.map(({ id }) => id))(
    'on %s the repair costs above 10,000 dollars, the kit under a tenth of it',
    (id) => {
      const repair = estimate({ engineFamily: id }, ['fuel-system-replacement'], book);
      const kit = estimate({ engineFamily: id }, ['pump-protection-kit'], book);
      expect(repair.total.low).toBeGreaterThan(10_000);
      expect(kit.parts.high).toBeLessThan(repair.total.low / 10);
    },
  );

  it('what lies under the manifold adds little while it is off: under an hour each against the kit of 4 to 5', () => {
    const lines = estimate(
      V8,
      ['pump-protection-kit', 'egr-cooler-inspection', 'intake-inspection', 'crankcase-breather-filter'],
      book,
    ).lines;
    for (const { service, labourHours } of lines.slice(1))
      expect([service, labourHours.high < 1]).toEqual([service, true]);
  });
});

describe('shared tear-down', () => {
  it('is counted once, worked by hand from the steps of the 6.7 L V8', () => {
    // Kit 4.0 to 5.0 (manifold 2.8 to 3.4, kit 1.0 to 1.3, priming 0.2 to 0.3); intake alone manifold + 0.2 to 0.3;
    // EGR cooler alone 1.0 to 2.0 to reach it + 0.4 to 0.6, of which the bore-scope alone is left.
    const { services, bundle } = labour(V8, ['pump-protection-kit', 'intake-inspection', 'egr-cooler-inspection']);
    expect(services.map(({ labourHours }) => labourHours)).toEqual([
      { low: 4, high: 5 },
      { low: 3, high: 3.7 },
      { low: 1.4, high: 2.6 },
    ]);
    expect(bundle).toEqual({ labourHours: { low: 4.6, high: 5.9 }, savedHours: { low: 3.8, high: 5.4 } });
  });

  it('buys a shared part once: gaskets and filters', () => {
    const both = estimate(V8, ['fuel-system-replacement', 'fuel-filter-service'], book);
    const one = estimate(V8, ['fuel-system-replacement'], book);
    expect(both.parts).toEqual(one.parts);
  });

  it('never makes a bundle dearer than its services one by one, nor cheaper than the longest of them', () => {
    fc.assert(
      fc.property(anyFacts, anyServices, (facts, ids) => {
        const { services, bundle } = labour(facts, ids);
        const sum = (end: 'low' | 'high') => services.reduce((total, { labourHours }) => total + labourHours[end], 0);
        expect(bundle.labourHours.low).toBeLessThanOrEqual(sum('low') + 1e-9);
        expect(bundle.labourHours.high).toBeLessThanOrEqual(sum('high') + 1e-9);
        if (familiesFor(facts, vehicles).length === 1) {
          const longest = Math.max(0, ...services.map(({ labourHours }) => labourHours.high));
          expect(bundle.labourHours.high).toBeGreaterThanOrEqual(longest);
        }
        expect(bundle.savedHours.low).toBeGreaterThanOrEqual(0);
        expect(bundle.savedHours.low).toBeLessThanOrEqual(bundle.savedHours.high);
      }),
    );
  });

  it('does not hang on the order in which the services are named', () => {
    fc.assert(
      fc.property(anyFacts, fc.shuffledSubarray([...SERVICES]), (facts, ids) => {
        expect(labour(facts, ids).bundle).toEqual(labour(facts, [...ids].sort()).bundle);
      }),
    );
  });

  it('adds nothing and takes nothing away when a service is named twice', () => {
    expect(labour(V8, ['oil-service', 'oil-service'])).toEqual(labour(V8, ['oil-service']));
  });
});

describe('the sum of an estimate', () => {
  it('is labour by the rate plus parts, and its lines add up to it, whatever the facts and services', () => {
    fc.assert(
      fc.property(anyFacts, anyServices, (facts, ids) => {
        const { labourHours, parts, total, lines } = estimate(facts, ids, book);
        for (const end of ['low', 'high'] as const) {
          expect(total[end]).toBeCloseTo(labourHours[end] * RATE + parts[end], 2);
          expect(lines.reduce((sum, line) => sum + line.labourHours[end], 0)).toBeCloseTo(labourHours[end], 6);
          expect(lines.reduce((sum, line) => sum + line.parts[end], 0)).toBeCloseTo(parts[end], 6);
        }
        for (const { low, high } of [
          labourHours,
          parts,
          total,
          ...lines.flatMap((line) => [line.labourHours, line.parts]),
        ]) {
          expect(low).toBeGreaterThanOrEqual(0);
          expect(low).toBeLessThanOrEqual(high);
        }
        for (const amount of [parts.low, parts.high, total.low, total.high])
          expect(String(amount)).toMatch(/^\d+(\.\d\d?)?$/);
        for (const hours of [labourHours.low, labourHours.high]) expect(String(hours)).toMatch(/^\d+(\.\d)?$/);
        expect(lines.map(({ service }) => service).sort()).toEqual([...ids].sort());
      }),
    );
  });

  it('grows no narrower by knowing less about the engine', () => {
    const wide = estimate({ engineLitres: 6.7 }, ['fuel-filter-service'], book);
    const narrow = estimate(V8, ['fuel-filter-service'], book);
    expect(wide.total.low).toBeLessThanOrEqual(narrow.total.low);
    expect(wide.total.high).toBeGreaterThanOrEqual(narrow.total.high);
  });

  it('of no services is nothing, and still says what no estimate includes', () => {
    expect(estimate(V8, [], book)).toEqual({
      labourHours: { low: 0, high: 0 },
      parts: { low: 0, high: 0 },
      total: { low: 0, high: 0 },
      currency: 'USD',
      lines: [],
      leftOut: ['tax', 'shop supplies', 'towing', 'core deposit', 'storage'],
    });
  });
});

describe('a complaint that has not been diagnosed', () => {
  it('is estimated as a diagnosis only, with the limit at which we ask', () => {
    const given = estimate({ ...V8, symptoms: ['loss-of-power'] }, ['scan-diagnosis', 'fuel-pressure-test'], book);
    expect(given.diagnosisOnly).toBe(true);
    // Scan 0.6, gauges 1.0 and road test 0.5 hours at most.
    expect(given.limit).toMatchObject({ hours: 2.1, total: 2.1 * RATE });
    expect(given.limit?.text).toContain('2.1 h');
    expect(given.leftOut.at(-1)).toMatch(/repair/);
  });

  it('has its limit beside a filter too, of the part that looks alone', () => {
    // Check 0.4 + 0.3 + 0.5 + 0.4 - 0.4 (the filter is opened by changing it), scan 0.6 and gauges 1.0 hours at most.
    const list: ServiceId[] = ['fuel-contamination-check', 'fuel-pressure-test', 'fuel-filter-service'];
    const given = estimate({ ...V8, symptoms: ['loss-of-power'] }, list, book);
    expect(given).not.toHaveProperty('diagnosisOnly');
    expect(given.limit).toMatchObject({ hours: 2.8, total: (28 * RATE) / 10 });
    expect(given.limit?.text).toMatch(/^Diagnosis and inspection in it end at 2\.8 h .* asked for first\.$/);
  });

  it('is a diagnosis also where it looks into the cooler: coolant that disappears is found before anything is repaired', () => {
    const given = estimate(V8, ['cooling-system-test', 'egr-cooler-inspection', 'tow-in'], book);
    expect(given.diagnosisOnly).toBe(true);
    expect(given.limit?.total).toBe(given.total.high);
  });

  it('comes before a repair that it decides, and is not cheaper for that repair', () => {
    const check = estimate(V8, ['fuel-contamination-check'], book);
    const both = estimate(V8, ['tow-in', 'fuel-contamination-check', 'fuel-system-replacement'], book);
    expect(both.limit).toMatchObject({ hours: check.labourHours.high, total: check.total.high });
    expect(both.limit?.text).toMatch(/Fuel system replacement is done only if they show that it is needed/);
    expect(both.lines[0]?.text).toBe(
      'Fuel system replacement (only if the check shows that metal from the pump went through the system)',
    );
    expect(estimate(V8, ['fuel-system-replacement'], book).lines[0]?.text).toBe('Fuel system replacement');
  });

  it('says of the kit that it goes on only a clean pump, where the check is in the list', () => {
    const [kit] = estimate(V8, ['pump-protection-kit', 'fuel-contamination-check'], book, 'es').lines;
    expect(kit?.text).toMatch(/\(solo si la revisión halla el combustible sin metal\)$/);
    expect(estimate(V8, ['pump-protection-kit'], book).lines[0]?.text).toBe('Pump protection kit');
  });

  it.each<[ServiceId[], string]>([
    [['fuel-filter-service'], 'maintenance is no diagnosis'],
    [['scan-diagnosis', 'oil-service'], 'maintenance is priced beside it'],
    [['tow-in'], 'bringing the truck in finds nothing'],
    [[], 'nothing'],
  ])('is not what %o is: %s', (ids) => {
    expect(estimate(V8, ids, book)).not.toHaveProperty('diagnosisOnly');
  });
});

describe('what cannot be priced', () => {
  it.each<[Facts, ServiceId, RegExp]>([
    [{ engineLitres: 7.3, fuel: 'diesel' }, 'pump-protection-kit', /not made for this engine/],
    [{ engineLitres: 7.3, fuel: 'diesel' }, 'egr-cooler-inspection', /not made for this engine/],
    [{ ...V8, pumpReplaced: true }, 'pump-protection-kit', /not made for this engine/],
    [{ engineLitres: 5.3 }, 'oil-service', /diesel trucks only/],
    [{ ...V8, fuel: 'gasoline' }, 'oil-service', /diesel trucks only/],
    [{ fuel: 'gasoline', engineLitres: 3.7 }, 'oil-service', /diesel trucks only/],
  ])('%o: %s is named and costs nothing', (facts, id, text) => {
    const { lines, total } = estimate(facts, [id], book);
    expect(lines).toHaveLength(1);
    expect(lines[0]?.text).toMatch(text);
    expect(total).toEqual({ low: 0, high: 0 });
  });

  it.each<[Facts, boolean]>([
    [V8, false],
    [{ engineLitres: 5.0, layout: 'V', modelYear: 2017, fuel: 'diesel' }, true],
    [{ engineLitres: 6.7, layout: 'I', modelYear: 2019 }, true],
    [{ engineLitres: 6.7, layout: 'I', modelYear: 2019, pumpReplaced: false }, false],
    [{ engineLitres: 9.9 }, true],
    [{}, true],
  ])('a kit for %o is priced subject to confirming the pump: %s', (facts, unconfirmed) => {
    expect(/confirms first/.test(estimate(facts, ['pump-protection-kit'], book).lines[0]?.text ?? '')).toBe(
      unconfirmed,
    );
  });
});

it('believes a told diesel, though the book knows the engine with gasoline only', () => {
  expect(estimate({ engineLitres: 5.3, fuel: 'diesel' }, ['oil-service'], book).total.low).toBeGreaterThan(0);
});

it('receives a towed truck of any fuel', () => {
  const { lines, labourHours } = estimate({ engineLitres: 5.3 }, ['tow-in'], book);
  expect(lines[0]?.text).toBe('Tow-in');
  expect(labourHours.low).toBeGreaterThan(0);
});

describe('break-even of the kit', () => {
  it('is what it costs installed over what it avoids, the pump left out, worked by hand for the 6.7 L V8', () => {
    const { breakEven } = estimate(V8, ['pump-protection-kit'], book);
    // Kit: 4.0 to 5.0 h; parts 450 + 35 to 800 + 90. Avoided: injectors and rails 8.0 to 11.0 h, tank and lines
    // 0.8 + 2.5 to 1.5 + 4.0 h, coding 0.4 to 0.7 h; parts 5,800 + 400 + 60 to 8,200 + 700 + 180.
    const installed = { low: 4 * RATE + 485, high: 5 * RATE + 890 };
    const avoided = { low: 11.7 * RATE + 6260, high: 17.2 * RATE + 9080 };
    expect(breakEven).toMatchObject({ installedCost: installed, avoidedCost: avoided });
    expect(breakEven?.paysAboveChance.low).toBeCloseTo(installed.low / avoided.high, 3);
    expect(breakEven?.paysAboveChance.high).toBeCloseTo(installed.high / avoided.low, 3);
  });

  it.each(kitFamilies.map(({ id }) => id))(
    'avoids less than the whole repair on %s, because the pump is not saved',
    (id) => {
      const { breakEven } = estimate({ engineFamily: id }, ['pump-protection-kit'], book);
      const repair = estimate({ engineFamily: id }, ['fuel-system-replacement'], book).total;
      expect(breakEven?.avoidedCost.low).toBeLessThan(repair.low - 1_000);
      expect(breakEven?.avoidedCost.high).toBeLessThan(repair.high - 1_000);
    },
  );

  it.each<[Facts, ServiceId[], string]>([
    [V8, ['fuel-filter-service'], 'no kit'],
    [{ engineLitres: 7.3, fuel: 'diesel' }, ['pump-protection-kit'], 'no such pump'],
  ])('is not given for %o with %o: %s', (facts, ids) => {
    expect(estimate(facts, ids, book)).not.toHaveProperty('breakEven');
  });

  it('names no chance of failure, only the one above which it pays', () => {
    for (const language of LANGUAGES) {
      const text = estimate(V8, ['pump-protection-kit'], book, language).breakEven?.text ?? '';
      expect(text.match(/\d+\s?%/g)).toHaveLength(2);
    }
  });
});

describe('every service', () => {
  it.each(SERVICES)('%s has labour, a name and a description in both languages', (id) => {
    const { services } = labour({ engineLitres: 6.7, layout: 'V', modelYear: 2018 }, [id]);
    expect(services[0]?.labourHours.low).toBeGreaterThan(0);
    for (const language of LANGUAGES) {
      const { name, description } = serviceText(id, book, language);
      expect(name.length).toBeGreaterThan(4);
      expect(description).toMatch(/\.$/);
    }
    expect(serviceText(id, book, 'en').name).not.toBe(serviceText(id, book, 'es').name);
  });
});

describe('a request', () => {
  it.each<[unknown, string]>([
    [{ facts: {}, services: ['head-gasket'] }, 'unknown service'],
    [{ facts: { mileage: 97_000 }, services: [] }, 'unknown fact'],
    [{ facts: {} }, 'no services'],
    [{ services: [] }, 'no facts'],
    [{ facts: { modelYear: '2016' }, services: [] }, 'a year that is no number'],
    [{ facts: {}, services: [], language: 'en' }, 'unknown key'],
    [null, 'nothing'],
  ])('%o is refused: %s', (request) => {
    expect(EstimateRequestShape.safeParse(request).success).toBe(false);
  });
});

it('names the service that was refused, and the nearest that there is', () => {
  const refused = EstimateRequestShape.safeParse({ facts: {}, services: ['oil-servise'] });
  expect(refused.error?.issues[0]?.message).toBe('"oil-servise" is no service; is oil-service meant?');
});

describe('the files of services', () => {
  const broken = (name: string, change: (text: string) => string): string[] => {
    const files = flowFiles('services').map((file): FlowFile => {
      if (!file.path.endsWith(name)) return file;
      const text = change(file.text);
      if (text === file.text) throw new Error(`${name} has changed; this case changes nothing`);
      return { ...file, text };
    });
    const checked = compileServices(files, vehicles);
    return checked.ok ? [] : checked.findings.map(findingLine);
  };

  it.each<[string, string, (text: string) => string, RegExp]>([
    [
      'an unknown step',
      'catalogue.yaml',
      (text) => text.replace('[lift, oil-change]', '[lift, oil-chnge]'),
      /:\d+: oil-chnge is no labour step; is oil-change meant\?/,
    ],
    [
      'an unknown part',
      'catalogue.yaml',
      (text) => text.replace('parts: [oil-and-filter]', 'parts: [oil]'),
      /:\d+: oil is no part/,
    ],
    [
      'an unknown engine',
      'steps.yaml',
      (text) => text.replace('engines: [v8-5.0]', 'engines: [v8-5.1]'),
      /:\d+: v8-5\.1 is no engine; is v8-5\.0 meant/,
    ],
    [
      'a step that nothing needs',
      'catalogue.yaml',
      (text) =>
        text
          .replace('[transmission-look, road-test]', '[road-test]')
          .replace('[scan, transmission-look, road-test]', '[scan, road-test]'),
      /no service needs the step transmission-look/,
    ],
    [
      'a service that is missing',
      'catalogue.yaml',
      (text) => text.slice(0, text.lastIndexOf('  - id: leak-recheck')),
      /the service leak-recheck is missing/,
    ],
    [
      'kit hours against the fitting data',
      'steps.yaml',
      (text) => text.replace('hours: [2.8, 3.4]', 'hours: [2.9, 3.4]'),
      /4\.1 to 5 h on v8-6\.7-2011, whose fitting data say 4 to 5 h/,
    ],
    [
      'a range upside down',
      'steps.yaml',
      (text) => text.replace('hours: [2.8, 3.4]', 'hours: [3.8, 3.4]'),
      /low end stands above/,
    ],
    [
      'hours that are no tenths',
      'steps.yaml',
      (text) => text.replace('hours: [2.8, 3.4]', 'hours: [2.85, 3.4]'),
      /tenths/,
    ],
    ['a text missing in Spanish', 'catalogue.yaml', (text) => text.replace(/, es: Servicio de aceite/, ''), /name\.es/],
    [
      'a message missing in a language',
      'words.es.ftl',
      (text) => text.replace(/^limit = .*$/m, ''),
      /words\.es\.ftl:1: the message limit is missing/,
    ],
    [
      'a message that leaves a figure out',
      'words.en.ftl',
      (text) => text.replace('{ $amount }', ''),
      /words\.en\.ftl:\d+: limit does not say \$amount/,
    ],
    [
      'a message with a figure it is not given',
      'words.en.ftl',
      (text) => text.replace('{ $amount }', '{ $amount } { $amuont }'),
      /limit uses \$amuont/,
    ],
    [
      'a labour rate of nothing',
      'terms.yaml',
      (text) => text.replace('labourRate: 165', 'labourRate: 0'),
      /above zero/,
    ],
  ])('with %s are refused, with the place', (_what, name, change, message) => {
    expect(broken(name, change).some((finding) => message.test(finding))).toBe(true);
  });

  it('that are missing are named', () => {
    const checked = compileServices([], vehicles);
    expect(checked.ok ? [] : checked.findings.map(({ file }) => file)).toContain('flows/services/catalogue.yaml');
  });
});
