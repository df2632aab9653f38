import * as chrono from 'chrono-node';
import fc from 'fast-check';
import { DateTime } from 'luxon';
import { describe, expect, it } from 'vitest';
import { facts } from '../core/understand/values/lexicon.ts';

/** Wanted days against a general date parser, chrono-node, with its "forward" setting: a day still to come. */
const TODAY = '2026-08-03';
const NOW = new Date('2026-08-03T12:00:00');

const ours = (text: string, asked: 'wantedTime' = 'wantedTime'): string | undefined => {
  const read = facts(text, { asked, today: TODAY });
  const wanted = (read['wantedTime'] ?? read['wantedTime?']) as { date?: string; from?: string } | undefined;
  return wanted?.date ?? wanted?.from;
};
const theirs = (text: string, language: 'en' | 'es' = 'en'): string | undefined => {
  const [found] = chrono[language].parse(text, NOW, { forwardDate: true });
  return found ? (DateTime.fromJSDate(found.start.date()).toISODate() ?? undefined) : undefined;
};

describe('wanted days', () => {
  it('agrees on every absolute date of the next eleven months, in six spellings', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 330 }), fc.integer({ min: 0, max: 5 }), (ahead, form) => {
        const day = DateTime.fromISO(TODAY).plus({ days: ahead });
        const text = [
          day.toFormat('MMMM d'),
          day.toFormat('LLL d'),
          `${day.toFormat('d')} ${day.toFormat('MMMM')}`,
          day.toFormat('M/d/yyyy'),
          day.toFormat('yyyy-MM-dd'),
          `the ${day.day}th of ${day.toFormat('MMMM')}`,
        ][form] as string;
        expect(ours(text)).toBe(day.toISODate());
        expect(theirs(text)).toBe(day.toISODate());
      }),
      { numRuns: 300 },
    );
  });

  it('agrees on absolute dates in Spanish', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 330 }), (ahead) => {
        const day = DateTime.fromISO(TODAY).plus({ days: ahead });
        const text = `${day.day} de ${day.setLocale('es').toFormat('MMMM')}`;
        expect(ours(`el ${text}`)).toBe(day.toISODate());
        expect(theirs(text, 'es')).toBe(day.toISODate());
      }),
      { numRuns: 100 },
    );
  });

  it.each(['tomorrow', 'thursday', 'this thursday', 'friday', 'in 3 days', 'august 12th', 'the day after tomorrow'])(
    'agrees on %j',
    (text) => {
      expect(ours(text)).toBe(theirs(text));
    },
  );

  // Where the two differ, and why ours is as it is.
  it.each([
    ['next thursday', '2026-08-13', 'said on a Monday, "next" is mostly the week after; it is asked back'],
    ['next week thursday', '2026-08-13', 'the Thursday of that week, not its first day'],
    ['june 31', null, 'there is no such day; a general parser rolls it over or drops the day'],
    ['thursday the 7th', '2026-08-07', 'the 7th is a Friday: the date stands and is asked back'],
    ['the 12th', '2026-08-12', 'a bare day of the month is a day to come'],
    ['10th-14th', '2026-08-10', 'a span of bare days'],
    ['week of the 17th', '2026-08-17', 'a whole week'],
    ['two weeks from monday', '2026-08-24', 'counted from the Monday to come'],
    ['not tuesday, thursday', '2026-08-06', 'the first day is ruled out'],
    ['tuesday no wait thursday', '2026-08-06', 'a correction'],
    ['asap', '2026-08-03', 'an open end'],
  ] as [string, string | null, string][])('reads %j as %s: %s', (text, date) => {
    expect(ours(text) ?? null).toBe(date);
  });
});
