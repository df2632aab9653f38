import { createHash, randomBytes } from 'node:crypto';
import { oneOf, type Dice } from './dice.ts';
import { isQuestion, OPENINGS, wishAmong, type Sent, type Talker } from './faults-people.ts';

/** After this long without a new line nothing more belongs to the same answer. */
const QUIET_MILLISECONDS = 700;
const LOOK_MILLISECONDS = 150;

interface Line {
  position: number;
  text: string;
  buttons: { label: string; data: string }[];
}

const plain = (markup: string): string =>
  markup
    .replace(/<form[^]*?<\/form>/g, '')
    .replace(/<br \/>|<\/p>/g, '\n')
    .replace(/<[^>]*>/g, '')
    .replace(/&#39;|&apos;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .trim();

/** What the shop has written on the page, as a reader sees it. */
export function linesOf(page: string): Line[] {
  return page.split('<li class="entry ').flatMap((entry) => {
    const [, position] = /^shop" id="line-(\d+)"/.exec(entry) ?? [];
    if (position === undefined) return [];
    const [, words = ''] = /<div class="words">([^]*)/.exec(entry) ?? [];
    const buttons = [...entry.matchAll(/<button name="data" value="([^"]*)">([^<]*)<\/button>/g)];
    return [
      {
        position: Number(position),
        text: plain(words),
        buttons: buttons.map(([, data = '', label = '']) => ({ data: plain(data), label: plain(label) })),
      },
    ];
  });
}

/**
 * An owner on the shop's chat page, in a browser that goes on trying: what was not answered is posted again under the
 * same name, as the page's own script does, until the program says that it has it.
 */
export class WebOwner implements Talker {
  readonly address: string;
  readonly #cookie: string;
  readonly #url: () => string;
  readonly #roll: Dice;
  readonly #sent: Sent[];
  readonly #phone: string;
  readonly #answered = new Set<string>();
  #lines: Line[] = [];
  #newAt = 0;
  #lookAt = 0;
  #busy = false;
  #posts = 0;
  lastActAt = Date.now();
  done = false;
  /** What the program refused for good, which nothing here gives it a reason for. */
  readonly refused: string[] = [];

  constructor(url: () => string, index: number, roll: Dice, sent: Sent[]) {
    const secret = randomBytes(32).toString('base64url');
    this.#cookie = `telltale_owner=${secret}; telltale_zone=America/Denver`;
    this.address = createHash('sha256').update(secret).digest('base64url');
    this.#url = url;
    this.#roll = roll;
    this.#sent = sent;
    this.#phone = `720-555-01${String(index % 100).padStart(2, '0')}`;
  }

  begins(): void {
    this.#busy = true;
    void this.#begin().finally(() => (this.#busy = false));
  }

  async #begin(): Promise<void> {
    await this.#untilTaken('opened', 'first', () => this.#ask('/', { headers: { accept: 'text/html' } }));
    await this.#say(oneOf(this.#roll, OPENINGS), 'opening');
  }

  step(): void {
    if (this.#busy || Date.now() < this.#lookAt) return;
    this.#busy = true;
    this.#lookAt = Date.now() + LOOK_MILLISECONDS;
    void this.#look().finally(() => (this.#busy = false));
  }

  /** Everything that the shop has written, as the page shows it; undefined where it does not answer. */
  async read(): Promise<Line[] | undefined> {
    try {
      const answer = await this.#ask('/chat/lines', {});
      if (!answer.ok) return undefined;
      return linesOf(((await answer.json()) as { html: string }).html);
    } catch {
      return undefined;
    }
  }

  async #look(): Promise<void> {
    const lines = await this.read();
    if (!lines) return;
    if (lines.length !== this.#lines.length) this.#newAt = Date.now();
    this.#lines = lines;
    if (lines.some(({ text }) => text.startsWith('Service record'))) this.done = true;
    if (Date.now() - this.#newAt < QUIET_MILLISECONDS) return;
    const asked = lines.findLast((line) => {
      const key = keyOf(line);
      return key !== undefined && !this.#answered.has(key);
    });
    if (!asked) return;
    this.#answered.add(keyOf(asked) ?? '');
    if (asked.buttons.length > 0) {
      const { data, label } = wishAmong(asked.buttons);
      const times = this.#roll() < 0.2 ? 2 : 1;
      for (let time = 0; time < times; time++) await this.#press(data, label);
    } else await this.#say(/name may I give/.test(asked.text) ? 'Alder Quill' : this.#phone, 'answer');
  }

  async #say(text: string, what: string): Promise<void> {
    const postId = this.#newPost();
    await this.#untilTaken(what, postId, () => {
      const body = new FormData();
      body.append('text', text);
      body.append('postId', postId);
      return this.#ask('/chat/send', { method: 'POST', body });
    });
  }

  async #press(data: string, label: string): Promise<void> {
    const postId = this.#newPost();
    await this.#untilTaken(`press ${label}`, postId, () =>
      this.#ask('/chat/press', { method: 'POST', body: new URLSearchParams({ data, postId }) }),
    );
  }

  #newPost(): string {
    this.#posts += 1;
    return `post-${this.#posts}`;
  }

  #ask(path: string, how: RequestInit): Promise<Response> {
    return fetch(`${this.#url()}${path}`, {
      ...how,
      headers: { accept: 'application/json', cookie: this.#cookie, ...(how.headers as Record<string, string>) },
      redirect: 'manual',
      signal: AbortSignal.timeout(10_000),
    });
  }

  async #untilTaken(what: string, postId: string, post: () => Promise<Response>): Promise<void> {
    for (;;) {
      const status = await post().then(
        async (answer) => {
          await answer.arrayBuffer();
          return answer.status;
        },
        () => 0,
      );
      if (status >= 200 && status < 400) break;
      if (status >= 400 && status < 500) this.refused.push(`${what} was answered with ${status}`);
      await new Promise((resolve) => setTimeout(resolve, 100 + 200 * this.#roll()));
    }
    this.lastActAt = Date.now();
    this.#sent.push({ externalId: `web:${this.address}:${postId}`, by: this.address, what });
  }
}

function keyOf({ text, buttons }: Line): string | undefined {
  if (buttons.length > 0) return wishAmong(buttons).data;
  return isQuestion(text) ? text : undefined;
}
