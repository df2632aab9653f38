import { newtonMetres, type ServiceRecord } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { day, miles, serviceName } from './words.ts';

/** One service record in words: what was done and found, with what and how tight, and what was put off. */
export function recordWords(record: ServiceRecord, means: Means): Html {
  const say = sayIn(means);
  const pictures = [...record.findings.flatMap(({ photos = [] }) => photos), ...(record.photos ?? [])];
  const lines = [
    ...record.findings.map(({ service, finding, place, note }) =>
      [place ? say(`place-${place}`) : serviceName(service, means), say(`finding-${finding}`), note]
        .filter(Boolean)
        .join(': '),
    ),
    ...(record.parts ?? []).map(({ name, lot }) =>
      lot ? say('record-part-lot', { name, lot }) : say('record-part', { name }),
    ),
    ...(record.torques ?? []).map(({ place, poundInches }) =>
      say('record-torque', { place, poundInches, newtonMetres: newtonMetres(poundInches) }),
    ),
    ...record.putOff.map(({ service, because }) =>
      say('truck-put-off', { service: serviceName(service, means), because }),
    ),
    ...(record.note ? [record.note] : []),
    say('truck-closed-by', { name: record.closedBy }),
  ];
  return html`<strong>${day(record.date)}, ${miles(record.odometerMiles)}:</strong>
    ${record.services.map((id) => serviceName(id, means)).join(', ')}. ${lines.map((words) => html`<br />${words}`)}
    ${pictures.length > 0 ? html`<span class="pictures">${pictures.map((id) => html`<a href="/counter/picture/${id}"><img src="/counter/picture/${id}" alt="${say('page-photo')}" /></a>`)}</span>` : null}`;
}
