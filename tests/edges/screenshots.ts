/** Makes the pictures of the README from the running program: `npx tsx tests/edges/screenshots.ts [FOLDER]`. */
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import sharp from 'sharp';
import { desk, openBrowser, Owner, phone, startShop } from './counter-browser.ts';

const folder = resolve(process.argv[2] ?? join(import.meta.dirname, '../../docs/screenshots'));
mkdirSync(folder, { recursive: true });

/** A picture with few colours: a page of text needs no more, and the file stays small. */
async function keep(page: Page, name: string): Promise<void> {
  const picture = await page.screenshot({ fullPage: true });
  await sharp(picture)
    .png({ palette: true, colours: 48, compressionLevel: 9 })
    .toFile(join(folder, `${name}.png`));
}

const shop = await startShop();
const browser = await openBrowser();
try {
  const context = await phone(browser);
  const owner = new Owner(await context.newPage());
  await owner.page.setViewportSize({ width: 400, height: 1500 });
  await owner.page.goto(shop.chat);
  await owner.hears();
  await owner.says('2016 6.7 V8 diesel, about 97k, fuel pump whines and it starts hard');
  await owner.tapsUntil('See times', ['No', /know/, 'None of these']);
  await keep(owner.page, 'chat');

  const counter = await (await desk(browser)).newPage();
  await counter.setViewportSize({ width: 1100, height: 700 });
  const visit = (path: string) => counter.goto(new URL(path, shop.chat).href);
  await counter.goto(shop.signInLink);
  await counter.getByRole('button').click();
  await counter.getByRole('heading', { name: 'Requests' }).waitFor();
  await keep(counter, 'counter');
  const sheet = (await counter.locator('#live .ticket a').first().getAttribute('href')) ?? '';
  await visit(sheet);
  await keep(counter, 'worksheet');

  const day = (await counter.locator('.worksheet a[href^="/counter/day"]').getAttribute('href')) ?? '';
  const date = new URL(day, shop.chat).searchParams.get('date') ?? '';
  await enter({
    name: 'Sedge Hauling',
    truck: '2012 6.6 V8 diesel',
    work: ['Oil service'],
    from: '09:00',
    hours: '1.5',
  });
  await enter({
    name: 'Wren Tarn',
    truck: '2014 6.7 inline six',
    work: ['Leak inspection'],
    from: '13:00',
    hours: '2',
  });
  await visit(day);
  await counter.getByText('Block a bay or a person').click();
  await counter.getByLabel('Bay or person').selectOption({ label: 'Bay 2' });
  await counter.getByLabel('From').fill('12:00');
  await counter.getByLabel('Until', { exact: true }).fill('17:30');
  await counter.getByLabel('Why').fill('lift is inspected');
  await counter.getByRole('button', { name: 'Block', exact: true }).click();
  await counter.getByRole('heading', { name: 'Blocked' }).waitFor();
  await keep(counter, 'day');
  await visit(`/counter/week?date=${date}`);
  await keep(counter, 'week');
  await visit('/counter/trucks');
  await counter.getByRole('link', { name: '2017 6.7 L V8 diesel' }).first().click();
  await keep(counter, 'truck');

  async function enter(job: { name: string; truck: string; work: string[]; from: string; hours: string }) {
    await visit(`/counter/enter?date=${date}`);
    await counter.getByLabel('Name', { exact: true }).fill(job.name);
    await counter.getByLabel('Phone', { exact: true }).fill(`303-555-01${job.name.length + 60}`);
    await counter.getByLabel(/^Truck, in words/).fill(job.truck);
    for (const work of job.work) await counter.getByLabel(work, { exact: true }).check();
    await counter.getByLabel('From').fill(job.from);
    await counter.getByLabel('Hours').fill(job.hours);
    await counter.getByLabel('Bay').selectOption({ label: 'Bay 4, quick work' });
    await counter.getByRole('button', { name: 'Book it' }).click();
    await counter.waitForURL(/\/counter\/day/);
  }
} finally {
  await browser.close();
  await shop.stop();
}
