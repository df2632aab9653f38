import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { changeRequest, findSlots, isFree, quartersOf } from '../../../src/core/book/mod.ts';
import type { Slot, SlotsRequest, Taken } from '../../../src/core/model/booking.ts';
import { HOLDING_STATES, type BookingRequest } from '../../../src/core/model/owner.ts';
import { WEEKDAYS } from '../../../src/core/model/shop.ts';
import { asking, meansFor, shop } from './fixtures.ts';
import { requestWith } from './requests.ts';

/*
 * A diary that lives: bookings, moves and cancellations at random, each into the times that the search offers against
 * what then stands in the diary. After every step the diary is judged by plain comparisons of all its entries.
 */
const SERVICES: SlotsRequest['services'][] = [
  ['oil-service'],
  ['scan-diagnosis'],
  ['chassis-inspection'],
  ['pump-protection-kit'],
  ['fuel-system-replacement'],
  ['tow-in', 'fuel-pressure-test'],
];

const step = fc.record({
  what: fc.constantFrom('book', 'book', 'book', 'move', 'cancel'),
  services: fc.constantFrom(...SERVICES),
  hours: fc.constantFrom(0.5, 1.25, 3, 7, 10, 12, 25),
  which: fc.nat(50),
  wantedInDays: fc.option(fc.integer({ min: 0, max: 20 }), { nil: undefined }),
  part: fc.constantFrom('morning' as const, 'afternoon' as const, 'any' as const),
  /** Minutes that pass before the step. */
  later: fc.integer({ min: 0, max: 600 }),
});

/** Both clock changes of 2026 in America/Denver lie within the diaries. */
const starts = fc.constantFrom('2026-10-28T15:00:00Z', '2026-03-04T14:40:00Z', '2026-12-21T18:00:00Z');

const takenBy = (requests: readonly BookingRequest[]): Taken[] =>
  requests.flatMap(({ state, slot }) => (slot && HOLDING_STATES.includes(state) ? [slot] : []));

function expectSound(taken: readonly Taken[], buffer: number): void {
  for (const [index, one] of taken.entries()) {
    for (const other of taken.slice(index + 1)) {
      const apart =
        Date.parse(one.end) <= Date.parse(other.start) - buffer ||
        Date.parse(other.end) <= Date.parse(one.start) - buffer;
      if (one.bay === other.bay) expect(apart, `${JSON.stringify(one)} and ${JSON.stringify(other)}`).toBe(true);
      if (one.person !== undefined && one.person === other.person) {
        const overlap = Date.parse(one.start) < Date.parse(other.end) && Date.parse(other.start) < Date.parse(one.end);
        expect(overlap, `${one.person} twice`).toBe(false);
      }
    }
  }
}

function expectWithinHours(slot: Slot): void {
  for (const [edge, iso] of [
    ['start', slot.start],
    ['end', slot.end],
  ] as const) {
    const wall = Temporal.Instant.from(iso).toZonedDateTimeISO(shop.zone);
    expect(iso, 'the offset is the zone’s own').toBe(wall.toString({ timeZoneName: 'never', smallestUnit: 'second' }));
    expect(wall.minute % 15).toBe(0);
    const spans = shop.hours[WEEKDAYS[wall.dayOfWeek - 1] ?? 'monday'];
    const clock = wall.toPlainTime().toString({ smallestUnit: 'minute' });
    const inside = spans.some(({ from, to }) =>
      edge === 'start' ? from <= clock && clock < to : from < clock && clock <= to,
    );
    expect(inside, `${iso} lies within the hours`).toBe(true);
    expect(shop.closed.map(({ date }) => date)).not.toContain(wall.toPlainDate().toString());
  }
}

