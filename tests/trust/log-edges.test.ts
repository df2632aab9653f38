import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, it } from 'vitest';
import { webhookSecret } from '../../src/edges/channels/telegram/webhook.ts';
import { Browser } from '../edges/counter-stage.ts';
import { openShop, type RunningShop } from './shop.ts';

/** What can stand in a log only if an edge let it in. */
const NAME = 'Quillabel';
const WORDS = 'xylobarn';
const PHONE = '303-555-0147';
const PHONE_OF_LIST = '303-555-0148';
const EMAIL = `${WORDS}@mail.example`;
const VIN = 'ZZ1AB2CD3EF456789';
const PERSON = 77_001_234;
const STAFF_CHAT = -100200;
const METRICS_TOKEN = 'metrics-token-that-nobody-may-read';
const SECRET_KEY = 'a key that only this test knows, long enough';
const OWNERS_COOKIE = 'c'.repeat(43);
const ALL = `${WORDS} ${NAME} ${PHONE} ${EMAIL} ${VIN}`;
/** One white pixel. */
const PICTURE = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
  'base64',
);

interface Place {
  shop: RunningShop;
  /** The desk's browser, signed in. */
  desk: Browser;
  /** Sent on the way: codes, tokens, cookies. */
  secrets: string[];
  truckId: string;
}

const ownerPosts = ({ shop }: Place, path: string, fields: Record<string, string | Blob>): Promise<Response> => {
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) {
    if (typeof value === 'string') body.append(name, value);
    else body.append(name, value, `${WORDS}-${NAME}.png`);
  }
  const headers = { cookie: `telltale_owner=${OWNERS_COOKIE}`, 'sec-fetch-site': 'same-origin' };
  return fetch(`${shop.url}${path}`, { method: 'POST', headers, body });
};
const botPosts = ({ shop }: Place, secret: string, body: unknown): Promise<Response> =>
  fetch(`${shop.url}/telegram`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', 'x-telegram-bot-api-secret-token': secret },
    body: typeof body === 'string' ? body : JSON.stringify(body),
  });
let nextUpdate = 1;
const person = { id: PERSON, is_bot: false, first_name: NAME, last_name: NAME, username: WORDS, language_code: 'en' };
const message = (content: object, chat: object = { id: PERSON, type: 'private', first_name: NAME }): object => ({
  update_id: nextUpdate++,
  message: { message_id: nextUpdate, from: person, chat, date: 1_793_635_200, ...content },
});
const group = { id: STAFF_CHAT, type: 'supergroup', title: NAME };
async function posted(place: Place, ...updates: object[]): Promise<void> {
  for (const update of updates) await botPosts(place, webhookSecret(place.shop.standIn.token), update);
}

