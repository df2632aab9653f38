import { oneOf, type Dice } from './dice.ts';
import type { Person } from './telegram-people.ts';
import type { SentMessage, StandInButton, TelegramStandIn } from './telegram-stand-in.ts';

export const OPENINGS = [
  '2017 6.7 V8 diesel with 92k, nothing wrong. anything i should have looked at?',
  '2016 6.7 L V8 diesel, 88,000 miles, hard to start when it is cold',
  'my 2018 6.7 v8 diesel stalls at idle now and then, 101k on it',
  '2015 6.7 V8 diesel, 95,500 miles. when is the kit for the fuel pump due?',
] as const;

/** What an owner taps where there is a choice, the first that is offered. */
const WISHES = ['Send it', 'See times', 'Yes, remind me', 'No', "I don't know"];

const NAME = /name may I give/;
const PHONE = /phone number/;
/** A chat gets one message a second: after this long nothing more belongs to the same answer. */
const QUIET_MILLISECONDS = 1_300;

/** Whether the text asks for something that is written and not tapped. */
export const isQuestion = (text: string): boolean => NAME.test(text) || PHONE.test(text);

/** Of several choices the one that an owner of these tests takes. */
export function wishAmong<T extends { label: string }>(buttons: readonly T[]): T {
  for (const wish of WISHES) {
    const found = buttons.find(({ label }) => label === wish);
    if (found) return found;
  }
  return buttons[0] as T;
}

/** What somebody sent, by the name under which it is to be in the inbox, for the account at the end. */
export interface Sent {
  externalId: string;
  by: string;
  what: string;
}

/** Somebody who talks with the shop until they are served. */
export interface Talker {
  readonly address: string;
  /** When they last did something, by the machine's clock. */
  readonly lastActAt: number;
  readonly done: boolean;
  begins(): void;
  /** Looks at what has come, and does what is next. */
  step(): void;
}

const updateName = ({ bot }: TelegramStandIn, updateId: number): string => `update:${bot.id}:${updateId}`;

/** Presses a button of one certain message; answers with the number of the update. */
export function press(standIn: TelegramStandIn, from: Person, message: SentMessage, data: string): number {
  const id = `press${standIn.nextMessageId()}`;
  standIn.openPress(id);
  const type = message.chat < 0 ? 'group' : 'private';
  const told = {
    message_id: message.message_id,
    date: Math.floor(Date.now() / 1000),
    chat: { id: message.chat, type },
  };
  return standIn.queue.add({ callback_query: { id, from: from.user, chat_instance: '1', message: told, data } });
}

/** An owner who answers whatever is asked, taps now and then twice, and is done with the service record in hand. */
export class Owner implements Talker {
  readonly person: Person;
  readonly address: string;
  readonly #standIn: TelegramStandIn;
  readonly #roll: Dice;
  readonly #sent: Sent[];
  readonly #phone: string;
  readonly #answered = new Set<string>();
  #heardUpTo = 0;
  #actAt = 0;
  #asked: SentMessage | undefined;
  lastActAt = Date.now();
  done = false;

  constructor(standIn: TelegramStandIn, id: number, roll: Dice, sent: Sent[]) {
    this.#standIn = standIn;
    this.#roll = roll;
    this.#sent = sent;
    this.person = standIn.person(id, 'Alder');
    this.address = String(id);
    this.#phone = `303-555-01${String(id % 100).padStart(2, '0')}`;
  }

