/** Makes the pictures of the README from the running program: `npx tsx tests/edges/screenshots.ts [FOLDER]`. */
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { desk, openBrowser, Owner, phone, startShop } from './counter-browser.ts';

const folder = resolve(process.argv[2] ?? join(import.meta.dirname, '../../docs/screenshots'));
mkdirSync(folder, { recursive: true });
const at = (name: string) => join(folder, `${name}.png`);

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
  await owner.page.screenshot({ path: at('chat'), fullPage: true });

  const counter = await (await desk(browser)).newPage();
  await counter.setViewportSize({ width: 1000, height: 700 });
  await counter.goto(shop.signInLink);
  await counter.getByRole('button').click();
  await counter.getByRole('heading', { name: 'Requests' }).waitFor();
  await counter.screenshot({ path: at('counter'), fullPage: true });
  const sheet = await counter.locator('#live a').first().getAttribute('href');
  await counter.goto(new URL(sheet ?? '', shop.chat).href);
  await counter.screenshot({ path: at('worksheet'), fullPage: true });

  const booked = await counter.goto(new URL('/counter/week', shop.chat).href);
  if (!booked?.ok()) throw new Error('the week is not shown');
  let job = counter.locator('.week .job').first();
  if ((await job.count()) === 0) {
    await counter.locator('.days a').last().click();
    job = counter.locator('.week .job').first();
  }
  const column = await job.evaluate(
    (element) => (element as unknown as { closest(what: string): { cellIndex: number } }).closest('td').cellIndex,
  );
  await counter.screenshot({ path: at('week'), fullPage: true });
  await counter.locator(`.week thead th:nth-child(${column + 1}) a`).click();
  await counter.screenshot({ path: at('day'), fullPage: true });
  await counter.goto(new URL('/counter/trucks', shop.chat).href);
  await counter.locator('main a[href^="/counter/truck/"]').first().click();
  await counter.screenshot({ path: at('truck'), fullPage: true });
} finally {
  await browser.close();
  await shop.stop();
}
