import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mediaIdOf } from '../../../src/edges/channels/text.ts';
import { chatOf, parseUpdate, readUpdate } from '../../../src/edges/channels/telegram/updates.ts';
import type { ReadingContext } from '../../../src/edges/channels/telegram/updates.ts';
import { loadBotApiSpec } from '../../faults/bot-api-spec.ts';
import { TelegramStandIn } from '../../faults/telegram-stand-in.ts';

const NOW = '2026-11-02T16:00:00.000Z';
const AT = '2026-11-02T15:00:00.000Z';
const date = Date.parse(AT) / 1000;
const context: ReadingContext = { botId: '424242', botName: 'Invented_Shop_Bot', isStaffChat: false, now: NOW };

const robin = { id: 7, is_bot: false, first_name: 'Robin', last_name: 'Reyes', language_code: 'es' };
const privateChat = { id: 7, type: 'private', first_name: 'Robin' };
const group = { id: -100500, type: 'supergroup', title: 'Counter' };

function read(content: Record<string, unknown>, changed: Partial<ReadingContext> = {}) {
  const update = parseUpdate({ update_id: 55, ...content });
  if (!update) throw new Error('not an update');
  return readUpdate(update, { ...context, ...changed });
}
const message = (content: Record<string, unknown>, changed?: Partial<ReadingContext>) =>
  read({ message: { message_id: 3, date, chat: privateChat, from: robin, ...content } }, changed);
const inGroup = (content: Record<string, unknown>, changed?: Partial<ReadingContext>) =>
  message({ chat: group, ...content }, changed);
const staff = { isStaffChat: true };

/** The one event of an owner's update. */
function eventOf(outcome: ReturnType<typeof read>) {
  if (outcome.kind !== 'owner' || outcome.incoming.length !== 1) throw new Error(JSON.stringify(outcome));
  return outcome.incoming[0]?.event;
}
const pressOf = (chat: object, data: string) => ({
  callback_query: { id: 'cq1', from: robin, chat_instance: '1', message: { message_id: 9, date, chat }, data },
});