  begins(): void {
    if (this.#roll() < 0.5) this.#note(this.person.starts(), '/start');
    this.#note(this.person.says(oneOf(this.#roll, OPENINGS)), 'opening');
  }

  /** Reads what has come and, when nothing more comes, answers the latest question that is not answered yet. */
  step(): void {
    for (const message of this.#standIn.messagesTo(this.person.id)) {
      if (message.message_id <= this.#heardUpTo) continue;
      this.#heardUpTo = message.message_id;
      this.#actAt = Date.now() + QUIET_MILLISECONDS + 600 * this.#roll();
      if (message.text.startsWith('Service record')) this.done = true;
      const key = this.#questionIn(message);
      if (key !== undefined && !this.#answered.has(key)) this.#asked = message;
    }
    const asked = this.#asked;
    if (!asked || Date.now() < this.#actAt) return;
    this.#asked = undefined;
    this.#answered.add(this.#questionIn(asked) ?? '');
    this.#answer(asked);
  }

  /** What tells one question from another: asked again, or sent twice, it is the same one. */
  #questionIn({ text, buttons }: SentMessage): string | undefined {
    if (buttons.length > 0) return this.#choice(buttons).callback_data;
    return isQuestion(text) ? text : undefined;
  }

  #answer(asked: SentMessage): void {
    if (asked.buttons.length === 0) {
      if (NAME.test(asked.text)) return this.#note(this.person.says('Alder Quill'), 'name');
      if (this.#roll() < 0.3) {
        // Telegram hands a contact's number over with its country code and without a plus.
        return this.#note(this.person.sharesContact(`1${this.#phone.replaceAll('-', '')}`), 'contact');
      }
      return this.#note(this.person.says(this.#phone), 'phone');
    }
    const button = this.#choice(asked.buttons);
    const times = this.#roll() < 0.2 ? 2 : 1;
    for (let time = 0; time < times; time++) {
      this.#note(press(this.#standIn, this.person, asked, button.callback_data ?? ''), `press ${button.text}`);
    }
  }

  #choice(buttons: StandInButton[]): StandInButton {
    return wishAmong(buttons.map((button) => ({ ...button, label: button.text })));
  }

  #note(updateId: number, what: string): void {
    this.lastActAt = Date.now();
    this.#sent.push({ externalId: updateName(this.#standIn, updateId), by: this.address, what });
  }
}

/** The staff in their chat: accept every request, now and then twice, and close the work when told to. */
export class Staff {
  readonly person: Person;
  readonly #standIn: TelegramStandIn;
  readonly #chat: number;
  readonly #roll: Dice;
  readonly #sent: Sent[];
  readonly #closed = new Set<string>();
  readonly #open = new Map<string, { at: number; miles: number }>();
  #readUpTo = 0;

  constructor(standIn: TelegramStandIn, chat: number, roll: Dice, sent: Sent[]) {
    this.#standIn = standIn;
    this.#chat = chat;
    this.#roll = roll;
    this.#sent = sent;
    standIn.group(chat);
    this.person = standIn.person(9, 'Wren');
  }

  step(): void {
    for (const message of this.#standIn.messagesTo(this.#chat)) {
      if (message.message_id <= this.#readUpTo) continue;
      this.#readUpTo = message.message_id;
      const accept = message.buttons.find(({ text }) => text === 'Accept');
      const requestId = accept?.callback_data?.split(':').find((part) => part.startsWith('r-'));
      if (!accept || requestId === undefined) continue;
      const times = this.#roll() < 0.3 ? 2 : 1;
      for (let time = 0; time < times; time++) {
        this.#note(press(this.#standIn, this.person, message, accept.callback_data ?? ''), 'accept');
      }
      const miles = Number(/odometer: ([\d,]+) miles/.exec(message.text)?.[1]?.replace(',', '') ?? 100_000) + 12;
      this.#open.set(requestId, { at: Date.now() + 4_000 + 3_000 * this.#roll(), miles });
    }
    for (const [requestId, { at, miles }] of this.#open) {
      if (Date.now() < at || this.#closed.has(requestId)) continue;
      this.#closed.add(requestId);
      const text = `/close ${requestId} ${miles} none`;
      const message_id = this.#standIn.nextMessageId();
      const chat = { id: this.#chat, type: 'group', title: 'Shop staff' };
      const date = Math.floor(Date.now() / 1000);
      const updateId = this.#standIn.queue.add({ message: { message_id, from: this.person.user, chat, date, text } });
      this.#note(updateId, 'close');
    }
  }

  #note(updateId: number, what: string): void {
    this.#sent.push({ externalId: updateName(this.#standIn, updateId), by: String(this.#chat), what });
  }
}
