import fc from 'fast-check';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { wallClock, type Occurrence } from '../../src/core/book/wall-clock.ts';

/*
 * Wall-clock arithmetic against the Temporal polyfill, which has code of its own. Wall times that are skipped follow
 * RFC 5545, section 3.3.5 (read with the offset before the gap), which Temporal calls "compatible".
 */
const ZONES = [
  'America/Denver',
  'America/New_York',
  'America/Phoenix',
  'America/Anchorage',
  'America/St_Johns',
  'Pacific/Chatham',
  'Australia/Lord_Howe',
  'Europe/Berlin',
  'Asia/Kathmandu',
  'UTC',
];

const millisecondsOf = (minute: number) => minute * 60_000;

function byTemporal(zone: string, date: string, minuteOfDay: number, disambiguation: 'earlier' | 'later'): number {
  const wall = Temporal.PlainDate.from(date).toPlainDateTime().add({ minutes: minuteOfDay });
  const both = (['earlier', 'later'] as const).map((which) => wall.toZonedDateTime(zone, { disambiguation: which }));
  const skipped = both.every((read) => !read.toPlainDateTime().equals(wall));
  const chosen = skipped
    ? wall.toZonedDateTime(zone, { disambiguation: 'compatible' })
    : wall.toZonedDateTime(zone, { disambiguation });
  return chosen.epochMilliseconds;
}

const anyDate = fc
  .integer({ min: 0, max: 3650 })
  .map((days) => Temporal.PlainDate.from('2023-01-01').add({ days }).toString());

describe('the wall clock', () => {
  it.each<[string, number, Occurrence, string, string]>([
    ['2026-03-08', 150, 'earlier', '2026-03-08T03:30:00-06:00', '02:30 is skipped: clocks go forward at 02:00'],
    ['2026-03-08', 150, 'later', '2026-03-08T03:30:00-06:00', 'a skipped time has one reading'],
    ['2026-03-08', 120, 'earlier', '2026-03-08T03:00:00-06:00', 'the first skipped minute'],
    ['2026-11-01', 90, 'earlier', '2026-11-01T01:30:00-06:00', '01:30 comes twice: the first is summer time'],
    ['2026-11-01', 90, 'later', '2026-11-01T01:30:00-07:00', 'and the second is standard time'],
    ['2026-11-01', 120, 'earlier', '2026-11-01T02:00:00-07:00', 'after the change there is one reading again'],
    ['2026-11-01', 1440, 'earlier', '2026-11-02T00:00:00-07:00', 'the day ends after 25 hours'],
  ])('reads %s minute %i, the %s one, as %s: %s', (date, minute, occurrence, expected) => {
    const clock = wallClock('America/Denver');
    expect(clock.format(clock.minuteOf(date, minute, occurrence))).toBe(expected);
  });

  it.each(ZONES)('agrees with Temporal in %s on every kind of day', (zone) => {
    const clock = wallClock(zone);
    fc.assert(
      fc.property(
        anyDate,
        fc.integer({ min: 0, max: 1439 }),
        fc.constantFrom<Occurrence[]>('earlier', 'later'),
        (date, minute, which) => {
          expect(millisecondsOf(clock.minuteOf(date, minute, which))).toBe(byTemporal(zone, date, minute, which));
        },
      ),
      { numRuns: 150 },
    );
  });

  it.each(ZONES)('agrees with Temporal in %s on every quarter hour around each change of the clocks', (zone) => {
    const clock = wallClock(zone);
    let at = Temporal.ZonedDateTime.from(`2026-01-01T00:00[${zone}]`);
    for (let changes = 0; changes < 4; changes++) {
      const next = at.getTimeZoneTransition('next');
      if (!next || next.year > 2027) break;
      at = next;
      for (let quarter = -16; quarter <= 16; quarter++) {
        const wall = next.toPlainDateTime().add({ minutes: quarter * 15 });
        const date = wall.toPlainDate().toString();
        const minute = wall.hour * 60 + wall.minute;
        for (const which of ['earlier', 'later'] as const) {
          expect(millisecondsOf(clock.minuteOf(date, minute, which))).toBe(byTemporal(zone, date, minute, which));
        }
      }
    }
  });

  it.each(ZONES)('writes minutes in %s as Temporal does', (zone) => {
    const clock = wallClock(zone);
    const minutes = fc.integer({ min: Date.UTC(2023, 0) / 60_000, max: Date.UTC(2033, 0) / 60_000 });
    fc.assert(
      fc.property(minutes, (minute) => {
        const zoned = Temporal.Instant.fromEpochMilliseconds(millisecondsOf(minute)).toZonedDateTimeISO(zone);
        expect(clock.format(minute)).toBe(zoned.toString({ timeZoneName: 'never', smallestUnit: 'second' }));
        expect(clock.dateOf(minute)).toBe(zoned.toPlainDate().toString());
      }),
      { numRuns: 150 },
    );
  });
});
