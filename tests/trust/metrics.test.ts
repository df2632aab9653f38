import { afterEach, describe, expect, it } from 'vitest';
import type { ForecastView } from '../../src/edges/store/types.ts';
import { calibrationOf, createMetrics } from '../../src/metrics.ts';
import { pickup } from '../core/owner-files.ts';
import { openShop, type RunningShop } from './shop.ts';

const TOKEN = 'a-token-of-sixteen-or-more';
const SHOP_AT_WEB = { TELEGRAM_TOKEN: '', STAFF_CHAT: '' };
let shop: RunningShop | undefined;
afterEach(async () => {
  await shop?.close();
  shop = undefined;
});

const figuresOf = (text: string): Map<string, number> =>
  new Map(
    text
      .split('\n')
      .filter((line) => line !== '' && !line.startsWith('#'))
      .map((line): [string, number] => [line.slice(0, line.lastIndexOf(' ')), Number(line.split(' ').at(-1))]),
  );

describe('/healthz and /readyz over HTTP', () => {
  it('answer while the shop is open', async () => {
    shop = await openShop({ environment: SHOP_AT_WEB });
    for (const [path, said] of [
      ['/healthz', 'ok\n'],
      ['/readyz', 'ready\n'],
    ]) {
      const answer = await fetch(`${shop.url}${path}`);
      expect([answer.status, await answer.text()]).toEqual([200, said]);
    }
  });

  it('tell a database that cannot be written from a process that lives', async () => {
    shop = await openShop({ environment: SHOP_AT_WEB });
    const { system } = shop;
    const transaction = system.store.transaction;
    system.store.transaction = () => Promise.reject(new Error('attempt to write a readonly database'));
    expect((await fetch(`${shop.url}/readyz`)).status).toBe(503);
    expect((await fetch(`${shop.url}/healthz`)).status).toBe(200);
    system.store.transaction = transaction;
  });
});

