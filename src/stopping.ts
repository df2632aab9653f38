import type { Log } from './log.ts';

/**
 * Ends this process when it is asked to, from now on: by a signal, or because the process that has started it is gone.
 * Returns a function that takes what has to be ended first. Before that is told nothing is under way that the next start
 * would not do again, and the process ends at once. Exit code 0 in both cases.
 */
export function stopWhenAsked(log: Log): (end: () => Promise<void>) => void {
  let endFirst: (() => Promise<void>) | undefined;
  let stopping = false;
  const stop = async (why: string): Promise<void> => {
    if (stopping) return;
    stopping = true;
    if (endFirst === undefined) process.exit(0);
    log.info({ signal: why }, 'stopping: what is under way is ended first');
    await endFirst();
  };
  process.on('SIGTERM', (signal) => void stop(signal));
  process.on('SIGINT', (signal) => void stop(signal));
  // One of several shops ends with the process that has started it, which may already be gone.
  process.on('disconnect', () => void stop('disconnect'));
  process.channel?.unref();
  if (process.connected === false) void stop('disconnect');
  return (end) => {
    endFirst = end;
  };
}
