import { INTENTS, SYMPTOMS } from '../../../core/mod.ts';
import type { FollowUpView, UnreadClause } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { section, ticket } from './parts.ts';
import { entryWords } from './why.ts';
import { day, serviceName, truckWords, when } from './words.ts';

/** Messages that are about services; the others are about a request, whose sheet names them. */
const BY_MILEAGE: readonly string[] = ['odometer-check', 'service-due', 'put-off', 'leak-check'];

const followUpEntry = ({ followUp, owner, vehicle }: FollowUpView, means: Means, margin: Html): Html => {
  const say = sayIn(means);
  return ticket(
    margin,
    html`${
        vehicle
          ? html`<a href="/counter/truck/${vehicle.id}"><strong>${truckWords(vehicle, means)}</strong></a
              >, `
          : null
      }
      ${owner.name ?? say('no-name')},
      ${owner.phone ? html`<a href="tel:${owner.phone.replace(/[^\d+]/g, '')}">${owner.phone}</a>` : say('no-phone')}<br />
      ${say(`follow-up-${followUp.kind}`)}${BY_MILEAGE.includes(followUp.kind) && followUp.services.length > 0 ? html`: ${followUp.services.map((id) => serviceName(id, means)).join(', ')}` : null}.
      <span class="small">${followUp.log.slice(-1).map((entry) => entryWords(entry, means))}</span>`,
  );
};

/** What a clause may be said to mean: a symptom, something that is wanted, or nothing. */
export const MEANINGS: readonly string[] = [...SYMPTOMS, ...INTENTS.map((id) => `intent:${id}`), 'nothing'];

function unreadEntry(clause: UnreadClause, means: Means, token: Html): Html {
  const say = sayIn(means);
  const known = (id: string): Html => html`<option value="${id}">${meaning(id, means)}</option>`;
  return ticket(
    html`${when(clause.at, means)}`,
    html`<span class="own">“${clause.text}”</span> ${
        clause.label
          ? html`<br />${say('unread-means')}: <strong>${meaning(clause.label, means)}</strong>
              <span class="small">${clause.labelledBy ?? ''}</span>`
          : html`<form class="beside" method="post" action="/counter/unread/${clause.id}">
              ${token}
              <label>
                <span class="unseen">${say('unread-means')}</span>
                <select name="label" required>
                  <option value="">${say('unread-choose')}</option>
                  <optgroup label="${say('unread-symptoms')}">${SYMPTOMS.map(known)}</optgroup>
                  <optgroup label="${say('unread-wishes')}">${INTENTS.map((id) => known(`intent:${id}`))}</optgroup>
                  ${known('nothing')}
                </select>
              </label>
              <button>${say('unread-keep')}</button>
            </form>`
      }`,
  );
}

function meaning(id: string, means: Means): string {
  const say = sayIn(means);
  if (id === 'nothing') return say('unread-nothing');
  if (id.startsWith('intent:')) return say(`intent-${id.slice(7)}`);
  return means.flows.texts.ids.has(`symptom-${id}`) ? say(`symptom-${id}`) : id;
}

/** What waits for a person: calls, messages to come, work put off, clauses that nothing read. */
export async function waitingPage(means: Means, token: Html, mayTakeAway: boolean): Promise<Html> {
  const say = sayIn(means);
  const { views } = means.store;
  const soon = new Date(Date.parse(means.now()) + 14 * 86_400_000).toISOString();
  const [calls, due, putOff, unread] = await Promise.all([
    views.callList(100),
    views.due(soon, 100),
    views.putOff(100),
    views.unread(50),
  ]);
  return html`${section(
      say('list-calls'),
      calls.map((view) => followUpEntry(view, means, html`${day(view.followUp.dueAt.slice(0, 10))}`)),
      say('list-calls-none'),
    )}
    ${section(
      say('list-due'),
      due.map((view) => followUpEntry(view, means, html`${when(view.followUp.dueAt, means)}`)),
      say('list-due-none'),
    )}
    ${section(
      say('list-put-off'),
      putOff.map((entry) =>
        ticket(
          html`${day(entry.date)}`,
          html`<a href="/counter/truck/${entry.vehicleId}"><strong>${serviceName(entry.service, means)}</strong></a
            >, ${entry.owner.name ?? say('no-name')}, ${entry.owner.phone ?? say('no-phone')}<br />
            <span class="small">${entry.because}</span>`,
        ),
      ),
      say('list-put-off-none'),
    )}
    ${section(
      say('list-unread'),
      unread.map((clause) => unreadEntry(clause, means, token)),
      say('list-unread-none'),
    )}
    <p class="ways">
      ${mayTakeAway ? html`<a href="/counter/unread.jsonl">${say('unread-export')}</a>` : null}
      <a href="/counter/forecasts">${say('forecasts-way')}</a>
    </p>`;
}

/** Labelled clauses, a JSON object a line: what was said and what it means. */
export async function unreadLines(means: Means): Promise<string> {
  const clauses = await means.store.views.unread(10_000);
  return clauses
    .filter(({ label }) => label !== null)
    .map(({ text, label }) => `${JSON.stringify({ clause: text, label })}\n`)
    .join('');
}
