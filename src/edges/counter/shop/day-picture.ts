import type { DateTime } from 'luxon';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { shortTruck } from './words.ts';

const HOUR_HEIGHT = 44;
const GUTTER = 46;
const WIDTH = 960;
const LEAST_COLUMN = 150;
const HEAD = 26;

/** The day by bay as in a paper diary: hours down the page, a column a bay. The table beside it says the same in words. */
export function dayPicture(booked: readonly RequestView[], date: DateTime, means: Means): Html {
  const { bays, hours } = means.flows.shop;
  const weekday = date.setLocale('en-US').weekdayLong?.toLowerCase() as keyof typeof hours;
  const open = hours[weekday] ?? [];
  const first = open.length > 0 ? Math.min(...open.map(({ from }) => Number(from.slice(0, 2)))) : 8;
  const last = open.length > 0 ? Math.max(...open.map(({ to }) => Math.ceil(minutes(to) / 60))) : 17;
  const column = Math.max(LEAST_COLUMN, Math.floor((WIDTH - GUTTER) / bays.length));
  const [width, height] = [GUTTER + bays.length * column, HEAD + (last - first) * HOUR_HEIGHT + 12];
  const y = (minute: number) =>
    HEAD + ((Math.min(Math.max(minute, first * 60), last * 60) - first * 60) / 60) * HOUR_HEIGHT;
  const lines = Array.from({ length: last - first + 1 }, (_, index) => {
    const at = HEAD + index * HOUR_HEIGHT;
    return html`<line x1="${GUTTER}" y1="${at}" x2="${width}" y2="${at}" class="rule" /><text
        x="${GUTTER - 6}"
        y="${at + 5}"
        class="hour"
        >${hourWords(first + index)}</text
      >`;
  });
  const columns = bays.map(
    (bay, index) =>
      html`<line
          x1="${GUTTER + index * column}"
          y1="0"
          x2="${GUTTER + index * column}"
          y2="${height}"
          class="margin"
        /><text x="${GUTTER + index * column + 8}" y="17" class="bay">${bay.name}</text>`,
  );
  const jobs = booked.flatMap(({ request, owner }) => {
    const index = bays.findIndex(({ id }) => id === request.slot?.bay);
    if (!request.slot || index < 0) return [];
    const start = minuteOn(request.slot.start, date);
    const end = minuteOn(request.slot.end, date);
    const [top, bottom] = [y(start), y(end)];
    const x = GUTTER + index * column + 5;
    return [
      html`<a href="/counter/request/${request.id}"
        ><rect
          x="${x}"
          y="${top}"
          width="${column - 10}"
          height="${Math.max(bottom - top, 18)}"
          class="job ${request.state === 'requested' ? 'asked' : 'agreed'}"
        /><text x="${x + 6}" y="${top + 16}" class="label">${shortTruck(request, means)}</text
        >${bottom - top > 40 ? html`<text x="${x + 6}" y="${top + 34}">${(owner.name ?? '').slice(0, Math.floor(column / 8))}</text>` : null}</a
      >`,
    ];
  });
  const title = sayIn(means)('day-picture', { count: booked.length });
  return html`<div class="scroll" tabindex="0" role="region" aria-label="${title}">
    <svg
      class="diary"
      role="group"
      aria-label="${title}"
      viewBox="0 0 ${width} ${height}"
      width="${width}"
      height="${height}"
    >
      ${lines}${columns}${jobs}
    </svg>
  </div>`;
}

const hourWords = (hour: number): string => `${((hour + 11) % 12) + 1} ${hour % 24 < 12 ? 'AM' : 'PM'}`;

const minutes = (clock: string): number => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3, 5));

/** Minutes since the day began; before it and after it where a job runs over several days. */
function minuteOn(instant: string, date: DateTime): number {
  const at = Date.parse(instant);
  return (at - date.startOf('day').toMillis()) / 60_000;
}
