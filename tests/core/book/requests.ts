import type { Slot } from '../../../src/core/model/booking.ts';
import type { BookingRequest } from '../../../src/core/model/owner.ts';

/** A request as the shop receives it, with little in it. */
export const requestWith = (changes: Partial<BookingRequest> = {}): BookingRequest => ({
  id: 'r-1',
  vehicleId: 'v-1',
  state: 'requested',
  revision: 1,
  createdAt: '2026-11-02T16:00:00.000Z',
  answerBy: '2026-11-02T20:00:00.000Z',
  services: ['oil-service'],
  slot: slotAt('2026-11-05T09:00:00-07:00', '2026-11-05T11:00:00-07:00'),
  complaint: [],
  facts: [],
  advice: {
    urgency: 'planned',
    services: [],
    bundle: { labourHours: { low: 1, high: 1 }, savedHours: { low: 0, high: 0 } },
    cautions: [],
    stillUnknown: [],
    notAdvised: [],
    doNow: [],
    notes: [],
    shopNotes: [],
    dueAt: [],
    dangers: [],
    families: [],
  },
  estimate: {
    labourHours: { low: 1, high: 1 },
    parts: { low: 0, high: 0 },
    total: { low: 0, high: 0 },
    currency: 'USD',
    lines: [],
    leftOut: [],
  },
  photos: [],
  history: [{ at: '2026-11-02T16:00:00.000Z', by: 'owner', what: 'requested' }],
  calendarSequence: 0,
  ...changes,
});

export function slotAt(start: string, end: string, bay = 'bay-1'): Slot {
  return { bay, start, end };
}
