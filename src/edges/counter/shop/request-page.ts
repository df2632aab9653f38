import type { BookingRequest, RequestState, Slot } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { mayDo } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField, type Say } from './frame.ts';
import { ownTimeFields } from './own-time.ts';
import type { Session } from './session.ts';
import { bayName, factWords, requestTruck, serviceName, slotWhen, when } from './words.ts';

/** What can be done with a request in each state, in the order in which a shop needs it. */
const ACTIONS: Record<RequestState, readonly string[]> = {
  requested: ['accept', 'other-time', 'decline', 'call', 'say'],
  'other-time': ['other-time', 'decline', 'call', 'say'],
  accepted: ['arrive', 'close', 'other-time', 'cancel', 'no-show', 'call', 'say'],
  arrived: ['start-work', 'close', 'say'],
  'in-work': ['close', 'say'],
  'awaiting-approval': ['close', 'say'],
  'no-show': ['arrive', 'call', 'say'],
  declined: ['say'],
  cancelled: ['say'],
  closed: ['say'],
};

/** The work sheet of one request: everything on one screen, printable, with what can be done at its foot. */
export function requestSheet(view: RequestView, means: Means, session: Session, times: Slot[]): Html {
  const say = sayIn(means);
  const { request, owner } = view;
  const { advice, estimate } = request;
  return html`<article class="worksheet">
    ${row(say('sheet-state'), html`${say(`state-${request.state}`)}, ${say('counter-revision', { number: request.revision })}`)}
    ${row(say('sheet-urgency'), html`<strong>${say(`urgency-word-${advice.urgency}`)}</strong>`)}
    ${row(say('sheet-truck'), html`<a href="/counter/truck/${request.vehicleId}">${requestTruck(request, means)}</a>${familyLines(request, means)}`)}
    ${row(say('sheet-owner'), html`${owner.name ?? say('no-name')}, ${owner.phone ? html`<a href="tel:${owner.phone.replace(/[^\d+]/g, '')}">${owner.phone}</a>` : say('no-phone')}, ${say(`channel-${owner.channel}`)}`)}
    ${row(say('sheet-when'), html`${slotWhen(request.slot, means)}${request.slot ? html`, ${bayName(request.slot.bay, means)}` : null}<br />${request.state === 'requested' ? say('sheet-answer-by', { time: when(request.answerBy, means) }) : null}`)}
    ${row(say('sheet-own-words'), html`${request.complaint.map((words) => html`<p class="own">${words}</p>`)}`)}
    ${row(say('sheet-facts'), factTable(request, means, say))}
    ${row(
      say('sheet-advised'),
      html`<ul>
        ${advice.services.map((service) => html`<li><strong>${serviceName(service.id, means)}</strong> ${service.because.join(' ')} <span class="small">(${service.rules.join(', ')})</span></li>`)}
      </ul>`,
    )}
    ${row(
      say('sheet-cautions'),
      html`<ul>
        ${advice.cautions.map(({ text }) => html`<li>${text}</li>`)}
      </ul>`,
    )}
    ${row(
      say('sheet-to-check'),
      html`<ul>
        ${advice.stillUnknown.map(({ fact }) => html`<li>${say(`fact-${fact.toLowerCase()}`)}</li>`)}${advice.shopNotes.map((note) => html`<li>${note}</li>`)}
      </ul>`,
    )}
    ${row(say('sheet-price'), html`${say('sheet-price-words', { low: Math.round(estimate.total.low), high: Math.round(estimate.total.high), hoursLow: estimate.labourHours.low, hoursHigh: estimate.labourHours.high, leftOut: estimate.leftOut.join(', ') })}`)}
    ${request.photos.length > 0 ? row(say('sheet-photos'), html`<p class="pictures">${request.photos.map((id) => html`<a href="/counter/picture/${id}"><img src="/counter/picture/${id}" alt="${say('page-photo')}" /></a>`)}</p>`) : null}
    ${row(
      say('sheet-history'),
      html`<ul>
        ${request.history.map((entry) => html`<li>${when(entry.at, means)} ${entry.by}: ${say(`history-${entry.what}`)} ${entry.note ?? ''}</li>`)}
      </ul>`,
    )}
    <section class="do" aria-label="${say('sheet-do')}">
      ${ACTIONS[request.state].filter((name) => mayDo(name, session.staff.role)).map((name) => actionForm(name, request, means, session, times))}
    </section>
  </article>`;
}

const row = (label: string, content: Html): Html =>
  html`<section class="line">
    <h2>${label}</h2>
    <div>${content}</div>
  </section>`;

function familyLines(request: BookingRequest, means: Means): Html {
  const lines = means.familyWords(request.facts);
  return html`${lines.map((line) => html`<br />${line}`)}`;
}

function factTable(request: BookingRequest, means: Means, say: Say): Html {
  const rows = request.facts.map(
    (fact) =>
      html`<tr>
        <th scope="row">${say(`fact-${fact.key.toLowerCase()}`)}</th>
        <td>${factWords(fact, means)}</td>
        <td>${say(`source-${fact.source}`)}${fact.sure ? '' : `, ${say('sheet-not-sure')}`}</td>
        <td class="own">${fact.words ?? ''}</td>
      </tr>`,
  );
  return html`<table>
    <tbody>
      ${rows}
    </tbody>
  </table>`;
}

function actionForm(name: string, request: BookingRequest, means: Means, session: Session, times: Slot[]): Html {
  const say = sayIn(means);
  const fields = html`${tokenField(session)}<input type="hidden" name="revision" value="${request.revision}" />`;
  const to = `/counter/request/${request.id}/${name}`;
  const plain = (label: string, inner: Html = html``, className = '') =>
    html`<form class="${className}" method="post" action="${to}">${fields}${inner}<button>${label}</button></form>`;
  switch (name) {
    case 'decline':
    case 'cancel':
      return plain(
        say(`do-${name}`),
        html`<label>${say('do-reason')}<input type="text" name="because" required maxlength="200" /></label>`,
      );
    case 'say':
      return plain(
        say('do-say'),
        html`<label>${say('do-say-words')}<textarea name="text" required maxlength="1000"></textarea></label>`,
      );
    case 'other-time':
      return html`<fieldset>
        <legend>${say('do-other-time')}</legend>
        ${times.map((slot) => html`<form method="post" action="${to}">${fields}<input type="hidden" name="slot" value="${JSON.stringify(slot)}" /><button>${slotWhen(slot, means)}, ${bayName(slot.bay, means)}</button></form>`)}
        <details>
          <summary>${say('own-time')}</summary>
          <form class="own-time" method="post" action="/counter/request/${request.id}/own-time">
            ${fields}${ownTimeFields(request, means)}<button>
              ${say(request.state === 'accepted' ? 'own-move' : 'own-offer')}
            </button>
          </form>
        </details>
      </fieldset>`;
    case 'close':
      return html`<p><a class="button" href="/counter/request/${request.id}/close">${say('do-close')}</a></p>`;
    case 'accept':
      return plain(say('do-accept'), undefined, 'first');
    default:
      return plain(say(`do-${name}`));
  }
}
