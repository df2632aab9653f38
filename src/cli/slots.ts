import { z } from 'zod';
import { findSlots, type SlotsMeans } from '../core/book/mod.ts';
import type { Slot } from '../core/model/booking.ts';
import { Facts } from '../core/model/facts.ts';
import { SERVICES, type Language } from '../core/model/ids.ts';
import { WantedTime } from '../core/model/reading.ts';
import type { Shop } from '../core/model/shop.ts';
import type { Texts } from '../core/model/texts.ts';

const instant = z.iso.datetime({ offset: true, message: 'expected an ISO 8601 time with offset' });

const SlotsLine = z.strictObject({
  now: instant,
  services: z.array(z.enum(SERVICES)),
  facts: Facts.default({}),
  wantedTime: WantedTime.refine((wanted) => 'date' in wanted || wanted.from <= wanted.to, {
    message: 'the span ends before it begins',
  }).optional(),
  booked: z
    .array(
      z
        .strictObject({ bay: z.string(), start: instant, end: instant, person: z.string().optional() })
        .refine(({ start, end }) => Date.parse(start) < Date.parse(end), { message: 'ends before it begins' }),
    )
    .optional(),
  skip: z.number().int().min(0).optional(),
  hours: z.number().positive().max(2000).optional(),
  visit: z.enum(['drop-off', 'waiting', 'tow-in']).optional(),
  truck: z
    .strictObject({ heightFeet: z.number().positive().optional(), weightPounds: z.number().positive().optional() })
    .optional(),
});

export interface SlotsCommandMeans {
  shop: Shop;
  texts: Texts;
  hoursOf: SlotsMeans['hoursOf'];
  language?: Language;
}

/** One line of the `slots` command: the next free times, or what is wrong with the line and where. */
export function slots(
  line: unknown,
  means: SlotsCommandMeans,
): { slots: Pick<Slot, 'bay' | 'start' | 'end'>[]; earliestBecause: string } | { error: string } {
  const parsed = SlotsLine.safeParse(line);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    return { error: `${issue?.path.map(String).join('.') || 'the line'}: ${issue?.message ?? 'unreadable'}` };
  }
  const answer = findSlots(parsed.data, means);
  return {
    slots: answer.slots.map(({ bay, start, end }) => ({ bay, start, end })),
    earliestBecause: answer.earliestBecause,
  };
}
