import { createServer } from 'node:http';
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import { parseMultipart } from './multipart.ts';
import type { UploadedFile } from './multipart.ts';
import { Group, Person } from './telegram-people.ts';
import { Conflict, UpdateQueue } from './telegram-queue.ts';

export type Payload = Record<string, unknown>;
export interface Call {
  method: string;
  payload: Payload;
  files: Record<string, UploadedFile>;
}
export interface StandInButton {
  text: string;
  callback_data?: string;
}
/** A message that has arrived in a chat. */
export interface SentMessage {
  message_id: number;
  chat: number;
  text: string;
  buttons: StandInButton[];
  keyboard: 'contact' | 'removed' | undefined;
  photos: Buffer[];
  document?: UploadedFile;
}

/** What goes wrong instead of an answer. */
export type Failure =
  | { status: number; description: string; parameters?: Record<string, number> }
  /** The connection breaks before the server has done anything. */
  | 'reset'
  /** The connection breaks after the server has done it: the client cannot know. */
  | 'reset-after'
  /** No answer ever comes. */
  | 'silence';

interface Refusal {
  error_code: number;
  description: string;
  parameters?: Record<string, number>;
}
class Refused extends Error {
  readonly refusal: Refusal;
  constructor(error_code: number, description: string, parameters?: Record<string, number>) {
    super(description);
    this.refusal = { error_code, description, ...(parameters && { parameters }) };
  }
}
const badRequest = (what: string): Refused => new Refused(400, `Bad Request: ${what}`);

export interface StandInOptions {
  token?: string;
  firstUpdateId?: number;
  /** Called with every call before it is answered; what it returns is kept in `objections`. */
  inspect?: (method: string, payload: Payload) => string[];
  /** Least milliseconds between two messages to one chat; faster ones are answered with 429. */
  leastMsBetween?: number;
  /** False for long runs: calls and messages are then only counted and kept for the latest few. */
  keepAll?: boolean;
}

const KEPT_MESSAGES = 20;

/**
 * A stand-in of our own for the Bot API server, on a local port: updates by polling and webhook with the documented
 * semantics, messages that arrive in chats, files, and failures on demand.
 */
export class TelegramStandIn {
  readonly token: string;
  readonly bot: { id: number; is_bot: true; first_name: string; username: string };
  readonly queue: UpdateQueue;
  readonly calls: Call[] = [];
  readonly counts = new Map<string, number>();
  readonly objections: string[] = [];
  readonly answeredPresses: string[] = [];
  readonly #options: StandInOptions;
  readonly #server = createServer((request, response) => void this.#serve(request, response));
  readonly #chats = new Map<number, SentMessage[]>();
  readonly #closedTo = new Map<number, Refused>();
  readonly #failures: { method: string; failure: Failure; left: number }[] = [];
  readonly #files = new Map<string, Buffer>();
  readonly #openPresses = new Set<string>();
  readonly #lastSentAt = new Map<number, number>();
  #nextMessageId = 1;
  #port = 0;

  constructor(options: StandInOptions = {}) {
    this.#options = options;
    this.token = options.token ?? '424242:STAND-IN_abcdefghijklmnopqrstuvwxyz';
    const id = Number(this.token.split(':')[0]);
    this.bot = { id, is_bot: true, first_name: 'Shop', username: 'invented_shop_bot' };
    this.queue = new UpdateQueue(options.firstUpdateId ?? 9000);
  }

  get apiRoot(): string {
    return `http://127.0.0.1:${this.#port}`;
  }

