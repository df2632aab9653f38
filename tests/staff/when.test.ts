import { describe, expect, it } from 'vitest';
import { clockOn, dayFrom, isoOf } from '../../src/staff/when.ts';

const ZONE = 'America/Denver';
// A Monday, 09:00 by the shop's clock.
const NOW = '2026-11-02T16:00:00.000Z';

describe('a day as staff write it', () => {
  it.each([
    ['today', '2026-11-02', 'by the shop’s clock, not by UTC'],
    ['tomorrow', '2026-11-03', ''],
    ['mon', '2026-11-02', 'a weekday is the next one, today included'],
    ['thu', '2026-11-05', ''],
    ['Thursday', '2026-11-05', 'written out'],
    ['sun', '2026-11-08', ''],
    ['11/5', '2026-11-05', 'month and day, as dates are written here'],
    ['3/1', '2027-03-01', 'a day that has passed this year is next year’s'],
    ['2027-01-04', '2027-01-04', 'ISO 8601'],
  ])('%s: %s %s', (words, date) => {
    expect(dayFrom(words, NOW, ZONE)?.toISODate()).toBe(date);
  });

  it.each([
    ['2/30', 'no such day'],
    ['13/1', 'no such month'],
    ['2026-02-29', 'no leap year'],
    ['th', 'Thursday or the like needs three letters'],
    ['bay-2', 'a bay'],
    ['', 'nothing'],
  ])('%s is none: %s', (words) => {
    expect(dayFrom(words, NOW, ZONE)).toBeUndefined();
  });

  it('late in the evening is still the shop’s own day', () => {
    expect(dayFrom('today', '2026-11-03T05:30:00.000Z', ZONE)?.toISODate()).toBe('2026-11-02');
  });
});

describe('a time of day as staff write it', () => {
  const on = (date: string, words: string) => {
    const day = dayFrom(date, NOW, ZONE);
    const time = day && clockOn(day, words);
    return time && isoOf(time);
  };
  it.each([
    ['9', '2026-11-05T09:00:00-07:00'],
    ['9:30', '2026-11-05T09:30:00-07:00'],
    ['14:00', '2026-11-05T14:00:00-07:00'],
    ['2pm', '2026-11-05T14:00:00-07:00'],
    ['12am', '2026-11-05T00:00:00-07:00'],
    ['12 PM', '2026-11-05T12:00:00-07:00'],
  ])('%s', (words, iso) => {
    expect(on('thu', words)).toBe(iso);
  });
  it.each([['9:75'], ['13pm'], ['0am'], ['25'], ['noon'], ['']])('%s is none', (words) => {
    expect(on('thu', words)).toBeUndefined();
  });
  it('that the clocks skip in March is none', () => {
    expect(on('2027-03-14', '2:30')).toBeUndefined();
    expect(on('2027-03-14', '3:30')).toBe('2027-03-14T03:30:00-06:00');
  });
});
