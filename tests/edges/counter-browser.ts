import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { chromium, type Browser, type BrowserContext, type Page } from 'playwright-core';

const ROOT = resolve(import.meta.dirname, '../..');
const CHROMIUM = [
  '--no-sandbox',
  '--headless',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** The real program as a process of its own, on a free port and an empty database, in the demo. */
export interface RunningShop {
  chat: string;
  /** The sign-in link that the program printed; it works once. */
  signInLink: string;
  stop(): Promise<void>;
}

export async function startShop(): Promise<RunningShop> {
  const folder = mkdtempSync(join(tmpdir(), 'shop-'));
  const program = spawn(process.execPath, ['src/run.mjs', 'src/main.ts'], {
    cwd: ROOT,
    env: {
      PATH: process.env['PATH'],
      HOME: folder,
      PORT: '0',
      DATABASE_PATH: join(folder, 'shop.sqlite'),
      DEMO: 'on',
      LOG_LEVEL: 'error',
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let said = '';
  const links = await new Promise<{ chat: string; signInLink: string }>((found, failed) => {
    const look = (part: Buffer) => {
      said += part.toString();
      const chat = /chat page:\s+(\S+)/.exec(said)?.[1];
      const signInLink = /(\S+\/counter\/in\/\S+)/.exec(said)?.[1];
      if (chat && signInLink) found({ chat, signInLink });
    };
    program.stdout.on('data', look);
    program.stderr.on('data', look);
    program.on('exit', (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
  });
  return {
    ...links,
    async stop() {
      const ended = new Promise((resolve) => program.once('exit', resolve));
      program.kill('SIGTERM');
      await ended;
      rmSync(folder, { recursive: true });
    },
  };
}

export const openBrowser = (): Promise<Browser> =>
  chromium.launch({ executablePath: '/usr/bin/chromium', args: CHROMIUM });

// Not the shop's zone; where the demo's clock comes to stand, both are within the hours of unasked messages.
const ZONE = 'America/Chicago';

/** A busy machine is no fault of the page: what is waited for may take this long. */
const PATIENCE_MILLISECONDS = 120_000;

async function windowOf(browser: Browser, width: number, height: number): Promise<BrowserContext> {
  const context = await browser.newContext({ viewport: { width, height }, timezoneId: ZONE, locale: 'en-US' });
  context.setDefaultTimeout(PATIENCE_MILLISECONDS);
  return context;
}

export const phone = (browser: Browser): Promise<BrowserContext> => windowOf(browser, 320, 640);

export const desk = (browser: Browser): Promise<BrowserContext> => windowOf(browser, 1200, 900);

/** The chat page in the hands of an owner. */
export class Owner {
  readonly page: Page;
  constructor(page: Page) {
    this.page = page;
  }

  private readonly lines = () => this.page.locator('#sheet > li').count();

  /** The shop's last words, after they have come. */
  async hears(): Promise<string> {
    await this.page.locator('#sheet > li.shop').last().waitFor();
    return this.page.locator('#sheet > li.shop').last().innerText();
  }

  private async answered(before: number): Promise<void> {
    await this.page.locator(`#sheet > li.shop:last-child:nth-child(n + ${before + 1})`).waitFor();
    // Several lines may come one after the other.
    let seen = -1;
    while (seen !== (seen = await this.lines())) await this.page.waitForTimeout(400);
  }

  async says(text: string): Promise<void> {
    const before = await this.lines();
    await this.page.locator('#text').fill(text);
    await this.page.keyboard.press('Enter');
    await this.answered(before);
  }

  choices = (): Promise<string[]> => this.page.locator('#sheet .choices button').allInnerTexts();

  async taps(label: string): Promise<void> {
    const before = await this.lines();
    await this.page.locator('#sheet .choices button', { hasText: label }).first().click();
    await this.answered(before);
  }

  /** Answers what is asked, tapping the first of these that is offered, until one of `until` is. */
  async tapsUntil(until: string, prefer: (string | RegExp)[]): Promise<void> {
    for (let step = 0; step < 20; step++) {
      const choices = (await this.choices()).map((one) => one.trim());
      if (choices.includes(until)) return;
      const next = prefer.flatMap((wanted) =>
        choices.filter((one) => (typeof wanted === 'string' ? one === wanted : wanted.test(one))),
      )[0];
      if (next === undefined) throw new Error(`"${until}" was not offered; what was: ${choices.join(' | ')}`);
      await this.taps(next);
    }
    throw new Error(`"${until}" was never offered`);
  }
}
