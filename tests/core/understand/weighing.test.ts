import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findingLine } from '../../../src/core/model/checked.ts';
import type { Symptom } from '../../../src/core/model/ids.ts';
import { decide, weigh, type Weighed } from '../../../src/core/understand/complaints/decide.ts';
import { compileWeighing } from '../../../src/core/understand/opinion/compile.ts';
import { ALWAYS, bounded, chanceBy, type Signs } from '../../../src/core/understand/opinion/weighing.ts';
import { weighIntent, wishSigns, type WishEvidence } from '../../../src/core/understand/opinion/wish.ts';
import { weightsOf, type Case } from '../../corpus/weigh.ts';

const signs = (...names: string[]): Signs => new Map(names.map((name) => [name, 1]));

describe('how likely something is by its signs', () => {
  // Log-odds 0 are even chances, ln 3 are three to one: the definition of the logistic function.
  it.each<[given: Signs, chance: number, why: string]>([
    [signs(), 0.5, 'nothing speaks for or against it'],
    [signs('for'), 0.75, 'three to one'],
    [signs('against'), 0.25, 'one to three'],
    [signs('for', 'against'), 0.5, 'they cancel out'],
    [signs('unknown'), 0.5, 'a sign without a weight says nothing'],
    [new Map([['for', 2]]), 0.9, 'twice as strong is nine to one'],
  ])('%j has a chance of %d: %s', (given, chance) => {
    const weights = new Map([
      ['for', Math.log(3)],
      ['against', -Math.log(3)],
    ]);
    expect(chanceBy(given, weights)).toBeCloseTo(chance, 10);
    expect(chanceBy(given, new Map([...weights, [ALWAYS, 1]]))).toBeGreaterThan(chance);
  });

  it('leans within its bounds whatever the words say', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true }), (leaning) => {
        expect(bounded(leaning)).toBeGreaterThanOrEqual(-14);
        expect(bounded(leaning)).toBeLessThanOrEqual(12);
      }),
    );
  });

  it.each<[text: string, expected: RegExp, why: string]>([
    ['symptoms: {a: 1.5}\nintents: {}\n', /weighing\.yaml:1: symptoms\.a/, 'hundredths are whole'],
    ['symptoms: {}\n', /weighing\.yaml:1: intents/, 'both are weighed'],
  ])('%j is refused with its line', (text, expected) => {
    const compiled = compileWeighing([{ path: 'flows/language/weighing.yaml', text }]);
    expect(compiled.ok ? '' : compiled.findings.map(findingLine).join()).toMatch(expected);
  });
});

describe('what is told and what is asked for', () => {
  const one = (chance: number, ...names: string[]): Weighed => ({ signs: signs(...names), chance });
  const rows: [why: string, symptom: Symptom, weighed: Weighed, result: 'told' | 'asked' | 'nothing'][] = [
    ['as likely as not, and a pattern found it stated', 'knock', one(0.5, 'told-apart'), 'told'],
    ['less likely than not', 'knock', one(0.49, 'told-apart'), 'asked'],
    ['unlikely', 'knock', one(0.1, 'told-apart'), 'nothing'],
    ['a phrase that is known as it stands is doubted less', 'knock', one(0.35, 'told-phrase'), 'told'],
    ['what the shop has taught is never doubted', 'knock', one(0.01, 'told-taught'), 'told'],
    ['words alone must be surer', 'knock', one(0.59, 'words-only'), 'asked'],
    ['as they are here', 'knock', one(0.6, 'words-only'), 'told'],
    ['what is denied is not told for its words', 'knock', one(0.99, 'denied'), 'nothing'],
    ['nor is what is only supposed', 'knock', one(0.99, 'supposed'), 'nothing'],
    ['a danger is asked for much sooner', 'brake-fault', one(0.08, 'words-only'), 'asked'],
    ['and not for every word', 'brake-fault', one(0.07, 'words-only'), 'nothing'],
    ['a denied danger is none', 'brake-fault', one(0.99, 'denied'), 'nothing'],
  ];
  it.each(rows)('%s (%s)', (_why, symptom, weighed, result) => {
    const { told, ask } = decide(new Map([[symptom, weighed]]), () => true);
    expect({ told, ask }).toEqual({
      told: result === 'told' ? [symptom] : [],
      ask: result === 'asked' ? [symptom] : [],
    });
  });

  it('tells of what is over only where it is likely and the words around it speak for it', () => {
    const elsewhere = (chance: number, leaning: number): Map<Symptom, Weighed> =>
      new Map([['knock', { chance, signs: new Map([...signs('elsewhere'), ['elsewhere leaning', leaning]]) }]]);
    expect(decide(elsewhere(0.8, -2), () => true).told).toEqual(['knock']);
    expect(decide(elsewhere(0.79, -2), () => true).told).toEqual([]);
    expect(decide(elsewhere(0.99, -3), () => true).told).toEqual([]);
  });

  it('is to be confirmed where the whole is less likely than not', () => {
    const told = new Map<Symptom, Weighed>([
      ['knock', one(0.65, 'told-apart')],
      ['stalls', one(0.65, 'told-apart')],
    ]);
    expect(decide(told, () => true)).toMatchObject({ told: ['knock', 'stalls'], unsure: true });
    expect(decide(new Map([['knock', one(0.9, 'told-apart')]]), () => true).unsure).toBe(false);
  });

  it('leaves out what another question does not let be told', () => {
    const weighed = weigh(new Map([['knock', signs('words-only')]]), new Map([[ALWAYS, 9]]));
    expect(decide(weighed, () => false)).toMatchObject({ told: [], ask: [] });
  });
});

