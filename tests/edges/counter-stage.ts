import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FastifyInstance, LightMyRequestResponse } from 'fastify';
import type { BookingRequest } from '../../src/core/mod.ts';
import { counterMeans } from '../../src/counter-means.ts';
import { seedDemo } from '../../src/demo.ts';
import { createServer } from '../../src/edges/counter/server.ts';
import { createLog } from '../../src/log.ts';
import { readSettings } from '../../src/settings.ts';
import { loadFlows, openSystem, type System } from '../../src/system.ts';

const quiet = createLog({ level: 'silent' });
const flows = loadFlows();
export const ADDRESS = 'http://shop.example';
/** The demo's staff, by role. */
export const MANAGER = 'marrow';
export const ADVISOR = 'tock';
export const TECHNICIAN = 'fenwick';

/** A running shop with its pages, on a database of its own, with the demo's owners and their requests. */
export interface Stage {
  system: System;
  server: FastifyInstance;
  /** Signs a member of the staff in. */
  signIn(staffId: string): Promise<Browser>;
  /** An owner's browser on the chat page. */
  owner(): OwnersBrowser;
  close(): Promise<void>;
}

export async function openStage(options: { seeded?: boolean } = {}): Promise<Stage> {
  const folder = mkdtempSync(join(tmpdir(), 'counter-'));
  const read = readSettings({
    DATABASE_PATH: join(folder, 'shop.sqlite'),
    SECRET_KEY: 'a key that only this test knows, long enough',
    DEMO: 'on',
  });
  if (!read.ok) throw new Error(read.lines.join('\n'));
  const system = await openSystem(read.settings, quiet, { flows });
  if (options.seeded ?? true) await seedDemo(system);
  const server = await createServer(counterMeans(system, read.settings, quiet, () => ADDRESS));
  await system.start();
  return {
    system,
    server,
    async signIn(staffId) {
      const code = await system.store.access.createCode('sign-in', staffId, system.time.now(), 60);
      const browser = new Browser(server);
      const answer = await browser.post(`/counter/in/${code}`, {});
      if (answer.statusCode !== 303) throw new Error(`sign-in answered ${answer.statusCode}`);
      return browser;
    },
    owner: () => new OwnersBrowser(server, system),
    async close() {
      await server.close();
      await system.stop();
      rmSync(folder, { recursive: true });
    },
  };
}

/** The first request in a state that an owner sent in the chat and agreed to; staff enter others, who read no chat. */
export async function onlyRequest({ system }: Stage, state: BookingRequest['state']) {
  const view = (await system.store.views.requests([state])).find(({ request }) => request.agreed);
  if (!view) throw new Error(`no request is ${state}`);
  return view;
}

/** What the shop has said to an owner so far. */
export async function wordsTo({ system }: Stage, ownerId: string): Promise<string[]> {
  await system.desk.drain();
  return (await system.store.views.talk(ownerId)).filter(({ from }) => from === 'shop').map(({ text }) => text);
}

/** Keeps cookies and the form token, as a browser does. */
export class Browser {
  protected readonly server: FastifyInstance;
  readonly cookies = new Map<string, string>();
  token = '';

  constructor(server: FastifyInstance) {
    this.server = server;
  }

