import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { desk, openBrowser, Owner, phone, startShop, type RunningShop } from './counter-browser.ts';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const CHECKS = readFileSync(join(import.meta.dirname, 'page-checks.js'), 'utf8');

/** Links, buttons and fields that the Tab key passes by. */
async function passedBy(page: Page): Promise<string[]> {
  const count = await page.evaluate<number>('checks.markStops()');
  // Scrolling regions and the browser's own parts take a press, too.
  for (let press = 0; press < count + 25; press++) {
    await page.keyboard.press('Tab');
    await page.evaluate('checks.reach()');
  }
  return page.evaluate<string[]>('checks.passedBy()');
}

const photo = () =>
  sharp({ create: { width: 64, height: 48, channels: 3, background: '#777' } })
    .jpeg()
    .toBuffer();

let shop: RunningShop;
let browser: Browser;
beforeAll(async () => {
  [shop, browser] = await Promise.all([startShop(), openBrowser()]);
});
afterAll(async () => {
  await browser.close();
  await shop.stop();
});

/** The keyboard's way is walked once a page; the window's width does not change it. */
async function sound(page: Page, what: string, keyboard = true): Promise<void> {
  await page.evaluate(AXE);
  await page.evaluate(CHECKS);
  expect.soft(await page.evaluate('checks.findings()'), `axe-core on ${what}`).toEqual([]);
  expect.soft(await page.evaluate('checks.tooWide()'), `sideways scrolling on ${what}`).toBeLessThanOrEqual(0);
  if (keyboard) expect.soft(await passedBy(page), `out of the Tab key's reach on ${what}`).toEqual([]);
}

