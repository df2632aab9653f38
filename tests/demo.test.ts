import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { factsOf } from '../src/core/mod.ts';
import { seedDemo } from '../src/demo.ts';
import { openSystem } from '../src/system.ts';
import type { Settings } from '../src/settings.ts';

const quiet = { info: () => {}, warn: () => {}, error: () => {} };

it('the invented owners of the demo say nothing that their file does not hold', async () => {
  const path = join(mkdtempSync(join(tmpdir(), 'demo-')), 'shop.sqlite');
  const settings = { database: { kind: 'sqlite', path }, secretKey: 'k'.repeat(40), demo: true } as unknown as Settings;
  const system = await openSystem(settings, quiet as never);
  await seedDemo(system);
  const sent = await system.store.views.requests(['requested', 'accepted']);
  expect(sent.map(({ request, owner }) => [owner.name, request.state]).sort()).toEqual([
    ['Aspen Field', 'accepted'],
    ['Bryony Cole', 'accepted'],
    ['Hazel Thorne', 'requested'],
    ['Linden Marsh', 'accepted'],
  ]);
  const entered = sent.filter(({ request }) => request.enteredBy !== undefined);
  const [soonest] = entered.flatMap(({ request }) => request.slot?.start ?? []).sort();
  // The next day on which the shop is open is at most a long holiday weekend away.
  expect(Date.parse(soonest ?? '') - Date.now()).toBeLessThan(5 * 86_400_000);
  for (const { request, owner } of sent.filter(({ request }) => request.enteredBy === undefined)) {
    const facts = factsOf(request.facts);
    const complaint = owner.name === 'Hazel Thorne' ? ['hard-start', 'pump-whine'] : [];
    expect(facts.symptoms).toEqual(complaint);
    expect(facts.pumpProtected).toBe(false);
    // A tapped "yes" to each question would have left more behind than what the two of them know.
    expect(facts.breatherOriginal).toBeUndefined();
    expect(facts.metalFound).toBeUndefined();
  }
  await system.stop();
});
