import type { StaffMember, TappedAction } from '../../../core/mod.ts';
import { parseStaffActionData } from '../../../core/mod.ts';
import type { Incoming, IncomingPhoto, Instant } from '../../store/types.ts';
import { INCOMING_PHOTO_BYTES } from '../photos.ts';
import { cleanText, isButtonData, mediaIdOf } from '../text.ts';
import { updateSchema } from './schema.ts';
import type { TelegramMessage, TelegramUpdate, TelegramUser } from './schema.ts';

/** What is known while an update is read. */
export interface ReadingContext {
  botId: string;
  /** Without "@"; unknown until the Bot API was reached for the first time. */
  botName: string | undefined;
  /** Whether this update's chat is where the shop's staff work. */
  isStaffChat: boolean;
  /** For updates without a time of their own. */
  now: Instant;
}

interface StaffBase {
  externalId: string;
  chat: string;
  at: Instant;
  by: StaffMember;
}

/** What staff sent, before the desk knows which owner it is about. */
export type FromStaff = StaffBase &
  (
    | { kind: 'press'; action: TappedAction; messageId: string }
    /** A command, or an answer to one of the assistant's messages. */
    | { kind: 'text'; text: string; replyTo?: string }
    /** Somebody in a group asks that this group become the staff chat. */
    | { kind: 'link'; code: string; title: string }
  );

/** One update, read. `callbackId` names a press that has to be answered whatever it was. */
export type ReadUpdate = { updateId: number; callbackId?: string } & (
  | { kind: 'owner'; incoming: Incoming[] }
  | { kind: 'staff'; event: FromStaff }
  | { kind: 'moved'; from: string; to: string }
  | { kind: 'ignored'; because: string }
);

type WithoutIds<T> = T extends unknown ? Omit<T, 'updateId'> : never;
type Outcome = WithoutIds<ReadUpdate>;

const instant = (unixSeconds: number): Instant => new Date(unixSeconds * 1000).toISOString();
const ignored = (because: string): Outcome => ({ kind: 'ignored', because });
const fullName = (person: { first_name: string; last_name?: string | undefined }): string =>
  cleanText([person.first_name, person.last_name].filter(Boolean).join(' ')).slice(0, 100);

const staffMember = (user: TelegramUser): StaffMember => ({
  id: `telegram:${user.id}`,
  name: cleanText(user.first_name).slice(0, 100) || `Telegram ${user.id}`,
});

/** `/name@bot rest` taken apart; undefined where the text is no command or is meant for another bot. */
function command(text: string, botName: string | undefined): { name: string; rest: string } | undefined {
  const [, name, bot, rest] = /^\/([A-Za-z][A-Za-z0-9_]{0,31})(?:@([A-Za-z0-9_]+))?(?:\s+([\s\S]*))?$/.exec(text) ?? [];
  if (!name) return undefined;
  if (bot && botName && bot.toLowerCase() !== botName.toLowerCase()) return undefined;
  return { name: name.toLowerCase(), rest: (rest ?? '').trim() };
}

/** The text of a command as it is handed on: without the bot's name, which people do not type themselves. */
function withoutBotName(text: string, botName: string | undefined): string {
  const said = command(text, botName);
  return said ? `/${said.name}${said.rest && ` ${said.rest}`}` : text;
}

/** The largest of Telegram's sizes of one photo that may be fetched. */
function largestSize(message: TelegramMessage): string | undefined {
  const sizes = (message.photo ?? []).filter(({ file_size }) => (file_size ?? 0) <= INCOMING_PHOTO_BYTES);
  return sizes.sort((a, b) => b.width * b.height - a.width * a.height)[0]?.file_id;
}

/** The picture in a message, as a photo or sent as a file. */
function pictureIn(message: TelegramMessage): string | undefined {
  if (message.photo) return largestSize(message);
  const { document } = message;
  if (!document?.mime_type?.startsWith('image/') || message.animation) return undefined;
  return (document.file_size ?? 0) <= INCOMING_PHOTO_BYTES ? document.file_id : undefined;
}

type Unreadable = Extract<Incoming['event'], { kind: 'unreadable' }>['what'];