describe('what an owner sends', () => {
  it('carries the chat, the language, an id that tells duplicates, and the time at which it was written', () => {
    expect(message({ text: 'hello' })).toEqual({
      updateId: 55,
      kind: 'owner',
      incoming: [
        {
          channel: 'telegram',
          address: '7',
          externalId: 'update:424242:55',
          language: 'es',
          event: {
            kind: 'message',
            channel: 'telegram',
            at: AT,
            messageRef: 'telegram:3',
            text: 'hello',
            language: 'es',
          },
        },
      ],
    });
  });

  it.each([
    ['my truck smokes', 'my truck smokes', 'plain words'],
    ['/help', '/help', 'a command'],
    ['/stop@invented_shop_bot', '/stop', 'a command with the bot’s name'],
    ['/Help', '/help', 'a command in capitals'],
    ['/stop@another_bot please', '/stop@another_bot please', 'a command for another bot is only words'],
    ['/start my truck smokes', 'my truck smokes', 'what was typed behind /start is not lost'],
    ['a\0b\u001b[2J', 'ab[2J', 'control characters'],
    ['1/2 tank', '1/2 tank', 'a slash in the middle'],
  ])('%j is the text %j: %s', (given, text) => {
    expect(eventOf(message({ text: given }))).toMatchObject({ kind: 'message', text });
  });

  it.each<[string, string | undefined, string]>([
    ['/start', undefined, 'opened by hand'],
    ['/start truck-412_a', 'truck-412_a', 'opened by a link or QR code'],
    ['/start@invented_shop_bot', undefined, 'with the bot’s name'],
  ])('%s opens the chat with %s: %s', (text, payload) => {
    const event = eventOf(message({ text }));
    expect(event?.kind).toBe('opened');
    expect(event && 'payload' in event ? event.payload : undefined).toBe(payload);
  });

  it('a huge text is cut', () => {
    const event = eventOf(message({ text: 'x'.repeat(100_000) }));
    expect(event?.kind === 'message' && event.text.length).toBe(4096);
  });

  it.each<[string, Record<string, unknown>]>([
    ['sticker', { sticker: { file_id: 'a' } }],
    ['voice', { voice: { file_id: 'a' } }],
    ['voice', { video_note: { file_id: 'a' } }],
    ['voice', { audio: { file_id: 'a' } }],
    ['document', { document: { file_id: 'a', mime_type: 'application/pdf' } }],
    ['location', { location: { latitude: 1, longitude: 2 } }],
    ['location', { venue: {}, location: { latitude: 1, longitude: 2 } }],
    ['other', { video: { file_id: 'a' } }],
    ['other', { animation: { file_id: 'a' }, document: { file_id: 'a', mime_type: 'image/gif' } }],
    ['other', { poll: {} }],
    ['other', { dice: {} }],
    ['photo', { photo: [{ file_id: 'huge', width: 9000, height: 9000, file_size: 30_000_000 }] }],
    ['document', { document: { file_id: 'huge', mime_type: 'image/png', file_size: 30_000_000 } }],
  ])('that cannot be read is told as %s: %j', (what, content) => {
    expect(eventOf(message(content))).toMatchObject({ kind: 'unreadable', what });
  });

  it('words under something that cannot be read are kept too, each under its own id', () => {
    const outcome = message({ video: { file_id: 'a' }, caption: 'hear that knock?' });
    expect(
      outcome.kind === 'owner' && outcome.incoming.map(({ externalId, event }) => [externalId, event.kind]),
    ).toEqual([
      ['update:424242:55', 'message'],
      ['update:424242:55:2', 'unreadable'],
    ]);
  });

  it('a photo comes in its largest size, with its caption, and named before its bytes are there', () => {
    const sizes = [
      { file_id: 'small', width: 90, height: 60, file_size: 900 },
      { file_id: 'large', width: 1280, height: 960, file_size: 90_000 },
      { file_id: 'too-large', width: 9000, height: 9000, file_size: 30_000_000 },
    ];
    const outcome = message({ photo: sizes, caption: 'leak here', media_group_id: '88' });
    expect(outcome.kind === 'owner' && outcome.incoming[0]).toMatchObject({
      event: { kind: 'message', text: 'leak here', album: '88' },
      photos: [{ mediaId: mediaIdOf('update:424242:55', 0), source: { fileId: 'large' } }],
    });
  });

  it('a picture sent as a file is a photo all the same', () => {
    const outcome = message({ document: { file_id: 'doc', mime_type: 'image/jpeg', file_size: 5000 } });
    expect(outcome.kind === 'owner' && outcome.incoming[0]?.photos?.[0]?.source).toEqual({ fileId: 'doc' });
  });

  it.each<[{ user_id?: number }, string, string]>([
    [{ user_id: 7 }, 'contact', 'their own'],
    [{ user_id: 8 }, 'unreadable', 'somebody else’s'],
    [{}, 'unreadable', 'one that belongs to no account'],
  ])('a contact (%j) is taken as %s: %s', (whose, kind) => {
    const outcome = message({ contact: { phone_number: '1 555-555-0123', first_name: 'Robin', ...whose } });
    expect(eventOf(outcome)).toMatchObject({ kind });
  });

  it('a shared phone number is written internationally', () => {
    const contact = { phone_number: '15555550123', first_name: 'Robin', last_name: 'Reyes', user_id: 7 };
    expect(eventOf(message({ contact }))).toMatchObject({ phone: '+15555550123', name: 'Robin Reyes' });
  });

  it('an edit names the message that it corrects, and when', () => {
    const edited = { message_id: 3, date, edit_date: date + 60, chat: privateChat, from: robin };
    expect(eventOf(read({ edited_message: { ...edited, text: '98,000' } }))).toEqual({
      kind: 'edit',
      channel: 'telegram',
      at: '2026-11-02T15:01:00.000Z',
      messageRef: 'telegram:3',
      text: '98,000',
    });
    expect(read({ edited_message: { ...edited, location: {} } }).kind).toBe('ignored');
  });

  it('a press carries the button’s data, and is to be answered', () => {
    const outcome = read(pressOf(privateChat, 'q:12:2'));
    expect(outcome.callbackId).toBe('cq1');
    expect(eventOf(outcome)).toEqual({ kind: 'button', channel: 'telegram', at: NOW, data: 'q:12:2' });
  });

  it.each([
    ['s:412-1:3:accept', 'staff’s button in an owner’s chat'],
    ['x'.repeat(65), 'longer than a button'],
    ['é'.repeat(33), 'longer than a button in bytes'],
    ['q:1\n:2', 'a line end in it'],
    ['', 'nothing'],
  ])('a press of %j changes nothing but is answered: %s', (data) => {
    expect(read(pressOf(privateChat, data))).toMatchObject({ kind: 'ignored', callbackId: 'cq1' });
  });

  it.each([
    ['kicked', 'member', { kind: 'opened' }],
    ['member', 'kicked', { kind: 'unreachable', because: 'blocked by the owner' }],
  ])('from %s to %s is %j', (before, after, event) => {
    const change = { chat: privateChat, from: robin, date };
    const statuses = { old_chat_member: { status: before }, new_chat_member: { status: after } };
    expect(eventOf(read({ my_chat_member: { ...change, ...statuses } }))).toMatchObject({ ...event, at: AT });
  });
});