  private took(answer: LightMyRequestResponse): LightMyRequestResponse {
    for (const { name, value } of answer.cookies) this.cookies.set(name, value);
    const token = /name="token" value="([^"]+)"/.exec(answer.body)?.[1];
    if (token) this.token = token;
    return answer;
  }

  async get(url: string, headers: Record<string, string> = {}): Promise<LightMyRequestResponse> {
    const cookies = Object.fromEntries(this.cookies);
    return this.took(
      await this.server.inject({ method: 'GET', url, cookies, headers: { accept: 'text/html', ...headers } }),
    );
  }

  /** Posts a form as a browser does without a script. */
  async post(url: string, fields: Record<string, string | string[]>, headers: Record<string, string> = {}) {
    const body = new URLSearchParams(
      Object.entries(fields).flatMap(([name, value]) => [value].flat().map((one): [string, string] => [name, one])),
    );
    return this.took(
      await this.server.inject({
        method: 'POST',
        url,
        cookies: Object.fromEntries(this.cookies),
        payload: body.toString(),
        headers: {
          'content-type': 'application/x-www-form-urlencoded',
          accept: 'text/html',
          'sec-fetch-site': 'same-origin',
          ...headers,
        },
      }),
    );
  }

  /** Posts a form of the shop's pages with one file. */
  async upload(url: string, file: { name: string; fileName: string; bytes: Uint8Array }) {
    const boundary = 'a-line-between-parts';
    const part = (head: string) => Buffer.from(`--${boundary}\r\ncontent-disposition: form-data; ${head}\r\n\r\n`);
    const payload = Buffer.concat([
      part('name="token"'),
      Buffer.from(`${this.token}\r\n`),
      part(`name="${file.name}"; filename="${file.fileName}"`),
      file.bytes,
      Buffer.from(`\r\n--${boundary}--\r\n`),
    ]);
    return this.took(
      await this.server.inject({
        method: 'POST',
        url,
        cookies: Object.fromEntries(this.cookies),
        payload,
        headers: {
          'content-type': `multipart/form-data; boundary=${boundary}`,
          accept: 'text/html',
          'sec-fetch-site': 'same-origin',
        },
      }),
    );
  }

  /** Posts a form of the shop's pages, with the session's token. */
  async submit(url: string, fields: Record<string, string | string[]> = {}) {
    if (this.token === '') await this.get('/counter');
    return this.post(url, { token: this.token, ...fields });
  }
}

const plain = (page: string): string =>
  page
    .replace(/<[^>]+>/g, ' ')
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');

export const textOf = (answer: LightMyRequestResponse): string => plain(answer.body);

export class OwnersBrowser extends Browser {
  private readonly system: System;

  constructor(server: FastifyInstance, system: System) {
    super(server);
    this.system = system;
  }

  /** Sends words from the chat page's form; answers what the page then shows. */
  async says(text: string): Promise<string> {
    const boundary = 'a-line-between-parts';
    const answer = await this.server.inject({
      method: 'POST',
      url: '/chat/send',
      cookies: Object.fromEntries(this.cookies),
      payload: `--${boundary}\r\ncontent-disposition: form-data; name="text"\r\n\r\n${text}\r\n--${boundary}--\r\n`,
      headers: {
        'content-type': `multipart/form-data; boundary=${boundary}`,
        accept: 'text/html',
        'sec-fetch-site': 'same-origin',
      },
    });
    if (answer.statusCode !== 303) throw new Error(`the chat page answered ${answer.statusCode}: ${answer.body}`);
    return this.page();
  }

  /** Taps the button whose words begin so. */
  async taps(label: string): Promise<string> {
    const { body } = await this.get('/');
    const buttons = [...body.matchAll(/<button name="data" value="([^"]+)">([^<]*)</g)];
    const button = buttons.find(([, , words]) => words?.startsWith(label));
    if (!button?.[1]) throw new Error(`no button "${label}" among ${buttons.map(([, , words]) => words).join(', ')}`);
    await this.post('/chat/press', { data: button[1] });
    return this.page();
  }

  async page(): Promise<string> {
    await this.system.desk.drain();
    return textOf(await this.get('/'));
  }
}

/** A closing form as it is filled in where all that was booked was done and nothing bad was found. */
export const closingOf = (request: BookingRequest, date: string, odometerMiles: string) => ({
  revision: String(request.revision),
  date,
  odometerMiles,
  service: request.services,
  'metal-metering-valve': 'none',
  'metal-fuel-filter': 'none',
  'finding-egr-cooler-inspection': 'sooted',
  'finding-intake-inspection': 'clear',
});
