import { DateTime } from 'luxon';
import { z } from 'zod';
import type { Block } from '../../../core/mod.ts';
import { mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField } from './frame.ts';
import { section, ticket } from './parts.ts';
import type { Session } from './session.ts';
import { slotWhen } from './words.ts';

const Form = z.object({
  resource: z.string().max(64),
  date: z.iso.date(),
  from: z.string().regex(/^\d{2}:\d{2}$/),
  untilDate: z.iso.date(),
  until: z.string().regex(/^\d{2}:\d{2}$/),
  because: z.string().trim().min(1).max(200),
});

/** A bay or a person taken out of the diary: who or what, from when until when, and why. */
export function blockForm(means: Means, session: Session, date: string): Html {
  const say = sayIn(means);
  const { bays, people } = means.flows.shop;
  const choice = ({ id, name }: { id: string; name: string }): Html => html`<option value="${id}">${name}</option>`;
  return html`<details class="act not-printed">
    <summary>${say('block-way')}</summary>
    <form class="fields" method="post" action="/counter/block">
      ${tokenField(session)}
      <label
        >${say('block-what')}<select name="resource">
          <optgroup label="${say('block-bays')}">${bays.map(choice)}</optgroup>
          <optgroup label="${say('block-people')}">${people.map(choice)}</optgroup>
        </select></label
      >
      <label>${say('day-date')}<input type="date" name="date" required value="${date}" /></label>
      <label>${say('own-from')}<input type="time" name="from" required step="900" value="08:00" /></label>
      <label>${say('block-until-date')}<input type="date" name="untilDate" required value="${date}" /></label>
      <label>${say('block-until')}<input type="time" name="until" required step="900" value="17:30" /></label>
      <label>${say('block-because')}<input type="text" name="because" required maxlength="200" /></label>
      <button>${say('block-now')}</button>
    </form>
  </details>`;
}

/** What is blocked, with a button that gives it back. */
export function blockList(blocks: readonly Block[], means: Means, session: Session, date: string): Html {
  if (blocks.length === 0) return html``;
  const say = sayIn(means);
  const may = mayUse('POST /counter/block/:id/end', session.staff.role);
  const name = (id: string) =>
    [...means.flows.shop.bays, ...means.flows.shop.people].find((one) => one.id === id)?.name ?? id;
  return section(
    say('block-list'),
    blocks.map(({ id, resource, start, end, because, by }) =>
      ticket(
        html`<strong>${name(resource)}</strong>`,
        html`${because}, ${slotWhen({ bay: resource, start, end }, means)} <span class="small">${by}</span> ${
            may
              ? html`<form method="post" action="/counter/block/${id}/end">
                  ${tokenField(session)}<input type="hidden" name="date" value="${date}" /><button>
                    ${say('block-end')}<span class="unseen"> ${name(resource)}</span>
                  </button>
                </form>`
              : null
          }`,
      ),
    ),
    '',
  );
}

/** A form as a block; undefined where something in it is missing or wrong, or it would end before it begins. */
export function blockOf(body: unknown, means: Means, by: string, id: string): Block | undefined {
  const form = Form.safeParse(body);
  if (!form.success) return undefined;
  const { resource, because, date, from, untilDate, until } = form.data;
  const { zone, bays, people } = means.flows.shop;
  if (![...bays, ...people].some((one) => one.id === resource)) return undefined;
  const [start, end] = [`${date}T${from}`, `${untilDate}T${until}`].map((at) => DateTime.fromISO(at, { zone }));
  if (!start?.isValid || !end?.isValid || end <= start || end.diff(start, 'days').days > 92) return undefined;
  const iso = (at: DateTime): string => at.toISO({ suppressMilliseconds: true }) ?? '';
  return { id, resource, start: iso(start), end: iso(end), because, by, at: means.now() };
}
