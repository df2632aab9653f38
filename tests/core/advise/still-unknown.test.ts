import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cautionsOf, decide } from '../../../src/core/advise/decide.ts';
import { advise } from '../../../src/core/advise/mod.ts';
import { situationOf } from '../../../src/core/advise/situation.ts';
import type { FactKey, Facts } from '../../../src/core/model/facts.ts';
import { answers, ASKED, NEAR, YEARS } from './answers.ts';
import { shopBook } from './flows.ts';
import { dice, truckOf, type Dice } from './trucks.ts';

const book = shopBook();

/** What counts as the advice: urgency, services and cautions. */
function concluded(facts: Facts): string {
  const decision = decide(book.rules, situationOf(facts, book));
  return JSON.stringify([decision.urgency, [...decision.services.keys()].sort(), cautionsOf(book, decision)]);
}
const decided = (facts: Facts): string => concluded(facts).replace(/,\[[^[\]]*\]\]$/, '');

const pick = <T>(all: readonly T[], roll: Dice): T => all[Math.floor(roll() * all.length)] as T;

/** A truck of which some facts are missing; every fact may also be at odds with the others. */
function strangeTruck(roll: Dice, missing: number): Facts {
  const facts: Record<string, unknown> = { ...truckOf(roll) };
  if (roll() < 0.2) facts['modelYear'] = pick(YEARS, roll);
  if (roll() < 0.2) facts['odometerMiles'] = pick(NEAR, roll);
  for (let n = 0; n < missing; n++) delete facts[pick(ASKED, roll)];
  return facts as Facts;
}

describe('facts that are no longer open', () => {
  it('never change the advice, however many of them are answered together', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2 ** 30 }), fc.integer({ min: 1, max: 16 }), (seed, missing) => {
        const roll = dice(seed);
        const facts = strangeTruck(roll, missing);
        const open = new Set(advise(facts, book, 'en').stillUnknown.map(({ fact }) => fact));
        const closed = ASKED.filter((fact) => facts[fact] === undefined && !open.has(fact));
        const answered: Record<string, unknown> = { ...facts };
        for (const fact of closed) {
          if (roll() < 0.7) answered[fact] = pick(answers(fact, answered as Facts), roll);
        }
        expect(concluded(answered as Facts)).toBe(concluded(facts));
      }),
      { numRuns: 600 },
    );
  }, 600_000);
});

describe('facts that are still open', () => {
  /** By trying every combination: the facts with an answer that changes urgency or services, others answered or not. */
  function openByTrial(facts: Facts): FactKey[] {
    const missing = ASKED.filter((fact) => facts[fact] === undefined);
    return missing.filter((fact) => {
      const others = missing.filter((other) => other !== fact);
      const tryAll = (base: Facts, depth: number): boolean => {
        const other = others[depth];
        if (!other) {
          const before = decided(base);
          return answers(fact, base).some((answer) => decided({ ...base, [fact]: answer }) !== before);
        }
        return (
          tryAll(base, depth + 1) ||
          answers(other, base).some((answer) => tryAll({ ...base, [other]: answer }, depth + 1))
        );
      };
      return tryAll(facts, 0);
    });
  }

  it('are exactly those that a search through all answers finds', () => {
    const roll = dice(7);
    for (let truck = 0; truck < 240; truck++) {
      const facts = strangeTruck(roll, 1 + (truck % 3));
      const open = advise(facts, book, 'en').stillUnknown.map(({ fact }) => fact);
      expect([...open].sort(), JSON.stringify(facts)).toEqual(openByTrial(facts).sort());
    }
  }, 600_000);

  it('each say what they could change', () => {
    const roll = dice(11);
    for (let truck = 0; truck < 200; truck++) {
      const facts = strangeTruck(roll, 1 + (truck % 12));
      for (const { fact, couldChange } of advise(facts, book, 'en').stillUnknown) {
        expect(couldChange.length, `${fact} of ${JSON.stringify(facts)}`).toBeGreaterThan(0);
      }
    }
  });
});
