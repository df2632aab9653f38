import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { advise } from '../../../src/core/advise/mod.ts';
import { Facts } from '../../../src/core/model/facts.ts';
import { DANGER_SYMPTOMS, INTENTS, SYMPTOMS } from '../../../src/core/model/ids.ts';
import { shopBook } from './flows.ts';

const book = shopBook();

const miles = fc.integer({ min: 0, max: 250_000 });
const trucks = fc.record(
  {
    modelYear: fc.integer({ min: 1990, max: 2027 }),
    engineLitres: fc.constantFrom(3, 5.9, 6, 6.2, 6.4, 6.6, 6.7, 7.3, 12.7),
    cylinders: fc.constantFrom(4, 6, 8, 10),
    layout: fc.constantFrom('V' as const, 'I' as const),
    fuel: fc.constantFrom('diesel' as const, 'diesel' as const, 'gasoline' as const),
    odometerMiles: miles,
    symptoms: fc.uniqueArray(fc.constantFrom(...SYMPTOMS), { maxLength: 4 }),
    deniedSymptoms: fc.uniqueArray(fc.constantFrom(...SYMPTOMS), { maxLength: 3 }),
    troubleCodes: fc.uniqueArray(fc.constantFrom('P0087', 'P0524', 'P2463', 'P0401', 'U0100', 'C1234', 'B1234'), {
      maxLength: 2,
    }),
    intent: fc.constantFrom(...INTENTS),
    unsure: fc.uniqueArray(fc.constantFrom('symptoms', 'odometerMiles', 'modelYear', 'metalFound', 'fuel')),
    tows: fc.boolean(),
    lastFuelFilterMiles: miles,
    lastFuelFilterDate: fc.constantFrom('2019-03-01', '2025-11-30'),
    breatherOriginal: fc.boolean(),
    pumpProtected: fc.boolean(),
    pumpReplaced: fc.boolean(),
    metalFound: fc.boolean(),
    pumpFittedAtMiles: miles,
    lastOilChangeMiles: miles,
    oilChangeIntervalMiles: fc.integer({ min: 0, max: 20_000 }),
    coverage: fc.constantFrom('powertrain warranty', ''),
    vin: fc.constant('1G4AH59H45G118341'),
  },
  { requiredKeys: [] },
);

const TODAY = '2026-11-02';

