import fc from 'fast-check';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { telegramChannel } from '../../../src/edges/channels/telegram/channel.ts';
import type { TelegramChannel } from '../../../src/edges/channels/telegram/channel.ts';
import { rowsOf } from '../../../src/edges/channels/telegram/sending.ts';
import type { Outgoing } from '../../../src/edges/store/types.ts';
import { loadBotApiSpec } from '../../faults/bot-api-spec.ts';
import { TelegramStandIn } from '../../faults/telegram-stand-in.ts';
import type { SentMessage } from '../../faults/telegram-stand-in.ts';

const spec = loadBotApiSpec();
const OWNER = 7;
let standIn: TelegramStandIn;
let telegram: TelegramChannel;
let count = 0;

beforeEach(async () => {
  standIn = await new TelegramStandIn(
    spec && { inspect: (method, payload) => spec.checkCall(method, payload) },
  ).listen();
  standIn.person(OWNER);
  telegram = telegramChannel({
    token: standIn.token,
    apiRoot: standIn.apiRoot,
    staff: { isStaffChat: () => false, receive: () => Promise.resolve(), moved: () => Promise.resolve() },
    contactWords: () => ({ share: 'Share my number', hint: 'Or tap below:' }),
    now: () => '2026-11-02T16:00:00.000Z',
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
  });
});
afterEach(async () => {
  await telegram.stop();
  await standIn.close();
  expect(standIn.objections).toEqual([]);
});

/** Delivers a message and answers what then stands in the chat. */
async function arrives(changed: Partial<Outgoing>): Promise<SentMessage[]> {
  const before = standIn.messagesTo(OWNER).length;
  const plain = { channel: 'telegram' as const, address: String(OWNER), text: 'Hello', buttons: [], askContact: false };
  const outcome = await telegram.deliver({ id: `out-${(count += 1)}`, ...plain, photos: [], ...changed });
  expect(outcome).toMatchObject({ outcome: 'sent' });
  return standIn.messagesTo(OWNER).slice(before);
}
const callsOf = (method: string) => standIn.calls.filter((call) => call.method === method);
const photo = (mediaId: string) => ({ mediaId, bytes: new Uint8Array([0xff, 0xd8, 0xff, 7]), mediaType: 'image/jpeg' });

