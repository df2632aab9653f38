import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { DateTime } from 'luxon';
import { afterEach, describe, expect, it } from 'vitest';
import { loadFlows } from '../../src/system.ts';
import { webHarness } from '../edges/channels/harness.ts';
import { cuesOf, play } from './play.ts';
import { openStage, type Stage } from './stage.ts';

const root = join(import.meta.dirname, '../..');
const readme = readFileSync(join(root, 'README.md'), 'utf8');
const transcript = /<!-- transcript -->\n```\n([\s\S]*?)```/.exec(readme)?.[1] ?? '';

describe('the README', () => {
  let stage: Stage | undefined;
  afterEach(async () => {
    await stage?.close();
    stage = undefined;
  });

  it('shows a talk that goes as it is written, every line of it', async () => {
    const flows = loadFlows();
    const { cues } = cuesOf(`the talk of the README\nStarts 2026-11-02 09:00\n${transcript}`);
    const start = DateTime.fromISO('2026-11-02T09:00', { zone: flows.shop.zone }).toISO() ?? '';
    stage = await openStage(await webHarness(), flows, start);
    const played = await play('README', '2026-11-02 09:00', cues, stage, flows.shop.zone);
    const said = transcript.split('\n').filter((line) => /^(TELLTALE|SHOP SEES| {11})/.test(line));
    expect(said.length).toBeGreaterThan(8);
    expect(said.filter((line) => !played.includes(line.trimEnd()))).toEqual([]);
  });

  it.each(['npm ci && npm start', 'npm ci && npm test'])('names the command %j', (command) => {
    expect(readme).toContain(command);
  });

  it('shows pictures that exist', () => {
    for (const [, path] of readme.matchAll(/\]\((docs\/[^)]+)\)/g)) {
      expect(readFileSync(join(root, path ?? '')).length).toBeGreaterThan(1000);
    }
  });
});
