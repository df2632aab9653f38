import type { Agreement, BookingRequest, ServiceRecord, Slot } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { approvalLines } from './approval.ts';
import { arrivalLines } from './arrival.ts';
import { sayIn, type Say } from './frame.ts';
import { line } from './parts.ts';
import { recordWords } from './record-words.ts';
import { firstAction, otherActions } from './request-forms.ts';
import type { Session } from './session.ts';
import { bayName, factWords, range, requestTruck, serviceName, slotWhen, when } from './words.ts';

/** The work sheet of one request: everything on one screen, printable. What comes next stands first, the rest at its foot. */
export function requestSheet(
  view: RequestView,
  means: Means,
  session: Session,
  times: Slot[],
  /** What was done and found, once it is closed. */
  record?: ServiceRecord,
): Html {
  const say = sayIn(means);
  const { request } = view;
  const { advice, estimate } = request;
  return html`<div class="next not-printed">
      <p>
        ${say('list-state', { state: say(`state-${request.state}`) })}${request.state === 'requested' ? html` ${say('sheet-answer-by', { time: when(request.answerBy, means) })}` : null}
      </p>
      ${firstAction(view, means, session)}
      <p><a href="#do">${say('sheet-to-actions')}</a></p>
    </div>
    <article class="worksheet">
      ${line(say('sheet-urgency'), html`<strong>${say(`urgency-word-${advice.urgency}`)}</strong>`)}
      ${line(say('sheet-truck'), html`<a href="/counter/truck/${request.vehicleId}">${requestTruck(request, means)}</a>${means.familyWords(request.facts).map((words) => html`<br />${words}`)}`)}
      ${line(say('sheet-owner'), ownerWords(view, means))} ${line(say('sheet-when'), timeWords(request, means))}
      ${line(say('sheet-own-words'), request.complaint.length > 0 ? html`${request.complaint.map((words) => html`<p class="own">${words}</p>`)}` : html`${say('sheet-no-words')}`)}
      ${request.photos.length > 0 ? line(say('sheet-photos'), pictures(request.photos, say('page-photo'))) : null}
      ${line(say('sheet-facts'), factTable(request, means, say))}
      ${line(
        say('sheet-advised'),
        html`<ul>
          ${advice.services.map((service) => html`<li><strong>${serviceName(service.id, means)}.</strong> ${service.because.join(' ')} <span class="small">(${service.rules.join(', ')})</span></li>`)}
        </ul>`,
      )}
      ${line(say('sheet-price'), priceWords(request, means))}
      ${request.agreed ? line(say('sheet-agreed'), agreementWords(request.agreed, means)) : null}
      ${line(
        say('sheet-to-check'),
        html`<ul class="pairs">
            ${advice.stillUnknown.map(({ fact }) => html`<li>${say(`fact-${fact.toLowerCase()}`)}</li>`)}
          </ul>
          ${
            advice.shopNotes.length > 0
              ? html`<ul>
                  ${advice.shopNotes.map((note) => html`<li>${note}</li>`)}
                </ul>`
              : null
          }`,
      )}
      ${line(
        say('sheet-cautions'),
        html`<ul>
          ${advice.cautions.map(({ text }) => html`<li>${text}</li>`)}
        </ul>`,
      )}
      ${arrivalLines(request, means)} ${approvalLines(request, means)}
      ${record ? line(say('sheet-done'), recordWords(record, means)) : null}
      ${line(
        say('sheet-history'),
        html`<ul>
          ${request.history.map((entry) => html`<li>${when(entry.at, means)}, ${entry.by}: ${say(`history-${entry.what}`)}${entry.note ? html`, ${entry.note}` : null}</li>`)}
        </ul>`,
      )}
      <p class="small sign">${say('sheet-signed')}</p>
    </article>
    <section id="do" class="do not-printed" aria-label="${say('sheet-do')}">
      <h2>${say('sheet-do')}</h2>
      ${otherActions(view, means, session, times, record)}
    </section>
    ${estimate.diagnosisOnly ? html`<p class="small">${say('sheet-diagnosis-only')}</p>` : null}`;
}

/** What was agreed to in the chat: who, when, and the words as they were shown. */
export function agreementWords({ at, who, wording }: Agreement, means: Means): Html {
  const say = sayIn(means);
  return html`${say('agreed-by', { who, time: when(at, means) })}
  ${wording.split('\n').map((words) => html`<br /><span class="own">${words}</span>`)}`;
}

function ownerWords({ request, owner }: RequestView, means: Means): Html {
  const say = sayIn(means);
  const phone = owner.phone
    ? html`<a href="tel:${owner.phone.replace(/[^\d+]/g, '')}">${owner.phone}</a>`
    : say('no-phone');
  const entered = request.enteredBy
    ? say('sheet-entered-by', { name: request.enteredBy })
    : say(`channel-${owner.channel}`);
  return html`${owner.name ?? say('no-name')}, ${phone},
  ${entered}${owner.optedOut ? html`, ${say('owner-opted-out')}` : null}${owner.unreachable ? html`, ${say('owner-unreachable')}` : null}`;
}

function timeWords(request: BookingRequest, means: Means): Html {
  const say = sayIn(means);
  const { wantedTime, slot } = request;
  const days = wantedTime && ('date' in wantedTime ? wantedTime.date : `${wantedTime.from} – ${wantedTime.to}`);
  return html`${slot ? html`<a href="/counter/day?date=${slot.start.slice(0, 10)}">${slotWhen(slot, means)}</a>, ${bayName(slot.bay, means)}` : slotWhen(slot, means)}${wantedTime ? html`<br /><span class="small">${say('sheet-wanted', { days: days ?? '', part: say(`part-${wantedTime.part}`) })}</span>` : null}`;
}

export const pictures = (ids: readonly string[], alt: string): Html =>
  html`<p class="pictures">
    ${ids.map((id) => html`<a href="/counter/picture/${id}"><img src="/counter/picture/${id}" alt="${alt}" /></a>`)}
  </p>`;

function priceWords({ estimate }: BookingRequest, means: Means): Html {
  const say = sayIn(means);
  const money = ({ low, high }: { low: number; high: number }) =>
    range({ low: Math.round(low), high: Math.round(high) }, (value) => `$${value.toLocaleString('en-US')}`);
  return html`<p>
      ${say('sheet-price-words', { total: money(estimate.total), hours: range(estimate.labourHours, String), leftOut: estimate.leftOut.join(', ') })}
      ${estimate.limit ? html`<br />${estimate.limit.text}` : null}
    </p>
    <table class="estimate">
      <thead>
        <tr>
          ${['sheet-work', 'sheet-hours', 'sheet-parts'].map((id) => html`<th scope="col">${say(id)}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${estimate.lines.map(
          (one) =>
            html`<tr>
              <td>${serviceName(one.service, means)}</td>
              <td>${range(one.labourHours, String)}</td>
              <td>${money(one.parts)}</td>
            </tr>`,
        )}
      </tbody>
    </table>`;
}

function factTable(request: BookingRequest, means: Means, say: Say): Html {
  const rows = request.facts.map(
    (fact) =>
      html`<tr>
        <th scope="row">${say(`fact-${fact.key.toLowerCase()}`)}</th>
        <td>${factWords(fact, means)}${fact.sure ? null : html`, <strong>${say('sheet-not-sure')}</strong>`}</td>
        <td>${say(`source-${fact.source}`)}${fact.words ? html`: <span class="own">“${fact.words}”</span>` : null}</td>
      </tr>`,
  );
  return html`<table class="facts">
    <tbody>
      ${rows}
    </tbody>
  </table>`;
}
