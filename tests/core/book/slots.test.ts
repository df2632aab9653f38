import { describe, expect, it } from 'vitest';
import { findSlots } from '../../../src/core/book/mod.ts';
import type { SlotsAnswer, SlotsRequest, Taken } from '../../../src/core/model/booking.ts';
import type { Shop } from '../../../src/core/model/shop.ts';
import { asking, meansFor, shop, shopWith } from './fixtures.ts';

const starts = ({ slots }: SlotsAnswer) => slots.map(({ start }) => start);
const find = (changes: Partial<SlotsRequest> = {}, hours = 2, of: Shop = shop) =>
  findSlots(asking(changes), meansFor(of, hours));

const everyBay = (start: string, end: string): Taken[] => shop.bays.map(({ id }) => ({ bay: id, start, end }));

describe('the next free times', () => {
  it.each<[string, Partial<SlotsRequest>, number, string[], RegExp]>([
    [
      'after the notice of two working hours',
      {},
      2,
      ['2026-11-02T11:00:00-07:00', '2026-11-02T12:00:00-07:00', '2026-11-02T13:00:00-07:00'],
      /soonest/,
    ],
    [
      'further on for more',
      { skip: 3 },
      2,
      ['2026-11-02T14:00:00-07:00', '2026-11-02T15:00:00-07:00', '2026-11-03T07:30:00-07:00'],
      /soonest/,
    ],
    [
      'the notice runs in working hours, so it goes on the next morning',
      { now: '2026-11-02T16:30:00-07:00' },
      2,
      ['2026-11-03T08:30:00-07:00', '2026-11-03T09:30:00-07:00', '2026-11-03T10:30:00-07:00'],
      /next day that the shop is open/,
    ],
    [
      'seconds do not make a time that has passed',
      { now: '2026-11-02T09:00:01-07:00' },
      2,
      ['2026-11-02T11:15:00-07:00', '2026-11-02T12:15:00-07:00', '2026-11-02T13:15:00-07:00'],
      /soonest/,
    ],
    [
      'a job that fits into a day is done within one day: not on a Saturday of four hours',
      { now: '2026-11-06T15:00:00-07:00' },
      6,
      ['2026-11-09T07:30:00-07:00', '2026-11-09T08:30:00-07:00', '2026-11-09T09:30:00-07:00'],
      /about 6 hours/,
    ],
    [
      'over a public holiday: Thanksgiving Day is a Thursday',
      { now: '2026-11-25T17:00:00-07:00' },
      2,
      ['2026-11-27T09:00:00-07:00', '2026-11-27T10:00:00-07:00', '2026-11-27T11:00:00-07:00'],
      /closed on Thursday, November 26 \(Thanksgiving Day\)/,
    ],
    [
      'over the shop’s own closed day and Christmas',
      { now: '2026-12-23T17:00:00-07:00' },
      2,
      ['2026-12-28T09:00:00-07:00', '2026-12-28T10:00:00-07:00', '2026-12-28T11:00:00-07:00'],
      /closed on Thursday, December 24 \(stocktaking\)/,
    ],
    [
      'behind a full diary, with the buffer after it',
      { booked: everyBay('2026-11-02T08:00:00-07:00', '2026-11-05T10:00:00-07:00') },
      2,
      ['2026-11-05T10:15:00-07:00', '2026-11-05T11:15:00-07:00', '2026-11-05T12:15:00-07:00'],
      /Everything earlier is taken/,
    ],
    [
      'when the parts are there: two working days for the kit, from a Friday',
      { now: '2026-11-06T09:00:00-07:00', services: ['pump-protection-kit'] },
      5,
      ['2026-11-09T07:30:00-07:00', '2026-11-09T08:30:00-07:00', '2026-11-09T09:30:00-07:00'],
      /parts for this work can be here on Monday, November 9/,
    ],
    [
      'a job longer than a day pauses overnight and keeps its bay',
      { services: ['fuel-system-replacement'] },
      25,
      ['2026-11-06T07:30:00-07:00', '2026-11-06T08:30:00-07:00', '2026-11-06T09:30:00-07:00'],
      /parts/,
    ],
  ])('%s', (_why, changes, hours, expected, because) => {
    const answer = find(changes, hours);
    expect(starts(answer)).toEqual(expected);
    expect(answer.earliestBecause).toMatch(because);
  });

  it('ends a long job after so many hours of work, whatever lies between', () => {
    const [slot] = find({ services: ['fuel-system-replacement'] }, 25).slots;
    // Friday 10 hours, Saturday 4, Monday 10, Tuesday 1.
    expect(slot).toMatchObject({ start: '2026-11-06T07:30:00-07:00', end: '2026-11-10T08:30:00-07:00' });
  });

  it('keeps a long job over the end of summer time on the wall clock', () => {
    const [slot] = find({ now: '2026-10-30T06:00:00-06:00' }, 12, shopWith({ booking: { noticeHours: 0 } })).slots;
    expect(slot).toMatchObject({ start: '2026-10-30T07:30:00-06:00', end: '2026-10-31T10:00:00-06:00' });
    const [late] = find({ now: '2026-10-31T06:00:00-06:00' }, 12, shopWith({ booking: { noticeHours: 0 } })).slots;
    expect(late).toMatchObject({ start: '2026-10-31T08:00:00-06:00', end: '2026-11-02T15:30:00-07:00' });
  });

  it('pauses for breaks', () => {
    const withBreak = shopWith({ breaks: [{ from: '12:00', to: '12:30' }] });
    const [, second] = find({}, 2, withBreak).slots;
    expect(starts(find({}, 2, withBreak))[1]).not.toBe('2026-11-02T12:00:00-07:00');
    expect(find({}, 2, withBreak).slots[0]).toMatchObject({
      start: '2026-11-02T11:00:00-07:00',
      end: '2026-11-02T13:30:00-07:00',
    });
    expect(second?.start).toBe('2026-11-02T12:30:00-07:00');
  });

  it('says that parts are ordered by a VIN that is confirmed, where it is not yet', () => {
    const kit = { services: ['pump-protection-kit' as const] };
    expect(find(kit).earliestBecause).toMatch(/, and are ordered when the VIN is confirmed\.$/);
    expect(find({ ...kit, facts: { vin: 'ZZ000000000000000', unsure: ['vin'] } }).earliestBecause).toMatch(/VIN/);
    expect(find({ ...kit, facts: { vin: 'ZZ000000000000000' } }).earliestBecause).toBe(
      'The parts for this work can be here on Wednesday, November 4, not earlier.',
    );
  });

  it('offers times on a holiday on which the shop is open all the same', () => {
    const open = shopWith({ openHolidays: ['2026-11-26'] });
    const answer = find({ wantedTime: { date: '2026-11-26', part: 'morning' } }, 2, open);
    expect(starts(answer)[0]).toBe('2026-11-26T07:30:00-07:00');
  });

  it('gives up on work that no year would hold', () => {
    expect(find({}, 5000)).toMatchObject({ slots: [], earliestBecause: expect.stringMatching(/next 365 days/) });
  });

  it('lets a customer wait only for what is done in the time that the shop allows for it', () => {
    expect(find({ visit: 'waiting' }, 2).slots).toHaveLength(3);
    expect(find({ visit: 'waiting' }, 2.25).slots).toEqual([]);
    expect(find({ visit: 'waiting' }, 2.25).earliestBecause).toBe(
      'The work takes about 2.25 hours, too long to wait for; the truck can be dropped off instead.',
    );
  });

  it('gives no times that no bay could serve, and says whom to call', () => {
    const answer = find({ truck: { heightFeet: 20 } });
    expect(answer.slots).toEqual([]);
    expect(answer.earliestBecause).toBe(
      'None of our bays takes this truck for this work; please call the shop at 555-0142.',
    );
  });

  it('takes work of unstated length for one hour', () => {
    expect(find({}, 0).slots[0]).toMatchObject({
      start: '2026-11-02T11:00:00-07:00',
      end: '2026-11-02T12:00:00-07:00',
    });
  });

  it('rounds work up to the quarter hour', () => {
    expect(find({}, 1.1).slots[0]?.end).toBe('2026-11-02T12:15:00-07:00');
    expect(find({}, 1.25).slots[0]?.end).toBe('2026-11-02T12:15:00-07:00');
  });
});

