import { createHash } from 'node:crypto';
import { BUTTON_DATA_BYTES } from '../../core/mod.ts';

/** UTF-16 units that are kept of one incoming message; what is longer is cut there. */
export const INCOMING_TEXT_LIMIT = 4096;

/** The longest prefix within `limit` UTF-16 units that does not cut a character in two. */
function prefix(text: string, limit: number): string {
  if (text.length <= limit) return text;
  const cutsPair = /[\uD800-\uDBFF]/.test(text[limit - 1] ?? '') && /[\uDC00-\uDFFF]/.test(text[limit] ?? '');
  return text.slice(0, cutsPair ? limit - 1 : limit);
}

/** Without control characters but line ends and tabs (PostgreSQL refuses NUL, a terminal obeys escapes). */
export const withoutControls = (text: string): string =>
  text
    .replace(/\r\n?|[\u0085\u2028\u2029]/g, '\n')
    // eslint-disable-next-line no-control-regex -- these are the characters to be taken out
    .replace(/[\u0000-\u0008\u000B-\u001F\u007F-\u009F]/g, '')
    .replace(/\p{Surrogate}/gu, '\uFFFD');

/** Makes a stranger's text safe to keep: no control characters, no halves of characters, at most INCOMING_TEXT_LIMIT. */
export const cleanText = (text: string): string =>
  prefix(withoutControls(prefix(text, INCOMING_TEXT_LIMIT * 2)), INCOMING_TEXT_LIMIT).trim();

/** Whether a pressed button's data can be one of ours: 1 to 64 bytes, without control characters. */
export const isButtonData = (data: string): boolean =>
  data !== '' && Buffer.byteLength(data) <= BUTTON_DATA_BYTES && !/[\p{Control}\p{Surrogate}]/u.test(data);

/** Where to cut a text that is too long: after a paragraph, else a line, a sentence, a word; else anywhere. */
function cutAt(text: string, limit: number): number {
  const head = prefix(text, limit);
  const least = limit / 4;
  for (const end of ['\n\n', '\n', '. ', ' ']) {
    const at = head.lastIndexOf(end);
    if (at >= least) return at + (end === '. ' ? 1 : 0);
  }
  return head.length;
}

/**
 * Splits a text into parts of at most `limit` UTF-16 units, at paragraph or line ends where there are any. Only blanks
 * and line ends at the cuts are dropped; no part is blank.
 */
export function splitText(text: string, limit: number): string[] {
  const parts: string[] = [];
  let rest = text.trim();
  while (rest.length > limit) {
    const at = cutAt(rest, limit);
    parts.push(rest.slice(0, at).trimEnd());
    rest = rest.slice(at).trimStart();
  }
  if (rest !== '') parts.push(rest);
  return parts;
}

/**
 * The name of a picture before its bytes are there: the same whenever the same message arrives again, different for
 * every message, and telling nothing about chat or file.
 */
export function mediaIdOf(externalId: string, index: number): string {
  return createHash('sha256').update(`${externalId}\n${index}`).digest('hex').slice(0, 32);
}
