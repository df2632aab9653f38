import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { ACTIONS, mayDo, mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sameOrigin } from '../same-origin.ts';
import { counterPage, plainPage, sayIn, tokenField } from './frame.ts';
import { dayPage, requestsPage, shopPage, trucksPage, waitingPage } from './lists.ts';
import { closeForm } from './close-form.ts';
import { requestSheet } from './request-page.ts';
import { actionOf } from './actions.ts';
import { feed, newFeedAddress, recordsCsv, trucksCsv } from './exports.ts';
import { labelPage } from './label.ts';
import { weekPage } from './week.ts';
import { isFormToken, sessionOf, signIn, signOut, type Session } from './session.ts';
import { truckPage } from './truck-page.ts';

const words = z.string().trim().min(1).max(1000);

/** The shop's pages: every one needs a signed-in member of the staff, every form its session's token. */
export function counterRoutes(server: FastifyInstance, means: Means): void {
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

  type Handler = (
    request: FastifyRequest<{ Params: Record<string, string> }>,
    reply: FastifyReply,
    session: Session,
  ) => Promise<unknown>;
  const get = (path: string, handler: Handler) =>
    server.get<{ Params: Record<string, string> }>(path, async (request, reply) => {
      const session = await sessionOf(request, means);
      if (!session) return stranger(reply);
      return mayUse(`GET ${path}`, session.staff.role) ? handler(request, reply, session) : notYours(reply, session);
    });
  const post = (path: string, handler: Handler) =>
    server.post<{ Params: Record<string, string> }>(path, { preHandler: sameOrigin }, async (request, reply) => {
      const session = await sessionOf(request, means);
      if (!session) return stranger(reply);
      const token = (request.body as Record<string, unknown> | undefined)?.['token'];
      if (!isFormToken(token, session))
        return reply.code(403).type('text/plain; charset=utf-8').send(say('page-refused'));
      if (!mayUse(`POST ${path}`, session.staff.role)) return notYours(reply, session);
      return handler(request, reply, session);
    });

  server.get<{ Params: { code: string } }>('/counter/in/:code', (request, reply) =>
    send(
      reply,
      plainPage(
        means,
        say('counter-sign-in'),
        html`<p>${say('counter-sign-in-how')}</p>
          <form method="post" action="/counter/in/${request.params.code}">
            <button>${say('counter-sign-in')}</button>
          </form>`,
      ),
    ),
  );
  server.post<{ Params: { code: string } }>(
    '/counter/in/:code',
    { preHandler: sameOrigin, config: { rateLimit: { max: 20, timeWindow: '1 minute' } } },
    async (request, reply) => {
      const opened = await signIn(request.params.code, reply, means);
      return opened
        ? reply.redirect('/counter', 303)
        : send(reply, plainPage(means, say('counter-link-used'), html`<p>${say('counter-stranger-how')}</p>`), 401);
    },
  );
  post('/counter/out', async (request, reply) => {
    await signOut(request, reply, means);
    return send(reply, plainPage(means, say('counter-signed-out'), html`<p>${say('counter-stranger-how')}</p>`));
  });

  const show = (reply: FastifyReply, session: Session, title: string, body: Html, notice?: string) =>
    send(reply, counterPage(means, session, title, body, notice));

  get('/counter', async (_request, reply, session) =>
    show(reply, session, say('counter-way-requests'), await requestsPage(means)),
  );
  get('/counter/day', async (request, reply, session) => {
    const date = z.object({ date: z.iso.date() }).safeParse(request.query);
    return show(
      reply,
      session,
      say('counter-way-day'),
      await dayPage(means, date.success ? date.data.date : undefined),
    );
  });
  get('/counter/week', async (request, reply, session) => {
    const date = z.object({ date: z.iso.date() }).safeParse(request.query);
    const body = await weekPage(means, date.success ? date.data.date : undefined);
    return show(reply, session, say('counter-way-week'), body);
  });
  const csv = (reply: FastifyReply, name: string, text: string) =>
    reply
      .type('text/csv; charset=utf-8')
      .header('cache-control', 'no-store')
      .header('content-disposition', `attachment; filename="${name}-${means.now().slice(0, 10)}.csv"`)
      .send(text);
  get('/counter/trucks.csv', async (_request, reply) => csv(reply, 'trucks', await trucksCsv(means)));
  get('/counter/records.csv', async (_request, reply) => csv(reply, 'service-records', await recordsCsv(means)));
  server.get<{ Params: { secret: string } }>('/counter/feed/:secret', async (request, reply) => {
    const calendar = await feed(means, request.params.secret);
    if (calendar === undefined) return reply.callNotFound();
    return reply.type('text/calendar; charset=utf-8').header('cache-control', 'private, no-store').send(calendar);
  });
  get('/counter/truck/:id/label', async (request, reply, session) => {
    const view = await means.store.views.vehicle(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    return show(reply, session, say('label-title'), await labelPage(view, means));
  });
  get('/counter/trucks', async (request, reply, session) => {
    const search = z.object({ find: z.string().max(100) }).safeParse(request.query);
    return show(
      reply,
      session,
      say('counter-way-trucks'),
      await trucksPage(means, session, search.success ? search.data.find : ''),
    );
  });
  get('/counter/truck/:id', async (request, reply, session) => {
    const view = await means.store.views.vehicle(request.params['id'] ?? '');
    return view ? show(reply, session, say('counter-truck'), truckPage(view, means)) : reply.callNotFound();
  });
  get('/counter/waiting', async (_request, reply, session) =>
    show(reply, session, say('counter-way-waiting'), await waitingPage(means, tokenField(session))),
  );
  post('/counter/unread/:id', async (request, reply, session) => {
    const body = z.object({ label: words }).safeParse(request.body);
    if (body.success)
      await means.store.views.labelUnread(request.params['id'] ?? '', body.data.label, session.staff.name, means.now());
    return reply.redirect('/counter/waiting', 303);
  });
  get('/counter/shop', async (_request, reply, session) =>
    show(reply, session, say('counter-way-shop'), await shopPage(means, session)),
  );
  async function newLink(kind: string | undefined, body: unknown, session: Session): Promise<string | undefined> {
    const { access } = means.store;
    switch (kind) {
      case 'feed':
        return newFeedAddress(means);
      case 'staff-chat':
        return `/link ${await access.createCode('staff-chat', session.staff.id, means.now(), 60)}`;
      case 'sign-in': {
        const form = z.object({ person: z.string() }).safeParse(body);
        const person = (await access.staff()).find(({ id }) => form.success && id === form.data.person);
        return (
          person && `${means.address()}/counter/in/${await access.createCode('sign-in', person.id, means.now(), 60)}`
        );
      }
      default:
        return undefined;
    }
  }
  post('/counter/link/:kind', async (request, reply, session) => {
    const link = await newLink(request.params['kind'], request.body, session);
    if (link === undefined) return reply.callNotFound();
    return show(reply, session, say('counter-way-shop'), await shopPage(means, session, link));
  });
  get('/counter/picture/:id', async (request, reply) => {
    const picture = await means.store.views.picture(request.params['id'] ?? '');
    if (!picture) return reply.callNotFound();
    return reply
      .type(picture.mediaType)
      .header('cache-control', 'private, max-age=3600')
      .send(Buffer.from(picture.bytes));
  });

  async function sheet(reply: FastifyReply, session: Session, id: string, notice?: string) {
    const view = await means.store.views.request(id);
    if (!view) return reply.callNotFound();
    const times = view.request.state === 'closed' ? [] : await means.timesFor(view.request);
    return show(reply, session, say('counter-worksheet'), requestSheet(view, means, session, times), notice);
  }
  get('/counter/request/:id', (request, reply, session) => sheet(reply, session, request.params['id'] ?? ''));
  get('/counter/request/:id/close', async (request, reply, session) => {
    const view = await means.store.views.request(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    return show(reply, session, say('do-close'), closeForm(view, means, session));
  });
  post('/counter/request/:id/:action', async (request, reply, session) => {
    const view = await means.store.views.request(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    const name = request.params['action'] ?? '';
    if (name in ACTIONS && !mayDo(name, session.staff.role)) return notYours(reply, session);
    const action = actionOf(name, view.request, request.body as Record<string, unknown>, means);
    if (!action) {
      const closing = name === 'close';
      const again = closing ? closeForm(view, means, session, request.body as Record<string, unknown>) : undefined;
      return again
        ? show(reply, session, say('do-close'), again, say('page-refused'))
        : sheet(reply, session, view.request.id, say('page-refused'));
    }
    const { staff } = session;
    const done = await means.askStaff({
      externalId: `counter-${randomUUID()}`,
      ownerId: view.owner.id,
      at: means.now(),
      by: { id: staff.id, name: staff.name },
      action,
    });
    if (done.outcome === 'done' && done.answer.length === 0)
      return reply.redirect(`/counter/request/${view.request.id}`, 303);
    return sheet(
      reply,
      session,
      view.request.id,
      done.outcome === 'done' ? done.answer.join(' ') : say('counter-not-yet'),
    );
  });

  if (means.demo) {
    const { demo } = means;
    post('/counter/demo-clock', async (request, reply, session) => {
      const days = z.object({ days: z.coerce.number().int().min(1).max(400) }).safeParse(request.body);
      if (!days.success) return reply.redirect('/counter', 303);
      await demo.moveOn(days.data.days);
      // The session has ended by the moved clock; whoever moved it goes on in a new one.
      await signIn(await means.store.access.createCode('sign-in', session.staff.id, means.now(), 1), reply, means);
      return reply.redirect('/counter', 303);
    });
  }
}
