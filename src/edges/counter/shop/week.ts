import { DateTime } from 'luxon';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { shortTruck } from './words.ts';

/** The week of a day by bay: a row a bay, a column a day, each job with its hour. */
export async function weekPage(means: Means, wanted: string | undefined): Promise<Html> {
  const say = sayIn(means);
  const { zone, bays } = means.flows.shop;
  const day = wanted ? DateTime.fromISO(wanted, { zone }) : DateTime.fromISO(means.now(), { zone });
  const monday = day.startOf('week');
  const days = Array.from({ length: 7 }, (_, index) => monday.plus({ days: index }));
  const booked = await means.store.views.booked(instant(monday), instant(monday.plus({ days: 7 })));
  const jobs = (bay: string, date: DateTime): Html[] =>
    booked.flatMap(({ request }) => {
      const { slot } = request;
      if (slot?.bay !== bay || slot.start >= instant(date.plus({ days: 1 })) || slot.end <= instant(date)) return [];
      const start = DateTime.fromISO(slot.start, { zone });
      const hour = start.hasSame(date, 'day') ? start.setLocale('en-US').toFormat('h:mm a') : say('week-goes-on');
      return [
        html`<a class="job" href="/counter/request/${request.id}"
          >${hour} ${shortTruck(request, means)}, ${say(`state-${request.state}`)}</a
        >`,
      ];
    });
  const link = (weeks: number) => `/counter/week?date=${monday.plus({ weeks }).toISODate()}`;
  return html`<div id="live" data-live="1">
    <p class="days">
      <a href="${link(-1)}">${say('week-before')}</a>
      <strong>${say('week-of', { date: monday.setLocale('en-US').toFormat('LLLL d, yyyy') })}</strong>
      <a href="${link(1)}">${say('week-after')}</a>
    </p>
    <div class="scroll" tabindex="0" role="region" aria-label="${say('counter-way-week')}">
      <table class="week">
        <thead>
          <tr>
            <th scope="col">${say('day-bay')}</th>
            ${days.map((date) => html`<th scope="col"><a href="/counter/day?date=${date.toISODate()}">${date.setLocale('en-US').toFormat('ccc LLL d')}</a></th>`)}
          </tr>
        </thead>
        <tbody>
          ${bays.map(
            ({ id, name }) =>
              html`<tr>
                <th scope="row">${name}</th>
                ${days.map((date) => html`<td>${jobs(id, date)}</td>`)}
              </tr>`,
          )}
        </tbody>
      </table>
    </div>
  </div>`;
}

const instant = (date: DateTime): string => date.toUTC().toISO() ?? '';
