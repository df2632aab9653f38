import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { setTimeout as sleep } from 'node:timers/promises';
import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import { readLine, render, terminalChannel } from '../../../src/edges/channels/terminal/channel.ts';
import { ENGLISH } from '../../../src/edges/channels/terminal/words.ts';
import type { Incoming, Outgoing } from '../../../src/edges/store/types.ts';

const buttons = [
  { label: '4', data: 'q:1:4' },
  { label: '6', data: 'q:1:6' },
  { label: '8', data: 'q:1:8' },
  { label: 'I don’t know', data: 'q:1:?' },
];
const context = { at: '2026-11-02T16:00:00.000Z', messageRef: 'm2', lastRef: 'm1', buttons, words: ENGLISH };
const outgoing = (changed: Partial<Outgoing>): Outgoing => ({
  id: 'o',
  channel: 'terminal',
  address: 'terminal',
  text: 'How many cylinders?',
  buttons: [],
  askContact: false,
  photos: [],
  ...changed,
});

describe('a line', () => {
  it.each<[string, object, string]>([
    ['1', { kind: 'button', data: 'q:1:4' }, 'is the number of a choice'],
    ['4', { kind: 'button', data: 'q:1:4' }, 'but a choice’s own words come first'],
    ['8', { kind: 'button', data: 'q:1:8' }, 'also where there are fewer choices than that'],
    ['i don’t KNOW', { kind: 'button', data: 'q:1:?' }, 'in any spelling of capitals'],
    ['7', { kind: 'message', text: '7' }, 'is an answer in words where no choice has that number'],
    ['98000', { kind: 'message', text: '98000' }, 'is an odometer reading'],
    ['/help', { kind: 'message', text: '/help' }, 'may be a command of the conversation'],
    ['/edit 98k', { kind: 'edit', messageRef: 'm1', text: '98k' }, 'corrects the last message'],
  ])('%s %j: %s', (line, event) => {
    expect(readLine(line, context)).toMatchObject({ kind: 'event', event });
  });

  it.each([
    ['', 'nothing'],
    ['   ', 'nothing'],
    ['/quit', 'quit'],
    ['/exit', 'quit'],
    ['/keys', 'help'],
    ['/photo "~/my pictures/leak.jpg"', 'photo'],
  ])('%j is %s', (line, kind) => {
    expect(readLine(line, context).kind).toBe(kind);
  });

  it('corrects nothing where nothing was said', () => {
    expect(readLine('/edit 98k', { ...context, lastRef: undefined }).kind).toBe('say');
    expect(readLine('1', { ...context, buttons: [] })).toMatchObject({ event: { kind: 'message', text: '1' } });
  });
});

describe('a message on the screen', () => {
  it('reads from top to bottom: words, pictures, files, choices', () => {
    const photos = [{ mediaId: 'a', bytes: new Uint8Array(33_500), mediaType: 'image/jpeg' }];
    const attachment = { name: 'visit.ics', mediaType: 'text/calendar', content: '' };
    expect(render(outgoing({ buttons: buttons.slice(2), photos, attachment }), '/home/x/visit.ics', ENGLISH)).toBe(
      [
        'How many cylinders?',
        '  (picture, 34 KB)',
        '  (file visit.ics, kept at /home/x/visit.ics)',
        '  1. 8',
        '  2. I don’t know',
        '  (type 1 to 2, or answer in words)',
        '',
      ].join('\n'),
    );
  });

  it('holds nothing that a terminal obeys', () => {
    const text = 'He wrote: \u001b[2J\u001b]0;title\u0007 and \u009b31m';
    expect(render(outgoing({ text, buttons: [{ label: '\u001b[1mYes', data: 'x' }] }), undefined, ENGLISH)).not.toMatch(
      /(?!\n)\p{Control}/u,
    );
  });
});

/** Runs the channel on a script, with a shop that answers each message after a while. */
async function converse(script: string, answer: (incoming: Incoming) => Outgoing | undefined) {
  const input = new PassThrough();
  const output = new PassThrough();
  let screen = '';
  output.on('data', (chunk: Buffer) => (screen += chunk.toString('utf8')));
  let work: Promise<unknown> = Promise.resolve();
  const arrived: Incoming[] = [];
  const channel = terminalChannel({
    input,
    output,
    interactive: false,
    settled: () => work.then(() => undefined),
    now: () => '2026-11-02T16:00:00.000Z',
  });
  input.end(script);
  await channel.start((incoming) => {
    arrived.push(...incoming);
    for (const one of incoming) {
      const reply = answer(one);
      if (reply) work = work.then(() => sleep(20)).then(() => channel.deliver(reply));
    }
    return Promise.resolve();
  });
  await channel.closed;
  await channel.stop();
  return { screen, events: arrived.map(({ event }) => event), arrived };
}

