import { DateTime } from 'luxon';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn, tokenField } from './frame.ts';
import type { Session } from './session.ts';
import { serviceName } from './words.ts';

const METAL = ['none', 'doubtful', 'metal'] as const;
const FINDINGS: Partial<Record<string, readonly string[]>> = {
  'fuel-contamination-check': METAL,
  'pump-protection-kit': METAL,
  'fuel-system-replacement': METAL,
  'egr-cooler-inspection': ['clear', 'sooted', 'blocked'],
  'intake-inspection': ['none', 'sooted', 'blocked'],
  'crankcase-breather-filter': ['replaced', 'other'],
};

/**
 * What was done and found. The metal question always comes with work on the fuel system. `given` is what was written
 * before, where the form comes again.
 */
export function closeForm(
  view: RequestView,
  means: Means,
  session: Session,
  given: Record<string, unknown> = {},
): Html {
  const say = sayIn(means);
  const { request } = view;
  const text = (name: string): string | undefined => {
    const value = given[name];
    return typeof value === 'string' ? value : undefined;
  };
  const done = 'date' in given ? [given['service'] ?? []].flat() : request.services;
  const odometer = request.facts.find(({ key }) => key === 'odometerMiles')?.value;
  const findings = request.services.filter((id) => FINDINGS[id]);
  return html`<form class="close" method="post" action="/counter/request/${request.id}/close">
    ${tokenField(session)}<input type="hidden" name="revision" value="${request.revision}" />
    <p>
      <label
        >${say('close-date')}<input type="date" name="date" required value="${text('date') ?? shopDay(means)}"
      /></label>
    </p>
    <p>
      <label
        >${say('close-odometer')}<input
          type="text"
          inputmode="numeric"
          name="odometerMiles"
          required
          value="${text('odometerMiles') ?? (typeof odometer === 'number' ? odometer : '')}"
      /></label>
    </p>
    <fieldset>
      <legend>${say('close-services')}</legend>
      ${means.allServices().map((id) => html`<label class="tick"><input type="checkbox" name="service" value="${id}" ${done.includes(id) ? html`checked` : null} />${serviceName(id, means)}</label>`)}
    </fieldset>
    ${findings.map(
      (id) =>
        html`<fieldset>
          <legend>${say('close-found', { service: serviceName(id as never, means) })}</legend>
          ${FINDINGS[id]?.map((finding) => html`<label class="tick"><input type="radio" name="finding-${id}" value="${finding}" required ${text(`finding-${id}`) === finding ? html`checked` : null} />${say(`finding-${finding}`)}</label>`)}
        </fieldset>`,
    )}
    <p>
      <label
        >${say('close-put-off')}<select name="putOff">
          <option value="">–</option>
          ${means.allServices().map((id) => html`<option value="${id}" ${text('putOff') === id ? html`selected` : null}>${serviceName(id, means)}</option>`)}
        </select></label
      >
      <label
        >${say('do-because')}<input type="text" name="putOffBecause" maxlength="200" value="${text('putOffBecause')}"
      /></label>
    </p>
    <p>
      <label>${say('close-note')}<textarea name="note" maxlength="1000">${text('note')}</textarea></label>
    </p>
    <button>${say('close-now')}</button>
  </form>`;
}

const shopDay = (means: Means): string =>
  DateTime.fromISO(means.now(), { zone: means.flows.shop.zone }).toISODate() ?? '';
