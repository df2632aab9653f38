import { randomBytes } from 'node:crypto';
import { setTimeout as sleep } from 'node:timers/promises';
import { crc32 } from 'node:zlib';
import fc from 'fast-check';
import sharp from 'sharp';
import type { Sharp } from 'sharp';
import { describe, expect, it } from 'vitest';
import { photoFetcher } from '../../../src/edges/channels/photo-fetcher.ts';
import type { FetchedFile } from '../../../src/edges/channels/photo-fetcher.ts';
import { KEPT_PHOTO_BYTES, KEPT_PHOTO_SIDE, reencode } from '../../../src/edges/channels/photos.ts';
import type { Picture, Reencoded } from '../../../src/edges/channels/photos.ts';

/** A picture without structure: the worst that a compressor can meet. */
const noise = (width: number, height: number): Sharp =>
  sharp(randomBytes(width * height * 3), { raw: { width, height, channels: 3 } });
const plain = (width: number, height: number): Sharp =>
  sharp({ create: { width, height, channels: 3, background: '#996633' } });

/** A small PNG whose header claims another size (PNG specification, 11.2.1: IHDR is width, height and five bytes). */
async function claiming(width: number, height: number): Promise<Buffer> {
  const png = await plain(8, 8).png().toBuffer();
  png.writeUInt32BE(width, 16);
  png.writeUInt32BE(height, 20);
  png.writeUInt32BE(crc32(png.subarray(12, 29)), 29);
  return png;
}

function kept(result: Reencoded): Picture {
  if ('refused' in result) throw new Error(result.because);
  return result;
}

describe('a picture that comes in', () => {
  it.each<[string, () => Promise<Buffer>]>([
    ['JPEG', () => plain(800, 600).jpeg().toBuffer()],
    ['PNG', () => plain(800, 600).png().toBuffer()],
    ['WebP', () => plain(800, 600).webp().toBuffer()],
    ['GIF', () => plain(800, 600).gif().toBuffer()],
    ['TIFF', () => plain(800, 600).tiff().toBuffer()],
    ['AVIF', () => plain(800, 600).avif({ effort: 0 }).toBuffer()],
  ])('is drawn anew as JPEG: %s', async (_, make) => {
    const picture = kept(await reencode(await make()));
    expect((await sharp(picture.bytes).metadata()).format).toBe('jpeg');
    expect([picture.width, picture.height]).toEqual([800, 600]);
  });

  it('is made smaller, in bytes and in pixels, and keeps its proportions', async () => {
    const given = await noise(4000, 3000).jpeg({ quality: 95 }).toBuffer();
    expect(given.byteLength).toBeGreaterThan(KEPT_PHOTO_BYTES);
    const { bytes, width, height } = kept(await reencode(given));
    expect(bytes.byteLength).toBeLessThanOrEqual(KEPT_PHOTO_BYTES);
    expect(Math.max(width, height)).toBeLessThanOrEqual(KEPT_PHOTO_SIDE);
    expect(width / height).toBeCloseTo(4 / 3, 2);
  });

  it('loses its metadata, above all the place where it was taken', async () => {
    const given = await plain(300, 200)
      .jpeg()
      .withExif({
        IFD0: { Make: 'a phone', ImageDescription: 'my yard' },
        IFD3: { GPSLatitudeRef: 'N', GPSLatitude: '40/1 26/1 46/1' },
      })
      .toBuffer();
    expect((await sharp(given).metadata()).exif).toBeDefined();
    const after = kept(await reencode(given));
    const metadata = await sharp(after.bytes).metadata();
    expect([metadata.exif, metadata.xmp, metadata.iptc]).toEqual([undefined, undefined, undefined]);
    expect(Buffer.from(after.bytes).includes('my yard')).toBe(false);
  });

  it('stands upright, whichever way the phone was held', async () => {
    const lying = await plain(300, 200).jpeg().withMetadata({ orientation: 6 }).toBuffer();
    expect(kept(await reencode(lying))).toMatchObject({ width: 200, height: 300 });
  });

  it.each<[string, () => Buffer | Promise<Buffer>, string]>([
    ['a text', () => Buffer.from('not a picture'), 'not-a-picture'],
    ['nothing', () => Buffer.alloc(0), 'not-a-picture'],
    ['a drawing with a script in it', () => Buffer.from('<svg xmlns="http://www.w3.org/2000/svg"/>'), 'not-a-picture'],
    ['a page that calls itself JPEG', () => Buffer.from('<html>'.padEnd(3000, 'x')), 'not-a-picture'],
    ['only the beginning of a JPEG', async () => (await noise(400, 300).jpeg().toBuffer()).subarray(0, 2000), 'broken'],
    ['a JPEG’s mark before rubbish', () => Buffer.from([0xff, 0xd8, 0xff, ...Buffer.from('rubbish')]), 'broken'],
    ['more than may come', () => Buffer.alloc(20_000_001, 0xff), 'too-large'],
    ['a small file that unfolds to gigabytes', () => claiming(30_000, 30_000), 'broken'],
  ])('is refused by its content: %s', async (_, make, because) => {
    expect(await reencode(await make())).toEqual({ refused: true, because });
  });

  it('never throws, whatever the bytes are', async () => {
    const mark = fc.constantFrom([0xff, 0xd8, 0xff], [0x89, 0x50, 0x4e, 0x47], [0x47, 0x49, 0x46, 0x38], []);
    await fc.assert(
      fc.asyncProperty(mark, fc.uint8Array({ maxLength: 200 }), async (head, tail) => {
        expect(await reencode(new Uint8Array([...head, ...tail]))).toBeTypeOf('object');
      }),
    );
  });
});

