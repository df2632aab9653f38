import fc from 'fast-check';
import { DateTime } from 'luxon';
import { Temporal } from 'temporal-polyfill';
import { describe, expect, it } from 'vitest';
import { nextAllowed, withinHours } from '../../../src/core/follow-up/manners.ts';

const law = { from: '08:00', to: '21:00' };
const limits = { minimumDaysApart: 4, perThirtyDays: 4, perYear: 12 };
const utc = (local: string, zone: string): string =>
  DateTime.fromISO(local, { zone }).toUTC().toISO({ suppressMilliseconds: false }) ?? '';

describe('the hours of 47 CFR 64.1200(c)(1): not before 8 a.m., not after 9 p.m., at the owner’s place', () => {
  it.each([
    ['a minute before eight', '2026-06-01T07:59:59', 'America/Denver', false],
    ['eight sharp', '2026-06-01T08:00:00', 'America/Denver', true],
    ['a minute before nine in the evening', '2026-06-01T20:59:59', 'America/Denver', true],
    ['nine in the evening', '2026-06-01T21:00:00', 'America/Denver', false],
    ['midnight', '2026-06-01T00:00:00', 'America/Denver', false],
    ['eight in a zone of half hours', '2026-06-01T08:00:00', 'America/St_Johns', true],
    ['the morning of the day that clocks go forward', '2026-03-08T08:00:00', 'America/Denver', true],
    ['the evening of the day that clocks go back', '2026-11-01T21:30:00', 'America/Denver', false],
  ])('%s', (_case, local, zone, allowed) => {
    expect(withinHours(utc(local, zone), zone, law)).toBe(allowed);
  });

  it('goes by the owner’s zone, not the shop’s: one instant, two answers', () => {
    const instant = '2026-06-01T14:30:00.000Z';
    expect(withinHours(instant, 'America/New_York', law)).toBe(true);
    expect(withinHours(instant, 'America/Los_Angeles', law)).toBe(false);
  });
});

describe('the next moment for an unasked message', () => {
  const zone = 'America/Denver';
  it.each([
    ['at once within the hours', '2026-06-01T10:00', [], '2026-06-01T10:00'],
    ['the same morning, before opening', '2026-06-01T03:00', [], '2026-06-01T08:00'],
    ['the next morning, after closing', '2026-06-01T22:00', [], '2026-06-02T08:00'],
    ['the morning after the night in which clocks go forward', '2026-03-07T23:00', [], '2026-03-08T08:00'],
    ['the morning after the night in which clocks go back', '2026-10-31T23:00', [], '2026-11-01T08:00'],
    ['four days after the last one', '2026-06-02T10:00', ['2026-06-01T12:00'], '2026-06-05T12:00'],
    ['four days after, but in the morning', '2026-06-02T10:00', ['2026-06-01T20:59:30'], '2026-06-05T20:59:30'],
    [
      'thirty days after the first of four',
      '2026-06-20T10:00',
      ['2026-06-01T09:00', '2026-06-06T09:00', '2026-06-11T09:00', '2026-06-16T09:00'],
      '2026-07-01T09:00',
    ],
    [
      'a year after the twelfth last one',
      '2026-12-20T10:00',
      Array.from({ length: 12 }, (_, month) => `2026-${String(month + 1).padStart(2, '0')}-10T09:00`),
      '2027-01-10T09:00',
    ],
  ])('is %s', (_case, from, sent, expected) => {
    const at = nextAllowed(
      utc(from, zone),
      zone,
      law,
      sent.map((one) => utc(one, zone)),
      limits,
    );
    expect(at).toBe(utc(expected, zone));
  });

  it('never comes where the shop allows none', () => {
    expect(nextAllowed('2026-06-01T10:00:00.000Z', zone, law, [], { ...limits, perYear: 0 })).toBeNull();
  });

  const zones = ['America/Denver', 'America/New_York', 'America/Phoenix', 'America/St_Johns', 'Pacific/Auckland'];
  const instants = fc
    .integer({ min: Date.parse('2026-01-01T00:00:00Z') / 60_000, max: Date.parse('2028-01-01T00:00:00Z') / 60_000 })
    .map((minutes) => new Date(minutes * 60_000).toISOString());

  it('lies within the hours by an independent time-zone library, is not before the wish, and keeps all limits', () => {
    fc.assert(
      fc.property(instants, fc.constantFrom(...zones), fc.array(instants, { maxLength: 20 }), (wish, zone, sent) => {
        const past = sent.filter((one) => one <= wish);
        const at = nextAllowed(wish, zone, law, past, limits) ?? '';
        expect(at >= wish).toBe(true);
        const { hour } = Temporal.Instant.from(at).toZonedDateTimeISO(zone);
        expect(hour).toBeGreaterThanOrEqual(8);
        expect(hour).toBeLessThan(21);
        const within = (days: number) => past.filter((one) => Date.parse(one) > Date.parse(at) - days * 86_400_000);
        expect(within(4)).toHaveLength(0);
        expect(within(30).length).toBeLessThan(4);
        expect(within(365).length).toBeLessThan(12);
      }),
      { numRuns: 300 },
    );
  });

  it('does not wait longer than it must', () => {
    fc.assert(
      fc.property(instants, fc.constantFrom(...zones), (wish, zone) => {
        const at = nextAllowed(wish, zone, law, [], limits) ?? '';
        // Closed from nine to eight: eleven hours, twelve in the night in which clocks go back.
        expect(Date.parse(at) - Date.parse(wish)).toBeLessThanOrEqual(12 * 3_600_000);
        if (withinHours(wish, zone, law)) expect(at).toBe(wish);
      }),
      { numRuns: 300 },
    );
  });
});
