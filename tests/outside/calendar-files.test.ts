import ICAL from 'ical.js';
import fc from 'fast-check';
import nodeIcal from 'node-ical';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { calendarFeed, calendarFile, changeRequest, type CalendarChange } from '../../src/core/book/mod.ts';
import type { BookingRequest } from '../../src/core/model/owner.ts';
import { shop, shopWith, texts } from '../core/book/fixtures.ts';
import { requestWith, slotAt } from '../core/book/requests.ts';

/*
 * iCalendar files by RFC 5545 (and RFC 5546 for METHOD), read back by two parsers that know nothing of each other:
 * ical.js and node-ical.
 */
const AT = '2026-11-02T16:00:00.000Z';
const means = { shop, texts, language: 'en' as const, at: AT };

function fileOf(
  request: BookingRequest,
  change: CalendarChange = 'created',
  work = 'Oil service',
  using = means,
): string {
  const file = calendarFile(request, change, work, using);
  if (file === undefined) throw new Error('the request has no time');
  return file;
}

/** Reads a file with both parsers, and gives what they agree on. */
function readByBoth(file: string) {
  const calendar = new ICAL.Component(ICAL.parse(file) as unknown[]);
  for (const zone of calendar.getAllSubcomponents('vtimezone')) ICAL.TimezoneService.register(zone);
  const component = calendar.getFirstSubcomponent('vevent');
  if (!component) throw new Error('no event');
  const event = new ICAL.Event(component);
  const first = {
    method: calendar.getFirstPropertyValue('method'),
    uid: event.uid,
    sequence: event.sequence,
    start: event.startDate.toJSDate().toISOString(),
    end: event.endDate.toJSDate().toISOString(),
    stamp: (component.getFirstPropertyValue('dtstamp') as ICAL.Time).toJSDate().toISOString(),
    summary: event.summary,
    description: event.description,
    location: event.location,
    status: component.getFirstPropertyValue('status'),
  };
  const parsed = Object.values(nodeIcal.sync.parseICS(file)).find((part) => part?.type === 'VEVENT');
  if (parsed?.type !== 'VEVENT') throw new Error('no event');
  const second = {
    method: parsed.method,
    uid: parsed.uid,
    sequence: Number(parsed.sequence),
    start: parsed.start.toISOString(),
    end: parsed.end?.toISOString(),
    stamp: parsed.dtstamp.toISOString(),
    summary: parsed.summary,
    description: parsed.description,
    location: parsed.location,
    status: parsed.status,
  };
  ICAL.TimezoneService.reset();
  expect(second).toEqual(first);
  return first;
}

/** What RFC 5545 asks of the text itself. */
function expectWellFormed(file: string): void {
  expect(file.endsWith('END:VCALENDAR\r\n'), 'every line ends with CRLF (3.1)').toBe(true);
  expect(file.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/);
  for (const line of file.split('\r\n')) {
    expect(new TextEncoder().encode(line).length, `75 octets at most (3.1): ${line}`).toBeLessThanOrEqual(75);
  }
  const unfolded = file.replaceAll(/\r\n[ \t]/g, '').split('\r\n');
  expect(unfolded).toContain('VERSION:2.0');
  expect(unfolded.filter((line) => line.startsWith('PRODID:'))).toHaveLength(1);
  for (const line of unfolded.filter((text) => text.startsWith('DTSTAMP'))) {
    expect(line, 'a time stamp is in UTC (3.8.7.2)').toMatch(/^DTSTAMP:\d{8}T\d{6}Z$/);
  }
  const zones = unfolded.flatMap((line) => /^DT(?:START|END);TZID=([^:]+):/.exec(line)?.[1] ?? []);
  const defined = unfolded.flatMap((line) => /^TZID:(.+)$/.exec(line)?.[1] ?? []);
  for (const zone of zones) expect(defined, 'every TZID has its VTIMEZONE (3.2.19)').toContain(zone);
  const open: string[] = [];
  for (const line of unfolded) {
    const [, edge, name] = /^(BEGIN|END):(.+)$/.exec(line) ?? [];
    if (edge === 'BEGIN' && name) open.push(name);
    if (edge === 'END') expect(open.pop()).toBe(name);
  }
  expect(open).toEqual([]);
}

