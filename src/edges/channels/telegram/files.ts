import { request as requestHttp } from 'node:http';
import { request as requestHttps } from 'node:https';
import type { Api } from 'grammy';
import { GrammyError } from 'grammy';
import type { FetchedFile } from '../photo-fetcher.ts';
import { INCOMING_PHOTO_BYTES } from '../photos.ts';
import { outcomeOf } from './outcome.ts';

const SECONDS = 30;

/**
 * Downloads an address of the Bot API's file server. Faults come back as words of our own: the address holds the token.
 */
function download(address: string): Promise<FetchedFile> {
  return new Promise((resolve) => {
    const later = (because: string, afterSeconds = 10): void => resolve({ outcome: 'later', afterSeconds, because });
    const request = (address.startsWith('https:') ? requestHttps : requestHttp)(address, { agent: false });
    const deadline = setTimeout(() => request.destroy(), SECONDS * 1000);
    request.on('close', () => clearTimeout(deadline));
    request.on('error', () => later('the file could not be fetched'));
    request.on('response', (response) => {
      const status = response.statusCode ?? 0;
      if (status !== 200) {
        response.resume();
        if (status === 429 || status >= 500) later(`the file server answered ${status}`);
        else resolve({ outcome: 'refused', because: `the file server answered ${status}` });
        return;
      }
      const chunks: Buffer[] = [];
      let size = 0;
      response.on('data', (chunk: Buffer) => {
        size += chunk.byteLength;
        chunks.push(chunk);
        if (size <= INCOMING_PHOTO_BYTES) return;
        resolve({ outcome: 'refused', because: 'too-large' });
        request.destroy();
      });
      response.on('error', () => later('the file broke off'));
      response.on('close', () => {
        if (response.complete) resolve({ outcome: 'fetched', bytes: new Uint8Array(Buffer.concat(chunks)) });
        else later('the file broke off');
      });
    });
    request.end();
  });
}

/** Fetches a file that a message named, by way of getFile. A file id that Telegram does not know is refused. */
export async function fetchTelegramFile(
  api: Api,
  server: { apiRoot: string; token: string },
  fileId: string,
): Promise<FetchedFile> {
  try {
    const { file_path, file_size } = await api.getFile(fileId);
    if ((file_size ?? 0) > INCOMING_PHOTO_BYTES) return { outcome: 'refused', because: 'too-large' };
    if (!file_path || !/^[\w./-]+$/.test(file_path) || file_path.includes('..')) {
      return { outcome: 'refused', because: 'the Bot API gives no path for the file' };
    }
    return await download(`${server.apiRoot}/file/bot${server.token}/${file_path}`);
  } catch (error) {
    if (error instanceof GrammyError && error.error_code === 400) {
      return { outcome: 'refused', because: error.description };
    }
    const outcome = outcomeOf(error);
    return outcome.outcome === 'later' ? outcome : { outcome: 'refused', because: 'the Bot API refuses the file' };
  }
}
