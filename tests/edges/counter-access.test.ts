import { DateTime } from 'luxon';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ROUTES } from '../../src/edges/counter/access.ts';
import { ADVISOR, Browser, MANAGER, onlyRequest, openStage, type Stage, TECHNICIAN, textOf } from './counter-stage.ts';

let stage: Stage;
beforeEach(async () => {
  stage = await openStage();
});
afterEach(() => stage.close());

const onlyOne = (state: 'requested' | 'accepted' | 'declined' | 'closed') => onlyRequest(stage, state);
const page = (id: string) => `/counter/request/${id}`;

describe('signing in', () => {
  const newCode = () => stage.system.store.access.createCode('sign-in', MANAGER, stage.system.time.now(), 60);

  it('takes a link once', async () => {
    const code = await newCode();
    expect((await new Browser(stage.server).post(`/counter/in/${code}`, {})).statusCode).toBe(303);
    const second = await new Browser(stage.server).post(`/counter/in/${code}`, {});
    expect(second.statusCode).toBe(401);
    expect(second.cookies).toEqual([]);
  });

  it('does not use the link up when a preview merely fetches it', async () => {
    const code = await newCode();
    const browser = new Browser(stage.server);
    expect((await browser.get(`/counter/in/${code}`)).statusCode).toBe(200);
    expect((await browser.post(`/counter/in/${code}`, {})).statusCode).toBe(303);
  });

  it('takes no link that is too old', async () => {
    const code = await newCode();
    await stage.system.time.advance(61 * 60_000);
    expect((await new Browser(stage.server).post(`/counter/in/${code}`, {})).statusCode).toBe(401);
  });

  it('ends with signing out, also for a copy of the cookie', async () => {
    const browser = await stage.signIn(MANAGER);
    const copy = new Browser(stage.server);
    for (const [name, value] of browser.cookies) copy.cookies.set(name, value);
    expect((await copy.get('/counter')).statusCode).toBe(200);
    await browser.submit('/counter/out');
    expect((await copy.get('/counter')).statusCode).toBe(401);
  });

  it('ends after the working day', async () => {
    const browser = await stage.signIn(MANAGER);
    await stage.system.time.advance(15 * 3_600_000);
    expect((await browser.get('/counter')).statusCode).toBe(401);
  });

  it('keeps the cookie from scripts and from other sites', async () => {
    const answer = await new Browser(stage.server).post(`/counter/in/${await newCode()}`, {});
    expect(answer.cookies).toMatchObject([{ httpOnly: true, sameSite: 'Strict', path: '/counter' }]);
  });
});

describe("the demo's clock", () => {
  it('moves on without signing out whoever moves it', async () => {
    const browser = await stage.signIn(MANAGER);
    const before = stage.system.time.now();
    await browser.submit('/counter/demo-clock', { days: '30' });
    const days = (instant: string) => DateTime.fromISO(instant, { zone: 'America/Denver' }).startOf('day');
    const after = stage.system.time.now();
    expect(days(after).diff(days(before), 'days').days).toBe(30);
    expect(DateTime.fromISO(after, { zone: 'America/Denver' }).toFormat('HH:mm')).toBe('10:00');
    expect((await browser.get('/counter')).statusCode).toBe(200);
  });

  it.each(['0', '-3', '4000', 'soon', ''])('does not move by "%s" days', async (days) => {
    const browser = await stage.signIn(MANAGER);
    const before = stage.system.time.now();
    await browser.submit('/counter/demo-clock', { days });
    expect(Date.parse(stage.system.time.now()) - Date.parse(before)).toBeLessThan(60_000);
  });
});

