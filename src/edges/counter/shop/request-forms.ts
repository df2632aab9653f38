import type { BookingRequest, RequestState, ServiceRecord, Slot } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { mayDo } from '../access.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { answerForm, askForm } from './approval.ts';
import { arrivalForm } from './arrival.ts';
import { sayIn, tokenField } from './frame.ts';
import { ownTimeFields } from './own-time.ts';
import type { Session } from './session.ts';
import { bayName, slotWhen } from './words.ts';

/** The step that comes next in each state; the rest in the order in which a shop needs it. */
const ACTIONS: Record<RequestState, { first?: string; others: readonly string[] }> = {
  requested: { first: 'accept', others: ['other-time', 'decline', 'call', 'say'] },
  'other-time': { others: ['other-time', 'decline', 'call', 'say'] },
  accepted: { first: 'arrive', others: ['other-time', 'lengthen', 'close', 'no-show', 'cancel', 'call', 'say'] },
  arrived: { first: 'start-work', others: ['record-arrival', 'ask-approval', 'lengthen', 'close', 'call', 'say'] },
  'in-work': { first: 'close', others: ['ask-approval', 'record-arrival', 'lengthen', 'call', 'say'] },
  'awaiting-approval': { first: 'record-approval', others: ['record-arrival', 'lengthen', 'call', 'say'] },
  'no-show': { first: 'arrive', others: ['call', 'say'] },
  declined: { others: ['call', 'say'] },
  cancelled: { others: ['call', 'say'] },
  closed: { others: ['phoned', 'call', 'say'] },
};

export function firstAction(view: RequestView, means: Means, session: Session): Html | null {
  const { first } = ACTIONS[view.request.state];
  return first && mayDo(first, session.staff.role) ? actionForm(first, view, means, session, []) : null;
}

export function otherActions(
  view: RequestView,
  means: Means,
  session: Session,
  times: Slot[],
  record: ServiceRecord | undefined,
): Html[] {
  return ACTIONS[view.request.state].others
    .filter((name) => mayDo(name, session.staff.role) && (name !== 'phoned' || metalWaits(view, record)))
    .map((name) => actionForm(name, view, means, session, times));
}

/** Metal was found, and nobody has phoned the owner yet: the assistant says nothing until then. */
const metalWaits = ({ request }: RequestView, record: ServiceRecord | undefined): boolean =>
  (record?.findings.some(({ finding }) => finding === 'metal') ?? false) &&
  !request.history.some(({ note }) => note === 'phoned');

function actionForm(name: string, view: RequestView, means: Means, session: Session, times: Slot[]): Html {
  const say = sayIn(means);
  const { request } = view;
  const fields = html`${tokenField(session)}<input type="hidden" name="revision" value="${request.revision}" />`;
  const to = `/counter/request/${request.id}/${name}`;
  const plain = (className = ''): Html =>
    html`<form class="${className}" method="post" action="${to}">${fields}<button>${say(`do-${name}`)}</button></form>`;
  const folded = (inner: Html, label = say(`do-${name}`)): Html =>
    html`<details class="act">
      <summary>${label}</summary>
      ${inner}
    </details>`;
  switch (name) {
    case 'accept':
      return plain('first');
    case 'close':
      return html`<p><a class="button" href="/counter/request/${request.id}/close">${say('do-close')}</a></p>`;
    case 'decline':
    case 'cancel':
      return folded(
        html`<form method="post" action="${to}">
          ${fields}<label>${say('do-reason')}<input type="text" name="because" required maxlength="200" /></label>
          <button>${say(`do-${name}`)}</button>
        </form>`,
      );
    case 'say':
      return folded(
        html`<form method="post" action="${to}">
          ${fields}<label>${say('do-say-words')}<textarea name="text" required maxlength="1000"></textarea></label>
          <button>${say('do-say-now')}</button>
        </form>`,
      );
    case 'lengthen':
      return folded(
        html`<form method="post" action="${to}">
          ${fields}<label
            >${say('do-lengthen-hours')}<input
              type="number"
              name="hours"
              required
              min="-80"
              max="80"
              step="0.25"
              value="1"
          /></label>
          <button>${say('do-lengthen')}</button>
        </form>`,
      );
    case 'other-time':
      return folded(otherTimes(request, means, fields, times));
    case 'arrive':
      return html`${plain('first')} ${folded(arrivalForm(request, means, fields, to), say('do-arrive-note'))}`;
    case 'record-arrival':
      return folded(arrivalForm(request, means, fields, to));
    case 'ask-approval':
      return folded(askForm(means, fields, to));
    case 'record-approval':
      return answerForm(view, means, fields, to);
    case 'start-work':
      return plain('first');
    default:
      return plain();
  }
}

function otherTimes(request: BookingRequest, means: Means, fields: Html, times: Slot[]): Html {
  const say = sayIn(means);
  const at = `/counter/request/${request.id}`;
  return html`${times.map(
      (slot) =>
        html`<form method="post" action="${at}/other-time">
          ${fields}<input type="hidden" name="slot" value="${JSON.stringify(slot)}" /><button>
            ${slotWhen(slot, means)}, ${bayName(slot.bay, means)}
          </button>
        </form>`,
    )}
    <form class="fields" method="post" action="${at}/own-time">
      ${fields}${ownTimeFields(request, means)}<button>
        ${say(request.state === 'accepted' ? 'own-move' : 'own-offer')}
      </button>
    </form>`;
}
