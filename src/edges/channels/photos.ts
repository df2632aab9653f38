/** Bytes of a picture as it may come in; what is larger is refused unread. */
export const INCOMING_PHOTO_BYTES = 20_000_000;
/** Bytes of a picture as it is kept. */
export const KEPT_PHOTO_BYTES = 1_000_000;
/** Pixels along the longer side of a picture as it is kept. */
export const KEPT_PHOTO_SIDE = 1600;
/** Pixels of a picture before it is made smaller; guards against files that unfold to gigabytes. */
const MOST_PIXELS = 100_000_000;

/** A picture as it is kept. */
export interface Picture {
  bytes: Uint8Array;
  mediaType: 'image/jpeg';
  width: number;
  height: number;
}

export type Reencoded = Picture | { refused: true; because: 'too-large' | 'not-a-picture' | 'broken' };

const ascii = (bytes: Uint8Array, from: number, to: number): string => String.fromCharCode(...bytes.subarray(from, to));

/** Whether the bytes begin as one of the picture formats that are read; vector formats, which can fetch, are not. */
function looksLikePicture(bytes: Uint8Array): boolean {
  const head = ascii(bytes, 0, 4);
  return (
    head.startsWith('\xff\xd8\xff') ||
    head === '\x89PNG' ||
    head === 'GIF8' ||
    head === 'II*\0' ||
    head === 'MM\0*' ||
    (head === 'RIFF' && ascii(bytes, 8, 12) === 'WEBP') ||
    (ascii(bytes, 4, 8) === 'ftyp' && /^avi[fs]$/.test(ascii(bytes, 8, 12)))
  );
}

/** From the best to the smallest; the first that fits is kept. */
const ATTEMPTS = [
  { side: KEPT_PHOTO_SIDE, quality: 82 },
  { side: KEPT_PHOTO_SIDE, quality: 65 },
  { side: 1280, quality: 60 },
  { side: 960, quality: 50 },
  { side: 640, quality: 50 },
];

/**
 * Draws a picture anew as JPEG, at most KEPT_PHOTO_BYTES and KEPT_PHOTO_SIDE, upright, on white where it was clear, and
 * without its metadata, so that neither the place where it was taken nor anything hidden in the file is kept.
 */
export async function reencode(bytes: Uint8Array): Promise<Reencoded> {
  if (bytes.byteLength > INCOMING_PHOTO_BYTES) return { refused: true, because: 'too-large' };
  if (!looksLikePicture(bytes)) return { refused: true, because: 'not-a-picture' };
  // Loaded with the first picture: it takes longer to load than everything else together.
  const { default: sharp } = await import('sharp');
  const source = sharp(bytes, { limitInputPixels: MOST_PIXELS, failOn: 'error', pages: 1, sequentialRead: true })
    .timeout({ seconds: 20 })
    .autoOrient()
    .flatten({ background: '#ffffff' });
  try {
    for (const { side, quality } of ATTEMPTS) {
      const { data, info } = await source
        .clone()
        .resize({ width: side, height: side, fit: 'inside', withoutEnlargement: true })
        .jpeg({ quality })
        .toBuffer({ resolveWithObject: true });
      if (data.byteLength <= KEPT_PHOTO_BYTES) {
        return { bytes: new Uint8Array(data), mediaType: 'image/jpeg', width: info.width, height: info.height };
      }
    }
    return { refused: true, because: 'too-large' };
  } catch {
    return { refused: true, because: 'broken' };
  }
}
