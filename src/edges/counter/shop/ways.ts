import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sameOrigin } from '../same-origin.ts';
import { readForm, type PostedForm } from './form.ts';
import { counterPage, plainPage, sayIn } from './frame.ts';
import { isFormToken, sessionOf, type Session } from './session.ts';

type Asked = FastifyRequest<{ Params: Record<string, string> }>;
type Handler = (request: Asked, reply: FastifyReply, session: Session) => Promise<unknown>;
type PostHandler = (request: Asked, reply: FastifyReply, session: Session, form: PostedForm) => Promise<unknown>;

/** How the shop's pages are made: every one for a signed-in member of the staff, every form with its session's token. */
export interface Pages {
  get(path: string, handler: Handler): void;
  post(path: string, handler: PostHandler): void;
  send(reply: FastifyReply, page: string, status?: number): FastifyReply;
  show(
    reply: FastifyReply,
    session: Session,
    title: string,
    body: Html,
    options?: { notice?: string | undefined },
  ): FastifyReply;
  notYours(reply: FastifyReply, session: Session): FastifyReply;
}

export function pagesOn(server: FastifyInstance, means: Means): Pages {
  const say = sayIn(means);
  const send = (reply: FastifyReply, page: string, status = 200) =>
    reply.code(status).header('cache-control', 'no-store').type('text/html; charset=utf-8').send(page);
  const stranger = (reply: FastifyReply) =>
    send(reply, plainPage(means, say('counter-stranger'), html`<p>${say('counter-stranger-how')}</p>`), 401);
  const notYours = (reply: FastifyReply, session: Session) =>
    send(
      reply,
      counterPage(means, session, say('counter-not-yours'), html`<p>${say('counter-not-yours-how')}</p>`),
      403,
    );
  return {
    send,
    notYours,
    show: (reply, session, title, body, options = {}) => {
      const at = reply.request.routeOptions.url ?? '';
      return send(reply, counterPage(means, session, title, body, { ...options, at }));
    },
    get: (path, handler) =>
      void server.get<{ Params: Record<string, string> }>(path, async (request, reply) => {
        const session = await sessionOf(request, means);
        if (!session) return stranger(reply);
        return mayUse(`GET ${path}`, session.staff.role) ? handler(request, reply, session) : notYours(reply, session);
      }),
    post: (path, handler) =>
      void server.post<{ Params: Record<string, string> }>(path, { preHandler: sameOrigin }, async (request, reply) => {
        const session = await sessionOf(request, means);
        if (!session) return stranger(reply);
        const form = await readForm(request);
        if (!isFormToken(form.fields['token'], session))
          return reply.code(403).type('text/plain; charset=utf-8').send(say('page-refused'));
        if (!mayUse(`POST ${path}`, session.staff.role)) return notYours(reply, session);
        return handler(request, reply, session, form);
      }),
  };
}
