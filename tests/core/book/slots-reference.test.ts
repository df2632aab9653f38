import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { findSlots } from '../../../src/core/book/mod.ts';
import type { SlotsRequest, Taken } from '../../../src/core/model/booking.ts';
import type { Shop } from '../../../src/core/model/shop.ts';
import { meansFor, shopWith } from './fixtures.ts';
import { referenceStarts } from './reference.ts';

/*
 * Whole searches against the slow model: with offers a quarter hour apart, the pages must hold every start that the
 * model knows, and no other. The days are short so that the model stays affordable.
 */

const clock = (minute: number) =>
  `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;

const daySpans = fc
  .tuple(fc.integer({ min: 24, max: 36 }), fc.integer({ min: 8, max: 16 }), fc.nat(3))
  .map(([open, length, closed]) =>
    closed === 0 ? [] : [{ from: clock(open * 15), to: clock(Math.min(open + length, 95) * 15) }],
  );

// Saturday to Tuesday around both clock changes of 2026 in America/Denver, and a plain week.
const nowHere = fc.constantFrom(
  '2026-03-06T15:07:00-07:00',
  '2026-03-08T03:30:00-06:00',
  '2026-10-30T10:00:00-06:00',
  '2026-11-01T01:30:00-06:00',
  '2026-11-01T01:30:00-07:00',
  '2026-06-01T06:00:00-06:00',
);

const people: Shop['people'] = [
  { id: 'all', name: 'Can Doall', role: 'technician' },
  { id: 'oil', name: 'Onl Yoil', role: 'technician', skills: ['oil-service'] },
  {
    id: 'part',
    name: 'Part Timely',
    role: 'technician',
    hours: { monday: [{ from: '07:00', to: '08:30' }], tuesday: [{ from: '06:00', to: '23:00' }] },
  },
  { id: 'desk', name: 'Desk Sitter', role: 'advisor' },
];

const aShop = fc
  .record({
    hours: fc.record({
      monday: daySpans,
      tuesday: daySpans,
      wednesday: daySpans,
      thursday: daySpans,
      friday: daySpans,
      saturday: daySpans,
      sunday: daySpans,
    }),
    breaks: fc.constantFrom<Shop['breaks'][]>([], [{ from: '07:30', to: '07:45' }]),
    buffer: fc.constantFrom(0, 15, 30),
    notice: fc.constantFrom(0, 1, 2.5),
    firstDay: fc.constantFrom(0, 1),
    people: fc.constantFrom(people, people.slice(0, 2), people.slice(3)),
  })
  .filter(({ hours }) => Object.values(hours).filter((spans) => spans.length > 0).length >= 3)
  .map(({ hours, breaks, buffer, notice, firstDay, people }) =>
    shopWith({
      hours,
      breaks,
      people,
      closed: [{ date: '2026-11-03', why: 'painting the floor' }],
      // The model knows no holidays, so the shop keeps none.
      openHolidays: ['2026-10-12', '2026-11-11'],
      bays: [
        { id: 'one', name: 'One', lift: false, cannot: [] },
        { id: 'two', name: 'Two', lift: true, cannot: ['scan-diagnosis'] },
      ],
      booking: {
        bufferMinutes: buffer,
        noticeHours: notice,
        horizonDays: 5,
        offersApartMinutes: 15,
        firstDayHours: firstDay,
        waitingHours: 3,
        partsLeadDays: {},
        needsLift: ['oil-service'],
        mayGrowHours: {},
      },
    }),
  );

const bookedFrom = (now: string) =>
  fc
    .array(
      fc.record({
        bay: fc.constantFrom('one', 'two', 'all', 'oil'),
        after: fc.integer({ min: -20, max: 4 * 24 * 5 }),
        quarters: fc.integer({ min: 1, max: 20 }),
        person: fc.constantFrom(undefined, undefined, 'all', 'part'),
      }),
      { maxLength: 10 },
    )
    .map((entries) =>
      entries.map(({ bay, after, quarters, person }): Taken => {
        const start = Temporal.Instant.from(now).add({ minutes: after * 15 });
        const end = start.add({ minutes: quarters * 15 });
        const named = person !== undefined && (bay === 'one' || bay === 'two') ? { person } : {};
        return { bay, start: start.toString(), end: end.toString(), ...named };
      }),
    );

const aCase = nowHere.chain((now) =>
  fc.record({
    now: fc.constant(now),
    shop: aShop,
    hours: fc.constantFrom(0.25, 1, 2.5, 5, 7),
    services: fc.constantFrom<SlotsRequest['services'][]>(['injector-test'], ['scan-diagnosis'], ['oil-service']),
    visit: fc.constantFrom<SlotsRequest['visit'][]>('drop-off', 'waiting'),
    booked: bookedFrom(now),
  }),
);

const utc = (iso: string) => Temporal.Instant.from(iso).toString();

// The slow model is slow: on a busy machine it may take more than the usual time.
describe('a search for times', { timeout: 120_000 }, () => {
  it('offers the starts of the slow model, in their order, on every page', () => {
    let compared = 0;
    fc.assert(
      fc.property(aCase, fc.double({ min: 0, max: 1, noNaN: true }), (given, where) => {
        const { now, shop, hours, services, visit, booked } = given;
        const request: SlotsRequest = { now, services, facts: {}, visit, booked };
        const expected = referenceStarts(request, shop, hours, 20);
        const { length } = expected;
        for (const skip of [0, 3, Math.floor(where * length), Math.max(0, length - 2), length]) {
          const page = findSlots({ ...request, skip }, meansFor(shop, hours)).slots;
          const wanted = expected.slice(skip, skip + 3);
          expect(page.map(({ start, end }) => [utc(start), utc(end)])).toEqual(
            wanted.map(({ start, end }) => [start, end]),
          );
          page.forEach(({ bay }, index) => expect(wanted[index]?.bays).toContain(bay));
          compared += page.length;
        }
      }),
      { numRuns: 60 },
    );
    expect(compared).toBeGreaterThan(200);
  });

  it('gives the wanted times first and then the nearest, by the slow model', () => {
    const wanted = fc.record({
      from: fc.integer({ min: -2, max: 7 }),
      days: fc.integer({ min: 0, max: 2 }),
      part: fc.constantFrom('morning' as const, 'afternoon' as const, 'any' as const),
    });
    fc.assert(
      fc.property(aCase, wanted, ({ now, shop, hours, services, booked }, { from, days, part }) => {
        const today = Temporal.Instant.from(now).toZonedDateTimeISO(shop.zone).toPlainDate();
        const [first, last] = [today.add({ days: from }), today.add({ days: from + days })];
        const wantedTime = { from: first.toString(), to: last.toString(), part };
        const request: SlotsRequest = { now, services, facts: {}, booked, wantedTime };
        const windows: [number, number][] = [];
        for (let day = first; Temporal.PlainDate.compare(day, last) <= 0; day = day.add({ days: 1 })) {
          const at = (date: Temporal.PlainDate, time: string) =>
            date.toZonedDateTime({ timeZone: shop.zone, plainTime: time }).epochMilliseconds;
          const begin = at(day, part === 'afternoon' ? '12:00' : '00:00');
          const end = part === 'morning' ? at(day, '12:00') : at(day.add({ days: 1 }), '00:00');
          windows.push([begin, end]);
        }
        const off = (start: string): number => {
          const minute = Temporal.Instant.from(start).epochMilliseconds;
          const distances = windows.map(([begin, end]) =>
            minute < begin ? begin - minute : minute >= end ? minute - end + 60_000 : 0,
          );
          return Math.min(...distances);
        };
        const expected = referenceStarts(request, shop, hours, 20);
        const inOrder = [...expected].sort((a, b) => off(a.start) - off(b.start)).map(({ start }) => start);
        const { slots, wantedMet } = findSlots(request, meansFor(shop, hours));
        expect(slots.map(({ start }) => utc(start)).sort()).toEqual(inOrder.slice(0, 3).sort());
        expect(wantedMet).toBe(inOrder.length > 0 && off(inOrder[0] ?? '') === 0);
        const meets = slots.map(({ start }) => off(start) === 0);
        expect(meets, 'wanted times stand before the others').toEqual([...meets].sort((a, b) => Number(b) - Number(a)));
      }),
      { numRuns: 60 },
    );
  });
});
