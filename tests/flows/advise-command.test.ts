import { describe, expect, it } from 'vitest';
import { adviseCommand } from '../../src/cli/advise.ts';
import { checkFlows } from '../../src/cli/check-flows.ts';
import { sound, unsound } from '../../src/core/model/checked.ts';
import { shopBook } from '../core/advise/flows.ts';

describe('the advise command', () => {
  const answer = adviseCommand(shopBook());

  it('answers with the keys of its contract and no others', () => {
    const facts = { engineLitres: 6.7, cylinders: 8, odometerMiles: 97_000, symptoms: ['hard-start'] };
    const advice = answer({ facts });
    expect(Object.keys(advice)).toEqual([
      'urgency',
      'services',
      'bundle',
      'cautions',
      'stillUnknown',
      'notAdvised',
    ]);
    const [service] = 'services' in advice ? advice.services : [];
    expect(Object.keys(service ?? {})).toEqual(['id', 'because', 'rules', 'labourHours']);
    const [open] = 'stillUnknown' in advice ? advice.stillUnknown : [];
    expect(Object.keys(open ?? {})).toEqual(['fact', 'couldChange']);
  });

  it('takes the day, without which nothing is due by months', () => {
    // 36 months on the 6.7 L V8: every third oil change, one at least once a year; common practice, no source.
    const truck = { modelYear: 2018, engineLitres: 6.7, cylinders: 8, layout: 'V', odometerMiles: 30_000, symptoms: [] };
    const facts = { ...truck, lastFuelFilterMiles: 25_000, lastFuelFilterDate: '2023-11-01', lastOilChangeMiles: 29_000 };
    const services = (line: unknown): string[] => {
      const advice = answer(line);
      return 'services' in advice ? advice.services.map(({ id }) => id) : [advice.error];
    };
    expect(services({ facts })).toEqual([]);
    expect(services({ facts, today: '2026-10-31' })).toEqual([]);
    expect(services({ facts, today: '2026-11-01' })).toEqual(['fuel-filter-service']);
  });

  it.each([
    { line: { facts: { odometer: 97_000 } }, says: 'facts.odometer' },
    { line: { facts: {}, today: 'tomorrow' }, says: 'today' },
    { line: { facts: {}, now: '2026-11-02' }, says: 'now' },
    { line: { facts: { symptoms: ['noise'] } }, says: 'facts.symptoms.0' },
    { line: { facts: { odometerMiles: null } }, says: 'facts.odometerMiles' },
    { line: { facts: { odometerMiles: '97000' } }, says: 'facts.odometerMiles' },
    { line: {}, says: 'facts' },
    { line: [], says: 'the line' },
    { line: 'hello', says: 'the line' },
  ])('refuses $line, and says that $says is wrong', ({ line, says }) => {
    expect(answer(line)).toEqual({ error: expect.stringMatching(new RegExp(`^${says}: .+`)) });
  });
});

describe('the check-flows command', () => {
  it('gives each finding once, in the order of files and lines, and the exit code', () => {
    const one = { file: 'flows/b.yaml', line: 12, message: 'wrong' };
    const two = { file: 'flows/b.yaml', line: 3, message: 'wrong too' };
    const three = { file: 'flows/a.yaml', line: 99, message: 'wrong as well' };
    expect(checkFlows([unsound([one, two]), sound(1), unsound([one])], [three])).toEqual({
      lines: ['flows/a.yaml:99: wrong as well', 'flows/b.yaml:3: wrong too', 'flows/b.yaml:12: wrong'],
      exitCode: 1,
    });
    expect(checkFlows([sound(1)])).toEqual({ lines: [], exitCode: 0 });
  });
});
