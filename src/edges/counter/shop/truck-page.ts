import type { Papers } from '../../../core/mod.ts';
import type { VehicleView } from '../../store/types.ts';
import { mayUse } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { agreementWords } from './request-page.ts';
import { line, scroll } from './parts.ts';
import { papersForm } from './papers.ts';
import { recordWords } from './record-words.ts';
import type { Session } from './session.ts';
import { entryWords, whyNow } from './why.ts';
import { day, factWords, isOverdue, miles, serviceName, truckWords, when } from './words.ts';

/** One truck: what is known, what was done, where its mileage is heading, and what its owner is written and why. */
export function truckPage(view: VehicleView, means: Means, session: Session): Html {
  const say = sayIn(means);
  const { vehicle, owner, requests } = view;
  const list = (items: readonly Html[]): Html =>
    items.length > 0
      ? html`<ul>
          ${items.map((item) => html`<li>${item}</li>`)}
        </ul>`
      : html`${say('list-none')}`;
  const facts = vehicle.facts.map(
    (fact) =>
      html`<tr>
        <th scope="row">${say(`fact-${fact.key.toLowerCase()}`)}</th>
        <td>${factWords(fact, means)}${fact.sure ? null : html`, <strong>${say('sheet-not-sure')}</strong>`}</td>
        <td>${say(`source-${fact.source}`)}</td>
      </tr>`,
  );
  const phone = owner.phone
    ? html`<a href="tel:${owner.phone.replace(/[^\d+]/g, '')}">${owner.phone}</a>`
    : html`${say('no-phone')}`;
  return html`<p class="ways not-printed"><a href="/counter/truck/${vehicle.id}/label">${say('truck-label')}</a></p>
    <article class="worksheet">
      ${line(say('sheet-truck'), html`<strong>${truckWords(vehicle, means)}</strong>${means.familyWords(vehicle.facts).map((words) => html`<br />${words}`)}`)}
      ${line(say('sheet-owner'), html`${owner.name ?? say('no-name')}, ${phone}${owner.optedOut ? html`, ${say('owner-opted-out')}` : null}${owner.unreachable ? html`, ${say('owner-unreachable')}` : null}${papersWords(vehicle.papers, means)}`)}
      ${line(say('truck-forecast'), forecast(view, means))}
      ${line(say('truck-record'), list(vehicle.records.map((record) => recordWords(record, means)).reverse()))}
      ${line(
        say('sheet-facts'),
        html`<table class="facts">
          <tbody>
            ${facts}
          </tbody>
        </table>`,
      )}
      ${line(say('truck-readings'), list(vehicle.readings.map((reading) => html`${day(reading.date)}: ${miles(reading.miles)} (${say(`source-${reading.source}`)})`).reverse()))}
      ${line(say('truck-requests'), list(requests.map((request) => html`<a href="/counter/request/${request.id}">${when(request.createdAt, means)}</a>, ${say(`state-${request.state}`)}${request.agreed ? html`<br />${say('sheet-agreed')}: ${agreementWords(request.agreed, means)}` : null}`)))}
      ${line(say('truck-why'), html`${whyNow(view, means)}`)} ${line(say('truck-log'), list(log(view, means)))}
    </article>
    ${mayUse('POST /counter/truck/:id/papers', session.staff.role) ? papersForm(vehicle.id, vehicle.papers, means, session) : null}`;
}

function forecast(view: VehicleView, means: Means): Html {
  const say = sayIn(means);
  const outlook = means.outlook(view);
  if (!outlook) return html`${say('truck-no-next')}`;
  const { dueDate, dueMiles, milesToday } = outlook;
  const far = say('truck-far');
  const services = outlook.services.map((id) => serviceName(id, means)).join(', ');
  const date = dueDate.p50 ? day(dueDate.p50) : far;
  const range = {
    from: dueDate.p10 ? day(dueDate.p10) : far,
    to: dueDate.p90 ? day(dueDate.p90) : far,
    miles: milesToday.p50,
  };
  return html`<p>
      ${isOverdue(outlook) ? say('truck-overdue', { services, miles: dueMiles }) : say('truck-next', { services, miles: dueMiles, date })}
      ${isOverdue(outlook) ? say('truck-today', { miles: milesToday.p50 }) : say('truck-range', range)}
    </p>
    ${scroll(say('picture-title'), html`${means.forecastPicture(view)}`)}`;
}

function papersWords(papers: Papers | undefined, means: Means): Html | null {
  if (!papers) return null;
  const say = sayIn(means);
  const { unit, driver, approver, payer, purchaseOrder } = papers;
  const person = (id: string, one: { name: string; phone?: string } | undefined) =>
    one ? say(id, { name: one.phone ? `${one.name}, ${one.phone}` : one.name }) : null;
  const rows = [
    unit ? say('papers-unit', { unit }) : null,
    person('papers-driver', driver),
    person('papers-approver', approver),
    person('papers-payer', payer),
    purchaseOrder ? say('papers-order', { number: purchaseOrder }) : null,
  ].filter((row) => row !== null);
  return html`${rows.map((row) => html`<br />${row}`)}`;
}

function log({ followUps }: VehicleView, means: Means): Html[] {
  const say = sayIn(means);
  return followUps
    .flatMap(({ log, kind }) => log.map((entry) => ({ entry, kind })))
    .sort((one, other) => other.entry.at.localeCompare(one.entry.at))
    .slice(0, 30)
    .map(({ entry, kind }) => html`${when(entry.at, means)}, ${say(`follow-up-${kind}`)}: ${entryWords(entry, means)}`);
}
