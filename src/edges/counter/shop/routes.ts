import { randomUUID } from 'node:crypto';
import type { FastifyInstance, FastifyReply } from 'fastify';
import { z } from 'zod';
import { mayUse } from '../access.ts';
import { html } from '../html.ts';
import type { Means } from '../means.ts';
import { sameOrigin } from '../same-origin.ts';
import { blockOf } from './block-form.ts';
import { dayPage } from './day-page.ts';
import { feed, newFeedAddress, recordsCsv, trucksCsv } from './exports.ts';
import { enterRoutes } from './enter-page.ts';
import { forecastsPage } from './forecasts-page.ts';
import { plainPage, sayIn, tokenField } from './frame.ts';
import { importRoutes } from './import-page.ts';
import { labelPage } from './label.ts';
import { papersOf } from './papers.ts';
import { requestRoutes } from './request-routes.ts';
import { requestsPage } from './requests-page.ts';
import { signIn, signOut, type Session } from './session.ts';
import { shopPage } from './shop-page.ts';
import { truckPage } from './truck-page.ts';
import { trucksPage } from './trucks-page.ts';
import { MEANINGS, unreadLines, waitingPage } from './waiting-page.ts';
import { pagesOn } from './ways.ts';
import { weekPage } from './week-page.ts';

/** The shop's pages. */
export function counterRoutes(server: FastifyInstance, means: Means): void {
  const say = sayIn(means);
  const pages = pagesOn(server, means);
  const { get, post, send, show } = pages;

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

  get('/counter', async (_request, reply, session) =>
    show(reply, session, say('counter-way-requests'), await requestsPage(means)),
  );
  const dateOf = (query: unknown): string | undefined => z.object({ date: z.iso.date() }).safeParse(query).data?.date;
  get('/counter/day', async (request, reply, session) =>
    show(reply, session, say('counter-way-day'), await dayPage(means, session, dateOf(request.query))),
  );
  get('/counter/week', async (request, reply, session) =>
    show(reply, session, say('counter-way-week'), await weekPage(means, session, dateOf(request.query))),
  );

  post('/counter/block', async (_request, reply, session, { fields }) => {
    const block = blockOf(fields, means, session.staff.name, `block-${randomUUID()}`);
    const date = dateOf(fields);
    const refused = async (notice: string) =>
      show(reply, session, say('counter-way-day'), await dayPage(means, session, date), { notice });
    if (!block) return refused(say('block-wrong'));
    const kept = await means.store.transaction(async (tx) => {
      const outcome = await tx.addBlock(block);
      if (outcome.outcome === 'saved')
        await tx.addChanges([{ at: means.now(), kind: 'block', ownerId: null, subject: block.id }]);
      return outcome;
    });
    return kept.outcome === 'saved' ? reply.redirect(`/counter/day?date=${date}`, 303) : refused(say('block-taken'));
  });
  post('/counter/block/:id/end', async (request, reply, _session, { fields }) => {
    const id = request.params['id'] ?? '';
    await means.store.transaction(async (tx) => {
      await tx.endBlock(id);
      await tx.addChanges([{ at: means.now(), kind: 'block', ownerId: null, subject: id }]);
    });
    return reply.redirect(`/counter/day?date=${dateOf(fields) ?? ''}`, 303);
  });

  const download = (reply: FastifyReply, type: string, name: string, text: string) =>
    reply
      .type(`${type}; charset=utf-8`)
      .header('cache-control', 'no-store')
      .header('content-disposition', `attachment; filename="${name.replace('.', `-${means.now().slice(0, 10)}.`)}"`)
      .send(text);
  get('/counter/trucks.csv', async (_request, reply) =>
    download(reply, 'text/csv', 'trucks.csv', await trucksCsv(means)),
  );
  get('/counter/records.csv', async (_request, reply) =>
    download(reply, 'text/csv', 'service-records.csv', await recordsCsv(means)),
  );
  get('/counter/unread.jsonl', async (_request, reply) =>
    download(reply, 'application/jsonl', 'labelled-clauses.jsonl', await unreadLines(means)),
  );
  server.get<{ Params: { secret: string } }>('/counter/feed/:secret', async (request, reply) => {
    const calendar = await feed(means, request.params.secret);
    if (calendar === undefined) return reply.callNotFound();
    return reply.type('text/calendar; charset=utf-8').header('cache-control', 'private, no-store').send(calendar);
  });

  get('/counter/trucks', async (request, reply, session) => {
    const search = z.object({ find: z.string().max(100) }).safeParse(request.query);
    const body = await trucksPage(means, session, search.success ? search.data.find : '');
    return show(reply, session, say('counter-way-trucks'), body);
  });
  get('/counter/truck/:id', async (request, reply, session) => {
    const view = await means.store.views.vehicle(request.params['id'] ?? '');
    return view ? show(reply, session, say('counter-truck'), truckPage(view, means, session)) : reply.callNotFound();
  });
  get('/counter/truck/:id/label', async (request, reply, session) => {
    const view = await means.store.views.vehicle(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    return show(reply, session, say('label-title'), await labelPage(view, means));
  });
  post('/counter/truck/:id/papers', async (request, reply, session, { fields }) => {
    const id = request.params['id'] ?? '';
    const view = await means.store.views.vehicle(id);
    if (!view) return reply.callNotFound();
    const again = (notice: string) =>
      show(reply, session, say('counter-truck'), truckPage(view, means, session), { notice });
    const papers = papersOf(fields);
    if (!papers) return again(say('papers-wrong'));
    const { staff } = session;
    const done = await means.askStaff({
      externalId: `counter-${randomUUID()}`,
      ownerId: view.owner.id,
      at: means.now(),
      by: { id: staff.id, name: staff.name },
      action: { do: 'keep-papers', vehicleId: id, papers },
    });
    return done.outcome === 'done' && done.answer.length === 0
      ? reply.redirect(`/counter/truck/${id}`, 303)
      : again(done.outcome === 'done' ? done.answer.join(' ') : say('counter-not-yet'));
  });
  enterRoutes(pages, means);
  importRoutes(pages, means);

  get('/counter/waiting', async (_request, reply, session) => {
    const mayTakeAway = mayUse('GET /counter/unread.jsonl', session.staff.role);
    return show(reply, session, say('counter-way-waiting'), await waitingPage(means, tokenField(session), mayTakeAway));
  });
  post('/counter/unread/:id', async (request, reply, session, { fields }) => {
    const label = z.string().safeParse(fields['label']);
    if (label.success && MEANINGS.includes(label.data))
      await means.store.views.labelUnread(request.params['id'] ?? '', label.data, session.staff.name, means.now());
    return reply.redirect('/counter/waiting', 303);
  });
  get('/counter/forecasts', async (_request, reply, session) =>
    show(reply, session, say('forecasts-title'), await forecastsPage(means)),
  );

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
  post('/counter/link/:kind', async (request, reply, session, { fields }) => {
    const link = await newLink(request.params['kind'], fields, session);
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
  requestRoutes(pages, means);

  if (means.demo) {
    const { demo } = means;
    post('/counter/demo-clock', async (_request, reply, session, { fields }) => {
      const days = z.object({ days: z.coerce.number().int().min(1).max(400) }).safeParse(fields);
      if (!days.success) return reply.redirect('/counter', 303);
      await demo.moveOn(days.data.days);
      // The session has ended by the moved clock; whoever moved it goes on in a new one.
      await signIn(await means.store.access.createCode('sign-in', session.staff.id, means.now(), 1), reply, means);
      return reply.redirect('/counter', 303);
    });
  }
}
