import type { FastifyReply, FastifyRequest } from 'fastify';

const HEARTBEAT_MILLISECONDS = 20_000;

/** Keeps a stream of server-sent events open until the page goes away. `begin` is given a way to send, and answers how to end. */
export function eventStream(
  request: FastifyRequest,
  reply: FastifyReply,
  begin: (send: (event: string, data: string, id?: string) => void) => () => void,
): void {
  reply.hijack();
  const { raw } = reply;
  const headers = Object.fromEntries(Object.entries(reply.getHeaders()).map(([name, value]) => [name, String(value)]));
  raw.writeHead(200, {
    ...headers,
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    'x-accel-buffering': 'no',
  });
  raw.write('retry: 2000\n\n');
  const end = begin((event, data, id) => {
    const lines = data.split('\n').map((line) => `data: ${line}\n`);
    raw.write(`${id === undefined ? '' : `id: ${id}\n`}event: ${event}\n${lines.join('')}\n`);
  });
  const heartbeat = setInterval(() => raw.write(': here\n\n'), HEARTBEAT_MILLISECONDS);
  heartbeat.unref();
  request.raw.on('close', () => {
    clearInterval(heartbeat);
    end();
    raw.end();
  });
}
