import { randomUUID } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { createInterface } from 'node:readline';
import type { Interface } from 'node:readline';
import type { Readable, Writable } from 'node:stream';
import type { Button } from '../../../core/mod.ts';
import type { Channel, Incoming, Instant, Outgoing, Receive } from '../../store/types.ts';
import { INCOMING_PHOTO_BYTES, reencode } from '../photos.ts';
import { cleanText, mediaIdOf, withoutControls } from '../text.ts';
import { ENGLISH } from './words.ts';
import type { TerminalWords } from './words.ts';

export interface TerminalOptions {
  input: Readable;
  output: Writable;
  /** Whether a person sits at the keyboard. Otherwise each line is one message, answered before the next is read. */
  interactive: boolean;
  /** False for terminals that cannot move the cursor, and for whoever wants plain lines only. */
  lineEditing?: boolean;
  /** Resolves when everything that was received has been answered. */
  settled: () => Promise<void>;
  now: () => Instant;
  address?: string;
  zone?: string;
  language?: string;
  /** Keeps a file that the shop sent, and says where. */
  keepFile?: (name: string, content: string) => Promise<string>;
  words?: TerminalWords;
}

export interface TerminalChannel extends Channel {
  /** Resolves when the person has left, or the input has ended and its replies are out. */
  readonly closed: Promise<void>;
}

const PROMPT = '> ';

/** What one line asks for. */
type Line =
  | { kind: 'quit' | 'nothing' | 'help' }
  | { kind: 'event'; event: Incoming['event']; messageRef?: string }
  | { kind: 'photo'; path: string }
  | { kind: 'say'; text: string };

