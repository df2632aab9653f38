import { createHash, timingSafeEqual } from 'node:crypto';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { Means } from './means.ts';

/** How long an answer of /readyz serves: asking often must not keep the disk busy. */
const READY_MILLISECONDS = 2_000;

/** What machines ask: is the process alive, can it work, and its figures. */
export function healthRoutes(server: FastifyInstance, means: Means): void {
  let looked: { at: number; ready: Promise<boolean> } | undefined;

  server.get('/healthz', () => 'ok\n');

  server.get('/readyz', async (_request, reply) => {
    if (!looked || performance.now() - looked.at > READY_MILLISECONDS) {
      looked = { at: performance.now(), ready: means.ready() };
    }
    void reply.type('text/plain; charset=utf-8');
    return (await looked.ready) ? 'ready\n' : reply.code(503).send('the database cannot be written\n');
  });

  server.get('/metrics', async (request, reply) => {
    if (!mayReadFigures(request, means.metrics.token)) return reply.callNotFound();
    const { type, body } = await means.metrics.text();
    return reply.type(type).header('cache-control', 'no-store').send(body);
  });
}

const LOOPBACK = /^(127(\.\d{1,3}){3}|::1|::ffff:127(\.\d{1,3}){3})$/;
/** A proxy on the same machine connects from it, too, and says for whom. */
const FORWARDED = ['x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'forwarded', 'via'];

/** With a token in the settings whoever shows it; without one only a program on the machine itself. */
function mayReadFigures(request: FastifyRequest, token: string | undefined): boolean {
  if (token !== undefined) {
    const [, shown] = /^Bearer (.+)$/i.exec(request.headers.authorization ?? '') ?? [];
    return shown !== undefined && timingSafeEqual(hashOf(shown), hashOf(token));
  }
  const direct = FORWARDED.every((name) => request.headers[name] === undefined);
  return direct && LOOPBACK.test(request.raw.socket.remoteAddress ?? '');
}

const hashOf = (text: string): Buffer => createHash('sha256').update(text).digest();
