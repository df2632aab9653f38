import { describe, expect, it } from 'vitest';
import { daySheet, weekByBay, yardOf, type DaySheet } from '../../../src/core/book/mod.ts';
import { REQUEST_STATES, type BookingRequest } from '../../../src/core/model/owner.ts';
import { shop } from './fixtures.ts';
import { requestWith, slotAt } from './requests.ts';

const job = (id: string, start: string, end: string, bay = 'bay-1', changes: Partial<BookingRequest> = {}) =>
  requestWith({ id, state: 'accepted', slot: slotAt(start, end, bay), ...changes });

const column = (sheet: DaySheet, id: string) => sheet.columns.find((one) => one.id === id);
const spans = (sheet: DaySheet, id: string) =>
  column(sheet, id)?.entries.map(({ requestId, from, to }) => [requestId, from, to]);

describe('the sheet of a day', () => {
  it('shows the hours, and the jobs of each bay in time order', () => {
    const sheet = daySheet(
      [
        job('late', '2026-11-05T13:00:00-07:00', '2026-11-05T15:00:00-07:00'),
        job('early', '2026-11-05T08:00:00-07:00', '2026-11-05T10:30:00-07:00'),
        job('other', '2026-11-05T08:00:00-07:00', '2026-11-05T09:00:00-07:00', 'bay-3'),
        job('tomorrow', '2026-11-06T08:00:00-07:00', '2026-11-06T09:00:00-07:00'),
      ],
      '2026-11-05',
      shop,
    );
    expect(sheet.open).toEqual([{ from: 450, to: 1050 }]);
    expect(sheet.columns.map(({ id }) => id)).toEqual(['bay-1', 'bay-2', 'bay-3', 'bay-4']);
    expect(spans(sheet, 'bay-1')).toEqual([
      ['early', 480, 630],
      ['late', 780, 900],
    ]);
    expect(spans(sheet, 'bay-2')).toEqual([]);
    expect(spans(sheet, 'bay-3')).toEqual([['other', 480, 540]]);
    expect([sheet.capacityMinutes, sheet.takenMinutes]).toEqual([2400, 330]);
  });

  it('cuts a long job at the midnights, and says that it goes on', () => {
    const long = [job('long', '2026-11-05T13:00:00-07:00', '2026-11-07T10:00:00-07:00')];
    const of = (date: string) => column(daySheet(long, date, shop), 'bay-1')?.entries[0];
    expect(of('2026-11-05')).toMatchObject({ from: 780, to: 1440, continues: false, goesOn: true });
    expect(of('2026-11-06')).toMatchObject({ from: 0, to: 1440, continues: true, goesOn: true });
    expect(of('2026-11-07')).toMatchObject({ from: 0, to: 600, continues: true, goesOn: false });
    expect(of('2026-11-08')).toBeUndefined();
    expect(daySheet(long, '2026-11-06', shop).takenMinutes, 'the nights are no work').toBe(600);
  });

  it('stands on the wall clock on the days on which the clocks change', () => {
    const night = [
      job('first', '2026-11-01T01:30:00-06:00', '2026-11-01T01:30:00-07:00'),
      job('spring', '2026-03-08T01:30:00-07:00', '2026-03-08T03:30:00-06:00'),
    ];
    expect(spans(daySheet(night, '2026-03-08', shop), 'bay-1')).toEqual([['spring', 90, 210]]);
    // An hour by the sun, none by the clock: still high enough to be seen.
    expect(spans(daySheet(night, '2026-11-01', shop), 'bay-1')).toEqual([['first', 90, 105]]);
  });

  it('puts what overlaps side by side', () => {
    const sheet = daySheet(
      [
        job('a', '2026-11-05T08:00:00-07:00', '2026-11-05T12:00:00-07:00'),
        job('b', '2026-11-05T09:00:00-07:00', '2026-11-05T10:00:00-07:00'),
        job('c', '2026-11-05T10:00:00-07:00', '2026-11-05T11:00:00-07:00'),
        job('d', '2026-11-05T12:00:00-07:00', '2026-11-05T13:00:00-07:00'),
      ],
      '2026-11-05',
      shop,
    );
    expect(column(sheet, 'bay-1')?.entries.map(({ requestId, lane, lanes }) => [requestId, lane, lanes])).toEqual([
      ['a', 0, 2],
      ['b', 1, 2],
      ['c', 1, 2],
      ['d', 0, 1],
    ]);
    expect(sheet.takenMinutes, 'each minute is taken once').toBe(300);
  });

  it('shows what holds a bay, and what was closed or missed, and nothing that was called off', () => {
    const all = REQUEST_STATES.map((state) =>
      job(state, '2026-11-05T08:00:00-07:00', '2026-11-05T09:00:00-07:00', 'bay-1', { state }),
    );
    const shown = column(daySheet(all, '2026-11-05', shop), 'bay-1')?.entries.map(({ requestId }) => requestId);
    expect(REQUEST_STATES.filter((state) => !shown?.includes(state))).toEqual(['declined', 'cancelled']);
  });

  it('shows blocks of bays, and people where they are blocked', () => {
    const sheet = daySheet([], '2026-11-05', shop, [
      { bay: 'bay-2', start: '2026-11-05T07:30:00-07:00', end: '2026-11-05T12:00:00-07:00' },
      { bay: 'quill', start: '2026-11-05T00:00:00-07:00', end: '2026-11-06T00:00:00-07:00' },
    ]);
    expect(spans(sheet, 'bay-2')).toEqual([[undefined, 450, 720]]);
    expect(column(sheet, 'quill')).toMatchObject({ kind: 'person', name: 'Teodora Quillfeather' });
  });

  it('loses no job of a bay that the shop no longer has', () => {
    const sheet = daySheet(
      [job('old', '2026-11-05T08:00:00-07:00', '2026-11-05T09:00:00-07:00', 'bay-9')],
      '2026-11-05',
      shop,
    );
    expect(sheet.elsewhere.map(({ requestId }) => requestId)).toEqual(['old']);
  });

  it('says why a day is closed', () => {
    expect(daySheet([], '2026-11-26', shop)).toMatchObject({
      closedBecause: 'Thanksgiving Day',
      open: [],
      capacityMinutes: 0,
    });
    expect(daySheet([], '2026-11-08', shop).closedBecause, 'a Sunday is closed by the weekly hours').toBeUndefined();
  });
});

describe('the week', () => {
  it.each(['2026-11-02', '2026-11-05', '2026-11-08'])('of %s runs from Monday to Sunday', (date) => {
    expect(weekByBay([], date, shop).map((day) => day.date)).toEqual([
      '2026-11-02',
      '2026-11-03',
      '2026-11-04',
      '2026-11-05',
      '2026-11-06',
      '2026-11-07',
      '2026-11-08',
    ]);
  });

  it('holds a long job on each of its days', () => {
    const week = weekByBay([job('long', '2026-11-05T13:00:00-07:00', '2026-11-07T10:00:00-07:00')], '2026-11-04', shop);
    expect(week.filter((day) => column(day, 'bay-1')?.entries.length).map(({ date }) => date)).toEqual([
      '2026-11-05',
      '2026-11-06',
      '2026-11-07',
    ]);
  });
});

it('counts the trucks in the yard: those that have come and are not worked on', () => {
  const all = REQUEST_STATES.map((state) => requestWith({ id: state, state }));
  expect(yardOf(all, shop)).toEqual({ places: 6, requestIds: ['arrived', 'awaiting-approval'], free: 4 });
});
