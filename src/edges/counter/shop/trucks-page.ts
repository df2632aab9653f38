import type { Outlook } from '../../../core/mod.ts';
import type { VehicleView } from '../../store/types.ts';
import { mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { section, ticket } from './parts.ts';
import type { Session } from './session.ts';
import { day, isOverdue, miles, serviceName, truckWords } from './words.ts';

interface Due {
  view: VehicleView;
  outlook: Outlook | null;
}

const entry = ({ view, outlook }: Due, means: Means): Html => {
  const say = sayIn(means);
  const { vehicle, owner } = view;
  const last = vehicle.readings.at(-1);
  const margin = !outlook
    ? html`${say('truck-no-next-short')}`
    : isOverdue(outlook)
      ? html`<strong>${say('truck-overdue-short')}</strong>`
      : html`${outlook.dueDate.p50 ? day(outlook.dueDate.p50) : say('truck-far')}`;
  return ticket(
    margin,
    html`<a href="/counter/truck/${vehicle.id}"><strong>${truckWords(vehicle, means)}</strong></a
      >, ${owner.name ?? say('no-name')}, ${owner.phone ?? say('no-phone')}<br />
      ${outlook ? html`${say('truck-due-at', { services: outlook.services.map((id) => serviceName(id, means)).join(', '), miles: outlook.dueMiles })}<br />` : null}
      <span class="small">
        ${last ? say('truck-last', { miles: miles(last.miles), date: day(last.date) }) : say('truck-no-reading')}
        ${outlook ? say('truck-today', { miles: outlook.milesToday.p50 }) : null}
      </span>`,
  );
};

/** Trucks by what falls due first, those overdue before all; or those that a search finds. */
export async function trucksPage(means: Means, session: Session, find: string): Promise<Html> {
  const say = sayIn(means);
  const wanted = find.trim();
  const found = wanted === '' ? await means.store.views.vehicles(200) : await means.store.views.search(find, 100);
  const all = found
    .map((view): Due => ({ view, outlook: means.outlook(view) }))
    .sort((one, other) => dueDay(one).localeCompare(dueDay(other)));
  const entries = (list: Due[]) => list.map((due) => entry(due, means));
  const overdue = all.filter(({ outlook }) => outlook && isOverdue(outlook));
  const ahead = all.filter(({ outlook }) => outlook && !isOverdue(outlook));
  const lists =
    wanted === ''
      ? html`${section(say('list-overdue'), entries(overdue), say('list-overdue-none'))}
        ${section(say('list-by-due'), entries(ahead), say('list-by-due-none'))}
        ${section(say('list-no-due'), entries(all.filter(({ outlook }) => !outlook)), say('list-none'))}`
      : section(say('list-found'), entries(all), say('list-found-none', { words: wanted }));
  return html`<form class="search" method="get" action="/counter/trucks" role="search">
      <label for="find">${say('truck-find')}</label>
      <div class="beside">
        <input id="find" type="search" name="find" value="${find}" maxlength="100" />
        <button>${say('truck-find-now')}</button>
      </div>
    </form>
    ${lists} ${mayUse('GET /counter/trucks.csv', session.staff.role) ? papers(say) : null}`;
}

const dueDay = ({ outlook }: Due): string => outlook?.dueDate.p50 ?? '9999';

const papers = (say: ReturnType<typeof sayIn>): Html =>
  html`<section class="list">
    <h2>${say('truck-lists')}</h2>
    <p class="ways">
      <a href="/counter/trucks.csv">${say('truck-export')}</a>
      <a href="/counter/records.csv">${say('record-export')}</a>
      <a href="/counter/import">${say('import-way')}</a>
    </p>
  </section>`;