/** What in a message cannot be read, or undefined where it holds nothing of the kind (a service message, say). */
function unreadableIn(message: TelegramMessage): Unreadable | undefined {
  if (message.photo) return 'photo';
  if (message.sticker) return 'sticker';
  if (message.voice || message.audio || message.video_note) return 'voice';
  if (message.location || message.venue) return 'location';
  const other = ['video', 'animation', 'poll', 'dice', 'story', 'game', 'paid_media', 'checklist', 'contact'] as const;
  if (other.some((key) => message[key])) return 'other';
  return message.document ? 'document' : undefined;
}

function readPrivateMessage(message: TelegramMessage, context: ReadingContext, externalId: string): Outcome {
  const { from } = message;
  if (!from || from.is_bot) return ignored('written by a bot');
  const base = {
    channel: 'telegram' as const,
    address: String(message.chat.id),
    externalId,
    ...(from.language_code && { language: from.language_code.slice(0, 35) }),
  };
  const event = { channel: 'telegram' as const, at: instant(message.date) };
  const one = (incoming: Omit<Incoming, keyof typeof base> & { externalId?: string }): Outcome => ({
    kind: 'owner',
    incoming: [{ ...base, ...incoming }],
  });

  if (message.contact && message.contact.user_id === from.id) {
    const digits = message.contact.phone_number.replace(/[^\d+]/g, '').slice(0, 20);
    const name = fullName(message.contact);
    const phone = digits.startsWith('+') ? digits : `+${digits}`;
    return one({ event: { ...event, kind: 'contact', phone, ...(name && { name }) } });
  }

  const text = cleanText(message.text ?? message.caption ?? '');
  const said = command(text, context.botName);
  if (said?.name === 'start' && (said.rest === '' || /^[A-Za-z0-9_-]{1,64}$/.test(said.rest))) {
    return one({ event: { ...event, kind: 'opened', ...(said.rest && { payload: said.rest }) } });
  }
  const words = said?.name === 'start' ? said.rest : withoutBotName(text, context.botName);

  const fileId = pictureIn(message);
  const photos: IncomingPhoto[] = fileId ? [{ mediaId: mediaIdOf(externalId, 0), source: { fileId } }] : [];
  const unreadable = fileId ? undefined : unreadableIn(message);
  const incoming: Incoming[] = [];
  if (words !== '' || fileId) {
    incoming.push({
      ...base,
      event: {
        ...event,
        kind: 'message',
        messageRef: `telegram:${message.message_id}`,
        text: words,
        ...(message.media_group_id && { album: message.media_group_id }),
        ...(base.language && { language: base.language }),
      },
      ...(photos.length > 0 && { photos }),
    });
  }
  if (unreadable) {
    const second = incoming.length > 0 ? `${externalId}:2` : externalId;
    incoming.push({ ...base, externalId: second, event: { ...event, kind: 'unreadable', what: unreadable } });
  }
  return incoming.length > 0 ? { kind: 'owner', incoming } : ignored('nothing that was written to us');
}

function readEdit(message: TelegramMessage, context: ReadingContext, externalId: string): Outcome {
  if (!message.from || message.from.is_bot) return ignored('written by a bot');
  const text = withoutBotName(cleanText(message.text ?? message.caption ?? ''), context.botName);
  if (text === '') return ignored('an edit without words');
  return {
    kind: 'owner',
    incoming: [
      {
        channel: 'telegram',
        address: String(message.chat.id),
        externalId,
        event: {
          kind: 'edit',
          channel: 'telegram',
          at: instant(message.edit_date ?? message.date),
          messageRef: `telegram:${message.message_id}`,
          text,
        },
      },
    ],
  };
}

/** A message in a group, or in a private chat that serves as staff chat. */
function readStaffMessage(message: TelegramMessage, context: ReadingContext, externalId: string): Outcome {
  const { chat, from } = message;
  if (message.migrate_to_chat_id !== undefined) {
    return { kind: 'moved', from: String(chat.id), to: String(message.migrate_to_chat_id) };
  }
  if (message.migrate_from_chat_id !== undefined) {
    return { kind: 'moved', from: String(message.migrate_from_chat_id), to: String(chat.id) };
  }
  if (!from || from.is_bot) return ignored('written by a bot or without a name');
  const base = { externalId, chat: String(chat.id), at: instant(message.date), by: staffMember(from) };
  const text = cleanText(message.text ?? message.caption ?? '');
  const said = command(text, context.botName);
  if (said?.name === 'link' && chat.type !== 'private') {
    const title = cleanText(chat.title ?? '').slice(0, 200);
    return { kind: 'staff', event: { ...base, kind: 'link', code: said.rest.slice(0, 64), title } };
  }
  if (!context.isStaffChat) return ignored('a group that is not the staff chat');
  const reply = message.reply_to_message;
  const toUs = reply?.from?.is_bot === true && String(reply.from.id) === context.botId;
  if (text === '' || !(said || toUs || chat.type === 'private')) return ignored('talk among the staff');
  return {
    kind: 'staff',
    event: {
      ...base,
      kind: 'text',
      text: withoutBotName(text, context.botName),
      ...(toUs && { replyTo: String(reply.message_id) }),
    },
  };
}