describe('a wanted time', () => {
  it.each<[string, Partial<SlotsRequest>, string[], boolean, RegExp]>([
    [
      'is met where there is room',
      { wantedTime: { date: '2026-11-05', part: 'afternoon' } },
      ['2026-11-05T12:00:00-07:00', '2026-11-05T13:00:00-07:00', '2026-11-05T14:00:00-07:00'],
      true,
      /time you asked for/,
    ],
    [
      'as a span of days is met day after day',
      { wantedTime: { from: '2026-11-03', to: '2026-11-04', part: 'morning' }, skip: 4 },
      ['2026-11-03T11:30:00-07:00', '2026-11-04T07:30:00-07:00', '2026-11-04T08:30:00-07:00'],
      true,
      /time you asked for/,
    ],
    [
      'on a full morning gives the nearest, before and after',
      {
        wantedTime: { date: '2026-11-05', part: 'morning' },
        booked: everyBay('2026-11-05T07:30:00-07:00', '2026-11-05T12:00:00-07:00'),
      },
      ['2026-11-05T12:15:00-07:00', '2026-11-05T13:15:00-07:00', '2026-11-05T14:15:00-07:00'],
      false,
      /is taken/,
    ],
    [
      'on a holiday gives the days around it',
      { wantedTime: { date: '2026-11-26', part: 'any' } },
      ['2026-11-25T15:30:00-07:00', '2026-11-27T07:30:00-07:00', '2026-11-27T08:30:00-07:00'],
      false,
      /closed on Thursday, November 26 \(Thanksgiving Day\)/,
    ],
    [
      'on a Sunday gives the nearest opening',
      { wantedTime: { date: '2026-11-08', part: 'any' } },
      ['2026-11-09T07:30:00-07:00', '2026-11-09T08:30:00-07:00', '2026-11-09T09:30:00-07:00'],
      false,
      /not open at the time/,
    ],
    [
      'that has passed gives the next times',
      { wantedTime: { date: '2026-10-01', part: 'any' } },
      ['2026-11-02T11:00:00-07:00', '2026-11-02T12:00:00-07:00', '2026-11-02T13:00:00-07:00'],
      false,
      /has passed/,
    ],
    [
      'this morning is too soon',
      { wantedTime: { date: '2026-11-02', part: 'morning' }, now: '2026-11-02T10:30:00-07:00' },
      ['2026-11-02T12:30:00-07:00', '2026-11-02T13:30:00-07:00', '2026-11-02T14:30:00-07:00'],
      false,
      /too soon/,
    ],
    [
      'beyond the diary gives its last days',
      { wantedTime: { date: '2029-01-01', part: 'any' } },
      ['2027-11-02T13:30:00-06:00', '2027-11-02T14:30:00-06:00', '2027-11-02T15:30:00-06:00'],
      false,
      /until Tuesday, November 2, 2027 only/,
    ],
    [
      'before the parts are there gives the first times after',
      { wantedTime: { date: '2026-11-03', part: 'any' }, services: ['pump-protection-kit'] },
      ['2026-11-04T07:30:00-07:00', '2026-11-04T08:30:00-07:00', '2026-11-04T09:30:00-07:00'],
      false,
      /parts for this work can be here on Wednesday, November 4/,
    ],
  ])('%s', (_why, changes, expected, met, because) => {
    const answer = find(changes);
    expect(starts(answer)).toEqual(expected);
    expect(answer.wantedMet).toBe(met);
    expect(answer.earliestBecause).toMatch(because);
  });

  it('that is too short for the work is said to be', () => {
    const answer = find({ wantedTime: { date: '2026-11-07', part: 'any' } }, 6);
    expect(answer.wantedMet).toBe(false);
    expect(answer.earliestBecause).toMatch(/about 6 hours and does not fit/);
  });

  it('is answered in Spanish where that is the language', () => {
    const answer = findSlots(asking({ wantedTime: { date: '2026-11-08', part: 'any' } }), {
      ...meansFor(shop),
      language: 'es',
    });
    expect(answer.earliestBecause).toBe('El taller no está abierto a la hora que pidió; estas son las más cercanas.');
  });
});