describe('a message in a chat', () => {
  it('is plain text: what an owner or a shop wrote breaks nothing, and no link is fetched for a preview', async () => {
    const text = '*not bold* <b>nor this</b> _or_ [this](https://shop.example.com/sign-in?code=once) & so on';
    expect(await arrives({ text })).toMatchObject([{ text }]);
    const [call] = callsOf('sendMessage');
    expect(call?.payload).not.toHaveProperty('parse_mode');
    expect(call?.payload['link_preview_options']).toEqual({ is_disabled: true });
  });

  it('has its buttons under the last part of a long text', async () => {
    const text = Array.from({ length: 300 }, (_, line) => `Line ${line} of a long advice.`).join('\n');
    const parts = await arrives({ text, buttons: [{ label: 'Book', data: 'q:1:1' }] });
    expect(parts.length).toBe(2);
    expect(parts.map(({ buttons }) => buttons.length)).toEqual([0, 1]);
    expect(parts.map((part) => part.text).join('\n')).toBe(text);
  });

  it('asks for the phone number by Telegram’s own keyboard, which the next text takes away', async () => {
    const [question] = await arrives({ askContact: true });
    expect(question?.keyboard).toBe('contact');
    expect(callsOf('sendMessage')[0]?.payload['reply_markup']).toMatchObject({
      keyboard: [[{ text: 'Share my number', request_contact: true }]],
    });
    expect((await arrives({}))[0]?.keyboard).toBe('removed');
  });

  it('can have buttons and ask for the number, in two messages', async () => {
    const [question, hint] = await arrives({ askContact: true, buttons: [{ label: 'Not now', data: 'q:1:2' }] });
    expect(question).toMatchObject({ buttons: [{ callback_data: 'q:1:2' }], keyboard: undefined });
    expect(hint).toMatchObject({ text: 'Or tap below:', keyboard: 'contact' });
  });

  it('brings a file under a name that is safe everywhere', async () => {
    const content = 'BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n';
    const sent = await arrives({
      attachment: { name: 'your "visit"; 5 Nov.ics', mediaType: 'text/calendar', content },
    });
    expect(sent).toHaveLength(2);
    expect(sent[1]?.document).toEqual({ fileName: 'your-visit-5-Nov.ics', bytes: Buffer.from(content) });
  });

  it('brings a drawing as a picture that a phone can show', async () => {
    const content =
      '<svg xmlns="http://www.w3.org/2000/svg" width="60" height="40"><rect width="60" height="40"/></svg>';
    const sent = await arrives({ attachment: { name: 'record.svg', mediaType: 'image/svg+xml', content } });
    expect(sent[1]?.document?.fileName).toBe('record.png');
    const { format, width } = await sharp(sent[1]?.document?.bytes).metadata();
    expect({ format, wide: (width ?? 0) >= 60 }).toEqual({ format: 'png', wide: true });
  });

  it('shows a drawing that is to be looked at, beside the same in words', async () => {
    const { forecastPicture } = await import('../../../src/core/follow-up/mod.ts');
    const content = forecastPicture(
      {
        today: '2026-11-02',
        dueMiles: 119_000,
        readings: [{ date: '2026-05-02', miles: 108_000 }],
        band: [{ date: '2026-11-02', p10: 112_000, p50: 114_000, p90: 117_000 }],
      },
      { title: 't', description: 'd', today: 'today', due: 'due', miles: String, day: String },
    );
    const attachment = { name: 'status.svg', mediaType: 'image/svg+xml', content, toLookAt: true };
    const sent = await arrives({ text: 'Last reading 108,000 miles.', attachment });
    expect(sent[0]?.text).toBe('Last reading 108,000 miles.');
    const { format, width = 0, height = 0 } = await sharp(sent[1]?.photos[0]).metadata();
    expect(format).toBe('png');
    // sendPhoto: width and height together at most 10,000, their ratio at most 20.
    expect(width + height).toBeLessThanOrEqual(10_000);
    expect(width / height).toBeLessThanOrEqual(20);
    expect(standIn.calls.map(({ method }) => method)).toContain('sendPhoto');
    expect(standIn.calls.map(({ method }) => method)).not.toContain('sendDocument');
  });

  it.each([
    [1, ['sendPhoto']],
    [2, ['sendMediaGroup']],
    [10, ['sendMediaGroup']],
    [11, ['sendMediaGroup', 'sendPhoto']],
  ])('brings %i pictures by %j, before the text', async (number, methods) => {
    await arrives({ photos: Array.from({ length: number }, (_, index) => photo(`p${index}`)) });
    const used = standIn.calls.map(({ method }) => method).filter((method) => method.startsWith('send'));
    expect(used).toEqual([...methods, 'sendMessage']);
    expect(standIn.messagesTo(OWNER).flatMap(({ photos }) => photos)).toHaveLength(number);
    expect(standIn.messagesTo(OWNER)[0]?.photos[0]?.equals(Buffer.from([0xff, 0xd8, 0xff, 7]))).toBe(true);
  });

  it('of any words and buttons that fit arrives whole', async () => {
    const button = fc.record({
      label: fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }).filter((label) => label.trim() !== ''),
      data: fc.stringMatching(/^q:\d{1,10}:[a-z0-9]{1,20}$/),
    });
    const words = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 9000 }).filter((text) => text.trim() !== '');
    await fc.assert(
      fc.asyncProperty(words, fc.array(button, { maxLength: 8 }), async (text, buttons) => {
        const parts = await arrives({ text, buttons });
        const squeeze = (some: string): string => some.replace(/\s+/g, '');
        expect(squeeze(parts.map((part) => part.text).join(''))).toBe(squeeze(text));
        expect(parts.at(-1)?.buttons.map(({ callback_data }) => callback_data)).toEqual(
          buttons.map(({ data }) => data),
        );
      }),
      { numRuns: 40 },
    );
  });
});

describe('rows of buttons', () => {
  const rows = (...labels: string[]) =>
    rowsOf(labels.map((label) => ({ label, data: 'q:1:1' }))).map((row) => row.length);

  it.each([
    [['Yes', 'No', 'I don’t know'], [3], 'short ones share a row'],
    [['Thu 5 Nov, 9:00 a.m.', 'Fri 6 Nov, 1:00 p.m.', 'More'], [1, 2], 'as far as they fit'],
    [['Fit the pump protection kit', 'Look at the fuel first'], [1, 1], 'long ones have a row each'],
    [['1', '2', '3', '4'], [3, 1], 'never more than three'],
    [[], [], 'none without buttons'],
  ])('%j: %j, %s', (labels, expected) => {
    expect(rows(...labels)).toEqual(expected);
  });

  it('keep every button, in order', () => {
    const buttons = fc.array(fc.record({ label: fc.string({ maxLength: 40 }), data: fc.string() }));
    fc.assert(
      fc.property(buttons, (given) => {
        expect(rowsOf(given).flat()).toEqual(given);
      }),
    );
  });
});

it.skipIf(spec)('calls were not checked here: the Bot API’s documentation is not beside the project', () => undefined);
