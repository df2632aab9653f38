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

  it.each([
    { line: { facts: { odometer: 97_000 } }, says: 'facts.odometer' },
    { line: { facts: {}, today: '2026-11-02' }, says: 'today' },
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