describe('the calendar file of an appointment', () => {
  it('says the same to both parsers: when, what, where and whom to call', () => {
    const file = fileOf(requestWith({ state: 'accepted', calendarSequence: 1 }));
    expectWellFormed(file);
    expect(readByBoth(file)).toEqual({
      method: 'PUBLISH',
      uid: 'r-1@hollow-ridge-diesel.telltale.invalid',
      sequence: 1,
      start: '2026-11-05T16:00:00.000Z',
      end: '2026-11-05T18:00:00.000Z',
      stamp: AT,
      summary: 'Oil service at Hollow Ridge Diesel',
      description: 'To change or cancel, write in the chat or call 555-0142.',
      location: 'Hollow Ridge Diesel, 18 Culvert Lane, Hollow Ridge',
      status: 'CONFIRMED',
    });
    expect(file).toContain('DTSTART;TZID=America/Denver:20261105T090000\r\n');
  });

  it('keeps its UID and raises its sequence through its life, and is cancelled by METHOD', () => {
    const change = (request: BookingRequest, action: Parameters<typeof changeRequest>[1]) => {
      const result = changeRequest(request, action, 'Perrin Tockley', AT, shop);
      if (!result.ok || !result.calendar) throw new Error('no change for the calendar');
      return { request: result.request, seen: readByBoth(fileOf(result.request, result.calendar)) };
    };
    const created = change(requestWith(), { do: 'accept' });
    const slot = slotAt('2026-11-06T13:00:00-07:00', '2026-11-06T15:00:00-07:00', 'bay-2');
    const moved = change(created.request, { do: 'move', slot });
    const cancelled = change(moved.request, { do: 'cancel' });
    const all = [created.seen, moved.seen, cancelled.seen];
    expect(new Set(all.map(({ uid }) => uid)).size).toBe(1);
    expect(all.map(({ sequence }) => sequence)).toEqual([1, 2, 3]);
    expect(all.map(({ method }) => method)).toEqual(['PUBLISH', 'PUBLISH', 'CANCEL']);
    expect(all.map(({ status }) => status)).toEqual(['CONFIRMED', 'CONFIRMED', 'CANCELLED']);
    expect(moved.seen.start).toBe('2026-11-06T20:00:00.000Z');
  });

  it.each([
    ['over the end of summer time', '2026-10-30T08:00:00-06:00', '2026-11-02T10:00:00-07:00'],
    ['over its beginning', '2026-03-06T08:00:00-07:00', '2026-03-09T10:00:00-06:00'],
    ['over the turn of the year', '2026-12-31T08:00:00-07:00', '2027-01-04T10:00:00-07:00'],
    ['in the first of the hours that come twice', '2026-11-01T01:15:00-06:00', '2026-11-01T01:45:00-06:00'],
    ['up to the hour that is skipped, and from its end', '2026-03-08T01:45:00-07:00', '2026-03-08T03:15:00-06:00'],
    ['from one to the other of the hours that come twice', '2026-11-01T01:15:00-06:00', '2026-11-01T01:45:00-07:00'],
    ['in the second of the hours that come twice', '2026-11-01T01:15:00-07:00', '2026-11-01T01:45:00-07:00'],
  ])('keeps its instants %s', (_where, start, end) => {
    const file = fileOf(requestWith({ slot: slotAt(start, end) }));
    expectWellFormed(file);
    const seen = readByBoth(file);
    expect([seen.start, seen.end]).toEqual([new Date(start).toISOString(), new Date(end).toISOString()]);
  });

  it.each(['America/Denver', 'America/Phoenix', 'Europe/Berlin', 'America/St_Johns', 'Australia/Sydney', 'UTC'])(
    'keeps its instants at any time of the year in %s',
    (zone) => {
      const there = shopWith({ zone });
      fc.assert(
        fc.property(fc.integer({ min: 0, max: 4 * 24 * 730 }), fc.integer({ min: 1, max: 400 }), (from, quarters) => {
          const at = Temporal.Instant.from('2026-01-01T00:00:00Z').add({ minutes: 15 * from });
          const iso = (instant: Temporal.Instant) =>
            instant.toZonedDateTimeISO(zone).toString({ timeZoneName: 'never', smallestUnit: 'second' });
          const end = at.add({ minutes: 15 * quarters });
          const file = fileOf(requestWith({ slot: slotAt(iso(at), iso(end)) }), 'created', 'Work', {
            ...means,
            shop: there,
          });
          const seen = readByBoth(file);
          expect([seen.start, seen.end]).toEqual([at, end].map((it) => new Date(it.epochMilliseconds).toISOString()));
        }),
        { numRuns: 25 },
      );
    },
  );

  it('defines the zone by the changes of the clocks that the law sets (15 U.S.C. 260a)', () => {
    // At 2 in the morning of the second Sunday in March and of the first Sunday in November, by the clocks before.
    const file = fileOf(requestWith({ slot: slotAt('2026-03-06T08:00:00-07:00', '2026-12-01T10:00:00-07:00') }));
    const observances = file
      .split('\r\n')
      .join(' ')
      .match(/BEGIN:(STANDARD|DAYLIGHT).*?END:\1/g);
    expect(observances?.slice(-2)).toEqual([
      'BEGIN:DAYLIGHT DTSTART:20260308T020000 TZOFFSETFROM:-0700 TZOFFSETTO:-0600 END:DAYLIGHT',
      'BEGIN:STANDARD DTSTART:20261101T020000 TZOFFSETFROM:-0600 TZOFFSETTO:-0700 END:STANDARD',
    ]);
  });

  it.each([
    ['commas, semicolons and backslashes', 'Check; test, and \\ mend'],
    [
      'a long line of letters of several octets',
      'Inspección de la bomba de combustible a alta presión; '.repeat(6).trim(),
    ],
    ['signs outside the basic plane', `Pump ${'🔧'.repeat(40)}`],
    ['line breaks', 'one\ntwo'],
    ['what looks like a property', 'x\r\nATTENDEE:mailto:someone@example.invalid'],
  ])('escapes and folds %s', (_what, work) => {
    const file = fileOf(requestWith(), 'created', work);
    expectWellFormed(file);
    expect(readByBoth(file).summary).toBe(`${work.replaceAll('\r\n', '\n')} at Hollow Ridge Diesel`);
    expect(file).not.toMatch(/^ATTENDEE/m);
  });

  it("takes any words, and a shop's name with quotation marks", () => {
    const quoted = shopWith({ name: 'The "Ridge", est. 1981; diesel' });
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 200 }), (work) => {
        const file = fileOf(requestWith(), 'created', work, { ...means, shop: quoted });
        expectWellFormed(file);
        expect(() => ICAL.parse(file)).not.toThrow();
      }),
      { numRuns: 100 },
    );
  });

  it('is not made for a request without a time', () => {
    expect(calendarFile(requestWith({ slot: null }), 'created', 'Oil service', means)).toBeUndefined();
  });
});

