import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { DateTime } from 'luxon';
import { afterEach, describe, expect, it } from 'vitest';
import { loadFlows } from '../../src/system.ts';
import { telegramHarness, terminalHarness, webHarness } from '../edges/channels/harness.ts';
import { cuesOf, play } from './play.ts';
import { openStage, type Stage } from './stage.ts';

const PLAYS = join(import.meta.dirname, 'plays');
const flows = loadFlows();
const channels = [
  ['telegram', telegramHarness],
  ['web', webHarness],
  ['terminal', terminalHarness],
] as const;

/** The one sentence that has to differ: a page or a terminal cannot reach an owner who has closed it. */
const REACH = ['consent-given', 'consent-given-no-reach'].map((id) =>
  flows.texts.say('en', id, { phone: flows.shop.phone }),
) as [string, string];

/** What was said, without how a channel cuts it into messages: a terminal shows paragraphs one by one. */
const wordsOf = (transcript: string): string[] =>
  transcript
    .split('\n')
    .map((line) => line.replace(/^TELLTALE {3}/, '').trim())
    .filter((line) => line !== '');

describe.each(
  readdirSync(PLAYS)
    .filter((name) => name.endsWith('.txt'))
    .sort(),
)('%s', (name) => {
  const transcript = readFileSync(join(PLAYS, name), 'utf8');
  const { title, startsAt, cues } = cuesOf(transcript);
  let stage: Stage | undefined;
  afterEach(async () => {
    await stage?.close();
    stage = undefined;
  });

  it.each(channels)('plays on %s as it is written', async (channel, harness) => {
    const start = DateTime.fromFormat(startsAt, 'yyyy-MM-dd HH:mm', { zone: flows.shop.zone }).toISO() ?? '';
    stage = await openStage(await harness(), flows, start);
    const played = await play(title, startsAt, cues, stage, flows.shop.zone);
    const said = played.replace(REACH[1], REACH[0]);
    if (channel === 'telegram') await expect(said).toMatchFileSnapshot(join(PLAYS, name));
    else expect(wordsOf(said)).toEqual(wordsOf(readFileSync(join(PLAYS, name), 'utf8')));
  });
});
