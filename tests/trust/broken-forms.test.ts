import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openShop, type RunningShop } from './shop.ts';

/** What the fuzz found once and must not find again, over real HTTP: the sender's fault is answered as the sender's. */
describe('requests that are not put together right', () => {
  let shop: RunningShop;
  beforeAll(async () => {
    shop = await openShop({ environment: { TELEGRAM_TOKEN: '', STAFF_CHAT: '' } });
  }, 60_000);
  afterAll(() => shop.close());

  it.each<[string, string, RequestInit]>([
    [
      'a form without a boundary',
      '/chat/send',
      { method: 'POST', body: '""', headers: { 'content-type': 'multipart/form-data' } },
    ],
    [
      'a form that is broken off',
      '/chat/send',
      {
        method: 'POST',
        body: '--x\r\ncontent-disposition: form-data; name="text"\r\n\r\nhel',
        headers: { 'content-type': 'multipart/form-data; boundary=x' },
      },
    ],
    ['an address that is no text', '/%', {}],
    [
      'a body that is no JSON',
      '/chat/press',
      { method: 'POST', body: '{"', headers: { 'content-type': 'application/json' } },
    ],
    [
      'a body that is too large',
      '/chat/press',
      { method: 'POST', body: `"${'x'.repeat(1_100_000)}"`, headers: { 'content-type': 'application/json' } },
    ],
  ])('%s is refused with a 4xx, with a content security policy, and nothing is kept', async (_what, path, init) => {
    const answer = await fetch(`${shop.url}${path}`, init);
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(answer.status).toBeLessThan(500);
    expect(answer.headers.get('content-security-policy')).toContain("default-src 'none'");
    const { owners, inboxWaiting } = await shop.system.store.figures(new Date().toISOString());
    expect({ owners, inboxWaiting }).toEqual({ owners: 0, inboxWaiting: 0 });
  });
});
