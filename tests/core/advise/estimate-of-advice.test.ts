import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { estimate } from '../../../src/core/advise/estimate.ts';
import { advise } from '../../../src/core/advise/mod.ts';
import type { Range } from '../../../src/core/model/advice.ts';
import type { Facts } from '../../../src/core/model/facts.ts';
import type { ServiceId } from '../../../src/core/model/ids.ts';
import { serviceBook } from '../advise-vehicles-files.ts';
import { shopBook } from './flows.ts';
import { dice, partOf, truckOf } from './trucks.ts';

const rules = shopBook();
const prices = serviceBook();
const ENDS = ['low', 'high'] as const;

/** A made-up truck of which all is told, or a part, with what is advised for it. */
const advised = fc.integer({ min: 1, max: 1_000_000 }).map((seed) => {
  const roll = dice(seed);
  const truck = truckOf(roll);
  const facts = roll() < 0.5 ? truck : partOf(truck, roll);
  const advice = advise(facts, rules, 'en');
  return { facts, advice, services: advice.services.map(({ id }) => id) };
});
const priced = ({ facts, services }: { facts: Facts; services: ServiceId[] }) => estimate(facts, services, prices);
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

describe('what is advised for a made-up truck', () => {
  it('can be estimated: each service is priced, and labour at the rate and parts add up to the total', () => {
    fc.assert(
      fc.property(advised, (each) => {
        const given = priced(each);
        expect(given.lines.map(({ service }) => service).sort()).toEqual([...each.services].sort());
        for (const { service, text } of given.lines)
          expect(`${service}: ${text}`).not.toMatch(/not made for|not priced/);
        for (const end of ENDS) {
          const labour = (given.labourHours[end] * prices.labourRateCents) / 100;
          expect(given.total[end]).toBeCloseTo(labour + given.parts[end], 2);
          expect(sum(given.lines.map((line) => line.parts[end]))).toBeCloseTo(given.parts[end], 6);
          expect(sum(given.lines.map((line) => line.labourHours[end]))).toBeCloseTo(given.labourHours[end], 6);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('has the labour that the advice names', () => {
    fc.assert(
      fc.property(advised, (each) => {
        expect(priced(each).labourHours).toEqual(each.advice.bundle.labourHours);
      }),
      { numRuns: 200 },
    );
  });

  it('is never dearer together than one by one, and no figure is below zero or the wrong way round', () => {
    fc.assert(
      fc.property(advised, ({ facts, services }) => {
        const together = priced({ facts, services });
        const alone = services.map((id) => priced({ facts, services: [id] }));
        for (const end of ENDS) {
          expect(together.total[end]).toBeLessThanOrEqual(sum(alone.map(({ total }) => total[end])) + 0.001);
        }
        const ranges = (given: typeof together): Range[] => [given.labourHours, given.parts, given.total];
        for (const { low, high } of [together, ...alone].flatMap(ranges)) {
          expect(low).toBeGreaterThanOrEqual(0);
          expect(low).toBeLessThanOrEqual(high);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('has a limit wherever something is diagnosed, within the total, and nowhere else', () => {
    fc.assert(
      fc.property(advised, (each) => {
        const { limit, total, labourHours, leftOut } = priced(each);
        const diagnosis = each.services.some((id) => prices.services.get(id)?.kind === 'diagnosis');
        expect(limit !== undefined).toBe(diagnosis);
        expect(leftOut.some((words) => words.includes('repair'))).toBe(diagnosis);
        if (limit) {
          expect(limit.total).toBeGreaterThan(0);
          expect(limit.total).toBeLessThanOrEqual(total.high);
          expect(limit.hours).toBeLessThanOrEqual(labourHours.high);
        }
      }),
      { numRuns: 200 },
    );
  });

  it('costs the same in both languages, in whole words', () => {
    fc.assert(
      fc.property(advised, ({ facts, services }) => {
        const english = estimate(facts, services, prices, 'en');
        const spanish = estimate(facts, services, prices, 'es');
        const figures = ({ total, parts, labourHours, limit }: typeof english) => ({
          total,
          parts,
          labourHours,
          limit: limit && { hours: limit.hours, total: limit.total },
        });
        expect(figures(spanish)).toEqual(figures(english));
        for (const { lines, leftOut, limit, breakEven } of [english, spanish]) {
          const texts = [...lines.map(({ text }) => text), ...leftOut, limit?.text ?? '', breakEven?.text ?? ''];
          for (const text of texts) expect(text).not.toMatch(/[{}]|NaN|Infinity|undefined/);
        }
        for (const [nth, { text }] of english.lines.entries()) expect(spanish.lines[nth]?.text).not.toBe(text);
      }),
      { numRuns: 100 },
    );
  });
});
