import { z } from 'zod';

/** Ids have up to 52 significant bits, so that a number holds them; they are kept as text. */
const id = z.int();
/** Unix time; beyond the year 2100 it is no date but damage. */
const unixTime = z.int().min(0).max(4_102_444_800);

const user = z.object({
  id,
  is_bot: z.boolean(),
  first_name: z.string(),
  last_name: z.string().optional(),
  language_code: z.string().optional(),
});

const chat = z.object({
  id,
  type: z.enum(['private', 'group', 'supergroup', 'channel']),
  title: z.string().optional(),
});

const file = z.object({ file_id: z.string().min(1).max(512), file_size: z.number().optional() });

const something = z.object({}).optional();

const message = z.object({
  message_id: id,
  date: unixTime,
  edit_date: unixTime.optional(),
  chat,
  from: user.optional(),
  text: z.string().optional(),
  caption: z.string().optional(),
  media_group_id: z.string().max(64).optional(),
  photo: z.array(file.extend({ width: z.number(), height: z.number() })).optional(),
  document: file.extend({ mime_type: z.string().optional() }).optional(),
  contact: z
    .object({
      phone_number: z.string(),
      first_name: z.string(),
      last_name: z.string().optional(),
      user_id: id.optional(),
    })
    .optional(),
  reply_to_message: z.object({ message_id: id, from: user.optional() }).optional(),
  migrate_to_chat_id: id.optional(),
  migrate_from_chat_id: id.optional(),
  sticker: something,
  voice: something,
  audio: something,
  video_note: something,
  location: something,
  venue: something,
  video: something,
  animation: something,
  poll: something,
  dice: something,
  story: something,
  game: something,
  paid_media: something,
  checklist: something,
});

/** The part of an update that is read here; everything else is dropped at the door. */
export const updateSchema = z.object({
  update_id: id,
  message: message.optional(),
  edited_message: message.optional(),
  callback_query: z
    .object({
      id: z.string().max(256),
      from: user,
      message: z.object({ message_id: id, chat }).optional(),
      data: z.string().optional(),
    })
    .optional(),
  my_chat_member: z
    .object({
      chat,
      from: user,
      date: unixTime,
      old_chat_member: z.object({ status: z.string() }),
      new_chat_member: z.object({ status: z.string() }),
    })
    .optional(),
});

export type TelegramUpdate = z.output<typeof updateSchema>;
export type TelegramMessage = z.output<typeof message>;
export type TelegramUser = z.output<typeof user>;
export type TelegramChat = z.output<typeof chat>;

/** The kinds of updates that are asked for; Telegram keeps the others to itself. */
export const ALLOWED_UPDATES = ['message', 'edited_message', 'callback_query', 'my_chat_member'] as const;
