import { reencode } from './photos.ts';
import type { Picture } from './photos.ts';

/** Where the store keeps track of pictures that messages have named and whose bytes are still to come. */
export interface PhotoShelf {
  /** Pictures without bytes that were neither stored nor refused, oldest first. */
  expected(): Promise<{ mediaId: string; fileId: string }[]>;
  store(mediaId: string, picture: Picture): Promise<void>;
  refuse(mediaId: string, because: string): Promise<void>;
  /** The file cannot be had now; it is not to be expected again before that many seconds have passed. */
  later(mediaId: string, afterSeconds: number): Promise<void>;
}

/** What became of one attempt to get a file from a channel. */
export type FetchedFile =
  | { outcome: 'fetched'; bytes: Uint8Array }
  | { outcome: 'later'; afterSeconds: number; because: string }
  | { outcome: 'refused'; because: string };

export interface PhotoFetcher {
  /** Looks for work now; called when messages have come in. */
  nudge(): void;
  /** Resolves when nothing is under way. */
  settled(): Promise<void>;
  stop(): Promise<void>;
}

/**
 * Fetches the bytes of pictures after their messages are safe, one at a time, until each is stored or refused. A file
 * that cannot be had now is tried again as long as it is expected, also after a restart.
 */
export function photoFetcher(options: {
  shelf: PhotoShelf;
  fetchFile: (fileId: string) => Promise<FetchedFile>;
  onFault: (fault: unknown, mediaId?: string) => void;
  /** Seconds between looks for work that nobody announced. */
  everySeconds?: number;
}): PhotoFetcher {
  const { shelf, fetchFile, onFault, everySeconds = 60 } = options;
  let stopped = false;
  let again = false;
  let running: Promise<void> | undefined;
  let timer: NodeJS.Timeout | undefined;

  /** Seconds to wait where the file must be asked for again. */
  async function fetchOne(mediaId: string, fileId: string): Promise<number | undefined> {
    const file = await fetchFile(fileId);
    switch (file.outcome) {
      case 'later':
        await shelf.later(mediaId, file.afterSeconds);
        return file.afterSeconds;
      case 'refused':
        await shelf.refuse(mediaId, file.because);
        return undefined;
      case 'fetched': {
        const picture = await reencode(file.bytes);
        if ('refused' in picture) await shelf.refuse(mediaId, picture.because);
        else await shelf.store(mediaId, picture);
        return undefined;
      }
      default:
        return file satisfies never;
    }
  }

  async function sweep(): Promise<number> {
    let wait = everySeconds;
    for (const { mediaId, fileId } of await shelf.expected()) {
      if (stopped) break;
      try {
        const seconds = await fetchOne(mediaId, fileId);
        if (seconds === undefined) again = true;
        else wait = Math.min(wait, Math.max(1, seconds));
      } catch (fault) {
        onFault(fault, mediaId);
      }
    }
    return wait;
  }

  async function run(): Promise<void> {
    let wait = everySeconds;
    do {
      again = false;
      try {
        wait = Math.min(wait, await sweep());
      } catch (fault) {
        onFault(fault);
      }
    } while (again && !stopped);
    running = undefined;
    // A little later than was said, so that what waits until then is due.
    if (!stopped) timer = setTimeout(nudge, wait * 1000 + 50).unref();
  }

  function nudge(): void {
    if (stopped) return;
    clearTimeout(timer);
    if (running) again = true;
    else running = run();
  }

  return {
    nudge,
    settled: async () => {
      while (running) await running;
    },
    stop: async () => {
      stopped = true;
      clearTimeout(timer);
      await running;
    },
  };
}
