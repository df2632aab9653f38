import { GrammyError } from 'grammy';

export interface Backoff {
  firstMs: number;
  mostMs: number;
}

const LEAST_MS_BETWEEN_EMPTY = 200;

/** Waits, or less where the signal comes. Never rejects. */
export function pause(milliseconds: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    if (signal.aborted) return resolve();
    const done = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', done);
      resolve();
    };
    const timer = setTimeout(done, milliseconds);
    signal.addEventListener('abort', done);
  });
}

/** The wait after the given number of failures in a row: doubling, with a random share so that nobody marches in step. */
export function waitAfter(failures: number, { firstMs, mostMs }: Backoff): number {
  const full = Math.min(mostMs, firstMs * 2 ** Math.min(failures - 1, 20));
  return full / 2 + (Math.random() * full) / 2;
}

const retryAfterMs = (fault: unknown): number =>
  fault instanceof GrammyError ? (fault.parameters.retry_after ?? 0) * 1000 : 0;

/** Runs `attempt` until it succeeds or the signal comes; undefined in the latter case. */
export async function untilItWorks<T>(
  attempt: () => Promise<T>,
  options: { signal: AbortSignal; backoff: Backoff; onFailure: (fault: unknown, failures: number) => void },
): Promise<T | undefined> {
  const { signal, backoff, onFailure } = options;
  for (let failures = 1; !signal.aborted; failures += 1) {
    try {
      return await attempt();
    } catch (fault) {
      if (signal.aborted) break;
      onFailure(fault, failures);
      await pause(Math.max(waitAfter(failures, backoff), retryAfterMs(fault)), signal);
    }
  }
  return undefined;
}

/**
 * Takes updates until the signal comes. The offset moves, which tells the Bot API to forget what lies before it, only
 * after `take` has made the batch durable; a batch whose `take` fails is asked for again. The offset is kept nowhere: a
 * new process gets every update again that was not confirmed, and the inbox knows those it has.
 */
export async function poll(options: {
  getUpdates: (offset: number | undefined) => Promise<{ update_id: number }[]>;
  take: (updates: unknown[]) => Promise<void>;
  signal: AbortSignal;
  backoff: Backoff;
  onFailure: (fault: unknown, failures: number) => void;
}): Promise<{ offset: number | undefined }> {
  let offset: number | undefined;
  while (!options.signal.aborted) {
    await untilItWorks(async () => {
      const asked = performance.now();
      const updates = await options.getUpdates(offset);
      if (!Array.isArray(updates)) throw new Error('getUpdates did not answer with a list');
      if (updates.length === 0) {
        // A server that answers at once instead of waiting must not be asked without a breath.
        return pause(Math.max(0, LEAST_MS_BETWEEN_EMPTY - (performance.now() - asked)), options.signal);
      }
      await options.take(updates);
      const last = Math.max(...updates.map(({ update_id }) => update_id));
      if (!Number.isSafeInteger(last)) throw new Error('getUpdates answered without update ids');
      offset = last + 1;
    }, options);
  }
  return { offset };
}
