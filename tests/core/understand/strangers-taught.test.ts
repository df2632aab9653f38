import { describe, expect, it } from 'vitest';
import { findingLine } from '../../../src/core/model/checked.ts';
import type { ReadRequest } from '../../../src/core/model/reading.ts';
import { compileLexicon, read } from '../../../src/core/understand/mod.ts';
import { languageFiles } from './values/lexicon.ts';

const compiled = compileLexicon(languageFiles());
if (!compiled.ok) throw new Error(compiled.findings.map(findingLine).join('\n'));
const lexicon = compiled.value;
// 2026-01-12 is a Monday.
const facts = (text: string, asked?: ReadRequest['asked']) =>
  read({ text, today: '2026-01-12', ...(asked ? { asked } : {}) }, lexicon).facts;

describe('rules that what strangers wrote has taught, in other words than theirs', () => {
  it.each<[asked: ReadRequest['asked'], text: string, expected: object, why: string]>([
    [
      'wantedTime',
      'martes 20',
      { wantedTime: { date: '2026-01-20', part: 'any' } },
      'a day of the month after a weekday',
    ],
    ['wantedTime', 'thursday 22', { wantedTime: { date: '2026-01-22', part: 'any' } }, 'too big for an hour'],
    ['milesPerYear', '600 miles every 2 weeks', { milesPerYear: 15_600 }, '26 fortnights in 52 weeks'],
    ['milesPerYear', '500 millas cada dos semanas', { milesPerYear: 13_000 }, 'in Spanish'],
    ['milesPerYear', '900 miles every other week', { milesPerYear: 23_400 }, 'every second week'],
    ['odometerMiles', 'seventy niner thousand', { odometerMiles: 79_000 }, 'as spoken on the radio'],
    ['modelYear', 'mil novecientos noventa y nueve', { modelYear: 1999 }, 'a year in words is no mileage'],
    ['modelYear', 'the last of the old body so 2009?', { modelYear: 2009, unsure: ['modelYear'] }, 'asked back'],
    ['confirm', 'no pues sí', { answer: 'yes' }, 'a no that only begins'],
    ['tows', 'not sure, windshield is cracked', {}, 'incidental trouble is no complaint'],
    ['engine', "it's a diesel, not the new gas one", { fuel: 'diesel' }, 'what stands between not and gas'],
  ])('%s: %j is %j: %s', (asked, text, expected) => {
    expect(facts(text, asked)).toMatchObject(expected);
    if (Object.keys(expected).length === 0) expect(facts(text, asked).symptoms).toBeUndefined();
  });

  it.each<[text: string, symptoms: string[], why: string]>([
    ['sin tocar el pedal el motor sube y baja solo', ['surging'], 'doing without one thing denies nothing of the next'],
    ['sin humo', [], 'without smoke there is none'],
    [
      'it had to be stopped with the brakes, it was revving to the moon by itself with the key off',
      ['runaway'],
      'brakes that were used',
    ],
    ['oil leak at the pan. brakes and steering are fine', ['oil-leak'], 'praise beside a bare word of danger'],
  ])('%j tells of %j: %s', (text, symptoms) => {
    expect(facts(text).symptoms ?? []).toEqual(symptoms);
  });

  it.each<[text: string, intent: string, why: string]>([
    ['88,104 this morning', 'odometer', 'nothing but a reading'],
    [
      'It is a 2014 at 127,000 and I just got it. What should be done to it and when?',
      'service',
      'a reading inside a question',
    ],
    ['do not message do not text', 'opt-out', 'a wish that begins with its own no'],
  ])('%j is wished as %s: %s', (text, intent) => {
    expect(facts(text).intent).toBe(intent);
  });

  it('denies the leak of fuel alone where fuel is smelt and no leak is found', () => {
    expect(facts('smells of raw diesel by the tank, there is no leak').deniedSymptoms).toEqual(['fuel-leak']);
  });
});
