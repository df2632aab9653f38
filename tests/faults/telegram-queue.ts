import { setTimeout as sleep } from 'node:timers/promises';

export type Update = { update_id: number } & Record<string, unknown>;

interface Webhook {
  url: string;
  secret: string | undefined;
  connections: number;
}

/** Why getUpdates is refused; the words are the Bot API's. */
export class Conflict extends Error {}

/**
 * The server's queue of updates, with the semantics of the Bot API's documentation: an update is kept until getUpdates is
 * called with an offset above its id, or until a webhook answers with a status of 2xx. A second getUpdates ends the first
 * one, and none is possible while a webhook is set.
 */
export class UpdateQueue {
  readonly #waiting: Update[] = [];
  readonly #posting = new Set<number>();
  #nextId: number;
  #poller: { wake: () => void; end: (fault: Conflict) => void } | undefined;
  #webhook: Webhook | undefined;
  #closed = false;
  /** How often each update was handed out, by polling or by post. */
  readonly handedOut = new Map<number, number>();
  /** The status of every post to the webhook. */
  readonly posts: number[] = [];

  constructor(firstId: number) {
    this.#nextId = firstId;
  }

  get size(): number {
    return this.#waiting.length;
  }

  get webhookUrl(): string {
    return this.#webhook?.url ?? '';
  }

  add(content: Record<string, unknown>): number {
    const update = { update_id: this.#nextId, ...content };
    this.#nextId += 1;
    this.#waiting.push(update);
    this.#poller?.wake();
    void this.#post();
    return update.update_id;
  }

  /** Puts an update back that was confirmed already: the same arrives again. */
  again(update: Update): void {
    this.#waiting.push(update);
    this.#poller?.wake();
    void this.#post();
  }

  async take(offset: number | undefined, limit: number, timeoutSeconds: number, gone: AbortSignal): Promise<Update[]> {
    if (this.#webhook) {
      throw new Conflict(
        "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete it",
      );
    }
    this.#poller?.end(
      new Conflict('Conflict: terminated by other getUpdates request; make sure that only one bot instance is running'),
    );
    this.#confirm(offset);
    if (this.#waiting.length === 0 && timeoutSeconds > 0) await this.#wait(timeoutSeconds * 1000, gone);
    if (gone.aborted) return [];
    const batch = this.#waiting.slice(0, limit);
    for (const update of batch) this.#count(update);
    return batch;
  }

  setWebhook(webhook: Webhook | undefined): void {
    this.#webhook = webhook;
    void this.#post();
  }

  close(): void {
    this.#closed = true;
    this.#webhook = undefined;
    this.#poller?.end(new Conflict('closed'));
  }

  #confirm(offset: number | undefined): void {
    if (offset === undefined) return;
    const keep =
      offset < 0 ? this.#waiting.slice(offset) : this.#waiting.filter(({ update_id }) => update_id >= offset);
    this.#waiting.splice(0, this.#waiting.length, ...keep);
  }

  #wait(milliseconds: number, gone: AbortSignal): Promise<void> {
    return new Promise((resolve, reject) => {
      const finish = (act: () => void): void => {
        clearTimeout(timer);
        gone.removeEventListener('abort', onGone);
        if (this.#poller === poller) this.#poller = undefined;
        act();
      };
      const poller = {
        wake: () => finish(resolve),
        end: (fault: Conflict) => finish(() => reject(fault)),
      };
      const onGone = (): void => finish(resolve);
      const timer = setTimeout(onGone, milliseconds);
      gone.addEventListener('abort', onGone);
      this.#poller = poller;
    });
  }

  #count({ update_id }: Update): void {
    this.handedOut.set(update_id, (this.handedOut.get(update_id) ?? 0) + 1);
  }

  /** Posts what waits, in order, as many at once as the webhook allows; what is not taken is posted again. */
  async #post(): Promise<void> {
    const webhook = this.#webhook;
    if (!webhook || this.#posting.size >= webhook.connections) return;
    const update = this.#waiting.find(({ update_id }) => !this.#posting.has(update_id));
    if (!update) return;
    this.#posting.add(update.update_id);
    this.#count(update);
    void this.#post();
    const status = await fetch(webhook.url, {
      method: 'POST',
      headers: {
        'content-type': 'application/json',
        ...(webhook.secret !== undefined && { 'x-telegram-bot-api-secret-token': webhook.secret }),
      },
      body: JSON.stringify(update),
      signal: AbortSignal.timeout(10_000),
    }).then(
      async (response) => {
        await response.arrayBuffer();
        return response.status;
      },
      () => 0,
    );
    this.posts.push(status);
    if (status >= 200 && status < 300) {
      const at = this.#waiting.indexOf(update);
      if (at >= 0) this.#waiting.splice(at, 1);
    } else if (!this.#closed) {
      await sleep(50);
    }
    this.#posting.delete(update.update_id);
    if (!this.#closed) void this.#post();
  }
}
