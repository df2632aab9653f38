import { DateTime } from 'luxon';
import { weekByBay } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { presentMinute, readSpan, takenOf } from './day-page.ts';
import { diaryPicture, type DiaryColumn } from './diary-picture.ts';
import { entryWords } from './diary-words.ts';
import { sayIn } from './frame.ts';
import { scroll } from './parts.ts';
import type { Session } from './session.ts';
import { shortTruck, workDay } from './words.ts';

const WIDTH = 1000;
const LEAST_DAY = 130;

/** The week of a day: a column a day with its bays beside each other, hours down the page; the same in words below. */
export async function weekPage(means: Means, session: Session, wanted: string | undefined): Promise<Html> {
  const say = sayIn(means);
  const { zone, bays } = means.flows.shop;
  const day = DateTime.fromISO(wanted ?? workDay(means), { zone });
  const monday = day.startOf('week');
  const { booked, blocks } = await readSpan(monday, 7, means);
  const requests = booked.map(({ request }) => request);
  const sheets = weekByBay(requests, monday.toISODate() ?? '', means.flows.shop, takenOf(blocks));
  const shown = sheets.filter(
    ({ work, columns }) => work.length > 0 || columns.some(({ entries }) => entries.length > 0),
  );
  const head = (date: string) => DateTime.fromISO(date, { zone }).setLocale('en-US').toFormat('ccc LLL d');
  const columns = shown.map(({ date, work, columns: all }): DiaryColumn => {
    const now = presentMinute(date, means);
    const lanes = all.filter(({ kind }) => kind === 'bay').map(({ id, name, entries }) => ({ id, name, entries }));
    return { title: head(date), link: `/counter/day?date=${date}`, work, lanes, ...(now !== undefined && { now }) };
  });
  const link = (weeks: number) => `/counter/week?date=${monday.plus({ weeks }).toISODate()}`;
  const title = say('week-picture', { count: booked.length });
  const words = entryWords(booked, blocks, means, session);
  const width = Math.max(LEAST_DAY, Math.floor(WIDTH / Math.max(1, columns.length)));
  const jobs = (bay: string, date: string): Html[] =>
    (sheets.find((sheet) => sheet.date === date)?.columns.find(({ id }) => id === bay)?.entries ?? []).map((entry) => {
      const request = requests.find(({ id }) => id === entry.requestId);
      const start = DateTime.fromISO(entry.start, { zone }).setLocale('en-US');
      const hour = entry.continues ? say('week-goes-on') : start.toFormat('h:mm a');
      return request
        ? html`<a class="job" href="/counter/request/${request.id}"
            >${hour} ${shortTruck(request, means)}, ${say(`state-${request.state}`)}</a
          >`
        : html`<span class="job">${hour} ${words(entry, bay).lines[0]}</span>`;
    });
  return html`<div id="live" data-live="1">
    <p class="days">
      <a href="${link(-1)}">${say('week-before')}</a>
      <strong>${say('week-of', { date: monday.setLocale('en-US').toFormat('LLLL d, yyyy') })}</strong>
      <a href="${link(1)}">${say('week-after')}</a>
    </p>
    ${columns.length > 0 ? scroll(title, diaryPicture(columns, width, title, words)) : null}
    <p class="small">${say('week-lanes', { bays: bays.map(({ name }) => name).join('; ') })}</p>
    ${scroll(
      say('counter-way-week'),
      html`<table class="week">
        <thead>
          <tr>
            <th scope="col">${say('day-bay')}</th>
            ${sheets.map(({ date }) => html`<th scope="col"><a href="/counter/day?date=${date}">${head(date)}</a></th>`)}
          </tr>
        </thead>
        <tbody>
          ${bays.map(
            ({ id, name }) =>
              html`<tr>
                <th scope="row">${name}</th>
                ${sheets.map(({ date }) => html`<td>${jobs(id, date)}</td>`)}
              </tr>`,
          )}
        </tbody>
      </table>`,
    )}
  </div>`;
}
