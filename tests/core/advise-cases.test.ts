import { describe, expect, it } from 'vitest';
import { advise } from '../../src/core/advise/mod.ts';
import { objections, situationIn, workedCases } from './advise-cases.ts';
import { mutantsOf } from './advise-cases-mutants.ts';
import { shopBook } from './advise/flows.ts';

const book = shopBook();
const cases = workedCases();
const situations = cases.map((worked) => situationIn(worked, book));
const agreed = (rules: typeof book.rules): boolean =>
  cases.every((worked, nth) => objections(worked, book, rules, situations[nth]).length === 0);

describe('the worked cases', () => {
  it.each(cases.map((worked) => [`${worked.file}: ${worked.id}`, worked] as const))('%s', (_name, worked) => {
    expect(objections(worked, book), worked.why).toEqual([]);
  });

  it.each(cases.map((worked) => [`${worked.file}: ${worked.id}`, worked] as const))(
    '%s, as the owner gets it',
    (_name, worked) => {
      const { urgency, services, cautions, notAdvised } = advise(worked.facts, book, 'es', worked.today);
      const advised = services.map(({ id }) => id);
      expect(urgency).toBe(worked.urgency);
      expect(advised).toEqual(expect.arrayContaining(worked.must));
      expect(advised.filter((id) => worked.mustNot.includes(id))).toEqual([]);
      expect(notAdvised.map(({ id }) => id)).toEqual(expect.arrayContaining(worked.notAdvised));
      if (cautions.length > 0) expect(cautions.at(-1)?.id).toBe('local-code');
    },
  );

  it('have ids of their own, and name rules of the book', () => {
    const ids = cases.map(({ id }) => id);
    expect(ids.filter((id, nth) => ids.indexOf(id) !== nth)).toEqual([]);
    const rules = new Set(book.rules.map(({ id }) => id));
    expect(cases.flatMap((worked) => [...worked.rules, ...worked.notRules]).filter((id) => !rules.has(id))).toEqual([]);
  });

  it('are at least 150', () => {
    expect(cases.length).toBeGreaterThanOrEqual(150);
  });
});

describe('what the worked cases notice', () => {
  it.each(book.rules.map(({ id, index }) => [id, index] as const))('the rule %s is missing', (_id, index) => {
    expect(agreed(book.rules.filter((rule) => rule.index !== index))).toBe(false);
  });

  it('at least 95 of 100 comparisons that are left out or turned into their contrary', () => {
    const mutants = book.rules.flatMap(mutantsOf);
    const survived = mutants.filter(({ rule }) => agreed(book.rules.with(rule.index, rule))).map(({ what }) => what);
    const share = ((100 * (mutants.length - survived.length)) / mutants.length).toFixed(1);
    process.stdout.write(`${cases.length} worked cases notice ${share} % of ${mutants.length} broken comparisons\n`);
    expect(mutants.length).toBeGreaterThan(400);
    expect(survived.length / mutants.length, survived.join('\n')).toBeLessThanOrEqual(0.05);
  });
});