describe('a living diary', { timeout: 120_000 }, () => {
  it('never holds two jobs in one bay, or one technician twice, and stays within hours', () => {
    let booked = 0;
    fc.assert(
      fc.property(starts, fc.array(step, { minLength: 5, maxLength: 40 }), (start, steps) => {
        let now = Temporal.Instant.from(start);
        let requests: BookingRequest[] = [];
        const claims = new Map<string, string>();
        for (const [index, { what, services, hours, which, wantedInDays, part, later }] of steps.entries()) {
          now = now.add({ minutes: later });
          const held = requests.filter(({ state }) => HOLDING_STATES.includes(state));
          const chosen = what === 'book' ? undefined : held[which % Math.max(1, held.length)];
          if (what !== 'book' && !chosen) continue;
          const others = requests.filter(({ id }) => id !== chosen?.id);
          const wanted = wantedInDays === undefined ? undefined : now.add({ hours: 24 * wantedInDays });
          const wantedTime = wanted && { date: wanted.toZonedDateTimeISO(shop.zone).toPlainDate().toString(), part };
          const request = asking({
            now: now.toString(),
            services,
            booked: takenBy(others),
            ...(wantedTime && { wantedTime }),
          });
          const { slots } = findSlots(request, meansFor(shop, hours));
          const slot = slots[which % Math.max(1, slots.length)];
          if (what !== 'cancel' && !slot) continue;
          for (const offered of slots) {
            expectWithinHours(offered);
            expect(Date.parse(offered.start)).toBeGreaterThanOrEqual(now.epochMilliseconds);
            expect(isFree(offered, takenBy(others))).toBe(true);
          }
          const at = new Date(now.epochMilliseconds).toISOString();
          let next: BookingRequest | undefined;
          if (!chosen) next = requestWith({ id: `r-${index}`, services, slot: slot ?? null });
          else {
            const action = what === 'cancel' ? ({ do: 'cancel' } as const) : slot && ({ do: 'move', slot } as const);
            const result = action && changeRequest(chosen, action, 'owner', at, shop);
            next = result?.ok ? result.request : undefined;
          }
          if (!next) continue;
          for (const [claim, holder] of claims) if (holder === next.id) claims.delete(claim);
          if (next.slot && HOLDING_STATES.includes(next.state)) {
            for (const { resource, quarter } of quartersOf(next.slot)) {
              const key = `${resource} ${quarter}`;
              expect(claims.get(key), `${key} is claimed twice`).toBeUndefined();
              claims.set(key, next.id);
            }
          }
          requests = [...others, next];
          booked++;
          expectSound(takenBy(requests), shop.booking.bufferMinutes * 60_000);
        }
      }),
      { numRuns: 40 },
    );
    expect(booked).toBeGreaterThan(100);
  });
});

describe('the quarter hours of a slot', () => {
  it('are those of its bay and of its technician, begun ones included', () => {
    const slot = { bay: 'bay-1', start: '2026-11-05T09:10:00-07:00', end: '2026-11-05T09:40:00-07:00', person: 'pim' };
    expect(quartersOf(slot)).toEqual([
      { resource: 'bay-1', quarter: '2026-11-05T16:00:00.000Z' },
      { resource: 'pim', quarter: '2026-11-05T16:00:00.000Z' },
      { resource: 'bay-1', quarter: '2026-11-05T16:15:00.000Z' },
      { resource: 'pim', quarter: '2026-11-05T16:15:00.000Z' },
      { resource: 'bay-1', quarter: '2026-11-05T16:30:00.000Z' },
      { resource: 'pim', quarter: '2026-11-05T16:30:00.000Z' },
    ]);
  });

  it('number 25 times four on the day on which summer time ends', () => {
    expect(quartersOf({ bay: 'b', start: '2026-11-01T00:00:00-06:00', end: '2026-11-02T00:00:00-07:00' })).toHaveLength(
      100,
    );
  });

  it('are shared by two slots exactly where these overlap', () => {
    const slot = fc.record({ from: fc.nat(40), length: fc.integer({ min: 1, max: 12 }) }).map(({ from, length }) => ({
      bay: 'b',
      start: new Date(Date.UTC(2026, 10, 1, 6) + from * 900_000).toISOString(),
      end: new Date(Date.UTC(2026, 10, 1, 6) + (from + length) * 900_000).toISOString(),
    }));
    fc.assert(
      fc.property(slot, slot, (one, other) => {
        const quarters = new Set(quartersOf(one).map(({ quarter }) => quarter));
        const shared = quartersOf(other).some(({ quarter }) => quarters.has(quarter));
        expect(shared).toBe(!isFree(one, [other]));
      }),
    );
  });
});

it('compares instants where the clocks change, not their texts', () => {
  // 01:45 of summer time comes before 01:15 of standard time, an hour of the wall clock later.
  const taken = [{ bay: 'b', start: '2026-11-01T01:45:00-06:00', end: '2026-11-01T01:15:00-07:00' }];
  expect(isFree({ bay: 'b', start: '2026-11-01T01:00:00-07:00', end: '2026-11-01T01:30:00-07:00' }, taken)).toBe(false);
  expect(isFree({ bay: 'b', start: '2026-11-01T01:15:00-07:00', end: '2026-11-01T01:30:00-07:00' }, taken)).toBe(true);
});
