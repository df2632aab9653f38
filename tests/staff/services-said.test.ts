import { describe, expect, it } from 'vitest';
import { loadFlows } from '../../src/system.ts';
import { servicesSaid } from '../../src/staff/services-said.ts';

const flows = loadFlows();

describe('services as staff say them', () => {
  it.each([
    ['oil-service, scan-diagnosis', ['scan-diagnosis', 'oil-service'], 'ids'],
    ['oil change', ['oil-service'], 'a word that no name holds counts for nothing'],
    ['Fuel filters and oil', ['fuel-filter-service', 'oil-service'], 'plural, capitals, "and"'],
    ['EGR cooler, intake cleaning', ['egr-cooler-inspection', 'intake-cleaning'], 'part of a name'],
    ['kit', ['pump-protection-kit'], 'one word is enough where one name holds it'],
    ['aceite y frenos', ['oil-service', 'brake-steering-inspection'], 'Spanish names'],
    ['Scan and diagnosis', ['scan-diagnosis'], 'a name with "and" in it'],
    ['oil, oil-service', ['oil-service'], 'said twice'],
  ])('%s', (said, services) => {
    expect(servicesSaid(said, flows)).toEqual({ services: expect.arrayContaining(services) });
    expect(servicesSaid(said, flows).services).toHaveLength(services.length);
  });

  it.each([
    ['oil, intake', { said: 'intake', near: ['Intake inspection', 'Intake cleaning'] }, 'two names hold it'],
    ['paint', { said: 'paint', near: [] }, 'no name holds it'],
    ['oil, new tires', { said: 'new tires', near: [] }, 'what is not known is not dropped in silence'],
  ])('%s is unclear', (said, unclear) => {
    expect(servicesSaid(said, flows).unclear).toEqual(unclear);
  });
});
