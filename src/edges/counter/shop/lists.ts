import { DateTime } from 'luxon';
import type { FollowUpView, RequestView, VehicleView } from '../../store/types.ts';
import { isManager, mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { dayPicture } from './day-picture.ts';
import { sayIn, tokenField, type Say } from './frame.ts';
import type { Session } from './session.ts';
import { bayName, requestTruck, isOverdue, serviceName, slotWhen, truckWords, when } from './words.ts';

const section = (title: string, rows: Html[], nothing: string): Html =>
  html`<section class="list">
    <h2>${title}</h2>
    ${
      rows.length > 0
        ? html`<ul>
            ${rows}
          </ul>`
        : html`<p class="small">${nothing}</p>`
    }
  </section>`;

const requestLine = ({ request, owner }: RequestView, means: Means): Html => {
  const say = sayIn(means);
  const { slot } = request;
  const start = slot && DateTime.fromISO(slot.start, { zone: means.flows.shop.zone }).setLocale('en-US');
  const work = request.services.map((id) => serviceName(id, means)).join(', ');
  const state =
    request.state === 'requested'
      ? say('sheet-answer-by', { time: when(request.answerBy, means) })
      : say('list-state', { state: say(`state-${request.state}`) });
  return html`<li class="ticket">
    <div class="margin">
      ${slot && start ? html`<strong>${start.toFormat('ccc LLL d')}</strong><br />${start.toFormat('h:mm a')}<br />${bayName(slot.bay, means)}` : say('time-open')}
    </div>
    <div>
      <a href="/counter/request/${request.id}"><strong>${requestTruck(request, means)}</strong></a
      >, ${owner.name ?? say('no-name')}, ${owner.phone ?? say('no-phone')}<br />
      ${request.complaint[0] ? html`<span class="own">“${shortened(request.complaint[0])}”</span><br />` : null}
      <span class="small">${work}</span><br />
      ${say('list-urgency', { urgency: say(`urgency-word-${request.advice.urgency}`) })} ${state}
    </div>
  </li>`;
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
  const lines = (list: RequestView[]) => list.map((view) => requestLine(view, means));
  return html`<div id="live" data-live="1">
    ${section(say('list-open'), lines(open), say('list-open-none'))}
    ${section(say('list-house'), lines(house), say('list-none'))}
    ${section(say('list-booked'), lines(booked.sort(soonest)), say('list-none'))}
  </div>`;
}

export async function dayPage(means: Means, wanted: string | undefined): Promise<Html> {
  const say = sayIn(means);
  const { zone } = means.flows.shop;
  const date = DateTime.fromISO(wanted ?? DateTime.fromISO(means.now(), { zone }).toISODate() ?? '', { zone });
  const from = date.startOf('day');
  const booked = await means.store.views.booked(
    from.toUTC().toISO() ?? '',
    from.plus({ days: 1 }).toUTC().toISO() ?? '',
  );
  const link = (days: number) => `/counter/day?date=${date.plus({ days }).toISODate()}`;
  const rows = booked.map(
    ({ request, owner }) =>
      html`<tr>
        <td>${request.slot ? bayName(request.slot.bay, means) : ''}</td>
        <td>${slotWhen(request.slot, means)}</td>
        <td><a href="/counter/request/${request.id}">${requestTruck(request, means)}</a></td>
        <td>${owner.name ?? ''}</td>
        <td>${request.services.map((id) => serviceName(id, means)).join(', ')}</td>
        <td>${say(`state-${request.state}`)}</td>
      </tr>`,
  );
  return html`<div id="live" data-live="1">
    <p class="days">
      <a href="${link(-1)}">${say('day-before')}</a>
      <strong>${date.setLocale('en-US').toLocaleString(DateTime.DATE_HUGE)}</strong>
      <a href="${link(1)}">${say('day-after')}</a>
    </p>
    ${dayPicture(booked, date, means)}
    <div class="scroll" tabindex="0" role="region" aria-label="${say('counter-way-day')}">
      <table>
        <thead>
          <tr>
            ${['day-bay', 'day-time', 'day-truck', 'day-owner', 'day-work', 'day-state'].map((id) => html`<th scope="col">${say(id)}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows}
        </tbody>
      </table>
    </div>
    ${rows.length === 0 ? html`<p class="small">${say('list-none')}</p>` : null}
  </div>`;
}

const vehicleLine = (view: VehicleView, means: Means): Html => {
  const outlook = means.outlook(view);
  const last = view.vehicle.readings.at(-1);
  const say = sayIn(means);
  const next = outlook
    ? say(isOverdue(outlook) ? 'truck-overdue' : 'truck-next', {
        services: outlook.services.map((id) => serviceName(id, means)).join(', '),
        miles: outlook.dueMiles,
        date: outlook.dueDate.p50 ?? '–',
      })
    : say('truck-no-next');
  return html`<li>
    <a href="/counter/truck/${view.vehicle.id}"><strong>${truckWords(view.vehicle, means)}</strong></a
    >,
    ${view.owner.name ?? say('no-name')}${last ? html`, ${say('truck-last', { miles: last.miles, date: last.date })}` : null}.
    ${next}
  </li>`;
};

/** Trucks by what falls due first, or those that a search finds. */
export async function trucksPage(means: Means, session: Session, find: string): Promise<Html> {
  const say = sayIn(means);
  const found = find.trim() === '' ? await means.store.views.vehicles(200) : await means.store.views.search(find, 100);
  const due = (view: VehicleView) => means.outlook(view)?.dueDate.p50 ?? '9999';
  const sorted = found.map((view) => ({ view, date: due(view) })).sort((a, b) => a.date.localeCompare(b.date));
  const exports = html`<p class="days">
    <a href="/counter/trucks.csv">${say('truck-export')}</a> <a href="/counter/records.csv">${say('record-export')}</a>
  </p>`;
  return html`<form method="get" action="/counter/trucks" role="search">
      <label>${say('truck-find')}<input type="search" name="find" value="${find}" maxlength="100" /></label
      ><button>${say('truck-find-now')}</button>
    </form>
    ${section(
      say(find.trim() === '' ? 'list-by-due' : 'list-found'),
      sorted.map(({ view }) => vehicleLine(view, means)),
      say('list-none'),
    )}
    ${mayUse('GET /counter/trucks.csv', session.staff.role) ? exports : null}`;
}

const followUpLine = ({ followUp, owner, vehicle }: FollowUpView, means: Means): Html => {
  const say = sayIn(means);
  return html`<li>
    ${say(`follow-up-${followUp.kind}`)}:
    ${vehicle ? html`<a href="/counter/truck/${vehicle.id}">${truckWords(vehicle, means)}</a>` : null},
    ${owner.name ?? say('no-name')}, ${owner.phone ?? say('no-phone')}. ${followUp.log.at(-1)?.what ?? ''}
  </li>`;
};

/** What waits for a person: calls, work put off, clauses that nothing read. */
export async function waitingPage(means: Means, token: Html): Promise<Html> {
  const say = sayIn(means);
  const { views } = means.store;
  const soon = new Date(Date.parse(means.now()) + 14 * 86_400_000).toISOString();
  const [calls, due, putOff, unread] = await Promise.all([
    views.callList(100),
    views.due(soon, 100),
    views.putOff(100),
    views.unread(50),
  ]);
  return html`${section(
    say('list-calls'),
    calls.map((view) => followUpLine(view, means)),
    say('list-none'),
  )}
  ${section(
    say('list-due'),
    due.map((view) => html`${followUpLine(view, means)}`),
    say('list-none'),
  )}
  ${section(
    say('list-put-off'),
    putOff.map(
      (entry) =>
        html`<li>
          ${entry.date}, <a href="/counter/truck/${entry.vehicleId}">${entry.owner.name ?? say('no-name')}</a>:
          ${serviceName(entry.service, means)}. ${entry.because}
        </li>`,
    ),
    say('list-none'),
  )}
  ${section(
    say('list-unread'),
    unread.map(
      (clause) =>
        html`<li>
          “${clause.text}”
          ${
            clause.label
              ? html`<em>${clause.label}</em>`
              : html`<form class="inline" method="post" action="/counter/unread/${clause.id}">
                  ${token}<label>${say('unread-means')}<input type="text" name="label" required maxlength="60" /></label
                  ><button>${say('unread-keep')}</button>
                </form>`
          }
        </li>`,
    ),
    say('list-none'),
  )}`;
}

/** Links for colleagues and for the staff chat; managers make them. */
export async function shopPage(means: Means, session: Session, made?: string): Promise<Html> {
  const say = sayIn(means);
  const staff = await means.store.access.staff();
  const manager = isManager(session.staff.role);
  return html`${made ? html`<p class="made">${say('shop-made')} <code>${made}</code></p>` : null}
    <section class="list">
      <h2>${say('shop-people')}</h2>
      <ul>
        ${staff.map(
          (person) =>
            html`<li>
              ${person.name}, ${say(`role-${person.role}`)}
              ${
                manager
                  ? html`<form class="inline" method="post" action="/counter/link/sign-in">
                      ${tokenField(session)}<input type="hidden" name="person" value="${person.id}" /><button>
                        ${say('shop-sign-in-link')}<span class="unseen">
                          ${say('shop-for', { name: person.name })}</span
                        >
                      </button>
                    </form>`
                  : null
              }
            </li>`,
        )}
      </ul>
    </section>
    ${manager ? managersLinks(session, say) : html`<p class="small">${say('counter-manager-only')}</p>`}`;
}

const managersLinks = (session: Session, say: Say): Html =>
  html`<section class="list">
      <h2>${say('shop-chat')}</h2>
      <p>${say('shop-chat-how')}</p>
      <form method="post" action="/counter/link/staff-chat">
        ${tokenField(session)}<button>${say('shop-chat-code')}</button>
      </form>
    </section>
    <section class="list">
      <h2>${say('shop-feed')}</h2>
      <p>${say('shop-feed-how')}</p>
      <form method="post" action="/counter/link/feed">
        ${tokenField(session)}<button>${say('shop-feed-make')}</button>
      </form>
    </section>`;