describe('/metrics over HTTP', () => {
  it('counts turns, answers, sends and what waits, in the Prometheus text format', async () => {
    shop = await openShop();
    const { standIn, url } = shop;
    const owner = standIn.person(1001);
    owner.says('2017 6.7 V8 diesel, 92k, hard to start when cold');
    await standIn.until(() => standIn.messagesTo(1001).length > 0, 'an answer');
    const answer = await fetch(`${url}/metrics`);
    expect(answer.headers.get('content-type')).toMatch(/^text\/plain; version=0\.0\.4/);
    const text = await answer.text();
    // The text exposition format, version 0.0.4: comments, or a name, labels and a number.
    const line =
      /^(# (HELP|TYPE) \S+ .*|[a-z_:][\w:]*(\{\w+="[^"]*"(,\w+="[^"]*")*\})? (-?[\d.]+(e[+-]?\d+)?|NaN|\+Inf))$/i;
    for (const one of text.trim().split('\n')) if (one !== '') expect(one).toMatch(line);
    const figures = figuresOf(text);
    expect(figures.get('telltale_turns_total{kind="message",outcome="done"}')).toBe(1);
    expect(figures.get('telltale_turn_seconds_count')).toBe(1);
    expect(figures.get('telltale_answer_seconds_bucket{le="+Inf"}')).toBe(1);
    expect(figures.get('telltale_sends_total{channel="telegram",outcome="sent"}')).toBeGreaterThanOrEqual(1);
    expect(figures.get('telltale_owners')).toBe(1);
    for (const name of [
      'inbox_waiting',
      'inbox_oldest_age_seconds',
      'inbox_failed',
      'outbox_waiting',
      'outbox_oldest_age_seconds',
      'follow_ups_due',
      'follow_ups_late',
    ]) {
      expect(figures.get(`telltale_${name}`), name).toBeGreaterThanOrEqual(0);
    }
    expect(figures.has('telltale_forecast_inside_ratio')).toBe(true);
    expect(figures.has('telltale_process_resident_memory_bytes')).toBe(true);
  });

  it('tells every outcome of a send and of a turn apart, and the age of what nobody gets', async () => {
    shop = await openShop();
    const { standIn, system, url } = shop;
    const look = async () => figuresOf(await (await fetch(`${url}/metrics`)).text());
    const sends = (outcome: string) => `telltale_sends_total{channel="telegram",outcome="${outcome}"}`;
    const moves = async (name: string) => {
      await expect.poll(async () => (await look()).get(name) ?? 0, { timeout: 20_000 }).toBeGreaterThan(0);
    };
    const talker = (id: number) => standIn.person(id).says('2017 6.7 V8 diesel, 92k');
    talker(1001);
    await moves(sends('sent'));
    standIn.fail('sendMessage', { status: 400, description: 'Bad Request: message is too long' });
    talker(1002);
    await moves(sends('refused'));
    standIn.block(1003);
    talker(1003);
    await moves(sends('unreachable'));
    standIn.fail('sendMessage', { status: 429, description: 'Too Many Requests', parameters: { retry_after: 60 } });
    talker(1004);
    await moves(sends('later'));
    await moves('telltale_outbox_oldest_age_seconds');
    expect((await look()).get('telltale_outbox_waiting')).toBeGreaterThan(0);

    // A row that no turn can work on: its text is none.
    const at = system.time.now();
    const ownerId = (await system.store.views.ownerAt('telegram', '1001')) ?? '';
    const event = { kind: 'message', channel: 'telegram', at, messageRef: 'torn', text: 7 } as never;
    await system.store.transaction((tx) =>
      tx.addToInbox([{ source: 'telegram', externalId: 'torn', ownerId, address: '1001', event, receivedAt: at }]),
    );
    await moves('telltale_turns_total{kind="message",outcome="put-off"}');
    await moves('telltale_turns_total{kind="message",outcome="given-up"}');
    await moves('telltale_inbox_failed');
    const figures = await look();
    expect(figures.get('telltale_turn_seconds_count')).toBeGreaterThan(4);
    expect(figures.get('telltale_turn_seconds_sum')).toBeGreaterThan(0);
    expect(figures.get('telltale_answer_seconds_sum')).toBeGreaterThan(0);
  });

  it('shows the age of what waits, and follow-ups that nothing works on', async () => {
    shop = await openShop({ environment: SHOP_AT_WEB, start: false });
    const { system, url } = shop;
    const at = new Date(Date.now() - 3 * 3_600_000).toISOString();
    await system.store.transaction(async (tx) => {
      const ownerId = await tx.addOwner({ id: 'o-1', channel: 'web', address: 'a1', language: 'en', zone: 'UTC', at });
      const event = { kind: 'message', channel: 'web', at, messageRef: 'm', text: 'hello' } as const;
      await tx.addToInbox([{ source: 'web', externalId: 'x', ownerId, address: 'a1', event, receivedAt: at }]);
      const before = await tx.loadFile(ownerId);
      if (!before) throw new Error('no file');
      const followUp = {
        id: 'f-1',
        kind: 'odometer-check',
        dueAt: at,
        state: 'waiting',
        attempts: 0,
        log: [],
      } as never;
      await tx.saveFile(before, { ...before, followUps: [followUp] });
    });
    const figures = figuresOf(await (await fetch(`${url}/metrics`)).text());
    expect(figures.get('telltale_inbox_waiting')).toBe(1);
    expect(figures.get('telltale_inbox_oldest_age_seconds')).toBeGreaterThan(10_000);
    expect(figures.get('telltale_follow_ups_due')).toBe(1);
    expect(figures.get('telltale_follow_ups_late')).toBe(1);
  });

  it.each<[string, Record<string, string>, number, string]>([
    ['from the machine itself', {}, 200, ''],
    ['by a proxy on the machine, for somebody', { 'x-forwarded-for': '203.0.113.9' }, 404, ''],
    ['by a proxy that writes the standard header', { forwarded: 'for=203.0.113.9' }, 404, ''],
    ['with the token', { authorization: `Bearer ${TOKEN}` }, 200, TOKEN],
    ['with the token, by a proxy', { authorization: `Bearer ${TOKEN}`, 'x-forwarded-for': '203.0.113.9' }, 200, TOKEN],
    ['without the token that is set, from the machine itself', {}, 404, TOKEN],
    ['with another token', { authorization: `Bearer ${TOKEN}x` }, 404, TOKEN],
    ['with the token in another scheme', { authorization: `Basic ${TOKEN}` }, 404, TOKEN],
  ])('asked %s', async (_how, headers, status, token) => {
    shop = await openShop({ environment: { ...SHOP_AT_WEB, METRICS_TOKEN: token } });
    expect((await fetch(`${shop.url}/metrics`, { headers })).status).toBe(status);
  });

  it('names no person, no address and no truck', async () => {
    // Long, so that no figure holds it by chance.
    const ADDRESS = 7_310_465_829;
    shop = await openShop();
    const { standIn, url } = shop;
    const owner = standIn.person(ADDRESS, 'Quillon');
    owner.says('2017 6.7 V8 diesel, 92k, my VIN is ZZ1AB2CD3EF456789');
    await standIn.until(() => standIn.messagesTo(ADDRESS).length > 0, 'an answer');
    const text = await (await fetch(`${url}/metrics`)).text();
    for (const personal of ['Quillon', String(ADDRESS), 'ZZ1AB2', standIn.token]) expect(text).not.toContain(personal);
  });
});

describe('the calibration of the forecasts', () => {
  const at = '2026-03-01T12:00:00.000Z';
  const forecast = (...later: ForecastView['readings']): ForecastView => ({
    ...{ vehicleId: 't', at, dueMiles: 103_000, p10: '2026-05-01', p50: '2026-05-20', p90: '2026-06-20' },
    readings: [{ date: '2026-02-27', miles: 100_000, clusterReset: false }, ...later],
  });
  const reading = (date: string, miles: number, clusterReset = false) => ({ date, miles, clusterReset });
  const past = reading('2026-07-01', 105_000);

  it.each<[string, ForecastView, { ratio: number; answered: number; waiting: number }]>([
    ['no reading since', forecast(), { ratio: Number.NaN, answered: 0, waiting: 1 }],
    ['reached within', forecast(reading('2026-05-24', 103_000), past), { ratio: 1, answered: 1, waiting: 0 }],
    ['reached early', forecast(reading('2026-04-10', 103_100), past), { ratio: 0, answered: 1, waiting: 0 }],
    [
      // Else those who drive more than thought would be counted first, and the range look worse than it is.
      'reached before the readings have passed its range',
      forecast(reading('2026-04-10', 103_100)),
      { ratio: Number.NaN, answered: 0, waiting: 1 },
    ],
    ['not reached by its end', forecast(reading('2026-07-01', 102_000)), { ratio: 0, answered: 1, waiting: 0 }],
    [
      'not reached, and time is left',
      forecast(reading('2026-05-01', 101_000)),
      { ratio: Number.NaN, answered: 0, waiting: 1 },
    ],
    [
      'on another instrument',
      forecast(reading('2026-05-24', 120_000, true)),
      { ratio: Number.NaN, answered: 0, waiting: 1 },
    ],
  ])('%s', (_what, view, counts) => {
    expect(calibrationOf([view])).toEqual(counts);
  });

  it('is the share of the answered ones', () => {
    const log = [
      forecast(reading('2026-05-24', 103_000), past),
      forecast(reading('2026-05-28', 103_000), past),
      forecast(reading('2026-04-10', 103_100), past),
      forecast(),
    ].map((view, truck) => ({ ...view, vehicleId: `t${truck}` }));
    expect(calibrationOf(log)).toEqual({ ratio: 2 / 3, answered: 3, waiting: 1 });
  });

  it('counts a forecast that was logged again, with nothing new known, once', () => {
    const made = forecast(reading('2026-05-24', 103_000), past);
    expect(calibrationOf([made, { ...made, at: '2026-03-02T12:00:00.000Z' }])).toMatchObject({ answered: 1 });
  });

  it('stands in the figures, from the forecasts and readings of the database', async () => {
    shop = await openShop({ environment: SHOP_AT_WEB });
    const { store } = shop.system;
    const inFigures = async () => {
      const { body } = await createMetrics().text(store, new Date().toISOString());
      const figures = figuresOf(body);
      const of = (state: string) => figures.get(`telltale_forecasts{state="${state}"}`);
      return [figures.get('telltale_forecast_inside_ratio'), of('answered'), of('waiting')];
    };
    const { dueMiles, p10, p50, p90 } = forecast();
    const driven = (...readings: [string, number][]) =>
      store.transaction(async (tx) => {
        const before = await tx.loadFile('o-1');
        if (!before) throw new Error('no such owner');
        const told = readings.map(([date, miles], index) => ({
          ...{ id: `t-${index}`, date, miles, source: 'owner' as const },
        }));
        await tx.saveFile(before, { ...before, vehicles: [{ ...pickup('t', 100_000, 76_000), readings: told }] });
      });
    await store.transaction(async (tx) => {
      await tx.addOwner({ id: 'o-1', channel: 'web', address: 'a1', language: 'en', zone: 'UTC', at });
    });
    await driven(['2026-02-27', 100_000]);
    expect(await inFigures()).toEqual([Number.NaN, 0, 0]);
    await store.transaction((tx) => tx.addForecast({ id: 'f-1', vehicleId: 't', at, dueMiles, p10, p50, p90 }));
    expect(await inFigures()).toEqual([Number.NaN, 0, 1]);
    await driven(['2026-02-27', 100_000], ['2026-05-24', 103_000], ['2026-07-01', 105_000]);
    expect(await inFigures()).toEqual([1, 1, 0]);
  });
});
