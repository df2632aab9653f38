import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';
import { SERVICES, type BookingRequest, type Finding, type ServiceId, type StaffAction } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sameOrigin } from '../same-origin.ts';
import { counterPage, plainPage, sayIn, tokenField } from './frame.ts';
import { dayPage, requestsPage, shopPage, trucksPage, waitingPage } from './lists.ts';
import { closeForm, requestSheet } from './request-page.ts';
import { isFormToken, sessionOf, signIn, signOut, type Session } from './session.ts';
import { truckPage } from './truck-page.ts';

const SlotShape = z.strictObject({
  bay: z.string(),
  start: z.iso.datetime({ offset: true }),
  end: z.iso.datetime({ offset: true }),
  person: z.string().optional(),
});
const words = z.string().trim().min(1).max(1000);
const asList = z
  .union([z.string(), z.array(z.string())])
  .optional()
  .transform((value) => (value === undefined ? [] : [value].flat()));

/** The shop's pages: every one needs a signed-in member of the staff, every form its session's token. */
export function counterRoutes(server: FastifyInstance, means: Means): void {
  const say = sayIn(means);
  const send = (reply: FastifyReply, page: string, status = 200) =>
    reply.code(status).header('cache-control', 'no-store').type('text/html; charset=utf-8').send(page);

  const stranger = (reply: FastifyReply) =>
    send(reply, plainPage(means, say('counter-stranger'), html`<p>${say('counter-stranger-how')}</p>`), 401);

  type Handler = (
    request: FastifyRequest<{ Params: Record<string, string> }>,
    reply: FastifyReply,
    session: Session,
  ) => Promise<unknown>;
  const get = (path: string, handler: Handler) =>
    server.get<{ Params: Record<string, string> }>(path, async (request, reply) => {
      const session = await sessionOf(request, means);
      return session ? handler(request, reply, session) : stranger(reply);
    });
  const post = (path: string, handler: Handler) =>
    server.post<{ Params: Record<string, string> }>(path, { preHandler: sameOrigin }, async (request, reply) => {
      const session = await sessionOf(request, means);
      if (!session) return stranger(reply);
      const token = (request.body as Record<string, unknown> | undefined)?.['token'];
      if (!isFormToken(token, session))
        return reply.code(403).type('text/plain; charset=utf-8').send(say('page-refused'));
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
  get('/counter/trucks', async (request, reply, session) => {
    const search = z.object({ find: z.string().max(100) }).safeParse(request.query);
    return show(
      reply,
      session,
      say('counter-way-trucks'),
      await trucksPage(means, search.success ? search.data.find : ''),
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
  post('/counter/link/:kind', async (request, reply, session) => {
    if (session.staff.role !== 'manager')
      return show(reply, session, say('counter-way-shop'), await shopPage(means, session), say('counter-manager-only'));
    const person = z.object({ person: z.string() }).safeParse(request.body);
    const link =
      request.params['kind'] === 'staff-chat'
        ? `/link ${await means.store.access.createCode('staff-chat', session.staff.id, means.now(), 60)}`
        : `${means.address()}/counter/in/${await means.store.access.createCode('sign-in', person.success ? person.data.person : session.staff.id, means.now(), 60)}`;
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
    return show(reply, session, say('do-close'), closeForm(view, means, session, view.request.services));
  });
  post('/counter/request/:id/:action', async (request, reply, session) => {
    const view = await means.store.views.request(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    const action = actionOf(request.params['action'] ?? '', view.request, request.body as Record<string, unknown>);
    if (!action) {
      const closing = request.params['action'] === 'close';
      const again = closing ? closeForm(view, means, session, view.request.services) : undefined;
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
    post('/counter/demo-clock', async (request, reply) => {
      const days = z.object({ days: z.coerce.number().int().min(1).max(400) }).safeParse(request.body);
      if (days.success) await demo.advance(days.data.days * 86_400_000);
      return reply.redirect('/counter', 303);
    });
  }
}

/** A form as a staff action; undefined where something in it is missing or wrong. */
export function actionOf(
  name: string,
  request: BookingRequest,
  body: Record<string, unknown>,
): StaffAction | undefined {
  const revision = z.coerce.number().int().safeParse(body['revision']);
  if (!revision.success) return undefined;
  const head = { requestId: request.id, revision: revision.data };
  switch (name) {
    case 'accept':
    case 'arrive':
    case 'start-work':
    case 'no-show':
      return { do: name, ...head };
    case 'call':
      return { do: 'call', ...head };
    case 'decline':
    case 'cancel': {
      const because = words.safeParse(body['because']);
      return because.success ? { do: name, because: because.data, ...head } : undefined;
    }
    case 'say': {
      const text = words.safeParse(body['text']);
      return text.success ? { do: 'say', text: text.data } : undefined;
    }
    case 'other-time': {
      const slot = SlotShape.safeParse(safeJson(body['slot']));
      return slot.success
        ? { do: request.state === 'accepted' ? 'move' : 'offer-time', slot: slot.data, ...head }
        : undefined;
    }
    case 'close':
      return closing(head, body);
    default:
      return undefined;
  }
}

function closing(
  head: { requestId: string; revision: number },
  body: Record<string, unknown>,
): StaffAction | undefined {
  const form = z
    .object({
      date: z.iso.date(),
      odometerMiles: z
        .string()
        .transform((text) => Number(text.replace(/[,\s]/g, '')))
        .pipe(z.number().int().min(0).max(5_000_000)),
      service: asList.pipe(z.array(z.enum(SERVICES)).min(1)),
      putOff: z.union([z.literal(''), z.enum(SERVICES)]).optional(),
      putOffBecause: z.string().max(200).optional(),
      note: z.string().max(1000).optional(),
    })
    .safeParse(body);
  if (!form.success) return undefined;
  const { date, odometerMiles, service, putOff, putOffBecause, note } = form.data;
  const findings = Object.entries(body).flatMap(([key, value]): Finding[] => {
    const id = key.startsWith('finding-') ? z.enum(SERVICES).safeParse(key.slice(8)) : undefined;
    return id?.success && typeof value === 'string' && service.includes(id.data)
      ? [{ service: id.data, finding: value.slice(0, 20) }]
      : [];
  });
  const later: { service: ServiceId; because: string }[] = putOff
    ? [{ service: putOff, because: putOffBecause ?? '' }]
    : [];
  return {
    do: 'close',
    ...head,
    report: { date, odometerMiles, services: service, findings, putOff: later, ...(note && { note }) },
  };
}

function safeJson(text: unknown): unknown {
  try {
    return typeof text === 'string' ? JSON.parse(text) : undefined;
  } catch {
    return undefined;
  }
}
