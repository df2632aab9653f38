import { DateTime } from 'luxon';
import { z } from 'zod';
import type { BookingRequest, Slot } from '../../../core/mod.ts';
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
 */
export function ownTime(body: unknown, means: Means): Slot | undefined {
  const form = Form.safeParse(body);
  if (!form.success || !means.flows.shop.bays.some(({ id }) => id === form.data.bay)) return undefined;
  const { date, from, hours, bay } = form.data;
  const start = DateTime.fromISO(`${date}T${from}`, { zone: means.flows.shop.zone });
  if (!start.isValid || start.toFormat('HH:mm') !== from || start.minute % 15 !== 0) return undefined;
  const end = start.plus({ minutes: Math.round(hours * 4) * 15 });
  const iso = (time: DateTime): string => time.toISO({ suppressMilliseconds: true }) ?? '';
  return { bay, start: iso(start), end: iso(end) };
}

/** The fields of that form, filled with what stands now. */
export function ownTimeFields(request: BookingRequest, means: Means): Html {
  const say = sayIn(means);
  const { zone, bays } = means.flows.shop;
  const { slot } = request;
  const start = DateTime.fromISO(slot?.start ?? means.now(), { zone });
  const hours = slot ? DateTime.fromISO(slot.end).diff(DateTime.fromISO(slot.start), 'hours').hours : 2;
  return html`<label>${say('day-date')}<input type="date" name="date" required value="${start.toISODate()}" /></label>
    <label
      >${say('own-from')}<input
        type="time"
        name="from"
        required
        step="900"
        value="${slot ? start.toFormat('HH:mm') : '09:00'}"
    /></label>
    <label
      >${say('own-hours')}<input type="number" name="hours" required min="0.25" max="80" step="0.25" value="${hours}"
    /></label>
    <label
      >${say('day-bay')}<select name="bay">
        ${bays.map(({ id, name }) => html`<option value="${id}" ${id === slot?.bay ? html`selected` : null}>${name}</option>`)}
      </select></label
    >`;
}