describe('which wish it is', () => {
  const evidence = (more: Partial<WishEvidence>): WishEvidence => ({
    read: undefined,
    found: new Map(),
    leanings: new Map(),
    complains: false,
    givesReading: false,
    isOnlyReading: false,
    length: 20,
    ...more,
  });
  /** Only how the words lean counts. */
  const byWords = new Map([
    ['book leaning', 1],
    ['service leaning', 1],
    ['price leaning', 1],
    ['opt-out leaning', 1],
    ['help leaning', 5],
    [ALWAYS, 0],
    ...['cancel', 'reschedule', 'person', 'help', 'odometer', 'tamper', 'opt-in'].map((id) => [id, -9] as const),
  ]);
  const logit = (chance: number): number => Math.log(chance / (1 - chance));

  it.each<[given: Partial<WishEvidence>, intent: string | undefined, why: string]>([
    [{ leanings: new Map([['book', logit(0.46)]]) }, 'book', 'likely, and nothing was read'],
    [{ leanings: new Map([['book', logit(0.44)]]) }, undefined, 'not likely enough'],
    [{ leanings: new Map([['opt-out', logit(0.69)]]) }, undefined, 'to stop writing takes more'],
    [{ leanings: new Map([['opt-out', logit(0.71)]]) }, 'opt-out', 'as it does here'],
    [
      { read: 'price', found: new Map([['price', 'word']]), leanings: new Map([['book', logit(0.49)]]) },
      undefined,
      'what was found gives way to nothing where neither is likely',
    ],
    [
      { read: 'price', found: new Map([['price', 'word']]), leanings: new Map([['book', logit(0.51)]]) },
      'book',
      'and to what is likely',
    ],
    [
      { read: 'opt-out', found: new Map([['opt-out', 'word']]), leanings: new Map([['book', logit(0.79)]]) },
      'opt-out',
      'who may have asked for an end of messages is not written to for a likelier wish',
    ],
    [
      { read: 'opt-out', found: new Map([['opt-out', 'word']]), leanings: new Map([['book', logit(0.81)]]) },
      'book',
      'but for one that is much likelier',
    ],
    [{ leanings: new Map([['service', 0.9]]) }, undefined, 'words that nobody knows wish for nothing'],
    [{ leanings: new Map([['service', 1.1]]) }, 'service', 'and those that speak of work do'],
    [{ read: 'service', complains: true }, 'service', 'who complains wants service'],
    [
      { read: 'service', leanings: new Map([['help', 5]]) },
      'service',
      'who asks what is advised wants advice on the truck',
    ],
  ])('%j is %s: %s', (given, intent) => {
    expect(weighIntent(evidence(given), byWords)).toBe(intent);
  });

  it('has signs for every intent, with how firmly it was found', () => {
    const found = wishSigns(evidence({ read: 'price', found: new Map([['price', 'pair']]), givesReading: true }));
    expect([...(found.get('price')?.keys() ?? [])]).toEqual(
      expect.arrayContaining(['wish-pair', 'read', 'read price', 'reading and a wish']),
    );
    expect([...(found.get('odometer')?.keys() ?? [])]).toEqual(
      expect.arrayContaining(['wish-unspoken', 'reading and odometer']),
    );
  });
});

describe('fitting what signs weigh', () => {
  const cases = (name: string, holds: number, not: number): Case[] => [
    ...Array.from({ length: holds }, () => ({ signs: signs(name), holds: true })),
    ...Array.from({ length: not }, () => ({ signs: signs(name), holds: false })),
  ];

  it('gives the shares that the cases have, where there are many of them', () => {
    const weights = weightsOf([...cases('often', 900, 100), ...cases('seldom', 100, 900)]);
    expect(chanceBy(signs('often'), weights)).toBeCloseTo(0.9, 2);
    expect(chanceBy(signs('seldom'), weights)).toBeCloseTo(0.1, 2);
  });

  it('leaves a sign out that is seen in few cases', () => {
    expect([...weightsOf([...cases('often', 9, 3), ...cases('once', 1, 0)]).keys()]).toEqual([ALWAYS, 'often']);
  });

  it('is calm about signs that always hold', () => {
    const weights = weightsOf([...cases('always so', 20, 0), ...cases('never so', 0, 20)]);
    expect(Math.abs(weights.get('always so') ?? Infinity)).toBeLessThan(10);
  });
});