describe('who may use a route', () => {
  const routes = Object.entries(ROUTES).filter(([route]) => route !== 'POST /telegram');
  const filledIn = (path: string, requestId: string) =>
    path
      .replace('/:action', '/accept')
      .replace('/:kind', '/sign-in')
      .replace('/unread/:id', '/unread/none')
      .replace('/truck/:id', '/truck/truck-demo-0')
      .replace('/request/:id', `/request/${requestId}`)
      .replace(/:\w+/, 'none');
  const ask = (browser: Browser, route: string, requestId: string) => {
    const [method, path] = route.split(' ') as [string, string];
    const url = filledIn(path, requestId);
    return method === 'GET' ? browser.get(url) : browser.submit(url);
  };

  it('is said for every route that the server has, and for no other', () => {
    const printed = stage.server.printRoutes({ commonPrefix: false, includeHooks: false });
    for (const route of routes.map(([name]) => name)) {
      const [method, url] = route.split(' ') as ['GET' | 'POST', string];
      expect(stage.server.hasRoute({ method, url }), route).toBe(true);
    }
    const count = [...printed.matchAll(/\(([A-Z, ]+)\)/g)].flatMap(([, methods]) =>
      (methods ?? '').split(', ').filter((method) => method !== 'HEAD'),
    ).length;
    expect(count).toBe(routes.length);
  });

  it('refuses a server with a route that nobody is named for', async () => {
    const { createServer } = await import('../../src/edges/counter/server.ts');
    ROUTES['GET /healthz'] = undefined as never;
    try {
      await expect(createServer({ secureCookies: false } as never)).rejects.toThrow('GET /healthz');
    } finally {
      ROUTES['GET /healthz'] = 'anyone';
    }
  });

  it('holds for a stranger: 401 or 404 wherever staff are named, and nothing of the shop is told', async () => {
    const { request, owner } = await onlyOne('requested');
    for (const [route, who] of routes.filter(([, named]) => Array.isArray(named))) {
      const answer = await ask(new Browser(stage.server), route, request.id);
      expect(answer.statusCode, `${route} (${String(who)})`).toBe(401);
      expect(answer.body).not.toContain(owner.name ?? 'nobody');
    }
    expect((await onlyOne('requested')).request.revision).toBe(request.revision);
  });

  it('holds for every role: refused with 403 where the role is not named, and only there', async () => {
    const { request } = await onlyOne('requested');
    for (const [id, role] of [
      [MANAGER, 'manager'],
      [ADVISOR, 'advisor'],
      [TECHNICIAN, 'technician'],
    ] as const) {
      const browser = await stage.signIn(id);
      const leaving = (route: string) => (route === 'POST /counter/out' ? 1 : 0);
      for (const [route, who] of routes.toSorted(([a], [b]) => leaving(a) - leaving(b))) {
        if (!Array.isArray(who) || route.endsWith('/events') || route.includes('/:action')) continue;
        const answer = await ask(browser, route, request.id);
        const named = (who as readonly string[]).includes(role);
        if (named) expect([401, 403], `${role} ${route}`).not.toContain(answer.statusCode);
        else expect(answer.statusCode, `${role} ${route}`).toBe(403);
      }
    }
  });

  it.each([
    ['accept', {}],
    ['decline', { because: 'no bay' }],
    ['cancel', { because: 'no bay' }],
    ['own-time', { date: '2027-01-12', from: '09:00', hours: '2', bay: 'bay-1' }],
  ])('lets a technician see a request but not %s it', async (action, fields) => {
    const { request } = await onlyOne('requested');
    const browser = await stage.signIn(TECHNICIAN);
    const sheet = await browser.get(page(request.id));
    expect(sheet.statusCode).toBe(200);
    expect(sheet.body).not.toContain(`${page(request.id)}/${action}`);
    const answer = await browser.submit(`${page(request.id)}/${action}`, { revision: '1', ...fields });
    expect(answer.statusCode).toBe(403);
    expect((await onlyOne('requested')).request).toEqual(request);
  });

  it('makes links for managers only, and each works for the one it is made for', async () => {
    const technician = await stage.signIn(TECHNICIAN);
    expect((await technician.get('/counter/shop')).body).not.toContain('/counter/link/');
    const manager = await stage.signIn(MANAGER);
    const made = await manager.submit('/counter/link/sign-in', { person: ADVISOR });
    const link = /http:\/\/shop\.example(\/counter\/in\/[\w-]+)/.exec(made.body)?.[1] ?? '';
    const colleague = new Browser(stage.server);
    expect((await colleague.post(link, {})).statusCode).toBe(303);
    expect(textOf(await colleague.get('/counter'))).toContain('Perrin Tockley Sign out');
  });

  it('makes no link for somebody who is not of the shop', async () => {
    const manager = await stage.signIn(MANAGER);
    expect((await manager.submit('/counter/link/sign-in', { person: 'somebody' })).statusCode).toBe(404);
  });
});

describe('a form', () => {
  it.each<[string, Record<string, string>, Record<string, string>]>([
    ['has no token', { token: '' }, {}],
    ['has another token', { token: 'x'.repeat(43) }, {}],
    ['comes from another site', {}, { 'sec-fetch-site': 'cross-site' }],
    ['comes from a neighbour of the same site', {}, { 'sec-fetch-site': 'same-site' }],
    ['comes from another origin, in an older browser', {}, { 'sec-fetch-site': '', origin: 'http://other.example' }],
  ])('is refused, and does nothing, when it %s', async (_why, fields, headers) => {
    const { request } = await onlyOne('requested');
    const browser = await stage.signIn(MANAGER);
    await browser.get('/counter');
    const token = browser.token;
    expect(token).not.toBe('');
    const sent = headers['sec-fetch-site'] === '' ? { origin: headers.origin ?? '' } : headers;
    const answer = await stage.server.inject({
      method: 'POST',
      url: `${page(request.id)}/accept`,
      cookies: Object.fromEntries(browser.cookies),
      payload: new URLSearchParams({ token, revision: String(request.revision), ...fields }).toString(),
      headers: { 'content-type': 'application/x-www-form-urlencoded', host: 'shop.example', ...sent },
    });
    expect(answer.statusCode).toBe(403);
    expect((await onlyOne('requested')).request.revision).toBe(request.revision);
  });

  it("is refused with another colleague's token", async () => {
    const { request } = await onlyOne('requested');
    const [one, other] = [await stage.signIn(MANAGER), await stage.signIn(ADVISOR)];
    await other.get('/counter');
    await one.get('/counter');
    const answer = await one.post(`${page(request.id)}/accept`, { token: other.token, revision: '1' });
    expect(answer.statusCode).toBe(403);
  });
});
