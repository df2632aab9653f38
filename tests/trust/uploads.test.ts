import { randomBytes } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { crc32, deflateSync } from 'node:zlib';
import Sqlite from 'better-sqlite3';
import sharp from 'sharp';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openShop, type RunningShop } from './shop.ts';

const SCRIPT = '<script>alert(1)</script>';
const picture = () => sharp({ create: { width: 60, height: 40, channels: 3, background: '#804020' } });
const jpeg = () => picture().jpeg().toBuffer();

/** One piece of a PNG file (PNG specification, 5.3): length, type, data, and the checksum of the last two. */
function chunk(type: string, data: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
  length.writeUInt32BE(data.length);
  sum.writeUInt32BE(crc32(named));
  return Buffer.concat([length, named, sum]);
}

/** A true PNG of one colour, some kilobytes that unfold to hundreds of millions of pixels. */
function bomb(side: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(side, 0);
  header.writeUInt32BE(side, 4);
  header.set([1, 0, 0, 0, 0], 8);
  const rows = deflateSync(Buffer.alloc((side / 8 + 1) * side), { level: 9 });
  const mark = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  return Buffer.concat([mark, chunk('IHDR', header), chunk('IDAT', rows), chunk('IEND', Buffer.alloc(0))]);
}

const REFUSED: [what: string, make: () => Buffer | Promise<Buffer>][] = [
  ['a text that calls itself a picture', () => Buffer.from(`hello ${SCRIPT}`)],
  [
    'a drawing, which can fetch and run things',
    () => Buffer.from(`<svg xmlns="http://www.w3.org/2000/svg">${SCRIPT}</svg>`),
  ],
  ['a drawing behind a blank and a declaration', () => Buffer.from('  <?xml version="1.0"?><svg/>')],
  ['a PDF', () => Buffer.from('%PDF-1.7\n%âãÏÓ\n')],
  ['an archive', () => Buffer.from('PK\x03\x04rubbish', 'latin1')],
  [
    'the first half of a photo',
    async () =>
      (
        await sharp(randomBytes(400 * 300 * 3), { raw: { width: 400, height: 300, channels: 3 } })
          .jpeg()
          .toBuffer()
      ).subarray(0, 20_000),
  ],
  ['a photo whose middle is overwritten', async () => (await picture().png().toBuffer()).fill(0x5a, 40)],
  ['a small file that unfolds to hundreds of millions of pixels', () => bomb(16_000)],
];

let shop: RunningShop;
beforeEach(async () => {
  shop = await openShop();
});
afterEach(() => shop.close());

const stored = (): { state: string; bytes: Buffer | null; refused_because: string | null }[] => {
  const database = new Sqlite(`${shop.folder}/shop.sqlite`, { readonly: true });
  try {
    return database.prepare('select state, bytes, refused_because from media order by id').all() as ReturnType<
      typeof stored
    >;
  } finally {
    database.close();
  }
};
const heard = (chat: number): string =>
  shop.standIn
    .messagesTo(chat)
    .map(({ text }) => text)
    .join('\n');
const until = async (condition: () => boolean): Promise<void> => {
  for (const end = Date.now() + 30_000; !condition(); await sleep(20)) {
    if (Date.now() > end) throw new Error(`waited in vain; the owner heard: ${heard(1001)}`);
  }
};

describe('a picture by messenger that is none', () => {
  it.each(REFUSED)('is refused by its content, and its owner is told once: %s', async (_what, make) => {
    shop.standIn.person(1001).sendsPhoto(await make());
    await until(() => heard(1001).includes('photo could not be kept'));
    expect(stored()).toEqual([{ state: 'refused', bytes: null, refused_because: expect.any(String) as string }]);
    shop.standIn.person(1001).says('2017 6.7 V8 diesel, 92k, hard to start when cold');
    await until(() => heard(1001).includes('92,000'));
    expect(heard(1001).match(/could not be kept/g)).toHaveLength(1);
  });
});

const send = (files: Buffer[], accept: string, text = '2017 6.7 V8 diesel, 92k'): Promise<Response> => {
  const body = new FormData();
  body.append('text', text);
  for (const bytes of files) body.append('photo', new Blob([new Uint8Array(bytes)], { type: 'image/jpeg' }), 'a.jpg');
  return fetch(`${shop.url}/chat/send`, {
    method: 'POST',
    body,
    headers: { accept, cookie: `telltale_owner=${'a'.repeat(43)}; telltale_zone=America/Denver` },
  });
};

describe('a picture on the chat page that is none', () => {
  it.each(REFUSED)('is refused in words, and nothing of the message is kept: %s', async (_what, make) => {
    const answer = await send([await jpeg(), await make()], 'application/json');
    expect(answer.status).toBe(422);
    expect(((await answer.json()) as { why: string }).why).toMatch(/photo/);
    expect(stored()).toEqual([]);
    expect((await shop.system.store.figures(shop.system.time.now())).owners).toBe(0);
  });

  it('is told on the page itself where there is no script', async () => {
    const answer = await send([Buffer.from('no picture')], 'text/html');
    expect(answer.status).toBe(422);
    expect(await answer.text()).toContain('That file is not a photo that can be read.');
  });

  it('is refused while it comes in where it is larger than any photo, in the same words', async () => {
    const answer = await send([Buffer.alloc(20_000_100, 0xff)], 'application/json');
    expect(answer.status).toBe(422);
    expect(await answer.json()).toEqual({ ok: false, why: 'That photo is too large.' });
  });
});

describe('a picture that is something else as well', () => {
  it('is drawn anew, so that only the picture is kept', async () => {
    const both = Buffer.concat([await jpeg(), Buffer.from(`PK\x03\x04${SCRIPT}`, 'latin1')]);
    expect((await send([both], 'application/json')).status).toBe(200);
    shop.standIn.person(1001).sendsPhoto(both);
    await until(() => stored().filter(({ state }) => state === 'stored').length === 2);
    for (const { bytes } of stored()) {
      expect(bytes?.includes('script')).toBe(false);
      expect((await sharp(bytes ?? Buffer.alloc(0)).metadata()).format).toBe('jpeg');
    }
  });
});