describe("the shop's feed", () => {
  const entry = (request: BookingRequest) => ({
    request,
    summary: `Truck ${request.vehicleId}`,
    description: 'keys in the box',
  });

  it('holds every appointment with a time, each once', () => {
    const file = calendarFeed(
      [
        entry(requestWith({ id: 'r-1' })),
        entry(requestWith({ id: 'r-2', state: 'cancelled' })),
        entry(requestWith({ id: 'r-3', slot: null })),
      ],
      means,
    );
    expectWellFormed(file);
    const events = new ICAL.Component(ICAL.parse(file) as unknown[]).getAllSubcomponents('vevent');
    expect(events.map((event) => [event.getFirstPropertyValue('uid'), event.getFirstPropertyValue('status')])).toEqual([
      ['r-1@hollow-ridge-diesel.telltale.invalid', 'CONFIRMED'],
      ['r-2@hollow-ridge-diesel.telltale.invalid', 'CANCELLED'],
    ]);
  });

  it('is a calendar also where it is empty: one component at least (3.6)', () => {
    const file = calendarFeed([], means);
    expectWellFormed(file);
    const parts = new ICAL.Component(ICAL.parse(file) as unknown[]).getAllSubcomponents();
    expect(parts.map(({ name }) => name)).toEqual(['vtimezone']);
  });
});