describe('a script from a pipe', () => {
  it('is answered line by line, so that a number means the choice that was just shown', async () => {
    const { screen, events } = await converse('my truck smokes\n2\n', ({ event }) => {
      if (event.kind === 'message')
        return outgoing({
          text: 'Which engine?',
          buttons: [
            { label: 'V8', data: 'q:1:v8' },
            { label: 'Straight six', data: 'q:1:i6' },
          ],
        });
      if (event.kind === 'button') return outgoing({ text: `You chose ${event.data}.` });
      return outgoing({ text: 'Hello.' });
    });
    expect(events.map(({ kind }) => kind)).toEqual(['opened', 'message', 'button']);
    expect(screen).toBe(
      'Hello.\n\nWhich engine?\n  1. V8\n  2. Straight six\n  (type 1 to 2, or answer in words)\n\nYou chose q:1:i6.\n\n',
    );
  });

  it('ends after its last reply, with or without a last line end', async () => {
    const { screen } = await converse('98,000 miles', ({ event }) =>
      event.kind === 'message' ? outgoing({ text: 'Noted.' }) : undefined,
    );
    expect(screen).toBe('Noted.\n\n');
  });

  it('stops at /quit', async () => {
    const { events } = await converse('/quit\nnever said\n', () => undefined);
    expect(events.map(({ kind }) => kind)).toEqual(['opened']);
  });

  it('loses no line while an answer is slow', async () => {
    const words = Array.from({ length: 12 }, (_, index) => `line ${index}`);
    const { events } = await converse(words.join('\n'), () => outgoing({ text: 'Yes.' }));
    expect(events.flatMap((event) => (event.kind === 'message' ? [event.text] : []))).toEqual(words);
  });

  it('can send a picture, and is told in words what is wrong with a file', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'terminal-'));
    const photo = join(folder, 'my leak.jpg');
    writeFileSync(
      photo,
      await sharp({ create: { width: 40, height: 30, channels: 3, background: '#963' } })
        .jpeg()
        .toBuffer(),
    );
    const text = join(folder, 'notes.txt');
    writeFileSync(text, 'not a picture');
    const { screen, arrived } = await converse(
      `/photo "${photo}"\n/photo ${text}\n/photo ${folder}\n/photo /nowhere\n`,
      () => undefined,
    );
    expect(arrived.flatMap(({ photos = [] }) => photos)).toHaveLength(1);
    expect(screen.trim().split('\n')).toEqual([
      ENGLISH.refusedPhoto['not-a-picture'],
      ENGLISH.noFile(folder),
      ENGLISH.noFile('/nowhere'),
    ]);
  });

  it('does not show what is meant for another owner of the same database', async () => {
    const { screen } = await converse('hello\n', () => outgoing({ address: 'somebody-else' }));
    expect(screen).toBe('');
  });

  it('is told when something could not be kept', async () => {
    const input = new PassThrough();
    const output = new PassThrough();
    let screen = '';
    output.on('data', (chunk: Buffer) => (screen += chunk.toString('utf8')));
    const channel = terminalChannel({
      input,
      output,
      interactive: false,
      settled: () => Promise.resolve(),
      now: () => '',
    });
    input.end('hello\n');
    await channel.start(() => Promise.reject(new Error('the disk is full')));
    await channel.closed;
    expect(screen).toContain(ENGLISH.notKept);
  });
});

describe('somebody at a keyboard', () => {
  /** Types a line, has a reply come, and shows the screen. */
  async function sit(lineEditing: boolean): Promise<{ screen: string; settledCalls: number; texts: string[] }> {
    const input = new PassThrough();
    const output = new PassThrough();
    let screen = '';
    output.on('data', (chunk: Buffer) => (screen += chunk.toString('utf8')));
    let settledCalls = 0;
    const texts: string[] = [];
    const channel = terminalChannel({
      input,
      output,
      interactive: true,
      lineEditing,
      settled: () => {
        settledCalls += 1;
        return Promise.resolve();
      },
      now: () => '2026-11-02T16:00:00.000Z',
    });
    await channel.start((incoming) => {
      for (const { event } of incoming) if (event.kind === 'message') texts.push(event.text);
      return Promise.resolve();
    });
    await sleep(20);
    input.write('my truck smokes\n');
    await sleep(20);
    await channel.deliver(outgoing({ text: 'Black, white or blue?' }));
    input.write('/quit\n');
    await channel.closed;
    return { screen, settledCalls, texts };
  }

  it('is told the keys, gets a prompt, and is answered without waiting', async () => {
    const { screen, settledCalls, texts } = await sit(true);
    expect(screen).toContain(ENGLISH.help);
    expect(screen).toContain('> ');
    expect(screen).toContain('Black, white or blue?');
    expect(texts).toEqual(['my truck smokes']);
    expect(settledCalls).toBeGreaterThanOrEqual(2);
  });

  it('can have plain lines, in which nothing moves', async () => {
    const { screen } = await sit(false);
    expect(screen).toContain('> \nBlack, white or blue?\n');
    expect(screen).not.toMatch(/(?!\n)\p{Control}/u);
  });
});
