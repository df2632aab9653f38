import { DateTime } from 'luxon';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { section, ticket } from './parts.ts';
import { bayName, requestTruck, serviceName, when } from './words.ts';

const requestEntry = ({ request, owner }: RequestView, means: Means): Html => {
  const say = sayIn(means);
  const { slot } = request;
  const start = slot && DateTime.fromISO(slot.start, { zone: means.flows.shop.zone }).setLocale('en-US');
  const work = request.services.map((id) => serviceName(id, means)).join(', ');
  const state =
    request.state === 'requested'
      ? say('sheet-answer-by', { time: when(request.answerBy, means) })
      : say('list-state', { state: say(`state-${request.state}`) });
  return ticket(
    slot && start
      ? html`<strong>${start.toFormat('ccc LLL d')}</strong
          ><br />${start.toFormat('h:mm a')}<br />${bayName(slot.bay, means)}`
      : html`${say('time-open')}`,
    html`<a href="/counter/request/${request.id}"><strong>${requestTruck(request, means)}</strong></a
      >, ${owner.name ?? say('no-name')}, ${owner.phone ?? say('no-phone')}<br />
      ${request.complaint[0] ? html`<span class="own">“${shortened(request.complaint[0])}”</span><br />` : null}
      <span class="small">${work}</span><br />
      ${say('list-urgency', { urgency: say(`urgency-word-${request.advice.urgency}`) })} ${state}`,
  );
};

const shortened = (text: string): string => (text.length > 160 ? `${text.slice(0, 160).trimEnd()} …` : text);

/** Open requests first, then the jobs in the house and on the books. */
export async function requestsPage(means: Means): Promise<Html> {
  const say = sayIn(means);
  const { views } = means.store;
  const open = await views.requests(['requested', 'other-time']);
  const house = await views.requests(['arrived', 'in-work', 'awaiting-approval']);
  const booked = await views.requests(['accepted', 'no-show']);
  const soonest = (a: RequestView, b: RequestView) =>
    (a.request.slot?.start ?? '').localeCompare(b.request.slot?.start ?? '');
  const entries = (list: RequestView[]) => list.map((view) => requestEntry(view, means));
  return html`<div id="live" data-live="1">
    ${section(say('list-open'), entries(open), say('list-open-none'))}
    ${section(say('list-house'), entries(house), say('list-house-none'))}
    ${section(say('list-booked'), entries(booked.sort(soonest)), say('list-booked-none'))}
  </div>`;
}
