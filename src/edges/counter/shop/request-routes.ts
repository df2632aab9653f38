import { randomUUID } from 'node:crypto';
import type { FastifyReply } from 'fastify';
import type { ServiceId, StaffAction } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { ACTIONS, mayDo } from '../access.ts';
import type { Means } from '../means.ts';
import { actionOf } from './actions.ts';
import { closeForm } from './close-form.ts';
import { readClosing, type KeptPhotos, type Problem } from './closing.ts';
import { sayIn } from './frame.ts';
import type { PostedForm } from './form.ts';
import { requestSheet } from './request-page.ts';
import type { Session } from './session.ts';
import type { Pages } from './ways.ts';
import { requestTruck, serviceName } from './words.ts';

/** The work sheet of a request, and everything that is done with it. */
export function requestRoutes({ get, post, show, notYours }: Pages, means: Means): void {
  const say = sayIn(means);

  async function sheet(reply: FastifyReply, session: Session, id: string, notice?: string) {
    const view = await means.store.views.request(id);
    if (!view) return reply.callNotFound();
    const { request, owner } = view;
    const times = ['requested', 'other-time', 'accepted'].includes(request.state) ? await means.timesFor(request) : [];
    const truck = await means.store.views.vehicle(request.vehicleId);
    const record = truck?.vehicle.records.findLast(({ requestId }) => requestId === id);
    const title = `${requestTruck(request, means)}, ${owner.name ?? say('no-name')}`;
    return show(reply, session, title, requestSheet(view, means, session, times, record), { notice });
  }

  async function act(reply: FastifyReply, session: Session, view: RequestView, action: StaffAction) {
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
    const notice = done.outcome === 'done' ? done.answer.join(' ') : say('counter-not-yet');
    return sheet(reply, session, view.request.id, notice);
  }

  /** Keeps the pictures of a form at once, so that a form that comes again has lost none. */
  async function keepPhotos({ fields, files }: PostedForm, view: RequestView) {
    const kept: Record<string, string[]> = {};
    const problems: Problem[] = [];
    for (const [name, value] of Object.entries(fields)) {
      if (!name.startsWith('kept-')) continue;
      for (const id of [value].flat()) {
        const picture = await means.store.views.picture(id);
        if (picture?.ownerId === view.owner.id) (kept[name.slice(5)] ??= []).push(id);
      }
    }
    for (const file of files) {
      const photo = await means.keepPhoto(view.owner.id, file.bytes);
      if (photo.ok) (kept[file.field] ??= []).push(photo.id);
      else problems.push({ text: `post-${photo.because}` });
    }
    return { kept: kept satisfies KeptPhotos, problems };
  }

  get('/counter/request/:id', (request, reply, session) => sheet(reply, session, request.params['id'] ?? ''));

  get('/counter/request/:id/close', async (request, reply, session) => {
    const view = await means.store.views.request(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    return show(reply, session, say('do-close'), closeForm(view, means, session));
  });

  post('/counter/request/:id/:action', async (request, reply, session, form) => {
    const view = await means.store.views.request(request.params['id'] ?? '');
    if (!view) return reply.callNotFound();
    const name = request.params['action'] ?? '';
    if (name in ACTIONS && !mayDo(name, session.staff.role)) return notYours(reply, session);
    const { kept, problems } = await keepPhotos(form, view);
    if (name !== 'close') {
      const action =
        problems.length === 0 ? actionOf(name, view.request, form.fields, means, kept['odometer']?.[0]) : undefined;
      return action
        ? act(reply, session, view, action)
        : sheet(reply, session, view.request.id, problemWords(problems));
    }
    const closing = readClosing(form.fields, kept);
    const revision = Number(form.fields['revision']);
    if (closing.ok && problems.length === 0 && Number.isSafeInteger(revision))
      return act(reply, session, view, { do: 'close', requestId: view.request.id, revision, report: closing.report });
    const all = [...problems, ...(closing.ok ? [] : closing.problems)];
    const again = closeForm(view, means, session, { fields: form.fields, photos: kept });
    return show(reply, session, say('do-close'), again, { notice: problemWords(all) });
  });

  const problemWords = (problems: readonly Problem[]): string =>
    problems.length === 0
      ? say('page-refused')
      : [...new Set(problems.map(({ text, values = {} }) => say(text, named(values))))].join(' ');
  const named = ({ service, ...values }: Record<string, string>): Record<string, string> =>
    service === undefined ? values : { ...values, service: serviceName(service as ServiceId, means) };

  // A reload of a page that an action was posted to asks for it; it leads back to the sheet.
  get('/counter/request/:id/:action', (request, reply) =>
    Promise.resolve(reply.redirect(`/counter/request/${request.params['id']}`, 303)),
  );
}
