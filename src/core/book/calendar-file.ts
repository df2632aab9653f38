import ical, { ICalCalendarMethod, ICalEventStatus, type ICalCalendar } from 'ical-generator';
import { DateTime } from 'luxon';
import type { BookingRequest } from '../model/owner.ts';
import type { Language } from '../model/ids.ts';
import type { Shop } from '../model/shop.ts';
import type { Texts } from '../model/texts.ts';
import type { Instant } from '../model/time.ts';
import type { CalendarChange } from './request.ts';
import { timeZoneComponent } from './time-zone-component.ts';
import { MINUTES_A_DAY, minuteOfIso, wallClock, type Minute } from './wall-clock.ts';

/** What a calendar file or feed needs beside the requests. */
export interface CalendarMeans {
  shop: Shop;
  texts: Texts;
  language: Language;
  /** When the file is made. */
  at: Instant;
}

/**
 * An iCalendar file (RFC 5545) of one appointment for the owner: published when it is created or moved, cancelled
 * with METHOD:CANCEL. All files of one request carry one UID, and the request's calendar sequence, which rises with
 * each change. `work` says in words what is done. Undefined where the request has no time.
 */
export function calendarFile(
  request: BookingRequest,
  change: CalendarChange,
  work: string,
  means: CalendarMeans,
): string | undefined {
  if (!request.slot) return undefined;
  const method = change === 'cancelled' ? ICalCalendarMethod.CANCEL : ICalCalendarMethod.PUBLISH;
  const calendar = newCalendar(method, [request], means);
  const { shop, texts, language } = means;
  addEvent(calendar, request, change === 'cancelled', means, {
    summary: texts.say(language, 'calendar-summary', { work, shop: shop.name }),
    description: texts.say(language, 'calendar-description', { phone: shop.phone }),
  });
  return written(calendar);
}

/** The shop's private feed: every appointment with a time, each with what the staff read in their own calendar. */
export function calendarFeed(
  entries: readonly { request: BookingRequest; summary: string; description: string }[],
  means: CalendarMeans,
): string {
  const timed = entries.filter(({ request }) => request.slot !== null);
  const calendar = newCalendar(
    ICalCalendarMethod.PUBLISH,
    timed.map(({ request }) => request),
    means,
  );
  for (const { request, summary, description } of timed) {
    addEvent(calendar, request, request.state === 'cancelled', means, { summary, description });
  }
  if (timed.length > 0) return written(calendar);
  // A calendar holds one component at least (RFC 5545, 3.6); an empty one holds the shop's zone.
  const now = minuteOfIso(means.at);
  const zone = timeZoneComponent(means.shop.zone, { from: now, to: now });
  return written(calendar).replace('END:VCALENDAR', () => `${zone}\r\nEND:VCALENDAR`);
}

function newCalendar(
  method: ICalCalendarMethod,
  requests: readonly BookingRequest[],
  { language }: CalendarMeans,
): ICalCalendar {
  const minutes = requests.flatMap(({ slot }) => (slot ? [minuteOfIso(slot.start), minuteOfIso(slot.end)] : []));
  const span = { from: Math.min(...minutes), to: Math.max(...minutes) };
  return ical({
    prodId: { company: 'Telltale', product: 'Telltale', language: language.toUpperCase() },
    method,
    // Without a zone of the calendar's own, time stamps stay in UTC as the standard wants them.
    timezone: { name: null, generator: (zone) => (minutes.length > 0 ? timeZoneComponent(zone, span) : null) },
  });
}

function addEvent(
  calendar: ICalCalendar,
  request: BookingRequest,
  cancelled: boolean,
  { shop, at }: CalendarMeans,
  words: { summary: string; description: string },
): void {
  if (!request.slot) return;
  const [start, end] = [minuteOfIso(request.slot.start), minuteOfIso(request.slot.end)];
  const zoned = isPlain(shop.zone, start) && isPlain(shop.zone, end);
  const event = calendar.createEvent({
    id: uidOf(request, shop),
    sequence: request.calendarSequence,
    start: DateTime.fromMillis(start * 60_000, { zone: 'utc' }),
    end: DateTime.fromMillis(end * 60_000, { zone: 'utc' }),
    stamp: DateTime.fromISO(at, { zone: 'utc' }),
    summary: words.summary,
    description: words.description,
    location: `${shop.name}, ${shop.address}`,
    status: cancelled ? ICalEventStatus.CANCELLED : ICalEventStatus.CONFIRMED,
    // A quotation mark cannot stand in a parameter's value.
    organizer: { name: shop.name.replaceAll('"', "'"), email: shop.email ?? 'shop@telltale.invalid' },
  });
  if (zoned) event.timezone(shop.zone);
}

/** The same for all files of a request, whatever became of it. */
const uidOf = (request: BookingRequest, shop: Shop): string =>
  `${request.id}@${shop.name.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-')}.telltale.invalid`;

/**
 * Whether the zone's wall time names this minute and no other. In an hour that the clocks show twice the standard means
 * the first one (RFC 5545, 3.3.5), but parsers take the second: such times are written in UTC.
 */
function isPlain(zone: string, minute: Minute): boolean {
  const clock = wallClock(zone);
  const shown = minute + clock.offsetAt(minute);
  const minuteOfDay = ((shown % MINUTES_A_DAY) + MINUTES_A_DAY) % MINUTES_A_DAY;
  const date = clock.dateOf(minute);
  return (['earlier', 'later'] as const).every((which) => clock.minuteOf(date, minuteOfDay, which) === minute);
}

/** Every content line ends with CRLF, the last one too. */
const written = (calendar: ICalCalendar): string => `${calendar.toString().trimEnd()}\r\n`;
