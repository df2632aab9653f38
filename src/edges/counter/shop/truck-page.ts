import type { VehicleView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { factWords, isOverdue, miles, serviceName, truckWords, when } from './words.ts';

/** One truck: what is known, what was done, and where its mileage is heading. */
export function truckPage(view: VehicleView, means: Means): Html {
  const say = sayIn(means);
  const { vehicle, owner, requests, followUps } = view;
  const outlook = means.outlook(view);
  const facts = vehicle.facts.map(
    (fact) =>
      html`<tr>
        <th scope="row">${say(`fact-${fact.key.toLowerCase()}`)}</th>
        <td>${factWords(fact, means)}</td>
        <td>${say(`source-${fact.source}`)}${fact.sure ? '' : `, ${say('sheet-not-sure')}`}</td>
      </tr>`,
  );
  const records = vehicle.records.map(
    (record) =>
      html`<li>
        ${record.date}, ${miles(record.odometerMiles)}:
        ${record.services.map((id) => serviceName(id, means)).join(', ')}.
        ${record.findings.map(({ service, finding, note }) => html`<br />${serviceName(service, means)}: ${say(`finding-${finding}`)} ${note ?? ''}`)}
        ${record.putOff.map(({ service, because }) => html`<br />${say('truck-put-off', { service: serviceName(service, means), because })}`)}<br />
        ${say('truck-closed-by', { name: record.closedBy })}
      </li>`,
  );
  const log = followUps
    .flatMap((followUp) => followUp.log.map((entry) => ({ ...entry, kind: followUp.kind })))
    .sort((a, b) => a.at.localeCompare(b.at))
    .slice(-30);
  return html`<p class="not-printed"><a href="/counter/truck/${vehicle.id}/label">${say('truck-label')}</a></p>
    <article class="worksheet">
      <section class="line">
        <h2>${say('sheet-truck')}</h2>
        <div>
          <strong>${truckWords(vehicle, means)}</strong
          >${means.familyWords(vehicle.facts).map((line) => html`<br />${line}`)}
        </div>
      </section>
      <section class="line">
        <h2>${say('sheet-owner')}</h2>
        <div>
          ${owner.name ?? say('no-name')},
          ${owner.phone ?? say('no-phone')}${owner.optedOut ? html`, ${say('owner-opted-out')}` : null}${owner.unreachable ? html`, ${say('owner-unreachable')}` : null}
        </div>
      </section>
      <section class="line">
        <h2>${say('truck-forecast')}</h2>
        <div>
          ${
            outlook
              ? html`<p>
                    ${say(isOverdue(outlook) ? 'truck-overdue' : 'truck-next', { services: outlook.services.map((id) => serviceName(id, means)).join(', '), miles: outlook.dueMiles, date: outlook.dueDate.p50 ?? '–' })}
                    ${isOverdue(outlook) ? say('truck-today', { miles: outlook.milesToday.p50 }) : say('truck-range', { from: outlook.dueDate.p10 ?? '–', to: outlook.dueDate.p90 ?? '–', miles: outlook.milesToday.p50 })}
                  </p>
                  <div class="scroll" tabindex="0" role="region" aria-label="${say('picture-title')}">
                    ${means.forecastPicture(view)}
                  </div>`
              : say('truck-no-next')
          }
        </div>
      </section>
      <section class="line">
        <h2>${say('truck-record')}</h2>
        <div>
          ${
            records.length > 0
              ? html`<ul>
                  ${records}
                </ul>`
              : say('list-none')
          }
        </div>
      </section>
      <section class="line">
        <h2>${say('sheet-facts')}</h2>
        <div class="scroll" tabindex="0">
          <table>
            <tbody>
              ${facts}
            </tbody>
          </table>
        </div>
      </section>
      <section class="line">
        <h2>${say('truck-readings')}</h2>
        <div>
          ${vehicle.readings.map((reading) => html`${reading.date}: ${miles(reading.miles)} (${say(`source-${reading.source}`)})<br />`)}
        </div>
      </section>
      <section class="line">
        <h2>${say('truck-requests')}</h2>
        <div>
          <ul>
            ${requests.map((request) => html`<li><a href="/counter/request/${request.id}">${when(request.createdAt, means)}</a>, ${say(`state-${request.state}`)}</li>`)}
          </ul>
        </div>
      </section>
      <section class="line">
        <h2>${say('truck-log')}</h2>
        <div>
          <ul>
            ${log.map((entry) => html`<li>${when(entry.at, means)}, ${say(`follow-up-${entry.kind}`)}: ${entry.what}</li>`)}
          </ul>
        </div>
      </section>
    </article>`;
}