describe('the bay and the technician', () => {
  it('take the work: a lift where one is needed, not the bay for quick work where that cannot', () => {
    expect(find({ services: ['chassis-inspection'] }).slots[0]?.bay).toBe('bay-1');
    expect(find({ services: ['pump-protection-kit'] }, 5).slots[0]?.bay).toBe('bay-3');
  });

  it('take the truck', () => {
    expect(find({ truck: { weightPounds: 33_000 } }).slots[0]?.bay).toBe('bay-3');
    expect(find({ truck: { heightFeet: 11.5 } }).slots.every(({ bay }) => bay !== 'bay-4')).toBe(true);
  });

  it('are the ones with the fewest abilities, so that the others stay free', () => {
    expect(find({ services: ['oil-service'] }).slots[0]).toMatchObject({ bay: 'bay-4', person: 'pim' });
  });

  it('are not those with a job of their own', () => {
    const booked: Taken[] = [
      { bay: 'bay-4', start: '2026-11-02T10:00:00-07:00', end: '2026-11-02T12:00:00-07:00', person: 'pim' },
    ];
    expect(find({ services: ['oil-service'], booked }).slots[0]).toMatchObject({ bay: 'bay-3', person: 'fenwick' });
  });

  it('leave no time where the only technician is on a job that names nobody', () => {
    const alone = shopWith({ people: shop.people.filter(({ id }) => id === 'quill') });
    const booked: Taken[] = [{ bay: 'bay-1', start: '2026-11-02T11:00:00-07:00', end: '2026-11-02T14:00:00-07:00' }];
    expect(starts(find({ booked }, 2, alone))[0]).toBe('2026-11-02T14:00:00-07:00');
  });

  it('are free to the end of a job that pauses, with the buffer after it', () => {
    const oneBay = shopWith({ bays: shop.bays.slice(0, 1), breaks: [{ from: '12:00', to: '12:30' }] });
    const next = (start: string): Taken[] => [{ bay: 'bay-1', start, end: '2026-11-02T17:30:00-07:00' }];
    // Two hours of work from 11:00 end at 13:30.
    const first = (start: string) => starts(find({ booked: next(start) }, 2, oneBay))[0];
    expect(first('2026-11-02T13:45:00-07:00')).toBe('2026-11-02T11:00:00-07:00');
    expect(first('2026-11-02T13:30:00-07:00')).toBe('2026-11-03T07:30:00-07:00');
  });

  it('leave no time where every technician is away', () => {
    const away = shop.people.map(({ id }) => ({
      bay: id,
      start: '2026-11-02T00:00:00-07:00',
      end: '2026-11-04T00:00:00-07:00',
    }));
    expect(starts(find({ booked: away }))[0]).toBe('2026-11-04T07:30:00-07:00');
  });

  it('leave no time where those who are there cannot do the work', () => {
    const away = ['fenwick', 'brindle', 'quill', 'sorrel'].map((bay) => ({
      bay,
      start: '2026-11-02T00:00:00-07:00',
      end: '2026-11-04T00:00:00-07:00',
    }));
    expect(starts(find({ booked: away }))[0]).toBe('2026-11-04T07:30:00-07:00');
    expect(starts(find({ booked: away, services: ['oil-service'] }))[0]).toBe('2026-11-02T11:00:00-07:00');
  });

  it('prefer a bay that stays free where an inspection may turn into a longer job', () => {
    const booked: Taken[] = [{ bay: 'bay-3', start: '2026-11-04T14:00:00-07:00', end: '2026-11-04T17:00:00-07:00' }];
    const kit = { services: ['pump-protection-kit' as const], booked };
    expect(find(kit, 5).slots[0]).toMatchObject({ bay: 'bay-1', start: '2026-11-04T07:30:00-07:00' });
    const plain = shopWith({ booking: { mayGrowHours: {} } });
    expect(find(kit, 5, plain).slots[0]).toMatchObject({ bay: 'bay-3', start: '2026-11-04T07:30:00-07:00' });
  });
});