describe('an owner on a phone and the shop at its desk, in a real browser', () => {
  it(
    'come from the first message to an accepted request, a closed job, the odometer question and the next service',
    { timeout: 600_000 },
    async () => {
      const complaints: string[] = [];
      const listened = (page: Page) => {
        page.on('pageerror', (error) => complaints.push(error.message));
        page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()));
        return page;
      };
      const owner = new Owner(listened(await (await phone(browser)).newPage()));
      await owner.page.goto(shop.chat);
      await owner.hears();
      await owner.says('2017 6.7 V8 diesel with 92k, nothing wrong. anything i should have looked at?');
      await sound(owner.page, 'the chat page with a question');
      await owner.tapsUntil('See times', ['No', /know/]);
      await sound(owner.page, 'the chat page with advice');
      await owner.taps('See times');
      await owner.taps('M');
      expect(await owner.hears()).toContain('name');
      await owner.says('Briar Holloway');
      await owner.says('303-555-0147');
      await owner.tapsUntil('Send it', []);
      await owner.taps('Send it');
      expect(await owner.hears()).toMatch(/not booked yet/i);

      const counter = listened(await (await desk(browser)).newPage());
      const visit = (path: string) => counter.goto(new URL(path, shop.chat).href);
      await counter.goto(shop.signInLink);
      await sound(counter, 'the sign-in page');
      await counter.getByRole('button').click();
      await counter.getByRole('heading', { name: 'Requests' }).waitFor();
      await sound(counter, 'the requests');
      await counter.locator('li', { hasText: 'Briar Holloway' }).getByRole('link').click();
      const sheet = counter.url();
      await sound(counter, 'the work sheet');
      await counter.getByRole('button', { name: 'Accept', exact: true }).click();
      await owner.page
        .locator('#sheet > li.shop', { hasText: /booked|accepted/i })
        .last()
        .waitFor();
      await owner.tapsUntil('Yes, remind me', []);
      await owner.taps('Yes, remind me');

      // The job is moved in the picture by keyboard: a quarter hour down, then put back, then for good.
      await counter.goto(sheet);
      await counter.locator('.worksheet a[href^="/counter/day"]').click();
      const day = counter.url();
      const job = counter.locator('svg a.movable', { hasText: 'Briar Holloway' });
      await job.focus();
      await counter.keyboard.press('Shift+ArrowDown');
      await sound(counter, 'the day with a job on the move');
      await counter.getByRole('button', { name: 'Leave it' }).click();
      const before = Number(await job.getAttribute('data-from'));
      await job.focus();
      for (let press = 0; press < 4; press++) await counter.keyboard.press('Shift+ArrowDown');
      await counter.getByRole('button', { name: 'Move it and tell the owner' }).click();
      await counter.waitForURL(sheet);
      await owner.page.locator('#sheet > li.shop', { hasText: /moved/i }).last().waitFor();
      await counter.goto(day);
      expect(Number(await job.getAttribute('data-from'))).toBe(before + 60);

      await counter.goto(sheet);
      await counter.getByText('The truck is here, with a note of its state').click();
      await counter.getByLabel('Odometer, miles').fill('92,405');
      await counter.getByLabel('Damage that is there already').fill('dent in the left door');
      await sound(counter, 'the work sheet with the arrival open', false);
      await counter.getByRole('button', { name: 'Keep', exact: true }).click();
      await counter.getByRole('button', { name: 'Work starts' }).click();
      await counter.getByRole('link', { name: 'Close the work' }).click();
      await counter.getByLabel('Odometer, miles').fill('92,410');
      for (const group of await counter.locator('fieldset:has(input[type=radio])').all())
        await group.locator('input[type=radio]').first().check();
      await counter.getByLabel('Pound-force inches').first().fill('60');
      expect(await counter.locator('output').first().innerText()).toBe('= 6.78 N·m');
      await counter
        .locator('input[name=photo-fuel-filter]')
        .setInputFiles({ name: 'filter.jpg', mimeType: 'image/jpeg', buffer: await photo() });
      await sound(counter, 'the closing form');
      await counter.getByRole('button', { name: /^Close and/ }).click();
      await counter.waitForURL(sheet);
      await owner.page.locator('#sheet > li.shop', { hasText: '92,410' }).first().waitFor();
      await counter.locator('.pictures img').first().waitFor();

      await visit('/counter/import');
      const list = 'owner,phone,vin,modelYear\nWillow Sedge,303-555-0161,,2016\nReed Marsh,not a phone,,2015\n';
      await counter
        .getByLabel('File')
        .setInputFiles({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from(list) });
      await counter.getByRole('button', { name: 'Look at it' }).click();
      await counter.getByText('line 3').waitFor();
      await sound(counter, 'what the list would bring');
      await counter.getByRole('button', { name: 'Take one truck over' }).click();
      await counter.getByText('One truck is taken over.').waitFor();

      await counter.goto(sheet);
      await counter.locator('a[href^="/counter/truck/"]').first().click();
      const truck = counter.url();
      const pages = [
        '/counter',
        '/counter/day',
        '/counter/week',
        '/counter/trucks',
        '/counter/waiting',
        '/counter/shop',
        '/counter/enter',
        '/counter/import',
        '/counter/forecasts',
        sheet,
        truck,
        `${truck}/label`,
      ];
      for (const path of pages) {
        await counter.setViewportSize({ width: 1200, height: 900 });
        await visit(path);
        await sound(counter, path);
        await counter.setViewportSize({ width: 320, height: 640 });
        await sound(counter, `${path} on a phone`, false);
      }

      const asks = owner.page.locator('#sheet > li.shop', { hasText: /odometer of/i });
      for (let months = 0; months < 24 && (await asks.count()) === 0; months++) {
        await counter.getByRole('button', { name: '30 days' }).click();
        await counter.waitForLoadState();
        await owner.page.waitForTimeout(1_000);
        const choices = await owner.choices();
        if (choices.includes('No, all dry')) await owner.taps('No, all dry');
      }
      expect(await asks.count()).toBeGreaterThan(0);
      await sound(owner.page, 'the odometer question');
      await owner.says('114,300');
      expect(await owner.page.locator('#sheet > li.shop').last().innerText()).toMatch(/filter/i);
      expect(await owner.choices()).toContain('See times');
      await sound(owner.page, 'the offer of the service');
      expect(complaints).toEqual([]);
    },
  );

  it('lose nothing that is written while there is no connection, and are told so', { timeout: 120_000 }, async () => {
    const context = await phone(browser);
    const owner = new Owner(await context.newPage());
    await owner.page.goto(shop.chat);
    await owner.hears();
    const status = owner.page.locator('#status');
    const text = owner.page.locator('#text');
    await context.setOffline(true);
    await text.fill('2016 6.7 V8 diesel, 97,400 miles');
    await owner.page.keyboard.press('Enter');
    await status.filter({ hasText: 'No connection' }).waitFor();
    expect(await text.inputValue()).toBe('2016 6.7 V8 diesel, 97,400 miles');
    await context.setOffline(false);
    await owner.says(await text.inputValue());
    expect(await status.innerText()).toBe('');
    expect(await owner.page.locator('#sheet > li.owner').allInnerTexts()).toHaveLength(1);
    await context.close();
  });
});
