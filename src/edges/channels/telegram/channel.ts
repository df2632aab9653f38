import { Api, GrammyError } from 'grammy';
import type { Channel, Delivery, Incoming, Instant, Outgoing, Receive } from '../../store/types.ts';
import type { FetchedFile } from '../photo-fetcher.ts';
import { fetchTelegramFile } from './files.ts';
import { isWrongToken, outcomeOf, WrongTokenError } from './outcome.ts';
import { poll, untilItWorks } from './polling.ts';
import type { Backoff } from './polling.ts';
import { ALLOWED_UPDATES } from './schema.ts';
import { planSending } from './sending.ts';
import type { ContactWords } from './sending.ts';
import { chatOf, parseUpdate, readUpdate } from './updates.ts';
import type { FromStaff, ReadUpdate } from './updates.ts';
import { webhookHandler, webhookSecret } from './webhook.ts';
import type { WebhookRequest, WebhookStatus } from './webhook.ts';

/** The shop's side of the chat. Everything resolves when it is durable; a repeated `externalId` changes nothing. */
export interface StaffDesk {
  isStaffChat(chat: string): boolean | Promise<boolean>;
  receive(event: FromStaff): Promise<void>;
  /** A group got a new number: what is known of the old one belongs to the new one. */
  moved(from: string, to: string): Promise<void>;
}

/** Where the channel reports; only identifiers, counts and outcomes are handed over. */
export interface ChannelLog {
  info(fields: object, sentence: string): void;
  warn(fields: object, sentence: string): void;
  error(fields: object, sentence: string): void;
}

export interface TelegramOptions {
  token: string;
  /** Without a closing slash. */
  apiRoot: string;
  /** The whole address that updates are posted to; without it they are polled. */
  webhookUrl?: string;
  staff: StaffDesk;
  contactWords: (address: string) => ContactWords | Promise<ContactWords>;
  now: () => Instant;
  log: ChannelLog;
  /** Called after owners' messages are durable, for work that may follow, such as fetching pictures. */
  afterReceive?: () => void;
  pollSeconds?: number;
  callSeconds?: number;
  backoff?: Backoff;
}

export interface TelegramChannel extends Channel {
  /** For the route that the Bot API posts to. */
  webhook(request: WebhookRequest): Promise<WebhookStatus>;
  fetchFile(fileId: string): Promise<FetchedFile>;
  /** A link that opens the bot's chat with what `start` carries (Bot API, "Deep linking"); undefined until the bot's name is known. */
  linkTo(start: string): string | undefined;
}

/** Messages that were sent in part and wait for their next attempt; more than these are sent again from the start. */
const MOST_UNFINISHED = 1000;

const faultFields = (fault: unknown): object =>
  fault instanceof GrammyError
    ? { method: fault.method, status: fault.error_code, because: fault.description }
    : { fault: fault instanceof Error ? fault.name : typeof fault };

/** What whoever runs the program can do about a failure to take updates. */
function adviceOn(fault: unknown): string {
  if (isWrongToken(fault)) return 'Telegram does not accept the token any more';
  if (!(fault instanceof GrammyError)) return 'cannot reach the Bot API; trying again';
  if (fault.error_code !== 409) return 'the Bot API refuses to hand over updates; trying again';
  return fault.description.includes('webhook')
    ? 'another program has set a webhook for this bot; trying again'
    : 'another program is taking the updates of this bot; only one may; trying again';
}

/**
 * Telegram as a channel. Updates are polled, or posted where `webhookUrl` is set. `start` rejects with a
 * WrongTokenError where the token is not accepted; an unreachable Bot API is tried again in the background.
 */
