import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { setTimeout as sleep } from 'node:timers/promises';
import { telegramChannel } from '../../../src/edges/channels/telegram/channel.ts';
import { terminalChannel } from '../../../src/edges/channels/terminal/channel.ts';
import { webChannel } from '../../../src/edges/channels/web/channel.ts';
import type { WebPost } from '../../../src/edges/channels/web/channel.ts';
import type { Channel, Outgoing } from '../../../src/edges/store/types.ts';
import { loadBotApiSpec } from '../../faults/bot-api-spec.ts';
import { TelegramStandIn } from '../../faults/telegram-stand-in.ts';

/** What the person on the other side of a channel sees of one message. */
/** Pictures of owners and staff are drawn anew as JPEG; only drawings of ours are PNG (its signature: ISO/IEC 15948, 5.2). */
const isPng = (bytes: Buffer): boolean => bytes.subarray(0, 4).equals(Buffer.from([0x89, 0x50, 0x4e, 0x47]));

export interface Shown {
  text: string;
  buttons: string[];
  photos: number;
  file: string | undefined;
}

/** A channel with a person on its other side. */
export interface Harness {
  channel: Channel;
  address: string;
  says(text: string): void;
  edits(text: string): void;
  /** Opens the chat, by a link that carries `payload` where one is given. */
  opens(payload?: string): void;
  /** Presses a button of the latest message that has any. */
  presses(label: string): void;
  sendsPhoto(bytes: Buffer): void;
  /** The last thing arrives once more, where that can happen at all. */
  repeats: (() => void) | undefined;
  /** Whether the other side was told that all it sent is safe. */
  acknowledged(): boolean;
  deliver(message: Outgoing): ReturnType<Channel['deliver']>;
  shown(): Shown[];
  close(): Promise<void>;
}

export async function telegramHarness(): Promise<Harness> {
  const spec = loadBotApiSpec();
  const standIn = await new TelegramStandIn(
    spec && { inspect: (method, call) => spec.checkCall(method, call) },
  ).listen();
  const person = standIn.person(7);
  const channel = telegramChannel({
    token: standIn.token,
    apiRoot: standIn.apiRoot,
    staff: { isStaffChat: () => false, receive: () => Promise.resolve(), moved: () => Promise.resolve() },
    contactWords: () => ({ share: 'Share my number', hint: 'Or tap below:' }),
    now: () => new Date().toISOString(),
    log: { info: () => undefined, warn: () => undefined, error: () => undefined },
    pollSeconds: 5,
    backoff: { firstMs: 5, mostMs: 20 },
  });
  let last: Record<string, unknown> = {};
  const add = standIn.queue.add.bind(standIn.queue);
  standIn.queue.add = (content) => {
    last = content;
    const update_id = add(content);
    last = { update_id, ...content };
    return update_id;
  };
  return {
    channel,
    address: '7',
    says: (text) => void person.says(text),
    edits: (text) => void person.edits(text),
    opens: (payload) => void person.starts(payload),
    presses: (label) => void person.presses(label),
    sendsPhoto: (bytes) => void person.sendsPhoto(bytes),
    repeats: () => standIn.queue.again(last as { update_id: number }),
    acknowledged: () => standIn.queue.size === 0,
    deliver: (message) => channel.deliver(message),
    shown: () =>
      standIn.messagesTo(7).map(({ text, buttons, photos, document }) => ({
        text,
        buttons: buttons.map((button) => button.text),
        // A drawing is shown as a picture there; it is the file of the message all the same.
        photos: photos.filter((bytes) => !isPng(bytes)).length,
        file: (document?.bytes ?? photos.find(isPng))?.toString('utf8'),
      })),
    close: async () => {
      await channel.stop();
      await standIn.close();
      if (standIn.objections.length > 0) throw new Error(standIn.objections.join('\n'));
    },
  };
}