describe('a truck on a tow truck', () => {
  const towed = { services: ['tow-in' as const, 'scan-diagnosis' as const] };

  it('comes without notice, and can be left in the yard at any opening hour', () => {
    const answer = find(towed);
    expect(starts(answer)[0]).toBe('2026-11-02T09:00:00-07:00');
    expect(answer.yardFrom).toBe('2026-11-02T09:00:00-07:00');
    expect(answer.earliestBecause).toMatch(/yard at any opening hour/);
  });

  it('is taken into the yard from the next opening hour on when the shop is closed', () => {
    expect(find({ ...towed, now: '2026-11-01T03:00:00-07:00' }).yardFrom).toBe('2026-11-02T07:30:00-07:00');
  });

  it('is not offered a yard that the shop does not have', () => {
    const answer = find(towed, 2, shopWith({ yardPlaces: 0 }));
    expect(answer.yardFrom).toBeUndefined();
    expect(answer.earliestBecause).not.toMatch(/yard/);
  });

  it('waits in the yard while the bays are full', () => {
    const answer = find({ ...towed, booked: everyBay('2026-11-02T08:00:00-07:00', '2026-11-03T17:30:00-07:00') });
    expect(starts(answer)[0]).toBe('2026-11-04T07:30:00-07:00');
    expect(answer.yardFrom).toBe('2026-11-02T09:00:00-07:00');
  });
});

it('refuses a moment that is none', () => {
  expect(() => find({ now: 'soon' })).toThrow(/now: "soon" is not an ISO 8601 instant/);
});