export function telegramChannel(options: TelegramOptions): TelegramChannel {
  const { token, apiRoot, webhookUrl, staff, log, now } = options;
  const pollSeconds = options.pollSeconds ?? 25;
  const backoff = options.backoff ?? { firstMs: 1000, mostMs: 30_000 };
  const secret = webhookSecret(token);
  const botId = token.slice(0, token.indexOf(':'));
  const calls = new Api(token, { apiRoot, timeoutSeconds: options.callSeconds ?? 30 });
  const polls = new Api(token, { apiRoot, timeoutSeconds: pollSeconds + 10 });

  const stopping = new AbortController();
  const underWay = new Set<Promise<unknown>>();
  const unfinished = new Map<string, number>();
  let botName: string | undefined;
  let receive: Receive | undefined;
  let loop: Promise<void> | undefined;

  function track<T>(work: Promise<T>): Promise<T> {
    const settled = work.then(
      () => undefined,
      () => undefined,
    );
    underWay.add(settled);
    void settled.then(() => underWay.delete(settled));
    return work;
  }

  function answerPress(callbackId: string): void {
    // Without a text: what there is to say is said in the chat. A press that is too old to answer is no matter.
    void track(calls.answerCallbackQuery(callbackId)).catch((fault: unknown) => {
      if (!(fault instanceof GrammyError && fault.error_code === 400))
        log.warn(faultFields(fault), 'a press stays open');
    });
  }

  async function read(raw: unknown): Promise<ReadUpdate | undefined> {
    const update = parseUpdate(raw);
    if (!update) {
      log.error({}, 'an update without a number was dropped');
      return undefined;
    }
    const chat = chatOf(update);
    const isStaffChat = chat !== undefined && (await staff.isStaffChat(chat));
    return readUpdate(update, { botId, botName, isStaffChat, now: now() });
  }

  /** Makes a batch durable, in its order; then answers its presses. Rejects where anything of it may not be durable. */
  async function take(updates: unknown[]): Promise<void> {
    const handOver = receive;
    if (!handOver) throw new Error('the channel was not started');
    let waiting: Incoming[] = [];
    const presses: string[] = [];
    let received = false;
    const commit = async (): Promise<void> => {
      if (waiting.length === 0) return;
      await handOver(waiting);
      waiting = [];
      received = true;
    };
    for (const raw of updates) {
      const update = await read(raw);
      if (!update) continue;
      if (update.callbackId !== undefined) presses.push(update.callbackId);
      switch (update.kind) {
        case 'owner':
          waiting.push(...update.incoming);
          break;
        case 'staff':
          await commit();
          await staff.receive(update.event);
          break;
        case 'moved':
          await commit();
          await staff.moved(update.from, update.to);
          break;
        case 'ignored':
          log.info({ updateId: update.updateId, because: update.because }, 'an update was ignored');
          break;
        default:
          update satisfies never;
      }
    }
    await commit();
    presses.forEach(answerPress);
    if (received) options.afterReceive?.();
  }

  /** Tells the Bot API how updates shall come. */
  async function introduce(): Promise<void> {
    botName = (await calls.getMe()).username;
    if (webhookUrl === undefined) {
      await calls.deleteWebhook();
      return;
    }
    await calls.setWebhook(webhookUrl, {
      secret_token: secret,
      allowed_updates: ALLOWED_UPDATES,
      // One after another, so that an owner's messages arrive in the order in which they were written.
      max_connections: 1,
    });
  }

  function onFailure(fault: unknown, failures: number): void {
    const fields = { ...faultFields(fault), failures };
    if (isWrongToken(fault)) log.error(fields, adviceOn(fault));
    else if (failures === 1 || failures % 10 === 0) log.warn(fields, adviceOn(fault));
  }

  async function run(introduced: boolean): Promise<void> {
    const { signal } = stopping;
    if (!introduced) await untilItWorks(introduce, { signal, backoff, onFailure });
    if (signal.aborted || webhookUrl !== undefined) return;
    const { offset } = await poll({
      getUpdates: (from) =>
        polls.getUpdates(
          { ...(from !== undefined && { offset: from }), timeout: pollSeconds, allowed_updates: ALLOWED_UPDATES },
          // The library names another package's type for what is the platform's own signal.
          signal as Parameters<typeof polls.getUpdates>[1],
        ),
      take,
      signal,
      backoff,
      onFailure,
    });
    // Confirms the last batch, so that a restart is not handed it again; the inbox would know it anyway.
    if (offset !== undefined) await calls.getUpdates({ offset, limit: 1, timeout: 0 }).catch(() => undefined);
  }

  async function send(message: Outgoing): Promise<Delivery> {
    const plan = planSending(message, await options.contactWords(message.address));
    if (!plan.ok) return { outcome: 'refused', because: plan.because };
    let externalMessageId: string | undefined;
    for (let step = unfinished.get(message.id) ?? 0; step < plan.steps.length; step += 1) {
      try {
        const sent = await plan.steps[step]?.(calls, message.address);
        if (sent !== undefined) externalMessageId = String(sent);
      } catch (fault) {
        const delivery = outcomeOf(fault);
        const again = delivery.outcome === 'later' || delivery.outcome === 'moved';
        if (again && step > 0 && unfinished.size < MOST_UNFINISHED) unfinished.set(message.id, step);
        if (!again) unfinished.delete(message.id);
        return delivery;
      }
    }
    unfinished.delete(message.id);
    return { outcome: 'sent', ...(externalMessageId !== undefined && { externalMessageId }) };
  }

  const takePosted = webhookHandler(
    secret,
    (update) => take([update]),
    (fault) => log.error(faultFields(fault), 'a posted update could not be kept; it will be posted again'),
  );

  return {
    name: 'telegram',
    async start(receiver) {
      receive = receiver;
      let introduced = false;
      try {
        await introduce();
        introduced = true;
      } catch (fault) {
        if (isWrongToken(fault)) throw new WrongTokenError();
        onFailure(fault, 1);
      }
      loop = run(introduced).catch((fault: unknown) => log.error(faultFields(fault), 'taking updates has ended'));
    },
    deliver: (message) => track(send(message)),
    linkTo: (start) => (botName === undefined ? undefined : `https://t.me/${botName}?start=${start}`),
    async stop() {
      stopping.abort();
      await loop;
      while (underWay.size > 0) await Promise.all(underWay);
    },
    // Before the start and after the stop nothing is taken and nothing is wrong: it is posted again.
    webhook: (request) =>
      receive === undefined || stopping.signal.aborted ? Promise.resolve(500) : track(takePosted(request)),
    fetchFile: (fileId) => track(fetchTelegramFile(calls, { apiRoot, token }, fileId)),
  };
}
