import { randomUUID } from 'node:crypto';
import { z } from 'zod';
import { SERVICES, type Entry, type Papers } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField } from './frame.ts';
import { ownTime, timeFields } from './own-time.ts';
import type { Session } from './session.ts';
import type { Pages } from './ways.ts';
import { serviceName, workDay } from './words.ts';

type Fields = Record<string, string | string[]>;

const line = (most: number) => z.string().trim().max(most);
const Form = z.object({
  name: line(120).min(1),
  phone: line(40).min(5),
  truck: line(300).min(1),
  complaint: line(1000),
  unit: line(60),
  purchaseOrder: line(60),
  open: z.string().optional(),
});
const Work = z
  .union([z.string(), z.array(z.string())])
  .transform((value) => [value].flat())
  .pipe(z.array(z.enum(SERVICES)).min(1));

/** Somebody phoned or walked in: their truck and its job, booked at once. */
export function enterRoutes({ get, post, show }: Pages, means: Means): void {
  const say = sayIn(means);

  get('/counter/enter', async (request, reply, session) => {
    const date = z.object({ date: z.iso.date() }).safeParse(request.query).data?.date ?? workDay(means);
    return show(reply, session, say('enter-title'), enterForm(means, session, { date }));
  });

  post('/counter/enter', async (_request, reply, session, { fields }) => {
    const again = (notice: string) =>
      show(reply, session, say('enter-title'), enterForm(means, session, fields), { notice });
    const form = Form.safeParse(fields);
    const work = Work.safeParse(fields['service']);
    if (!form.success) return again(say('enter-wrong'));
    if (!work.success) return again(say('enter-wrong-work'));
    const slot = form.data.open ? null : ownTime(fields, means);
    if (slot === undefined) return again(say('enter-wrong-time'));
    const { name, phone, truck, complaint, unit, purchaseOrder } = form.data;
    const papers: Papers = { ...(unit && { unit }), ...(purchaseOrder && { purchaseOrder }) };
    const entry: Entry = {
      name,
      phone,
      facts: means.factsSaid({ truck, complaint }),
      services: work.data,
      slot,
      complaint,
      ...(Object.keys(papers).length > 0 && { papers }),
    };
    const externalId = `counter-${randomUUID()}`;
    const { staff } = session;
    const done = await means.askStaff({
      externalId,
      ownerId: await means.ownerOfEntry(entry, externalId),
      at: means.now(),
      by: { id: staff.id, name: staff.name },
      action: { do: 'enter', entry },
    });
    if (done.outcome !== 'done') return again(say('counter-not-yet'));
    if (done.answer.length > 0) return again(done.answer.join(' '));
    return reply.redirect(slot ? `/counter/day?date=${slot.start.slice(0, 10)}` : '/counter', 303);
  });
}

function enterForm(means: Means, session: Session, given: Fields): Html {
  const say = sayIn(means);
  const text = (name: string): string | undefined => {
    const value = given[name];
    return typeof value === 'string' ? value : undefined;
  };
  const ticked = [given['service'] ?? []].flat();
  return html`<p>${say('enter-how')}</p>
    <form method="post" action="/counter/enter">
      ${tokenField(session)}
      <div class="fields">
        <label
          >${say('enter-name')}<input type="text" name="name" required maxlength="120" value="${text('name')}"
        /></label>
        <label
          >${say('import-phone')}<input type="tel" name="phone" required maxlength="40" value="${text('phone')}"
        /></label>
        <label>${say('enter-unit')}<input type="text" name="unit" maxlength="60" value="${text('unit')}" /></label>
        <label
          >${say('enter-order')}<input type="text" name="purchaseOrder" maxlength="60" value="${text('purchaseOrder')}"
        /></label>
      </div>
      <p>
        <label
          >${say('enter-truck')}<input type="text" name="truck" required maxlength="300" value="${text('truck')}"
        /></label>
      </p>
      <p>
        <label
          >${say('enter-complaint')}<textarea name="complaint" maxlength="1000">${text('complaint')}</textarea>
        </label>
      </p>
      <fieldset>
        <legend>${say('enter-work')}</legend>
        <div class="ticks">
          ${means.allServices().map((id) => html`<label class="tick"><input type="checkbox" name="service" value="${id}" ${ticked.includes(id) ? html`checked` : null} />${serviceName(id, means)}</label>`)}
        </div>
      </fieldset>
      <fieldset>
        <legend>${say('day-time')}</legend>
        <div class="fields">
          ${timeFields(means, { date: text('date'), from: text('from'), hours: text('hours'), bay: text('bay') })}
        </div>
        <label class="tick"
          ><input
            type="checkbox"
            name="open"
            value="yes"
            ${text('open') ? html`checked` : null}
          />${say('enter-open')}</label
        >
      </fieldset>
      <p class="first"><button>${say('enter-now')}</button></p>
    </form>`;
}