function readPress(query: NonNullable<TelegramUpdate['callback_query']>, context: ReadingContext, id: string): Outcome {
  const { data, from, message } = query;
  if (from.is_bot || !message || data === undefined) return ignored('a press without a message');
  if (!isButtonData(data)) return ignored('a button that is not ours');
  const chat = String(message.chat.id);
  if (context.isStaffChat) {
    const action = parseStaffActionData(data);
    if (!action) return ignored('a button that is not for staff');
    const messageId = String(message.message_id);
    const by = staffMember(from);
    return { kind: 'staff', event: { kind: 'press', externalId: id, chat, at: context.now, by, action, messageId } };
  }
  if (message.chat.type !== 'private') return ignored('a press in a group that is not the staff chat');
  if (data.startsWith('s:')) return ignored('a staff button outside the staff chat');
  return {
    kind: 'owner',
    incoming: [
      {
        channel: 'telegram',
        address: chat,
        externalId: id,
        event: { kind: 'button', channel: 'telegram', at: context.now, data },
      },
    ],
  };
}

function readMembership(
  { chat, date, from, old_chat_member, new_chat_member }: NonNullable<TelegramUpdate['my_chat_member']>,
  externalId: string,
): Outcome {
  if (chat.type !== 'private') return ignored('the bot was added to or removed from a group');
  const base = { channel: 'telegram' as const, address: String(chat.id), externalId };
  const event = { channel: 'telegram' as const, at: instant(date) };
  if (new_chat_member.status === 'kicked') {
    return {
      kind: 'owner',
      incoming: [{ ...base, event: { ...event, kind: 'unreachable', because: 'blocked by the owner' } }],
    };
  }
  if (old_chat_member.status === 'kicked' && new_chat_member.status === 'member') {
    const language = from.language_code && { language: from.language_code.slice(0, 35) };
    return { kind: 'owner', incoming: [{ ...base, ...language, event: { ...event, kind: 'opened' } }] };
  }
  return ignored('a change of membership that means nothing here');
}

/** The chat that an update belongs to, where it belongs to one. */
export function chatOf(update: TelegramUpdate): string | undefined {
  const { message, edited_message, callback_query, my_chat_member } = update;
  const chat = (message ?? edited_message ?? callback_query?.message ?? my_chat_member)?.chat;
  return chat && String(chat.id);
}

/** Checks the form of an update. Undefined where it is so damaged that nothing can be done with it. */
export function parseUpdate(raw: unknown): TelegramUpdate | undefined {
  const parsed = updateSchema.safeParse(raw);
  if (parsed.success) return parsed.data;
  // A part that is not understood must not hold up the rest: the number alone moves the offset on.
  const bare = updateSchema.pick({ update_id: true }).safeParse(raw);
  return bare.success ? bare.data : undefined;
}

/**
 * Turns an update into what it means here. Pure; the same update always gives the same `externalId`
 * (`update:BOT:UPDATE`), so that a second arrival is known.
 */
export function readUpdate(update: TelegramUpdate, context: ReadingContext): ReadUpdate {
  const updateId = update.update_id;
  const externalId = `update:${context.botId}:${updateId}`;
  const { message, edited_message, callback_query, my_chat_member } = update;
  if (callback_query) {
    return { updateId, callbackId: callback_query.id, ...readPress(callback_query, context, externalId) };
  }
  const outcome = (): Outcome => {
    if (my_chat_member) return readMembership(my_chat_member, externalId);
    const told = message ?? edited_message;
    if (!told) return ignored('an update of a kind that is not read');
    if (told.chat.type === 'channel') return ignored('a post in a channel');
    if (told.chat.type !== 'private' || context.isStaffChat) {
      return message ? readStaffMessage(message, context, externalId) : ignored('an edit among the staff');
    }
    return message ? readPrivateMessage(message, context, externalId) : readEdit(told, context, externalId);
  };
  return { updateId, ...outcome() };
}