describe('what is not for us', () => {
  it.each<[string, Record<string, unknown>]>([
    [
      'a bot’s message',
      { message: { message_id: 1, date, chat: privateChat, from: { ...robin, is_bot: true }, text: 'x' } },
    ],
    ['a post in a channel', { channel_post: { message_id: 1, date, chat: { id: -1, type: 'channel' }, text: 'x' } }],
    ['a service message', { message: { message_id: 1, date, chat: privateChat, from: robin, pinned_message: {} } }],
    [
      'a message of nothing but blanks',
      { message: { message_id: 1, date, chat: privateChat, from: robin, text: ' ' } },
    ],
    ['an update of a kind that is new', { something_new: {} }],
    ['a damaged message', { message: { message_id: 'one', date, chat: privateChat } }],
    ['a date beyond reason', { message: { message_id: 1, date: 9e15, chat: privateChat, from: robin, text: 'x' } }],
    ['talk in a group', { message: { message_id: 1, date, chat: group, from: robin, text: 'lunch?' } }],
    ['a press in a group', pressOf(group, 's:412-1:3:accept')],
    [
      'the bot in a new group',
      {
        my_chat_member: {
          chat: group,
          from: robin,
          date,
          old_chat_member: { status: 'left' },
          new_chat_member: { status: 'member' },
        },
      },
    ],
  ])('%s is ignored, with its number kept', (_, content) => {
    expect(read(content)).toMatchObject({ kind: 'ignored', updateId: 55 });
  });

  it('what has no number is no update', () => {
    expect(parseUpdate({ message: {} })).toBeUndefined();
    expect(parseUpdate('hello')).toBeUndefined();
  });

  it('nothing at all makes the reading throw', () => {
    const part = fc.letrec<{ value: unknown }>((tie) => ({
      value: fc.oneof({ maxDepth: 4 }, fc.anything(), fc.dictionary(keys, tie('value'), { maxKeys: 6 })),
    })).value;
    const update = fc.record({ update_id: fc.integer(), message: part, callback_query: part, my_chat_member: part });
    fc.assert(
      fc.property(update, fc.boolean(), (raw, isStaffChat) => {
        const parsed = parseUpdate(raw);
        if (!parsed) return;
        chatOf(parsed);
        expect(readUpdate(parsed, { ...context, isStaffChat }).updateId).toBe(raw.update_id);
      }),
      { numRuns: 500 },
    );
  });
});

const keys = fc.constantFrom(
  'message_id',
  'date',
  'chat',
  'id',
  'type',
  'from',
  'is_bot',
  'first_name',
  'text',
  'data',
);