/** Reads a line. Pure: `buttons` are those under the last question, `lastRef` the last message that was sent. */
export function readLine(
  line: string,
  context: { at: Instant; messageRef: string; lastRef: string | undefined; buttons: Button[]; words: TerminalWords },
): Line {
  const { at, messageRef, lastRef, buttons, words } = context;
  const text = cleanText(line);
  if (text === '') return { kind: 'nothing' };
  const [, command, rest = ''] = /^\/(quit|exit|photo|edit|keys)(?:\s+([\s\S]*))?$/.exec(text) ?? [];
  const event = { channel: 'terminal' as const, at };
  switch (command) {
    case 'quit':
    case 'exit':
      return { kind: 'quit' };
    case 'keys':
      return { kind: 'help' };
    case 'photo':
      return { kind: 'photo', path: rest.replace(/^(["'])(.*)\1$/, '$2') };
    case 'edit':
      if (lastRef === undefined || rest === '') return { kind: 'say', text: words.nothingToEdit };
      return { kind: 'event', event: { ...event, kind: 'edit', messageRef: lastRef, text: rest } };
  }
  // A choice by its own words, else by its number; any other number is an answer in words ("8" to "6 or 8 cylinders?").
  const folded = text.toLowerCase();
  const pressed =
    buttons.find(({ label }) => label.toLowerCase() === folded) ??
    (/^\d{1,2}$/.test(text) ? buttons[Number(text) - 1] : undefined);
  if (pressed) return { kind: 'event', event: { ...event, kind: 'button', data: pressed.data } };
  return { kind: 'event', event: { ...event, kind: 'message', messageRef, text }, messageRef };
}

/** A message as lines of plain text; owners' words are shown again, so that what a terminal would obey is taken out. */
export function render(message: Outgoing, keptAt: string | undefined, words: TerminalWords): string {
  const lines = [withoutControls(message.text).trim()];
  for (const { bytes } of message.photos) lines.push(words.picture(Math.ceil(bytes.byteLength / 1000)));
  if (message.attachment) lines.push(words.file(withoutControls(message.attachment.name), keptAt));
  message.buttons.forEach(({ label }, index) => lines.push(words.numberOf(withoutControls(label), index + 1)));
  if (message.buttons.length > 0) lines.push(words.choose(message.buttons.length));
  return `${lines.filter((line) => line !== '').join('\n')}\n`;
}

/**
 * The conversation in a terminal, and from a pipe. Plain lines only: nothing is drawn over, nothing is told by colour, so
 * that a screen reader reads it as it comes.
 */
export function terminalChannel(options: TerminalOptions): TerminalChannel {
  const { input, output, interactive, settled, now } = options;
  const lineEditing = interactive && (options.lineEditing ?? true);
  const words = options.words ?? ENGLISH;
  const address = options.address ?? 'terminal';
  const run = randomUUID();
  let count = 0;
  let stopped = false;
  let buttons: Button[] = [];
  let lastRef: string | undefined;
  let lines: Interface | undefined;
  let reading: Promise<void> | undefined;
  let leave: () => void = () => undefined;
  const closed = new Promise<void>((resolve) => {
    leave = resolve;
  });

  const prompt = (keepCursor = false): void => {
    if (!interactive || !lines) return;
    if (lineEditing) lines.prompt(keepCursor);
    else output.write(PROMPT);
  };

  const print = (text: string): void => {
    // In front of a half-typed line goes a line end; the line is shown again behind, as far as it was typed.
    output.write(interactive && lines ? `\n${text}` : text);
    prompt(true);
  };

  /** Has replies made at once, where nobody waits for them. */
  const hurry = (): void => void settled().catch(() => undefined);

  async function readPhoto(
    path: string,
    externalId: string,
    at: Instant,
  ): Promise<Omit<Incoming, 'channel' | 'address'> | undefined> {
    const bytes = await stat(path)
      .then(({ size }) => (size > INCOMING_PHOTO_BYTES ? undefined : readFile(path)))
      .catch(() => 'no file' as const);
    if (bytes === 'no file') {
      print(`${words.noFile(path)}\n`);
      return undefined;
    }
    const picture = bytes ? await reencode(bytes) : { refused: true as const, because: 'too-large' as const };
    if ('refused' in picture) {
      print(`${words.refusedPhoto[picture.because]}\n`);
      return undefined;
    }
    return {
      externalId,
      event: { kind: 'message', channel: 'terminal', at, messageRef: externalId, text: '' },
      photos: [{ mediaId: mediaIdOf(externalId, 0), source: { bytes: picture.bytes } }],
    };
  }

  /** Hands one thing over; a person whose words could not be kept is told to say them again. */
  async function hand(receive: Receive, incoming: Omit<Incoming, 'channel' | 'address'>): Promise<void> {
    const { zone, language } = options;
    const from = { channel: 'terminal' as const, address, ...(zone && { zone }), ...(language && { language }) };
    try {
      await receive([{ ...incoming, ...from }]);
    } catch {
      print(`${words.notKept}\n`);
    }
  }

  const nextId = (): string => `terminal:${run}:${(count += 1)}`;

  /** Whether to go on reading. */
  async function take(line: string, receive: Receive): Promise<boolean> {
    const externalId = nextId();
    const at = now();
    const said = readLine(line, { at, messageRef: externalId, lastRef, buttons, words });
    switch (said.kind) {
      case 'quit':
        return false;
      case 'nothing':
        return true;
      case 'help':
        print(`${words.help}\n`);
        return true;
      case 'say':
        print(`${said.text}\n`);
        return true;
      case 'photo': {
        const incoming = await readPhoto(said.path, externalId, at);
        if (incoming) await hand(receive, incoming);
        return true;
      }
      case 'event':
        if (said.messageRef !== undefined) lastRef = said.messageRef;
        await hand(receive, { externalId, event: said.event });
        return true;
      default:
        return said satisfies never;
    }
  }

  async function read(receive: Receive): Promise<void> {
    if (interactive) output.write(`${words.help}\n`);
    await hand(receive, { externalId: nextId(), event: { kind: 'opened', channel: 'terminal', at: now() } });
    if (interactive) hurry();
    else await settled();
    if (stopped) return;
    lines = createInterface({ input, ...(lineEditing && { output, prompt: PROMPT }), terminal: lineEditing });
    prompt();
    for await (const line of lines) {
      if (stopped) break;
      const goOn = await take(line, receive);
      // A script's next line may be the number of a choice that is still on its way.
      if (interactive) hurry();
      else await settled();
      if (!goOn) break;
      prompt();
    }
    lines.close();
    if (!stopped) await settled();
  }

  return {
    name: 'terminal',
    closed,
    start(receive) {
      output.on('error', leave);
      reading = read(receive).finally(leave);
      return Promise.resolve();
    },
    async deliver(message) {
      if (message.address !== address) {
        return { outcome: 'later', afterSeconds: 60, because: 'another owner sits at the terminal' };
      }
      const { attachment } = message;
      const keptAt = attachment && (await options.keepFile?.(attachment.name, attachment.content));
      print(`${render(message, keptAt, words)}\n`);
      if (message.buttons.length > 0) buttons = message.buttons;
      return { outcome: 'sent' };
    },
    async stop() {
      stopped = true;
      lines?.close();
      await reading;
    },
  };
}
