import { InputFile } from 'grammy';
import type { Api } from 'grammy';
import type { InlineKeyboardMarkup, InputMediaPhoto, ReplyKeyboardMarkup, ReplyKeyboardRemove } from 'grammy/types';
import type { Button } from '../../../core/mod.ts';
import type { Outgoing } from '../../store/types.ts';
import { isButtonData, splitText } from '../text.ts';

/** UTF-16 units of one text message, by the Bot API's documentation of sendMessage. */
export const TELEGRAM_TEXT_LIMIT = 4096;
/** Pictures of one media group, by the documentation of sendMediaGroup. */
const ALBUM_LIMIT = 10;
/** Characters that a row of buttons shows on a phone 320 pixels wide. */
const ROW_CHARACTERS = 24;
const ROW_BUTTONS = 3;
/** Buttons of one message; Telegram drops more without a word. */
const MOST_BUTTONS = 100;

/** The words on the keyboard that shares a phone number. */
export interface ContactWords {
  /** On the button. */
  share: string;
  /** Above it, where the question itself already has buttons of another kind. */
  hint: string;
}

/** One call to the Bot API; resolves to the number of the message that it made. */
export type Step = (api: Api, address: string) => Promise<number | undefined>;

/** The calls that one message takes, in order, or why it can never be sent. */
export type Plan = { ok: true; steps: Step[] } | { ok: false; because: string };

/** Rows of buttons: short ones side by side, long ones each in a row of its own. */
export function rowsOf(buttons: Button[]): Button[][] {
  const rows: Button[][] = [];
  let room = 0;
  for (const button of buttons) {
    const row = rows.at(-1);
    const length = [...button.label].length;
    if (row && row.length < ROW_BUTTONS && length <= room) {
      row.push(button);
      room -= length;
    } else {
      rows.push([button]);
      room = ROW_CHARACTERS - length;
    }
  }
  return rows;
}

const inlineKeyboard = (buttons: Button[]): InlineKeyboardMarkup => ({
  inline_keyboard: rowsOf(buttons).map((row) => row.map(({ label, data }) => ({ text: label, callback_data: data }))),
});

const contactKeyboard = (words: ContactWords): ReplyKeyboardMarkup => ({
  keyboard: [[{ text: words.share, request_contact: true }]],
  one_time_keyboard: true,
  resize_keyboard: true,
});

const noKeyboard: ReplyKeyboardRemove = { remove_keyboard: true };

/** A file name that survives every system and an unquoted header. */
const safeName = (name: string): string => name.replace(/[^A-Za-z0-9._-]+/g, '-').slice(-60) || 'file';

const sendText =
  (text: string, markup?: InlineKeyboardMarkup | ReplyKeyboardMarkup | ReplyKeyboardRemove): Step =>
  async (api, address) => {
    // Plain text: no parse mode that an owner's own words could break. No preview: fetching it would use up a one-time
    // link before anybody followed it.
    const sent = await api.sendMessage(address, text, {
      link_preview_options: { is_disabled: true },
      ...(markup && { reply_markup: markup }),
    });
    return sent.message_id;
  };

type Photo = Outgoing['photos'][number];

const picture = ({ mediaId, bytes }: Photo): InputFile => new InputFile(bytes, `${safeName(mediaId)}.jpg`);

const sendPhotos =
  (photos: Photo[]): Step =>
  async (api, address) => {
    const [first] = photos;
    if (first && photos.length === 1) return (await api.sendPhoto(address, picture(first))).message_id;
    const media = photos.map((photo): InputMediaPhoto => ({ type: 'photo', media: picture(photo) }));
    return (await api.sendMediaGroup(address, media)).at(-1)?.message_id;
  };

/** A file as a phone can show it: Telegram previews no drawing, so one goes out as a picture of dots. */
async function fileOf({ name, mediaType, content }: NonNullable<Outgoing['attachment']>): Promise<InputFile> {
  const bytes = Buffer.from(content, 'utf8');
  if (mediaType !== 'image/svg+xml') return new InputFile(bytes, safeName(name));
  const { default: sharp } = await import('sharp');
  const picture = await sharp(bytes, { density: 144 }).png({ palette: true }).toBuffer();
  return new InputFile(picture, safeName(name.replace(/\.svg$/, '.png')));
}

const sendFile =
  (attachment: NonNullable<Outgoing['attachment']>): Step =>
  async (api, address) => {
    const file = await fileOf(attachment);
    if (attachment.toLookAt) return (await api.sendPhoto(address, file)).message_id;
    return (await api.sendDocument(address, file, { disable_content_type_detection: true })).message_id;
  };

function objection({ text, buttons, photos, attachment }: Outgoing): string | undefined {
  if (text.trim() === '' && photos.length === 0 && !attachment) return 'the message is empty';
  if (text.trim() === '' && buttons.length > 0) return 'the message has buttons without a text';
  if (buttons.length > MOST_BUTTONS) return `the message has more than ${MOST_BUTTONS} buttons`;
  const bad = buttons.find(({ label, data }) => label.trim() === '' || !isButtonData(data));
  return bad && `the button data ${JSON.stringify(bad.data)} or its label does not fit`;
}

/**
 * The calls that bring one message to a chat: pictures first, then the text in parts with the buttons under the last,
 * then the file. Where the phone number is asked for, Telegram's own keyboard offers it; the next text without buttons
 * takes that keyboard away, which needs no memory of having shown it.
 */
export function planSending(message: Outgoing, words: ContactWords): Plan {
  const because = objection(message);
  if (because) return { ok: false, because };
  const { text, buttons, askContact, photos, attachment } = message;
  const steps: Step[] = [];
  for (let from = 0; from < photos.length; from += ALBUM_LIMIT) {
    steps.push(sendPhotos(photos.slice(from, from + ALBUM_LIMIT)));
  }
  const parts = splitText(text, TELEGRAM_TEXT_LIMIT);
  parts.forEach((part, index) => {
    const last = index === parts.length - 1;
    if (last && buttons.length > 0) steps.push(sendText(part, inlineKeyboard(buttons)));
    else if (last && askContact) steps.push(sendText(part, contactKeyboard(words)));
    else steps.push(sendText(part, noKeyboard));
  });
  if (askContact && buttons.length > 0) steps.push(sendText(words.hint, contactKeyboard(words)));
  if (attachment) steps.push(sendFile(attachment));
  return { ok: true, steps };
}
