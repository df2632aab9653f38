import type { FastifyInstance } from 'fastify';
import { eventStream } from '../events.ts';
import type { Means } from '../means.ts';
import { sessionOf } from './session.ts';

const LOOK_MILLISECONDS = 1500;

/** Tells open pages of the shop that something changed; a page that comes back names the last change it saw. */
export function changeEvents(server: FastifyInstance, means: Means): void {
  server.get('/counter/events', { config: { rateLimit: false } }, async (request, reply) => {
    if (!(await sessionOf(request, means))) return reply.code(401).send();
    const seen = Number(request.headers['last-event-id']);
    let position = Number.isSafeInteger(seen) && seen > 0 ? seen : (await means.store.views.changesSince()).next;
    eventStream(request, reply, (send) => {
      const timer = setInterval(() => {
        void means.store.views.changesSince(position).then(
          ({ changes, next }) => {
            if (next !== position || changes.length > 0) send('changed', String(changes.length), String(next));
            position = next;
          },
          () => undefined,
        );
      }, LOOK_MILLISECONDS);
      return () => clearInterval(timer);
    });
    return reply;
  });
}
