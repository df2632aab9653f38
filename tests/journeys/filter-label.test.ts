import { afterEach, describe, expect, it } from 'vitest';
import { loadFlows } from '../../src/system.ts';
import { telegramHarness, webHarness } from '../edges/channels/harness.ts';
import { openStage, type Stage } from './stage.ts';

const flows = loadFlows();

let stage: Stage | undefined;
afterEach(async () => {
  await stage?.close();
  stage = undefined;
});

const heard = (at: Stage) => at.look().filter(({ to }) => to === 'owner');

describe.each([
  ['telegram', telegramHarness],
  ['web', webHarness],
] as const)('the code on the filter label, on %s', (_name, harness) => {
  async function ownerWithTruck(): Promise<Stage> {
    const opened = await openStage(await harness(), flows, '2026-11-02T09:00:00-07:00');
    stage = opened;
    await opened.says('2016 6.7 V8 diesel with 97k, nothing wrong');
    return opened;
  }

  it("asks for that truck's odometer, whatever was being talked about, and takes the number", async () => {
    const talk = await ownerWithTruck();
    talk.look();
    await talk.moveClock('2026-12-21T10:00:00-07:00');
    talk.look();
    await talk.opens('label');
    const [question, ...more] = heard(talk);
    expect(question?.text).toBe('What does the odometer of your 2016 6.7 L V8 show?');
    expect(question?.buttons).toEqual(['Later', 'Sold it']);
    expect(more).toEqual([]);
    await talk.says('98,950');
    expect(
      heard(talk)
        .map(({ text }) => text)
        .join(' '),
    ).toContain('98,950');
  });

  it("greets whoever scans another owner's label, and says nothing of that truck", async () => {
    const talk = await openStage(await harness(), flows, '2026-11-02T09:00:00-07:00');
    stage = talk;
    await talk.opens('other-label');
    const words = heard(talk)
      .map(({ text }) => text)
      .join(' ');
    expect(words).toContain(flows.shop.name);
    expect(words).not.toMatch(/odometer of/i);
  });
});
