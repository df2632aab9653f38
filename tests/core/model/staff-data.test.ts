import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BUTTON_DATA_BYTES, parseStaffActionData, staffActionData } from '../../../src/core/mod.ts';
import type { TappedAction } from '../../../src/core/mod.ts';

const slot = { bay: 'bay-1', start: '2026-11-05T09:00:00-07:00', end: '2026-11-05T13:00:00-07:00' };

describe('the data of a staff button', () => {
  it.each<[string, TappedAction]>([
    ['s:412-1:3:accept', { do: 'accept', requestId: '412-1', revision: 3 }],
    ['s:412-1:3:list-times', { do: 'list-times', requestId: '412-1', revision: 3 }],
    ['s:412-1:3:decline@no-capacity', { do: 'decline', requestId: '412-1', revision: 3, because: 'no-capacity' }],
    ['s:412-1:3:decline', { do: 'decline', requestId: '412-1', revision: 3, because: '' }],
    ['s:412-1:3:offer-time@bay-1@hstmo-s@240', { do: 'offer-time', requestId: '412-1', revision: 3, slot }],
    [
      's:412-1:3:move@bay-1@hstmo-s@240@fenwick',
      { do: 'move', requestId: '412-1', revision: 3, slot: { ...slot, person: 'fenwick' } },
    ],
    ['s:412-1:3:phoned', { do: 'phoned', requestId: '412-1', revision: 3 }],
  ])('%s', (data, action) => {
    expect(staffActionData(action)).toBe(data);
    expect(parseStaffActionData(data)).toEqual(action);
  });

  it.each([
    ['q:1:2', 'an owner’s button'],
    ['s:412-1:3', 'no action'],
    ['s:412-1:x:accept', 'a revision that is no number'],
    ['s:412-1:3:close', 'closing needs a report'],
    ['s:412-1:3:constructor', 'a name that every object has'],
    ['s:412-1:3:accept@now', 'an argument where none belongs'],
    ['s:412-1:3:offer-time', 'no slot'],
    ['s:412-1:3:offer-time@bay-1@zzzzzzzzz-s@240', 'a day that does not exist'],
    ['s:412-1:3:offer-time@bay-1@hstmo-s@0', 'a slot without length'],
    [`s:${'r'.repeat(60)}:3:accept`, 'longer than a button'],
  ])('refuses %s: %s', (data) => {
    expect(parseStaffActionData(data)).toBeUndefined();
  });

  it('keeps a slot’s instants across the end of daylight saving time', () => {
    const long = { bay: 'b', start: '2026-10-31T09:00:00-06:00', end: '2026-11-01T09:00:00-07:00' };
    const back = parseStaffActionData(staffActionData({ do: 'move', requestId: '1', revision: 1, slot: long }));
    expect(back && 'slot' in back && Date.parse(back.slot.end)).toBe(Date.parse(long.end));
  });

  it('never throws on a stranger’s data, and what it accepts is written back the same', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.string().map((tail) => `s:1-1:2:${tail}`),
        ),
        (data) => {
          const action = parseStaffActionData(data);
          if (action && !('slot' in action)) expect(staffActionData(action)).toBe(data.replace(/:0+(?=\d+:)/, ':'));
        },
      ),
    );
  });

  it('says so when the identifiers do not fit', () => {
    expect(() => staffActionData({ do: 'accept', requestId: 'r'.repeat(BUTTON_DATA_BYTES), revision: 1 })).toThrow(
      RangeError,
    );
  });
});