/** A shelf in memory, with a channel whose answers are listed for each file. */
function shelfWith(files: Record<string, FetchedFile[]>) {
  const waiting = new Set(Object.keys(files));
  const notBefore = new Map<string, number>();
  const due = (id: string): boolean => (notBefore.get(id) ?? 0) <= Date.now();
  const log: string[] = [];
  const fetcher = photoFetcher({
    shelf: {
      expected: () => Promise.resolve([...waiting].filter(due).map((id) => ({ mediaId: id, fileId: id }))),
      store: (id, { width, height }) => {
        waiting.delete(id);
        log.push(`${id} stored ${width}x${height}`);
        return Promise.resolve();
      },
      refuse: (id, because) => {
        waiting.delete(id);
        log.push(`${id} refused: ${because}`);
        return Promise.resolve();
      },
      later: (id, seconds) => {
        notBefore.set(id, Date.now() + seconds * 1000);
        log.push(`${id} later: ${seconds}`);
        return Promise.resolve();
      },
    },
    fetchFile: (id) => Promise.resolve(files[id]?.shift() ?? { outcome: 'refused', because: 'gone' }),
    onFault: (_, id) => log.push(`fault at ${id}`),
  });
  return { fetcher, waiting, log };
}

describe('the fetching of pictures', () => {
  it('stores what is a picture, refuses what is not, and asks again for what cannot be had now', async () => {
    const bytes = new Uint8Array(await plain(40, 30).jpeg().toBuffer());
    const { fetcher, waiting, log } = shelfWith({
      good: [{ outcome: 'fetched', bytes }],
      text: [{ outcome: 'fetched', bytes: new Uint8Array(Buffer.from('hello')) }],
      late: [
        { outcome: 'later', afterSeconds: 1, because: 'the Bot API could not be reached' },
        { outcome: 'fetched', bytes },
      ],
      gone: [{ outcome: 'refused', because: 'wrong file_id' }],
    });
    fetcher.nudge();
    await fetcher.settled();
    while (waiting.size > 0) await sleep(50);
    await fetcher.stop();
    expect(log).toEqual([
      'good stored 40x30',
      'text refused: not-a-picture',
      'late later: 1',
      'gone refused: wrong file_id',
      'late stored 40x30',
    ]);
  });

  it('goes on with the next when one meets a fault', async () => {
    const bytes = new Uint8Array(await plain(40, 30).jpeg().toBuffer());
    const { fetcher, log } = shelfWith({ good: [{ outcome: 'fetched', bytes }] });
    const broken = photoFetcher({
      shelf: {
        expected: () => Promise.resolve([{ mediaId: 'bad', fileId: 'bad' }]),
        store: () => Promise.resolve(),
        refuse: () => Promise.resolve(),
        later: () => Promise.resolve(),
      },
      fetchFile: () => Promise.reject(new Error('a fault')),
      onFault: (_, id) => log.push(`fault at ${id}`),
    });
    broken.nudge();
    await broken.settled();
    fetcher.nudge();
    await fetcher.settled();
    await Promise.all([broken.stop(), fetcher.stop()]);
    expect(log).toEqual(['fault at bad', 'good stored 40x30']);
  });

  it('starts nothing after it was stopped', async () => {
    const { fetcher, log } = shelfWith({ one: [] });
    await fetcher.stop();
    fetcher.nudge();
    await fetcher.settled();
    expect(log).toEqual([]);
  });
});
