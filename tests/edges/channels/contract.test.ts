import { setTimeout as sleep } from 'node:timers/promises';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Incoming, Outgoing } from '../../../src/edges/store/types.ts';
import { telegramHarness, terminalHarness, webHarness } from './harness.ts';
import type { Harness, Shown } from './harness.ts';

const harnesses: [string, () => Promise<Harness>][] = [
  ['telegram', telegramHarness],
  ['web', webHarness],
  ['terminal', terminalHarness],
];

const outgoing = (address: string, changed: Partial<Outgoing> = {}): Outgoing => ({
  id: `out-${Math.random()}`,
  channel: 'web',
  address,
  text: 'Which engine is it?',
  buttons: [],
  askContact: false,
  photos: [],
  ...changed,
});

async function until(condition: () => boolean): Promise<void> {
  for (let waited = 0; !condition(); waited += 5) {
    if (waited > 8000) throw new Error('waited in vain');
    await sleep(5);
  }
}

describe.each(harnesses)('the channel contract: %s', (name, make) => {
  let harness: Harness;
  let arrived: Incoming[];
  const receive = (incoming: Incoming[]): Promise<void> => {
    arrived.push(...incoming);
    return Promise.resolve();
  };
  /** What arrived after the greeting that some channels begin with. */
  const told = (): Incoming[] => arrived.filter(({ event }) => event.kind !== 'opened');
  const texts = (): string[] =>
    told().flatMap(({ event }) => (event.kind === 'message' || event.kind === 'edit' ? [event.text] : []));

  beforeEach(async () => {
    harness = await make();
    arrived = [];
  });
  afterEach(() => harness.close());

  it('bears its name', () => {
    expect(harness.channel.name).toBe(name);
  });

  it('hands a message over once, with who, where, when and an id', async () => {
    const before = Date.now();
    await harness.channel.start(receive);
    harness.says('my truck smokes');
    await until(() => harness.acknowledged());
    expect(told()).toHaveLength(1);
    const [message] = told();
    expect(message).toMatchObject({
      channel: name,
      address: harness.address,
      event: { kind: 'message', channel: name, text: 'my truck smokes' },
    });
    expect(message?.externalId).not.toBe('');
    const at = message?.event.at ?? '';
    expect(at).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/);
    expect(Math.abs(Date.parse(at) - before)).toBeLessThan(10_000);
  });

  it('tells the other side that a message is safe only when it is', async () => {
    let finish = (): void => undefined;
    const durable = new Promise<void>((resolve) => {
      finish = resolve;
    });
    await harness.channel.start(async (incoming) => {
      if (incoming.some(({ event }) => event.kind === 'message')) await durable;
      await receive(incoming);
    });
    harness.says('is it safe yet?');
    await sleep(80);
    expect(harness.acknowledged()).toBe(false);
    expect(told()).toEqual([]);
    finish();
    await until(() => harness.acknowledged());
    expect(texts()).toEqual(['is it safe yet?']);
  });

  it('keeps the order, and gives every message an id of its own', async () => {
    await harness.channel.start(receive);
    const words = Array.from({ length: 30 }, (_, index) => `message ${index}`);
    words.forEach((word) => harness.says(word));
    await until(() => told().length === 30);
    expect(texts()).toEqual(words);
    expect(new Set(arrived.map(({ externalId }) => externalId)).size).toBe(arrived.length);
    const refs = told().map(({ event }) => event.kind === 'message' && event.messageRef);
    expect(new Set(refs).size).toBe(30);
  });

  it('gives what arrives a second time the same id and the same names of pictures', async () => {
    await harness.channel.start(receive);
    harness.sendsPhoto(
      await sharp({ create: { width: 40, height: 30, channels: 3, background: '#963' } })
        .jpeg()
        .toBuffer(),
    );
    await until(() => harness.acknowledged());
    if (!harness.repeats) return;
    harness.repeats();
    await until(() => told().length === 2);
    const [first, second] = told();
    expect(second?.externalId).toBe(first?.externalId);
    expect(second?.photos?.map(({ mediaId }) => mediaId)).toEqual(first?.photos?.map(({ mediaId }) => mediaId));
  });

  it('hands over a pressed button by its data', async () => {
    await harness.channel.start(receive);
    const buttons = [
      { label: 'V8', data: 'q:1:v8' },
      { label: 'Straight six', data: 'q:1:i6' },
      { label: 'I don’t know', data: 'q:1:?' },
    ];
    await harness.deliver(outgoing(harness.address, { buttons }));
    expect(harness.shown().at(-1)?.buttons).toEqual(['V8', 'Straight six', 'I don’t know']);
    harness.presses('Straight six');
    await until(() => told().length === 1);
    expect(told()[0]?.event).toMatchObject({ kind: 'button', channel: name, data: 'q:1:i6' });
  });

  it('lets a message be corrected', async () => {
    await harness.channel.start(receive);
    harness.says('16 with 89k');
    await until(() => told().length === 1);
    harness.edits('16 with 98k');
    await until(() => told().length === 2);
    const [message, edit] = told().map(({ event }) => event);
    expect(edit).toMatchObject({ kind: 'edit', text: '16 with 98k' });
    expect(edit?.kind === 'edit' && message?.kind === 'message' && edit.messageRef === message.messageRef).toBe(true);
  });

  it('hands over a picture, named before its bytes are needed', async () => {
    await harness.channel.start(receive);
    harness.sendsPhoto(
      await sharp({ create: { width: 40, height: 30, channels: 3, background: '#963' } })
        .png()
        .toBuffer(),
    );
    await until(() => told().length === 1);
    const [{ photos = [] } = {}] = told();
    expect(photos).toHaveLength(1);
    expect(photos[0]?.mediaId).toMatch(/^[0-9a-f]{32}$/);
    expect(photos[0] && ('fileId' in photos[0].source || photos[0].source.bytes.byteLength > 100)).toBe(true);
  });

  it('shows the whole of a long text, in order', async () => {
    await harness.channel.start(receive);
    const text = Array.from({ length: 600 }, (_, line) => `${line}: a line of a long text`).join('\n');
    expect(await harness.deliver(outgoing(harness.address, { text }))).toMatchObject({ outcome: 'sent' });
    const shown = harness.shown().map((one) => one.text);
    expect(shown.join('\n')).toBe(text);
  });

  it('shows what others wrote as it is, whatever signs are in it', async () => {
    await harness.channel.start(receive);
    const text = '<b>6.7 L</b> *V8* _diesel_ & `98k` [link](https://shop.example.com) 1 < 2';
    await harness.deliver(outgoing(harness.address, { text }));
    expect(harness.shown().at(-1)?.text).toBe(text);
  });

  it('brings a file and pictures along', async () => {
    await harness.channel.start(receive);
    const content = 'BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n';
    const photo = (mediaId: string) => ({
      mediaId,
      bytes: new Uint8Array([0xff, 0xd8, 0xff]),
      mediaType: 'image/jpeg',
    });
    await harness.deliver(
      outgoing(harness.address, {
        text: 'Booked.',
        photos: [photo('a'), photo('b')],
        attachment: { name: 'visit.ics', mediaType: 'text/calendar', content },
      }),
    );
    const sum = (pick: (shown: Shown) => number): number => harness.shown().reduce((all, one) => all + pick(one), 0);
    expect(sum(({ photos }) => photos)).toBe(2);
    expect(harness.shown().map(({ file }) => file)).toContain(content);
    expect(harness.shown().map(({ text }) => text)).toContain('Booked.');
  });

  it('asks for the phone number in its own way', async () => {
    await harness.channel.start(receive);
    expect(await harness.deliver(outgoing(harness.address, { askContact: true }))).toMatchObject({ outcome: 'sent' });
    expect(harness.shown().at(-1)?.text).toContain('Which engine is it?');
  });

  it('stops only when what it is handing over is durable, and hands nothing over afterwards', async () => {
    let begun = false;
    await harness.channel.start(async (incoming) => {
      if (incoming.some(({ event }) => event.kind === 'message')) {
        begun = true;
        await sleep(120);
      }
      await receive(incoming);
    });
    harness.says('last words');
    await until(() => begun);
    expect(told()).toEqual([]);
    await harness.channel.stop();
    expect(texts()).toEqual(['last words']);
    harness.says('too late');
    await sleep(60);
    expect(texts()).toEqual(['last words']);
  });
});