/** Every edge at which something comes in or goes out, driven with marks in all that it takes. */
const EDGES: Record<string, (place: Place) => Promise<unknown>> = {
  'messages, pictures, contacts and presses in the chat': (place) =>
    posted(
      place,
      message({ text: `2017 6.7 V8 diesel, 92k, ${ALL}` }),
      message({ text: `my name is ${NAME}, call me on ${PHONE}` }),
      message({ caption: ALL, photo: [{ file_id: WORDS, width: 9, height: 9 }] }),
      message({ contact: { phone_number: PHONE, first_name: NAME, user_id: PERSON } }),
      message({ sticker: { file_id: WORDS, emoji: WORDS } }),
      message({ location: { latitude: 40.1, longitude: -105.1 }, text: ALL }),
      { update_id: nextUpdate++, callback_query: { id: WORDS, from: person, data: ALL, message: { message_id: 1 } } },
      { update_id: nextUpdate++, inline_query: { id: WORDS, from: person, query: ALL, offset: '' } },
    ),
  'updates that are none, and posts without the secret': async (place) => {
    const secret = webhookSecret(place.shop.standIn.token);
    await botPosts(place, WORDS, message({ text: ALL }));
    await botPosts(place, secret, `{"update_id": "${ALL}`);
    await botPosts(place, secret, { update_id: ALL, message: { text: ALL } });
    await botPosts(place, secret, { update_id: nextUpdate++, message: { message_id: NAME, text: ALL, chat: ALL } });
  },
  'the staff chat': (place) =>
    posted(
      place,
      message({ text: `/enter ${NAME}, ${PHONE}, 2017 6.7 V8 diesel ${VIN}: ${WORDS}` }, group),
      message({ text: `/say ${WORDS} ${ALL}` }, group),
      message({ text: `/link ${WORDS}` }, { ...group, id: -300 }),
      message({ text: `/requests ${ALL}` }, group),
      message({ text: `/${WORDS} ${ALL}` }, group),
      message({ text: ALL, reply_to_message: { message_id: 1, from: person, text: ALL } }, group),
    ),
  'the chat page': async (place) => {
    await fetch(`${place.shop.url}/?start=${WORDS}&q=${NAME}`, {
      headers: { cookie: `telltale_owner=${OWNERS_COOKIE}` },
    });
    await ownerPosts(place, '/chat/send', { text: ALL, postId: 'p1', zone: `Zone/${WORDS}` });
    await ownerPosts(place, '/chat/send', { text: ALL, photos: new Blob([PICTURE]) });
    await ownerPosts(place, '/chat/send', { text: ALL, photos: new Blob([WORDS]) });
    await ownerPosts(place, '/chat/press', { data: `q:${WORDS}:${NAME}` });
    await ownerPosts(place, '/chat/edit', { messageRef: WORDS, text: ALL });
    await fetch(`${place.shop.url}/chat/lines?after=${WORDS}`, {
      headers: { cookie: `telltale_owner=${OWNERS_COOKIE}` },
    });
    await fetch(`${place.shop.url}/chat/picture/${WORDS}`, { headers: { cookie: `telltale_owner=${OWNERS_COOKIE}` } });
  },
  'requests that are none': async ({ shop: { url } }) => {
    await fetch(`${url}/%ff/${WORDS}?${NAME}`);
    await fetch(`${url}/${WORDS}/${NAME}?phone=${PHONE}`, { headers: { referer: `http://${WORDS}/`, cookie: WORDS } });
    await fetch(`${url}/chat/send`, {
      method: 'POST',
      headers: { 'content-type': 'multipart/form-data; boundary=x', 'sec-fetch-site': 'same-origin' },
      body: `--x\r\ncontent-disposition: form-data; name="${WORDS}\r\n${ALL}`,
    });
    await fetch(`${url}/chat/send`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: `{"${ALL}`,
    });
  },
  'sign-in, sessions and addresses that are secret': async ({ shop, desk, secrets }) => {
    const stranger = new Browser(shop.server);
    await stranger.post(`/counter/in/${WORDS}`, { name: ALL });
    await stranger.get(`/counter/feed/${WORDS}`);
    stranger.cookies.set('telltale_staff', WORDS);
    await stranger.get(`/counter/trucks?find=${NAME}`);
    for (const kind of ['feed', 'staff-chat', 'sign-in']) {
      const { body } = await desk.submit(`/counter/link/${kind}`, { person: 'tock' });
      const [, secret] = /(?:\/counter\/(?:in|feed)\/|\/link )([\w-]{8,})/.exec(body) ?? [];
      if (secret !== undefined) secrets.push(secret);
    }
    for (const secret of secrets) await stranger.get(`/counter/feed/${secret}`);
  },
  "the counter's forms": async ({ desk, truckId }) => {
    const fields = {
      ...{ name: NAME, phone: PHONE, truck: '2017 6.7 V8 diesel', complaint: ALL, unit: WORDS },
      ...{ purchaseOrder: WORDS, open: 'yes', service: 'fuel-filter-service', because: ALL, resource: 'bay-1' },
      ...{ date: '2027-02-02', from: '08:00', untilDate: '2027-02-02', until: '09:00', text: ALL, label: WORDS },
      ...{ driver: NAME, driverPhone: PHONE, approver: NAME, approverPhone: PHONE, payer: NAME, payerPhone: PHONE },
    };
    await desk.submit('/counter/enter', fields);
    await desk.submit('/counter/block', fields);
    await desk.submit(`/counter/truck/${truckId}/papers`, fields);
    await desk.submit(`/counter/unread/${WORDS}`, fields);
    await desk.submit(`/counter/request/${WORDS}/say`, fields);
    for (const page of [
      `trucks?find=${NAME}`,
      `truck/${truckId}`,
      'waiting',
      'trucks.csv',
      'records.csv',
      `day?date=${WORDS}`,
    ])
      await desk.get(`/counter/${page}`);
  },
  'a list of customers': async ({ desk }) => {
    const rows = [
      'owner,phone,unit,vin,modelYear,engineLitres,cylinders,layout,fuel,odometerMiles,odometerDate,lastServices,lastServiceDate,lastServiceMiles',
      `${NAME},${PHONE_OF_LIST},${WORDS},,2017,6.7,8,V,diesel,,,,,`,
      `${NAME},${WORDS},,${VIN},x,,,,,,,,,`,
    ];
    const looked = await desk.upload('/counter/import', {
      ...{ name: 'list', fileName: `${WORDS}.csv` },
      bytes: Buffer.from(rows.join('\r\n')),
    });
    const [, id = ''] = /name="id" value="([0-9a-f]+)"/.exec(looked.body) ?? [];
    await desk.submit('/counter/import/take', { id });
    await desk.upload('/counter/import', { name: 'list', fileName: WORDS, bytes: Buffer.from(`"${ALL}\n,"",`) });
  },
  'figures and health': async ({ shop: { url } }) => {
    await fetch(`${url}/metrics`, { headers: { authorization: `Bearer ${METRICS_TOKEN}` } });
    await fetch(`${url}/metrics`, { headers: { authorization: `Bearer ${WORDS}` } });
    await fetch(`${url}/readyz`);
    await fetch(`${url}/healthz?${WORDS}`);
  },
  'sending, refused and broken in every way': async ({ shop: { standIn } }) => {
    for (const failure of [
      { status: 400, description: `Bad Request: cannot parse ${ALL}` },
      { status: 429, description: `Too Many Requests: ${ALL}`, parameters: { retry_after: 1 } },
      { status: 500, description: ALL },
      'reset',
    ] as const)
      standIn.fail('sendMessage', failure);
    standIn.fail('answerCallbackQuery', { status: 403, description: ALL });
    standIn.fail('getFile', { status: 400, description: ALL });
    await sleep(1_500);
    standIn.heal();
    standIn.block(PERSON, `Forbidden: ${ALL}`);
    await sleep(1_200);
  },
};

