import { expect, it } from 'vitest';
import { advise } from '../../../src/core/advise/mod.ts';
import { shopBook } from './flows.ts';

it('advises the kit with its inspection when the present pump is in the window', () => {
  const advice = advise({ engineLitres: 6.7, cylinders: 8, odometerMiles: 97000, symptoms: [] }, shopBook(), 'en');
  expect(advice.urgency).toBe('planned');
  expect(advice.services.map(({ id }) => id).sort()).toEqual(
    expect.arrayContaining(['fuel-contamination-check', 'pump-protection-kit']),
  );
  expect(advice.services[0]?.because[0]).toContain('97,000 miles');
});

it('puts danger first', () => {
  const advice = advise({ symptoms: ['overheating'] }, shopBook(), 'es');
  expect(advice.urgency).toBe('do-not-drive');
  expect(advice.doNow).toHaveLength(2);
  expect(advice.cautions.at(-1)?.id).toBe('local-code');
});