describe('what staff send', () => {
  const by = { id: 'telegram:7', name: 'Robin' };
  const base = { externalId: 'update:424242:55', chat: '-100500', at: AT, by };

  it('a press is an action, by name and number of who pressed', () => {
    expect(read(pressOf(group, 's:412-1:3:accept'), staff)).toEqual({
      updateId: 55,
      callbackId: 'cq1',
      kind: 'staff',
      event: {
        ...base,
        at: NOW,
        kind: 'press',
        messageId: '9',
        action: { do: 'accept', requestId: '412-1', revision: 3 },
      },
    });
  });

  it('an owner’s button in the staff chat is none of ours', () => {
    expect(read(pressOf(group, 'q:12:2'), staff)).toMatchObject({ kind: 'ignored', callbackId: 'cq1' });
  });

  it.each([
    ['/today', '/today', 'a command'],
    ['/today@invented_shop_bot', '/today', 'a command as a group needs it'],
    ['/close 412-1 97250', '/close 412-1 97250', 'with more behind it'],
  ])('%s is handed over as %s: %s', (text, told) => {
    expect(inGroup({ text }, staff)).toMatchObject({ kind: 'staff', event: { ...base, kind: 'text', text: told } });
  });

  it('an answer to one of our messages is handed over with what it answers', () => {
    const bot = { id: 424242, is_bot: true, first_name: 'Shop' };
    const reply = { reply_to_message: { message_id: 40, from: bot, date, chat: group } };
    expect(inGroup({ text: 'Thursday is full', ...reply }, staff)).toMatchObject({
      event: { kind: 'text', text: 'Thursday is full', replyTo: '40' },
    });
  });

  it('what they say among themselves is not', () => {
    expect(inGroup({ text: 'coffee?' }, staff).kind).toBe('ignored');
    expect(inGroup({ text: '/today@another_bot' }, staff).kind).toBe('ignored');
  });

  it.each([
    ['/link 4K7-QX2', '4K7-QX2'],
    ['/link@invented_shop_bot 4K7-QX2', '4K7-QX2'],
    ['/link', ''],
  ])('%s in a group asks to become the staff chat', (text, code) => {
    expect(inGroup({ text })).toMatchObject({
      kind: 'staff',
      event: { ...base, kind: 'link', code, title: 'Counter' },
    });
  });

  it('a link code in a private chat is an owner’s text', () => {
    expect(eventOf(message({ text: '/link 4K7-QX2' }))).toMatchObject({ kind: 'message', text: '/link 4K7-QX2' });
  });

  it('a private chat can be the staff chat of a shop of one', () => {
    expect(message({ text: 'who is due?' }, staff)).toMatchObject({ kind: 'staff', event: { kind: 'text' } });
  });

  it('a group that becomes a supergroup is followed, from either side', () => {
    const old = { id: -500, type: 'group', title: 'Counter' };
    const moved = { kind: 'moved', from: '-500', to: '-100500' };
    expect(message({ chat: old, migrate_to_chat_id: -100500 })).toMatchObject(moved);
    expect(inGroup({ migrate_from_chat_id: -500 })).toMatchObject(moved);
  });
});

const spec = loadBotApiSpec();
describe('the updates that our tests make up', () => {
  it.skipIf(!spec)('are what the Bot API documents', async () => {
    const standIn = new TelegramStandIn();
    const updates: unknown[] = [];
    standIn.queue.add = (content) => {
      updates.push({ update_id: 1, ...content });
      return 1;
    };
    const person = standIn.person(7);
    const staffChat = standIn.group(-100500);
    person.says('hello');
    person.starts('x');
    person.edits('hello!');
    person.sharesContact('+15555550123');
    person.pressesData('q:1:1');
    person.sendsPhoto(Buffer.from('x'), 'caption', 'album');
    person.blocks();
    person.unblocks();
    staffChat.says(person, '/today');
    staffChat.pressesData(person, 's:1:1:accept');
    staffChat.becomes(-100501);
    expect(updates).toHaveLength(11);
    const wrong = updates.flatMap((update) => spec?.checkValue('Update', update) ?? []);
    expect(wrong).toEqual([]);
    expect(spec?.checkValue('Update', { update_id: 1, message: { message_id: 1, text: 'x' } })).not.toEqual([]);
  });
  if (!spec) it('are not checked here: the Bot API’s documentation is not beside the project', () => undefined);
});