  /** Listens, on the same port again after `close`. */
  async listen(): Promise<this> {
    await new Promise<void>((resolve) => this.#server.listen(this.#port, '127.0.0.1', resolve));
    this.#port = (this.#server.address() as AddressInfo).port;
    return this;
  }

  async close(): Promise<void> {
    this.queue.close();
    this.#server.closeAllConnections();
    await new Promise((resolve) => this.#server.close(resolve));
  }

  person(id: number, name = 'Robin'): Person {
    this.#openChat(id);
    return new Person(this, id, name);
  }

  group(id: number, title = 'Shop staff'): Group {
    this.#openChat(id);
    return new Group(this, id, title);
  }

  /** The next `times` calls of the method ("*" for any) fail in this way. */
  fail(method: string, failure: Failure, times = 1): void {
    this.#failures.push({ method, failure, left: times });
  }

  heal(): void {
    this.#failures.length = 0;
  }

  block(chat: number, description = 'Forbidden: bot was blocked by the user'): void {
    this.#closedTo.set(chat, new Refused(403, description));
  }

  unblock(chat: number): void {
    this.#closedTo.delete(chat);
  }

  migrate(from: number, to: number): void {
    this.#openChat(to);
    this.#closedTo.set(
      from,
      new Refused(400, 'Bad Request: group chat was upgraded to a supergroup chat', { migrate_to_chat_id: to }),
    );
  }

  messagesTo(chat: number): SentMessage[] {
    return this.#chats.get(chat) ?? [];
  }

  nextMessageId(): number {
    return this.#nextMessageId++;
  }

  openPress(id: string): void {
    this.#openPresses.add(id);
  }

  /** Keeps a file that somebody sent; its id is what a message names. */
  addFile(bytes: Buffer): string {
    const id = `file${this.#files.size + 1}`;
    this.#files.set(id, bytes);
    return id;
  }

  /** Waits until the condition holds. */
  async until(condition: () => boolean, what: string, milliseconds = 10_000): Promise<void> {
    const end = Date.now() + milliseconds;
    while (!condition()) {
      if (Date.now() > end) throw new Error(`waited in vain for ${what}`);
      await sleep(5);
    }
  }

  #openChat(id: number): void {
    if (!this.#chats.has(id)) this.#chats.set(id, []);
  }

  async #serve(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const answer = (status: number, body: object): void => {
      response.writeHead(status, { 'content-type': 'application/json' }).end(JSON.stringify(body));
    };
    const refuse = ({ error_code, ...rest }: Refusal): void => answer(error_code, { ok: false, error_code, ...rest });
    try {
      const path = decodeURI(request.url ?? '');
      const body = await readBody(request);
      const fileId = path.startsWith(`/file/bot${this.token}/photos/`) ? path.split('/').at(-1) : undefined;
      if (fileId !== undefined) {
        const bytes = this.#files.get(fileId.replace(/\.jpg$/, ''));
        response.writeHead(bytes ? 200 : 404).end(bytes);
        return;
      }
      const method = path.startsWith(`/bot${this.token}/`) ? path.slice(`/bot${this.token}/`.length) : undefined;
      if (method === undefined) return refuse({ error_code: 401, description: 'Unauthorized' });
      const call = { method, ...readPayload(request, body) };
      this.#note(call);
      const failure = this.#failureFor(method);
      if (failure === 'reset') return void request.socket.destroy();
      if (failure === 'silence') return;
      if (typeof failure === 'object') {
        const { status, description, parameters } = failure;
        return refuse({ error_code: status, description, ...(parameters && { parameters }) });
      }
      const gone = new AbortController();
      response.on('close', () => gone.abort());
      const result = await this.#answer(call, gone.signal);
      if (failure === 'reset-after') return void request.socket.destroy();
      answer(200, { ok: true, result });
    } catch (fault) {
      if (response.destroyed) return;
      if (fault instanceof Refused) refuse(fault.refusal);
      else if (fault instanceof Conflict) refuse({ error_code: 409, description: fault.message });
      else refuse({ error_code: 500, description: `Internal Server Error: ${String(fault)}` });
    }
  }

  #note(call: Call): void {
    this.counts.set(call.method, (this.counts.get(call.method) ?? 0) + 1);
    if (this.#options.keepAll !== false) this.calls.push(call);
    const wrong = this.#options.inspect?.(call.method, call.payload) ?? [];
    this.objections.push(...wrong.map((what) => `${call.method}: ${what}`));
  }

  #failureFor(method: string): Failure | undefined {
    const found = this.#failures.find((one) => one.left > 0 && (one.method === '*' || one.method === method));
    if (found) found.left -= 1;
    return found?.failure;
  }

  async #answer({ method, payload, files }: Call, gone: AbortSignal): Promise<unknown> {
    switch (method) {
      case 'getMe':
        return this.bot;
      case 'getUpdates': {
        const { offset, limit = 100, timeout = 0 } = payload as { offset?: number; limit?: number; timeout?: number };
        return this.queue.take(offset, limit, timeout, gone);
      }
      case 'setWebhook':
        this.queue.setWebhook({
          url: String(payload['url']),
          secret: payload['secret_token'] as string | undefined,
          connections: (payload['max_connections'] as number | undefined) ?? 40,
        });
        return true;
      case 'deleteWebhook':
        this.queue.setWebhook(undefined);
        return true;
      case 'sendMessage': {
        const text = String(payload['text'] ?? '');
        if (text.trim() === '') throw badRequest('message text is empty');
        if (text.length > 4096) throw badRequest('message is too long');
        return this.#deliver(payload, { text });
      }
      case 'sendPhoto':
        return this.#deliver(payload, { photos: [attached(payload['photo'], files).bytes] });
      case 'sendDocument':
        return this.#deliver(payload, { document: attached(payload['document'], files) });
      case 'sendMediaGroup': {
        const media = payload['media'] as { media: string }[];
        if (media.length < 2 || media.length > 10) throw badRequest('wrong number of media in the group');
        const photos = media.map(({ media: name }) => attached(name, files).bytes);
        return [this.#deliver(payload, { photos })];
      }
      case 'answerCallbackQuery': {
        const id = String(payload['callback_query_id']);
        if (!this.#openPresses.delete(id)) {
          throw badRequest('query is too old and response timeout expired or query ID is invalid');
        }
        this.answeredPresses.push(id);
        return true;
      }
      case 'editMessageReplyMarkup': {
        const chat = this.#openChatOf(payload);
        const message = this.messagesTo(chat).find(({ message_id }) => message_id === payload['message_id']);
        if (!message) throw badRequest('message to edit not found');
        if (message.buttons.length === 0) {
          throw badRequest(
            'message is not modified: specified new message content and reply markup are exactly the same as a current content and reply markup of the message',
          );
        }
        message.buttons = [];
        return { message_id: message.message_id, date: seconds(), chat: { id: chat, type: 'private' } };
      }
      case 'getFile': {
        const id = String(payload['file_id']);
        const bytes = this.#files.get(id);
        if (!bytes) throw badRequest('wrong file_id or the file is temporarily unavailable');
        return {
          file_id: id,
          file_unique_id: id,
          file_size: bytes.byteLength,
          file_path: `photos/${id}.jpg`,
        };
      }
      default:
        throw new Refused(404, 'Not Found: method not found');
    }
  }

  #openChatOf(payload: Payload): number {
    const chat = Number(payload['chat_id']);
    const closed = this.#closedTo.get(chat);
    if (closed) throw closed;
    if (!this.#chats.has(chat)) throw badRequest('chat not found');
    return chat;
  }

  #deliver(payload: Payload, content: Partial<SentMessage>): object {
    const chat = this.#openChatOf(payload);
    const now = Date.now();
    const least = this.#options.leastMsBetween ?? 0;
    if (now - (this.#lastSentAt.get(chat) ?? 0) < least) {
      throw new Refused(429, 'Too Many Requests: retry after 1', { retry_after: 1 });
    }
    this.#lastSentAt.set(chat, now);
    const markup = (payload['reply_markup'] ?? {}) as {
      inline_keyboard?: StandInButton[][];
      keyboard?: unknown;
      remove_keyboard?: boolean;
    };
    const buttons = (markup.inline_keyboard ?? []).flat();
    if (buttons.some(({ callback_data = '' }) => callback_data === '' || Buffer.byteLength(callback_data) > 64)) {
      throw badRequest('BUTTON_DATA_INVALID');
    }
    const message: SentMessage = {
      message_id: this.nextMessageId(),
      chat,
      text: '',
      photos: [],
      ...content,
      buttons,
      keyboard: markup.keyboard ? 'contact' : markup.remove_keyboard ? 'removed' : undefined,
    };
    const messages = this.messagesTo(chat);
    messages.push(message);
    if (this.#options.keepAll === false && messages.length > KEPT_MESSAGES) messages.shift();
    const { message_id, text } = message;
    return { message_id, date: seconds(), chat: { id: chat, type: chat < 0 ? 'supergroup' : 'private' }, text };
  }
}

const seconds = (): number => Math.floor(Date.now() / 1000);

async function readBody(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  for await (const chunk of request) chunks.push(chunk as Buffer);
  return Buffer.concat(chunks);
}

function readPayload(
  request: IncomingMessage,
  body: Buffer,
): { payload: Payload; files: Record<string, UploadedFile> } {
  const type = request.headers['content-type'] ?? '';
  if (!type.startsWith('multipart/')) {
    return { payload: body.length > 0 ? (JSON.parse(body.toString('utf8')) as Payload) : {}, files: {} };
  }
  const { fields, files } = parseMultipart(body, type);
  const payload = Object.entries(fields).map(([name, text]) => [name, fromField(text)]);
  return { payload: Object.fromEntries(payload) as Payload, files };
}

/** Fields of a form are text; objects, lists and booleans stand there as JSON. */
const fromField = (text: string): unknown => (/^([[{]|true$|false$)/.test(text) ? JSON.parse(text) : text);

function attached(name: unknown, files: Record<string, UploadedFile>): UploadedFile {
  const file = files[String(name).replace(/^attach:\/\//, '')];
  if (!file || file.bytes.byteLength === 0) throw badRequest('there is no file in the request');
  return file;
}
