import { DateTime } from 'luxon';
import { daySheet, type Block, type DaySheet, type Taken } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { blockForm, blockList } from './block-form.ts';
import { diaryPicture, type DiaryColumn } from './diary-picture.ts';
import { entryWords } from './diary-words.ts';
import { sayIn, tokenField } from './frame.ts';
import { scroll } from './parts.ts';
import type { Session } from './session.ts';
import { bayName, requestTruck, serviceName, slotWhen, workDay } from './words.ts';

const WIDTH = 1000;
const LEAST_COLUMN = 150;

export const takenOf = (blocks: readonly Block[]): Taken[] =>
  blocks.map(({ id, resource, start, end }) => ({ bay: resource, start, end, holder: id }));

/** Minutes of the shop's present day, where the date is today. */
export function presentMinute(date: string, means: Means): number | undefined {
  const now = DateTime.fromISO(means.now(), { zone: means.flows.shop.zone });
  return now.toISODate() === date ? now.hour * 60 + now.minute : undefined;
}

export async function readSpan(from: DateTime, days: number, means: Means) {
  const [start, end] = [from, from.plus({ days })].map((at) => at.toUTC().toISO() ?? '');
  const { views } = means.store;
  const [booked, blocks] = await Promise.all([
    views.booked(start ?? '', end ?? ''),
    views.blocks(start ?? '', end ?? '', means.flows.shop.zone),
  ]);
  return { booked, blocks };
}

/** A day by bay, the shop's next one where none is asked for: a picture with the hours down the page, and the same in words below it. */
export async function dayPage(means: Means, session: Session, wanted: string | undefined): Promise<Html> {
  const say = sayIn(means);
  const { zone } = means.flows.shop;
  const date = DateTime.fromISO(wanted ?? workDay(means), { zone }).startOf('day');
  const iso = date.toISODate() ?? '';
  const { booked, blocks } = await readSpan(date, 1, means);
  const requests = booked.map(({ request }) => request);
  const sheet = daySheet(requests, iso, means.flows.shop, takenOf(blocks));
  const present = presentMinute(iso, means);
  const columns = sheet.columns.map(({ id, name, entries }): DiaryColumn => ({
    title: name,
    work: sheet.work,
    lanes: [{ id, name, entries }],
    ...(present !== undefined && { now: present }),
  }));
  const title = say('day-picture', { count: booked.length });
  const width = Math.max(LEAST_COLUMN, Math.floor(WIDTH / columns.length));
  const link = (days: number) => `/counter/day?date=${date.plus({ days }).toISODate()}`;
  const may = mayUse('POST /counter/block', session.staff.role);
  return html`<div id="live" data-live="1">
      <p class="days">
        <a href="${link(-1)}">${say('day-before')}</a>
        <strong>${date.setLocale('en-US').toLocaleString(DateTime.DATE_HUGE)}</strong>
        <a href="${link(1)}">${say('day-after')}</a>
        <a href="/counter/week?date=${iso}">${say('day-to-week')}</a>
        ${mayUse('GET /counter/enter', session.staff.role) ? html`<a href="/counter/enter?date=${iso}">${say('enter-way')}</a>` : null}
      </p>
      <p class="small">${loadWords(sheet, means)}</p>
      ${scroll(title, diaryPicture(columns, width, title, entryWords(booked, blocks, means, session), iso))}
      ${booked.length > 0 ? jobsTable(booked, means) : html`<p class="small">${say('day-none')}</p>`}
      ${blockList(blocks, means, session, iso)}
    </div>
    ${moveForm(means, session)} ${may ? blockForm(means, session, iso) : null}`;
}

function loadWords(sheet: DaySheet, means: Means): string {
  const say = sayIn(means);
  if (sheet.closedBecause !== undefined) return say('day-closed', { why: sheet.closedBecause });
  if (sheet.capacityMinutes === 0) return say('day-closed-weekday');
  const hours = (minutes: number) => Math.round(minutes / 6) / 10;
  return say('day-load', { taken: hours(sheet.takenMinutes), of: hours(sheet.capacityMinutes) });
}

function jobsTable(booked: readonly RequestView[], means: Means): Html {
  const say = sayIn(means);
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
  return scroll(
    say('counter-way-day'),
    html`<table class="jobs">
      <thead>
        <tr>
          ${['day-bay', 'day-time', 'day-truck', 'day-owner', 'day-work', 'day-state'].map((id) => html`<th scope="col">${say(id)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${rows}
      </tbody>
    </table>`,
  );
}

/** Comes up when a job was moved in the picture; nothing is moved before it is confirmed here. */
function moveForm(means: Means, session: Session): Html {
  const say = sayIn(means);
  const fields = ['revision', 'date', 'from', 'hours', 'bay'];
  return html`<p class="small not-printed">${say('day-move-how')}</p>
    <form id="move" class="move" method="post" hidden>
      ${tokenField(session)} ${fields.map((name) => html`<input type="hidden" name="${name}" />`)}
      <p
        role="status"
        data-move="${say('day-move', { truck: '{truck}', bay: '{bay}', time: '{time}' })}"
        data-longer="${say('day-longer', { truck: '{truck}', hours: '{hours}' })}"
      ></p>
      <button data-verb="move">${say('day-move-now')}</button>
      <button data-verb="offer">${say('own-offer')}</button>
      <button type="button" data-verb="leave">${say('day-move-leave')}</button>
    </form>`;
}