export function webHarness(): Promise<Harness> {
  const channel = webChannel();
  const address = 'web-address-1';
  const stored: Outgoing[] = [];
  let visible = 0;
  channel.subscribe(address, () => {
    visible = stored.length;
  });
  let open = 0;
  let count = 0;
  let last: WebPost | undefined;
  let lastRef = '';
  const post = (did: WebPost['did']): void => {
    count += 1;
    again({ address, postId: `p${count}`, at: new Date().toISOString(), zone: 'America/Denver', language: 'en', did });
  };
  // A page waits for the answer to one post before it makes the next.
  let line: Promise<unknown> = Promise.resolve();
  const again = (made: WebPost): void => {
    last = made;
    open += 1;
    if (made.did.kind === 'message') lastRef = `web:${address}:${made.postId}`;
    line = line
      .then(() => channel.post(made))
      .then(
        (answer) => {
          if (answer.ok) open -= 1;
        },
        () => undefined,
      );
  };
  return Promise.resolve({
    channel,
    address,
    says: (text) => post({ kind: 'message', text }),
    edits: (text) => post({ kind: 'edit', messageRef: lastRef, text }),
    opens: (payload) => post({ kind: 'opened', ...(payload && { payload }) }),
    presses: (label) => {
      const button = stored.flatMap(({ buttons }) => buttons).findLast((one) => one.label === label);
      post({ kind: 'button', data: button?.data ?? '' });
    },
    sendsPhoto: (bytes) => post({ kind: 'message', text: '', photos: [bytes] }),
    repeats: () => last && again(last),
    acknowledged: () => open === 0,
    deliver: (message) => {
      stored.push(message);
      return channel.deliver(message);
    },
    shown: () =>
      stored.slice(0, visible).map(({ text, buttons, photos, attachment }) => ({
        text,
        buttons: buttons.map(({ label }) => label),
        photos: photos.length,
        file: attachment?.content,
      })),
    close: () => channel.stop(),
  });
}

export function terminalHarness(): Promise<Harness> {
  const input = new PassThrough();
  const output = new PassThrough();
  let screen = '';
  output.on('data', (chunk: Buffer) => (screen += chunk.toString('utf8')));
  const files = new Map<string, string>();
  let taken = 0;
  let typed = 0;
  const channel = terminalChannel({
    input,
    output,
    interactive: false,
    settled: () => {
      taken += 1;
      return Promise.resolve();
    },
    now: () => new Date().toISOString(),
    zone: 'America/Denver',
    language: 'en',
    keepFile: (name, content) => {
      files.set(name, content);
      return Promise.resolve(`kept/${name}`);
    },
  });
  const type = (line: string): void => {
    typed += 1;
    input.write(`${line}\n`);
  };
  let pictures = 0;
  return Promise.resolve({
    channel,
    address: 'terminal',
    says: type,
    edits: (text) => type(`/edit ${text}`),
    opens: () => undefined,
    presses: (label) => {
      const lines = screen.split('\n').filter((line) => line.includes(`. ${label}`));
      type(lines.at(-1)?.trim().split('.')[0] ?? '');
    },
    sendsPhoto: (bytes) => {
      pictures += 1;
      const path = join(mkdtempSync(join(tmpdir(), 'photo-')), `${pictures}.jpg`);
      writeFileSync(path, bytes);
      type(`/photo ${path}`);
    },
    // Every line that is typed is a new one; there is nobody who could send it again.
    repeats: undefined,
    acknowledged: () => taken > typed,
    deliver: (message) => channel.deliver(message),
    shown: () =>
      screen
        .split('\n\n')
        .filter((block) => block.trim() !== '')
        .map((block) => {
          const lines = block.split('\n').filter((line) => line !== '');
          const file = lines.map((line) => /\(file (\S+), kept/.exec(line)?.[1]).find(Boolean);
          return {
            text: lines.filter((line) => !line.startsWith('  ')).join('\n'),
            buttons: lines.flatMap((line) => /^ {2}\d+\. (.*)$/.exec(line)?.[1] ?? []),
            photos: lines.filter((line) => line.startsWith('  (picture')).length,
            file: file === undefined ? undefined : files.get(file),
          };
        }),
    close: async () => {
      input.end();
      await sleep(0);
      await channel.stop();
    },
  });
}