describe('whatever is told of a truck', () => {
  it('the advice holds together', () => {
    fc.assert(
      fc.property(trucks, (told) => {
        const facts = Facts.parse(told);
        const english = advise(facts, book, 'en', TODAY);
        const spanish = advise(facts, book, 'es', TODAY);
        const ids = english.services.map(({ id }) => id);
        const cautions = english.cautions.map(({ id }) => id);

        // The same conclusion in both languages, each text complete.
        expect(spanish.services.map(({ id }) => id)).toEqual(ids);
        expect(spanish.cautions.map(({ id }) => id)).toEqual(cautions);
        for (const { services, cautions: shown, notes, shopNotes, doNow, notAdvised } of [english, spanish]) {
          const texts = [services.map(({ because }) => because), shown.map(({ text }) => text)].flat(2);
          for (const text of [
            ...texts,
            ...notes,
            ...shopNotes,
            ...doNow,
            ...notAdvised.map(({ because }) => because),
          ]) {
            expect(text).toMatch(/^[^{}]+[.]$/);
            expect(text).not.toMatch(/\?|NaN|Infinity|undefined/);
          }
        }

        // Each service once, with its reason and its rule; refused services are not advised too.
        expect(new Set(ids).size).toBe(ids.length);
        for (const { because, rules } of english.services) {
          expect(because.length).toBeGreaterThan(0);
          expect(because.length).toBeLessThanOrEqual(rules.length);
        }
        expect(english.notAdvised.filter(({ id }) => ids.includes(id))).toEqual([]);

        // A message of danger shows a part of the cautions, with the same end.
        const { cautionsNow = [] } = english;
        expect(cautions).toEqual(expect.arrayContaining(cautionsNow));
        expect(cautionsNow.at(-1)).toBe(cautionsNow.length > 0 ? 'local-code' : undefined);

        // The deferral stands once, last, wherever there is a caution; danger never comes without what to do now.
        expect(cautions.filter((id) => id === 'local-code').length).toBe(cautions.length > 0 ? 1 : 0);
        if (cautions.length > 0) expect(cautions.at(-1)).toBe('local-code');
        expect(cautions.includes('do-not-drive')).toBe(english.urgency === 'do-not-drive');
        if (english.urgency === 'do-not-drive') {
          expect(ids[0]).toBe('tow-in');
          expect(english.doNow.length).toBeGreaterThan(0);
          expect(english.doNow.length).toBeLessThanOrEqual(2);
        }
        if (ids.length > 0) expect(english.urgency).not.toBe('watch');

        // The kit only after an inspection, never on metal or doubtful fuel, never twice, never on another pump.
        if (ids.includes('pump-protection-kit')) {
          const unsure = (fact: string): boolean => facts.unsure?.includes(fact) ?? false;
          expect(ids).toContain('fuel-contamination-check');
          expect(ids).not.toContain('fuel-system-replacement');
          expect(facts.pumpProtected ?? false).toBe(false);
          expect(facts.pumpReplaced ?? false).toBe(false);
          expect((facts.metalFound ?? false) && !unsure('metalFound')).toBe(false);
          expect(facts.symptoms?.includes('wrong-fuel') ?? false).toBe(false);
          const pumps = english.families.map((id) => book.vehicles.byId.get(id));
          expect(pumps.every((family) => family?.fuel === 'diesel' && family.fuelSystem.design === 'two-plunger')).toBe(
            true,
          );
        }

        // Together never takes longer than one by one.
        const alone = english.services.reduce((sum, { labourHours }) => sum + labourHours.high, 0);
        expect(english.bundle.labourHours.high).toBeLessThanOrEqual(alone + 1e-9);
        expect(english.bundle.savedHours.low).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 500 },
    );
  }, 600_000);
});

describe('danger', () => {
  it('brings the tow first, though a smaller complaint is told beside its code', () => {
    const advice = advise({ symptoms: ['oil-leak'], troubleCodes: ['P0524'] }, book, 'en');
    expect(advice.services.map(({ id }) => id).slice(0, 2)).toEqual(['tow-in', 'leak-inspection']);
  });

  it.each(DANGER_SYMPTOMS)('%s stops the truck, also where it is not sure', (symptom) => {
    for (const facts of [{ symptoms: [symptom] }, { symptoms: [symptom], unsure: ['symptoms'] }]) {
      const advice = advise(facts, book, 'en');
      expect(advice.urgency).toBe('do-not-drive');
      expect(advice.dangers).toEqual([symptom]);
      expect(advice.services[0]?.id).toBe('tow-in');
      expect(advice.doNow).toHaveLength(2);
      expect(advice.doNow[0]).toMatch(/^If you are driving, .*pull over first/);
    }
  });

  it.each(DANGER_SYMPTOMS)('%s that is denied does not', (symptom) => {
    const facts = { symptoms: [symptom], deniedSymptoms: [symptom], unsure: ['symptoms'] };
    expect(advise(facts, book, 'en').urgency).toBe('watch');
  });

  it('shows what is dangerous now, and not the cautions of work that is only due', () => {
    // The kit of a 6.7 L V8 at 97,000 miles opens the fuel system and the intake; who stands beside a hot engine is told of heat.
    const due: Facts = { modelYear: 2018, engineLitres: 6.7, cylinders: 8, layout: 'V', odometerMiles: 97_000 };
    const { services, cautions, cautionsNow } = advise({ ...due, symptoms: ['overheating'] }, book, 'en');
    expect(services.map(({ id }) => id)).toContain('pump-protection-kit');
    expect(cautions.map(({ id }) => id)).toContain('emissions-law');
    expect(cautionsNow).toEqual(['do-not-drive', 'hot-coolant', 'hot-parts', 'local-code']);
  });

  it('of several, what the most dangerous asks for is said', () => {
    const { doNow } = advise({ symptoms: ['overheating', 'fire-or-smoke', 'brake-fault'] }, book, 'en');
    expect(doNow.join(' ')).toContain('emergency services');
  });
});

describe('what lies ahead', () => {
  const truck: Facts = { modelYear: 2015, engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel', symptoms: [] };

  it.each([
    { miles: 50_000, more: {}, kit: 80_000 },
    { miles: 50_000, more: { tows: true }, kit: 60_000 },
    { miles: 90_000, more: { pumpFittedAtMiles: 70_000 }, kit: 150_000 },
    { miles: 50_000, more: { pumpProtected: true }, kit: undefined },
  ])('at $miles miles with $more the kit is due at $kit', ({ miles: odometerMiles, more, kit }) => {
    const { dueAt } = advise({ ...truck, odometerMiles, ...more }, book, 'en');
    expect(dueAt.find(({ id }) => id === 'pump-protection-kit')?.miles).toBe(kit);
  });

  it.each([
    { last: 90_000, interval: undefined, due: 112_000, why: '22,000 miles on the 6.7 L V8' },
    { last: 90_000, interval: 5000, due: 105_000, why: 'every third oil change, where that is sooner' },
    { last: 90_000, interval: 10_000, due: 112_000, why: 'the miles, where they are sooner' },
  ])('the fuel filter is due at $due: $why', ({ last, interval, due }) => {
    const more = interval === undefined ? {} : { oilChangeIntervalMiles: interval };
    const facts = { ...truck, odometerMiles: 97_000, lastFuelFilterMiles: last, ...more };
    expect(advise(facts, book, 'en').dueAt).toContainEqual({ id: 'fuel-filter-service', miles: due });
  });

  it('asks nothing of the owner that only the shop can find out', () => {
    const { ask = [], stillUnknown } = advise({ ...truck, odometerMiles: 97_000 }, book, 'en');
    expect(stillUnknown.map(({ fact }) => fact)).toContain('metalFound');
    expect(ask).not.toContain('metalFound');
    expect(ask[0]).toBe('pumpProtected');
  });
});
