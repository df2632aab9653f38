import type { Zone } from '../model/time.ts';
import { MINUTES_A_DAY, wallClock, type Minute } from './wall-clock.ts';

const YEAR = 366 * MINUTES_A_DAY;

/**
 * The VTIMEZONE component (RFC 5545, 3.6.5) of an IANA zone for a span of minutes: one observance for each change of
 * the clocks from a year before the span to its end, and one with the first offset for all that was before.
 */
export function timeZoneComponent(zone: Zone, span: { from: Minute; to: Minute }): string {
  const clock = wallClock(zone);
  const changes: { at: Minute; before: number; after: number }[] = [];
  const first = Math.floor((span.from - YEAR) / MINUTES_A_DAY) * MINUTES_A_DAY;
  for (let day = first; day <= span.to; day += MINUTES_A_DAY) {
    const [before, after] = [clock.offsetAt(day), clock.offsetAt(day + MINUTES_A_DAY)];
    if (before !== after) changes.push({ at: changeBetween(clock.offsetAt, day, day + MINUTES_A_DAY), before, after });
  }
  const standard = Math.min(clock.offsetAt(first), ...changes.flatMap(({ before, after }) => [before, after]));
  const initial = clock.offsetAt(first);
  const observances = [
    observance('19700101T000000', initial, initial, standard),
    ...changes.map(({ at, before, after }) => observance(local(at + before), before, after, standard)),
  ];
  return ['BEGIN:VTIMEZONE', `TZID:${zone}`, ...observances, 'END:VTIMEZONE'].join('\r\n');
}

function observance(start: string, before: number, after: number, standard: number): string {
  const name = after > standard ? 'DAYLIGHT' : 'STANDARD';
  return [
    `BEGIN:${name}`,
    `DTSTART:${start}`,
    `TZOFFSETFROM:${offset(before)}`,
    `TZOFFSETTO:${offset(after)}`,
    `END:${name}`,
  ].join('\r\n');
}

/** The minute from which the offset is the one that holds at `to`. */
function changeBetween(offsetAt: (minute: Minute) => number, from: Minute, to: Minute): Minute {
  let [low, high] = [from, to];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (offsetAt(middle) === offsetAt(to)) high = middle;
    else low = middle;
  }
  return high;
}

const local = (shown: number): string => new Date(shown * 60_000).toISOString().slice(0, 19).replaceAll(/[-:]/g, '');

const offset = (minutes: number): string => {
  const ahead = Math.abs(minutes);
  const [hours, rest] = [Math.floor(ahead / 60), ahead % 60];
  return `${minutes < 0 ? '-' : '+'}${String(hours).padStart(2, '0')}${String(rest).padStart(2, '0')}`;
};
