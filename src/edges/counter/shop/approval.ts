import { z } from 'zod';
import {
  APPROVAL_WAYS,
  openWork,
  SERVICES,
  type BookingRequest,
  type StaffAction,
  type WorkItem,
} from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { line } from './parts.ts';
import { money, range, serviceName, when } from './words.ts';

/** More than these at once nobody can answer in a chat. */
const MOST_ITEMS = 4;
const WAYS = APPROVAL_WAYS.filter((way) => way !== 'chat');

const dollars = z.coerce.number().int().min(0).max(1_000_000);
const Item = z
  .object({
    what: z.string().trim().min(1).max(200),
    service: z.union([z.literal('').transform(() => undefined), z.enum(SERVICES)]),
    low: dollars,
    high: dollars,
  })
  .refine(({ low, high }) => low <= high);

/** More work was found: what it is and what it costs, asked of the one who approves. */
export function askForm(means: Means, fields: Html, to: string): Html {
  const say = sayIn(means);
  const item = (index: number): Html =>
    html`<fieldset>
      <legend>${say('approval-number', { number: index + 1 })}</legend>
      <div class="fields">
        <label
          >${say('approval-what')}<input
            type="text"
            name="what${index}"
            maxlength="200"
            ${index === 0 ? html`required` : null}
        /></label>
        <label
          >${say('approval-service')}<select name="service${index}">
            <option value="">${say('approval-no-service')}</option>
            ${means.allServices().map((id) => html`<option value="${id}">${serviceName(id, means)}</option>`)}
          </select></label
        >
        <label
          >${say('approval-low')}<input
            type="number"
            name="low${index}"
            min="0"
            step="1"
            ${index === 0 ? html`required` : null}
        /></label>
        <label
          >${say('approval-high')}<input
            type="number"
            name="high${index}"
            min="0"
            step="1"
            ${index === 0 ? html`required` : null}
        /></label>
      </div>
    </fieldset>`;
  const [first, ...more] = Array.from({ length: MOST_ITEMS }, (_, index) => item(index));
  return html`<form method="post" action="${to}">
    ${fields}${first}
    <details>
      <summary>${say('approval-more')}</summary>
      ${more}
    </details>
    <label>${say('approval-because')}<input type="text" name="because" maxlength="300" /></label>
    <button>${say('approval-ask-now')}</button>
  </form>`;
}

/** What the one who approves said outside the chat. */
export function answerForm({ request, owner }: RequestView, means: Means, fields: Html, to: string): Html {
  const say = sayIn(means);
  const open = openWork(request);
  if (!open) return html``;
  return html`<form class="answer" method="post" action="${to}">
    ${fields}
    <fieldset>
      <legend>${say('approval-may-do')}</legend>
      ${open.items.map((item, index) => html`<label class="tick"><input type="checkbox" name="item" value="${index}" />${item.what}, ${range(item.dollars, money)}</label>`)}
    </fieldset>
    <div class="fields">
      <label
        >${say('approval-who')}<input type="text" name="who" required maxlength="120" value="${owner.name}"
      /></label>
      <label
        >${say('approval-how')}<select name="how">
          ${WAYS.map((way) => html`<option value="${way}">${say(`approval-${way}`)}</option>`)}
        </select></label
      >
    </div>
    <button>${say('approval-keep')}</button>
  </form>`;
}

/** A form as the work to ask for; undefined where something in it is missing or wrong. */
export function workOf(body: Record<string, unknown>): { items: WorkItem[]; because?: string } | undefined {
  const items: WorkItem[] = [];
  for (let index = 0; index < MOST_ITEMS; index++) {
    const what = body[`what${index}`];
    if (typeof what !== 'string' || what.trim() === '') continue;
    const item = Item.safeParse({
      what,
      service: body[`service${index}`] ?? '',
      low: body[`low${index}`],
      high: body[`high${index}`],
    });
    if (!item.success || body[`low${index}`] === '' || body[`high${index}`] === '') return undefined;
    const { service, low, high } = item.data;
    items.push({ what: item.data.what, ...(service && { service }), dollars: { low, high } });
  }
  const because = z.string().trim().max(300).safeParse(body['because']);
  return items.length > 0
    ? { items, ...(because.success && because.data !== '' && { because: because.data }) }
    : undefined;
}

type Answer = Pick<Extract<StaffAction, { do: 'record-approval' }>, 'answer' | 'items' | 'who' | 'how'>;

/** A form as the answer; the boxes that are ticked are what may be done. */
export function answerOf(body: Record<string, unknown>, request: BookingRequest): Answer | undefined {
  const open = openWork(request);
  const form = z
    .object({ who: z.string().trim().min(1).max(120), how: z.enum(APPROVAL_WAYS).exclude(['chat']) })
    .safeParse(body);
  if (!open || !form.success) return undefined;
  const items = [body['item'] ?? []].flat().map(Number);
  if (items.some((item) => !(item in open.items))) return undefined;
  const answer = items.length === 0 ? 'no' : items.length === open.items.length ? 'yes' : 'in-part';
  return { answer, items, ...form.data };
}

export function approvalLines({ moreWork = [] }: BookingRequest, means: Means): Html | null {
  if (moreWork.length === 0) return null;
  const say = sayIn(means);
  return line(
    say('sheet-more-work'),
    html`${moreWork.map(
      ({ askedAt, askedBy, because, items, answer }) =>
        html`<p>${when(askedAt, means)}, ${askedBy}${because ? html`: ${because}` : null}</p>
          <ul>
            ${items.map(
              (item, index) =>
                html`<li>
                  ${item.what},
                  ${range(item.dollars, money)}${answer ? html`: <strong>${say(answer.items.includes(index) ? 'approval-may' : 'approval-may-not')}</strong>` : null}
                </li>`,
            )}
          </ul>
          <p>
            ${answer ? html`${say('approval-said', { who: answer.who, how: say(`approval-${answer.how}`), time: when(answer.at, means) })}${answer.wording ? html`<br /><span class="own">${answer.wording}</span>` : null}` : html`<strong>${say('approval-open')}</strong>`}
          </p>`,
    )}`,
  );
}