let shop: RunningShop | undefined;
let heal = (): void => {};
afterEach(async () => {
  heal();
  await shop?.close();
  shop = undefined;
});

async function open(raw: boolean): Promise<Place> {
  shop = await openShop({
    raw,
    environment: { PUBLIC_URL: 'http://shop.example', METRICS_TOKEN, SECRET_KEY, LOG_LEVEL: 'trace' },
  });
  const { system, server, standIn } = shop;
  standIn.person(PERSON);
  const manager = system.flows.shop.people[0]?.id ?? '';
  const code = await system.store.access.createCode('sign-in', manager, system.time.now(), 60);
  const desk = new Browser(server);
  await desk.post(`/counter/in/${code}`, {});
  await desk.get('/counter');
  const place = { shop, desk, secrets: [code, ...desk.cookies.values()], truckId: '' };
  await posted(place, message({ text: '2017 6.7 V8 diesel, 92k' }));
  await system.desk.drain();
  const ownerId = (await system.store.views.ownerAt('telegram', String(PERSON))) ?? '';
  const file = await system.store.transaction((tx) => tx.loadFile(ownerId));
  return { ...place, truckId: file?.vehicles[0]?.id ?? '' };
}

describe.each([
  ['the log', false],
  ['what is handed to the log, before it hides anything', true],
])('%s', (_what, raw) => {
  it.each([
    ['while all is well', false],
    ['while the database fails with words that it was given', true],
  ])('holds nothing personal and no secret of any edge %s', { timeout: 120_000 }, async (_how, failing) => {
    const place = await open(raw);
    const { system, standIn, server } = place.shop;
    expect(place.truckId).not.toBe('');
    expect(place.desk.token).not.toBe('');
    const { transaction } = system.store;
    heal = () => void (system.store.transaction = transaction);
    if (failing) {
      system.store.transaction = () =>
        Promise.reject(Object.assign(new Error(`cannot keep ${ALL}`), { code: 'SQLITE_FULL', detail: ALL }));
    }
    for (const [edge, drive] of Object.entries(EDGES)) {
      const before = place.shop.logged().length;
      await drive(place);
      await sleep(100);
      const lines = place.shop.logged().slice(before).split('\n');
      const token = standIn.token.split(':')[1] ?? '';
      const marks = [
        NAME,
        WORDS,
        PHONE,
        PHONE.replaceAll('-', ''),
        PHONE_OF_LIST,
        EMAIL,
        VIN,
        String(PERSON),
        standIn.token,
        token,
      ];
      const secrets = [METRICS_TOKEN, SECRET_KEY, OWNERS_COOKIE, webhookSecret(standIn.token), ...place.secrets];
      for (const mark of [...marks, ...secrets])
        expect(
          lines.filter((line) => line.includes(mark)),
          `${edge}: ${mark}`,
        ).toEqual([]);
    }
    // The ways were really taken: what could be kept was, and faults were logged where there were some.
    if (failing) expect(place.shop.logged()).toMatch(/SQLITE_FULL/);
    else expect((await system.store.views.search(NAME)).length).toBeGreaterThan(1);
    expect(place.shop.logged().split('\n').length).toBeGreaterThan(5);
    heal();
    expect((await server.inject({ url: '/readyz' })).statusCode).toBe(200);
  });
});

describe('a fault that nobody took care of', () => {
  it.each([
    ['thrown', 'setTimeout(() => { throw fault; }, 1);'],
    ['rejected', 'void Promise.reject(fault);'],
  ])('ends the process with its kind and place alone: %s', (_how, act) => {
    const source = resolve(import.meta.dirname, '../../src');
    const program = `
      const { endOnFault } = await import('${source}/last-words.ts');
      const { createLog } = await import('${source}/log.ts');
      endOnFault(createLog({ level: 'warn' }));
      const fault = Object.assign(new Error(${JSON.stringify(ALL)}), {
        code: '23505', detail: ${JSON.stringify(ALL)}, payload: { text: ${JSON.stringify(ALL)} },
      });
      ${act}
      setTimeout(() => process.exit(0), 5_000);`;
    const ran = spawnSync(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', program], {
      cwd: resolve(source, '..'),
      encoding: 'utf8',
    });
    expect(ran.status).toBe(1);
    expect(ran.stderr).toMatch(/"level":"fatal".*"type":"Error","code":"23505","stack":\[" +at /);
    for (const mark of [NAME, WORDS, PHONE, VIN]) expect(ran.stdout + ran.stderr).not.toContain(mark);
  });

  it('ends the program that serves a shop in the same way', () => {
    expect(readFileSync(resolve(import.meta.dirname, '../../src/serve.ts'), 'utf8')).toContain('endOnFault(log);');
  });
});
