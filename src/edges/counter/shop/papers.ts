import { z } from 'zod';
import type { Papers, Somebody } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField } from './frame.ts';
import type { Session } from './session.ts';

const PEOPLE = ['driver', 'approver', 'payer'] as const;

const text = z
  .string()
  .trim()
  .max(120)
  .optional()
  .transform((value) => value || undefined);
const Form = z.object({
  unit: text,
  purchaseOrder: text,
  driver: text,
  driverPhone: text,
  approver: text,
  approverPhone: text,
  payer: text,
  payerPhone: text,
});

/** A fleet's papers of a truck: its number there, who drives, who approves and who pays. */
export function papersForm(vehicleId: string, papers: Papers | undefined, means: Means, session: Session): Html {
  const say = sayIn(means);
  const field = (name: string, label: string, value: string | undefined): Html =>
    html`<label>${label}<input type="text" name="${name}" maxlength="120" value="${value}" /></label>`;
  return html`<details class="act not-printed">
    <summary>${say('papers-way')}</summary>
    <form method="post" action="/counter/truck/${vehicleId}/papers">
      ${tokenField(session)}
      <div class="fields">
        ${field('unit', say('enter-unit'), papers?.unit)}
        ${field('purchaseOrder', say('enter-order'), papers?.purchaseOrder)}
      </div>
      ${PEOPLE.map(
        (person) =>
          html`<div class="fields">
            ${field(person, say(`papers-field-${person}`), papers?.[person]?.name)}
            ${field(`${person}Phone`, say('papers-phone', { who: say(`papers-field-${person}`) }), papers?.[person]?.phone)}
          </div>`,
      )}
      <button>${say('arrival-keep')}</button>
    </form>
  </details>`;
}

/** A form as papers; undefined where something in it is too long, or a number stands without its name. */
export function papersOf(body: unknown): Papers | undefined {
  const form = Form.safeParse(body);
  if (!form.success) return undefined;
  const { unit, purchaseOrder } = form.data;
  const papers: Papers = { ...(unit && { unit }), ...(purchaseOrder && { purchaseOrder }) };
  for (const person of PEOPLE) {
    const [name, phone] = [form.data[person], form.data[`${person}Phone`]];
    if (phone !== undefined && name === undefined) return undefined;
    if (name !== undefined) papers[person] = { name, ...(phone !== undefined && { phone }) } satisfies Somebody;
  }
  return papers;
}
