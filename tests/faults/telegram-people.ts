import type { SentMessage, TelegramStandIn } from './telegram-stand-in.ts';

const seconds = (): number => Math.floor(Date.now() / 1000);

type Content = Record<string, unknown>;

const user = (id: number, name: string): Content => ({ id, is_bot: false, first_name: name, language_code: 'en' });

/** The latest message in the chat that has the button, and its data. */
function findButton(standIn: TelegramStandIn, chat: number, label: string): { message: SentMessage; data: string } {
  for (const message of [...standIn.messagesTo(chat)].reverse()) {
    const button = message.buttons.find(({ text, callback_data }) => text === label || callback_data === label);
    if (button?.callback_data) return { message, data: button.callback_data };
  }
  const last = standIn.messagesTo(chat).findLast(({ buttons }) => buttons.length > 0)?.buttons ?? [];
  const seen = last.map(({ text }) => text).join(', ');
  throw new Error(`no message in chat ${chat} has a button "${label}"; the last ones were ${seen}`);
}

function press(standIn: TelegramStandIn, from: Content, chat: Content, messageId: number, data: string): number {
  const id = `press${standIn.nextMessageId()}`;
  standIn.openPress(id);
  const message = { message_id: messageId, date: seconds(), chat };
  return standIn.queue.add({ callback_query: { id, from, chat_instance: '1', message, data } });
}

/** Somebody with a phone, in a private chat with the bot. Every act answers with the number of its update. */
export class Person {
  readonly standIn: TelegramStandIn;
  readonly id: number;
  readonly name: string;
  /** The number of the last message that this person wrote. */
  lastMessageId = 0;

  constructor(standIn: TelegramStandIn, id: number, name: string) {
    this.standIn = standIn;
    this.id = id;
    this.name = name;
  }

  get user(): Content {
    return user(this.id, this.name);
  }

  get #chat(): Content {
    return { id: this.id, type: 'private', first_name: this.name };
  }

  /** Sends a message of any content. */
  sends(content: Content, date = seconds()): number {
    this.lastMessageId = this.standIn.nextMessageId();
    const message = { message_id: this.lastMessageId, from: this.user, chat: this.#chat, date, ...content };
    return this.standIn.queue.add({ message });
  }

  says(text: string): number {
    return this.sends({ text });
  }

  starts(payload?: string): number {
    return this.says(payload === undefined ? '/start' : `/start ${payload}`);
  }

  edits(text: string, messageId = this.lastMessageId): number {
    const date = seconds();
    const told = { message_id: messageId, from: this.user, chat: this.#chat, date, edit_date: date, text };
    return this.standIn.queue.add({ edited_message: told });
  }

  sendsPhoto(bytes: Buffer, caption?: string, album?: string): number {
    const file_id = this.standIn.addFile(bytes);
    const size = { file_unique_id: file_id, file_size: bytes.byteLength };
    return this.sends({
      photo: [
        { ...size, file_id: `${file_id}-small`, width: 90, height: 60 },
        { ...size, file_id, width: 1280, height: 960 },
      ],
      ...(caption !== undefined && { caption }),
      ...(album !== undefined && { media_group_id: album }),
    });
  }

  sharesContact(phone: string, ofUser = this.id): number {
    return this.sends({ contact: { phone_number: phone, first_name: this.name, user_id: ofUser } });
  }

  /** Presses a button by its label or its data, under the latest message that has it. */
  presses(label: string): number {
    const { message, data } = findButton(this.standIn, this.id, label);
    return press(this.standIn, this.user, this.#chat, message.message_id, data);
  }

  /** Sends data as if from a button, which a hostile program can do. */
  pressesData(data: string, messageId = 1): number {
    return press(this.standIn, this.user, this.#chat, messageId, data);
  }

  blocks(): number {
    this.standIn.block(this.id);
    return this.#membership('member', 'kicked');
  }

  unblocks(): number {
    this.standIn.unblock(this.id);
    return this.#membership('kicked', 'member');
  }

  #membership(before: string, after: string): number {
    const bot = this.standIn.bot;
    return this.standIn.queue.add({
      my_chat_member: {
        chat: this.#chat,
        from: this.user,
        date: seconds(),
        old_chat_member: { user: bot, status: before },
        new_chat_member: { user: bot, status: after, until_date: 0 },
      },
    });
  }
}

/** A group that the bot is in. */
export class Group {
  readonly standIn: TelegramStandIn;
  readonly id: number;
  readonly title: string;

  constructor(standIn: TelegramStandIn, id: number, title: string) {
    this.standIn = standIn;
    this.id = id;
    this.title = title;
  }

  get #chat(): Content {
    return { id: this.id, type: this.id < -1_000_000_000_000 ? 'supergroup' : 'group', title: this.title };
  }

  sends(by: Person, content: Content): number {
    const message_id = this.standIn.nextMessageId();
    const from = by.user;
    return this.standIn.queue.add({ message: { message_id, from, chat: this.#chat, date: seconds(), ...content } });
  }

  says(by: Person, text: string): number {
    return this.sends(by, { text });
  }

  replies(by: Person, messageId: number, text: string): number {
    const reply_to_message = { message_id: messageId, from: this.standIn.bot, chat: this.#chat, date: seconds() };
    return this.sends(by, { text, reply_to_message });
  }

  presses(by: Person, label: string): number {
    const { message, data } = findButton(this.standIn, this.id, label);
    return press(this.standIn, by.user, this.#chat, message.message_id, data);
  }

  pressesData(by: Person, data: string): number {
    return press(this.standIn, by.user, this.#chat, 1, data);
  }

  becomes(id: number): number {
    this.standIn.migrate(this.id, id);
    return this.standIn.queue.add({
      message: {
        message_id: this.standIn.nextMessageId(),
        chat: this.#chat,
        date: seconds(),
        migrate_to_chat_id: id,
      },
    });
  }
}
