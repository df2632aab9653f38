import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DANGER_SYMPTOMS, type Symptom } from '../../../../src/core/model/ids.ts';
import { ASKABLE, type ReadRequest, type ReadResult } from '../../../../src/core/model/reading.ts';
import { read as readWith } from '../../../../src/core/understand/mod.ts';
import { lexicon } from '../reading.ts';

const read = (text: string, request: Partial<ReadRequest> = {}): ReadResult => readWith({ text, ...request }, lexicon);

const linesOf = (name: string): string[] =>
  readFileSync(new URL(name, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '');
const cells = (line: string): string[] => line.split('|').map((cell) => cell.trim());
/** Lines below a heading that names their complaint. */
const underHeadings = (name: string): { symptom: Symptom; text: string }[] => {
  let symptom = '';
  return linesOf(name).flatMap((line) => {
    if (line.startsWith('#')) symptom = line.slice(1).trim();
    return line.startsWith('#') ? [] : [{ symptom: symptom as Symptom, text: line }];
  });
};
const toldOrAsked = ({ facts, ask }: ReadResult): readonly string[] => [...(facts.symptoms ?? []), ...(ask ?? [])];
const DANGERS = new Set<Symptom>(DANGER_SYMPTOMS);

describe('a danger', () => {
  const rows = linesOf('dangers.txt')
    .filter((line) => !line.startsWith('#'))
    .map(cells) as [Symptom, string][];

  it.each(rows)('%s is read or asked for: %j', (symptom, text) => {
    expect(toldOrAsked(read(text))).toContain(symptom);
  });

  it.each(['ways-1.txt', 'ways-2.txt', 'ways-3.txt'])('is read or asked for on every line of %s', (name) => {
    const missed = underHeadings(name).filter(
      ({ symptom, text }) => DANGERS.has(symptom) && !toldOrAsked(read(text)).includes(symptom),
    );
    expect(missed).toEqual([]);
  });

  it.each(['messages-fresh.txt', 'messages-fresh-2.txt', 'messages-fresh-3.txt'])(
    'is read or asked for in every message of %s',
    (name) => {
      const missed = linesOf(name)
        .map(cells)
        .flatMap(([text = '', symptoms = '']) =>
          symptoms
            .split(' ')
            .filter((symptom) => DANGERS.has(symptom as Symptom) && !toldOrAsked(read(text)).includes(symptom))
            .map((symptom) => `${symptom}: ${text}`),
        );
      expect(missed).toEqual([]);
    },
  );
});

describe('a single complaint', () => {
  it.each(['ways-1.txt', 'ways-2.txt', 'ways-3.txt'])('is found in all but one in a hundred lines of %s', (name) => {
    const lines = underHeadings(name);
    const found = lines.filter(({ symptom, text }) => read(text).facts.symptoms?.includes(symptom));
    expect(found.length / lines.length).toBeGreaterThan(0.99);
  });
});

describe('words that look like another', () => {
  it.each<[text: string, symptoms: string[], why: string]>([
    ['nothing wrong, I want the protection kit before it breaks', [], 'what breaks is no brake'],
    ['my breaks are soft', ['brake-fault'], 'a thing that is owned and soft is a brake, however it is spelt'],
    ['just rolled 200,000!! she still pulls like new', [], 'praise is no loss of power'],
    ['got no guts on hills anymore', ['loss-of-power'], 'what is no more there is missing now'],
    ['it used to smoke, they fixed it', [], 'what is over is no complaint'],
    ['the gearbox slips like a bald tire on ice', ['transmission-slip'], 'what it is like is no complaint'],
    ['it overheated back at 88,000, they put a water pump in, been good ever since', [], 'long ago and mended'],
    ["it won't quit leaking oil", ['oil-leak'], 'what does not cease is there'],
    ['bringing it friday, rented a skid steer', [], 'the name of a machine'],
  ])('%j is %j: %s', (text, symptoms) => {
    const { facts, ask } = read(text);
    expect(facts.symptoms ?? []).toEqual(symptoms);
    expect(symptoms.length > 0 ? [] : (ask ?? [])).toEqual([]);
  });

  it.each<[text: string, denied: Symptom[]]>([
    ['no smoke no overheating', ['black-smoke', 'blue-smoke', 'overheating', 'white-smoke']],
    ['no smoke no check engine light', ['black-smoke', 'blue-smoke', 'check-engine', 'white-smoke']],
    ["no it's not leaking any fuel, no there's no brake trouble", ['brake-fault', 'fuel-leak']],
    ['no steam and it never ran hot', ['overheating']],
    ['no smoke, leaks or knocks', ['black-smoke', 'blue-smoke', 'fuel-leak', 'knock', 'oil-leak', 'white-smoke']],
  ])('%j denies each thing that it names', (text, denied) => {
    expect(read(text).facts.deniedSymptoms).toEqual(denied);
  });
});

describe('what is wanted', () => {
  it.each<[text: string, intent: string, why: string]>([
    ['I want the pump kit before it costs me', 'service', 'what it would cost is a fear, not a question'],
    ['how much is the pump kit', 'price', 'a question for a price'],
    ['the last guy deleted it, I want it put back to stock and legal', 'service', 'the wish undoes the tampering'],
    ['how much to delete the dpf', 'tamper', 'whatever it costs'],
    ['no mas mensajes', 'opt-out', 'messages are named'],
    ['STOP', 'opt-out', 'the word alone'],
  ])('%j is %s: %s', (text, intent) => {
    expect(read(text).facts.intent).toBe(intent);
  });

  it('is never the end of messages where a bare no answers a question', () => {
    const noes = [
      'no',
      'No.',
      'nope',
      'nah',
      'no thanks',
      'no, thank you',
      'pos no sé',
      'pues no',
      'no señor',
      'no no no',
    ];
    for (const asked of [undefined, ...ASKABLE]) {
      for (const text of noes) expect(read(text, asked ? { asked } : {}).facts.intent, text).not.toBe('opt-out');
    }
    for (const asked of ['tows', 'breatherOriginal', 'pumpProtected', 'pumpReplaced', 'confirm'] as const) {
      expect(read('no mas', { asked }).facts.intent).toBeUndefined();
    }
  });
});

describe('whatever is written', () => {
  const openings = readFileSync(new URL('../../../corpus/openings.jsonl', import.meta.url), 'utf8')
    .trim()
    .split('\n')
    .map((line) => (JSON.parse(line) as { text: string }).text);

  it('reads without a fault', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), fc.string({ unit: 'grapheme' })), (text) => {
        expect(read(text).facts).toEqual(read(text).facts);
      }),
      { numRuns: 400 },
    );
  });

  it('shows no smoke that it did not show before "no smoke" was added', () => {
    const smokes = new Set(['black-smoke', 'white-smoke', 'blue-smoke']);
    for (const text of openings) {
      const before = new Set(read(text).facts.symptoms ?? []);
      const after = read(`${text}\nNo smoke.`).facts.symptoms ?? [];
      expect(after.filter((symptom) => smokes.has(symptom) && !before.has(symptom))).toEqual([]);
    }
  });

  it.each([
    ['2019 6.7 V8 diesel w 84k on it, hello', undefined, 'it holds values alone, and they were read'],
    ['2019 6.7 V8 diesel, 84k, she makes a gronkle near the flux', 'gronkle', 'a sentence of which nothing was read'],
  ])('keeps of "%s" for the shop to label: %s, since %s', (text, kept, _why) => {
    const clauses = read(text).unread;
    if (kept === undefined) expect(clauses).toBeUndefined();
    else expect(clauses).toEqual([expect.stringContaining(kept)]);
  });

  it.each([
    ['wht smk when cold', 'white-smoke', 'words without their vowels'],
    ['no pwr', 'loss-of-power', 'the second opinion sees the words as the lexicon spells them'],
    ['oil press lt on', 'low-oil-pressure', '"lt" is a light'],
  ])('reads, or asks for, what "%s" abbreviates: %s, since %s', (text, symptom, _why) => {
    const { facts, ask = [] } = read(text);
    expect([...(facts.symptoms ?? []), ...ask]).toContain(symptom);
  });

  it.each([
    ['the low fuel pressure message is back, the present reading is 79,905', 'service', 'a complaint stands beside it'],
    ['odometer is 121,306, a 2018 with the 6.7 diesel', 'service', 'it presents the truck'],
    ['odometer is at 98,410 as of today', 'odometer', 'it hands in a reading'],
  ])('takes "%s" for %s, since %s', (text, intent, _why) => {
    expect(read(text).facts.intent).toBe(intent);
  });

  it('takes an engine that does not stop for no wish to end messages', () => {
    expect(read('it went up by itself and did not stop with the key').facts.intent).toBe('service');
  });

  it('reads a text of any length in bounded work: its begin and its end, and says what was left out', () => {
    const long = `black smoke. ${'and then we drove on. '.repeat(5000)} brakes are soft`;
    const { facts, unread } = read(long);
    expect(facts.symptoms).toEqual(['black-smoke', 'brake-fault']);
    expect(facts.unsure).toContain('symptoms');
    expect(unread?.at(-1)?.length).toBeGreaterThan(50_000);
  });
});
