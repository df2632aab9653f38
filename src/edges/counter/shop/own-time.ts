import { DateTime } from 'luxon';
import { z } from 'zod';
import { slotStarting, workMinutesOf, type BookingRequest, type Slot } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';

const Form = z.object({
  date: z.iso.date(),
  from: z.string().regex(/^\d{2}:\d{2}$/),
  hours: z.coerce.number().min(0.25).max(80),
  bay: z.string().max(64),
});

/**
 * A time that the shop names itself, in the shop's zone and on the quarter hour. Undefined where it is no time (a wall
 * time that the clock change leaves out, say), or the bay is none of ours; whether it is free is for the diary to say.
 * The hours are hours of work: a job goes on the next working day where the day ends before it.
 */
export function ownTime(body: unknown, means: Means): Slot | undefined {
  const form = Form.safeParse(body);
  if (!form.success || !means.flows.shop.bays.some(({ id }) => id === form.data.bay)) return undefined;
  const { date, from, hours, bay } = form.data;
  const start = DateTime.fromISO(`${date}T${from}`, { zone: means.flows.shop.zone });
  if (!start.isValid || start.toFormat('HH:mm') !== from || start.minute % 15 !== 0) return undefined;
  const at = start.toISO({ suppressMilliseconds: true }) ?? '';
  return slotStarting({ bay, start: at }, Math.round(hours * 4) * 15, means.flows.shop);
}

/** The fields of that form, filled with what stands now. */
export function ownTimeFields(request: BookingRequest, means: Means): Html {
  const { slot } = request;
  const start = DateTime.fromISO(slot?.start ?? means.now(), { zone: means.flows.shop.zone });
  return timeFields(means, {
    date: start.toISODate() ?? undefined,
    from: slot ? start.toFormat('HH:mm') : undefined,
    hours: slot ? String(workMinutesOf(slot, means.flows.shop) / 60) : undefined,
    bay: slot?.bay,
  });
}

/** Day, hour, hours of work and bay. */
export function timeFields(
  means: Means,
  given: Partial<Record<'date' | 'from' | 'hours' | 'bay', string | undefined>>,
): Html {
  const say = sayIn(means);
  const { date, from = '09:00', hours = '2', bay } = given;
  return html`<label>${say('day-date')}<input type="date" name="date" value="${date}" /></label>
    <label>${say('own-from')}<input type="time" name="from" step="900" value="${from}" /></label>
    <label
      >${say('own-hours')}<input type="number" name="hours" min="0.25" max="80" step="0.25" value="${hours}"
    /></label>
    <label
      >${say('day-bay')}<select name="bay">
        ${means.flows.shop.bays.map(({ id, name }) => html`<option value="${id}" ${id === bay ? html`selected` : null}>${name}</option>`)}
      </select></label
    >`;
}
