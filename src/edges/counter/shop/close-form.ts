import { FINDING_PLACES, type BookingRequest } from '../../../core/mod.ts';
import type { RequestView } from '../../store/types.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { FINDINGS, mayBeDone, METAL_FINDINGS, metalService, ROWS, type KeptPhotos } from './closing.ts';
import { sayIn, tokenField, type Say } from './frame.ts';
import type { Session } from './session.ts';
import { serviceName, shopDay } from './words.ts';

/** The metering-valve adapter of the kit: common practice, no source. */
const USUAL_POUND_INCHES = 60;

/** What was written before, where the form comes again, and the pictures that are kept already. */
export interface Given {
  fields: Record<string, unknown>;
  photos: KeptPhotos;
}

const rows = (count: number): number[] => Array.from({ length: count }, (_, index) => index);

/** What was done and found. Where metal is looked for always comes with work on the fuel system. */
export function closeForm(
  { request }: RequestView,
  means: Means,
  session: Session,
  given: Given = { fields: {}, photos: {} },
): Html {
  const say = sayIn(means);
  const { fields } = given;
  const text = (name: string): string | undefined => {
    const value = fields[name];
    return typeof value === 'string' ? value : undefined;
  };
  const services = mayBeDone(request);
  const done: readonly unknown[] = 'date' in fields ? [fields['service'] ?? []].flat() : services;
  const choice = (name: string, value: string): Html =>
    html`<label class="tick"
      ><input
        type="radio"
        name="${name}"
        value="${value}"
        ${text(name) === value ? html`checked` : null}
      />${say(`finding-${value}`)}</label
    >`;
  return html`<form
    class="close"
    method="post"
    action="/counter/request/${request.id}/close"
    enctype="multipart/form-data"
  >
    ${tokenField(session)}<input type="hidden" name="revision" value="${request.revision}" />
    <div class="fields">
      <label
        >${say('close-date')}<input type="date" name="date" required value="${text('date') ?? shopDay(means)}"
      /></label>
      <label
        >${say('close-odometer')}<input
          type="text"
          inputmode="numeric"
          name="odometerMiles"
          required
          value="${text('odometerMiles') ?? odometerOf(request)}"
      /></label>
    </div>
    <fieldset>
      <legend>${say('close-services')}</legend>
      <div class="ticks">
        ${services.map((id) => html`<label class="tick"><input type="checkbox" name="service" value="${id}" ${done.includes(id) ? html`checked` : null} />${serviceName(id, means)}</label>`)}
      </div>
      <p class="small">${say('close-more')}</p>
    </fieldset>
    ${
      metalService(services)
        ? html`<div class="pair">
            ${FINDING_PLACES.map(
              (place) =>
                html`<fieldset>
                  <legend>${say(`close-metal-${place}`)}</legend>
                  ${METAL_FINDINGS.map((finding) => choice(`metal-${place}`, finding))}
                  ${photoField(`photo-${place}`, given.photos, say)}
                </fieldset>`,
            )}
          </div>`
        : null
    }
    <div class="pair">
      ${services
        .filter((id) => FINDINGS[id])
        .map(
          (id) =>
            html`<fieldset>
              <legend>${say('close-found', { service: serviceName(id, means) })}</legend>
              ${FINDINGS[id]?.map((finding) => choice(`finding-${id}`, finding))}
            </fieldset>`,
        )}
    </div>
    <fieldset>
      <legend>${say('close-parts')}</legend>
      ${rows(ROWS.parts).map(
        (index) =>
          html`<div class="fields">
            <label
              >${say('close-part')}<input
                type="text"
                name="part${index}"
                maxlength="120"
                value="${text(`part${index}`)}"
            /></label>
            <label
              >${say('close-lot')}<input type="text" name="lot${index}" maxlength="60" value="${text(`lot${index}`)}"
            /></label>
          </div>`,
      )}
    </fieldset>
    <fieldset>
      <legend>${say('close-torques')}</legend>
      ${rows(ROWS.torques).map(
        (index) =>
          html`<div class="fields">
            <label
              >${say('close-torque-at')}<input
                type="text"
                name="torqueAt${index}"
                maxlength="80"
                value="${text(`torqueAt${index}`) ?? (index === 0 ? say('close-torque-place') : undefined)}"
            /></label>
            <label
              >${say('close-torque')}<input
                type="number"
                name="torque${index}"
                min="1"
                max="20000"
                step="0.1"
                data-newton-metres="torque-${index}"
                value="${text(`torque${index}`)}" /></label
            ><output id="torque-${index}" class="small"></output>
          </div>`,
      )}
      <p class="small">${say('close-torque-usual', { poundInches: USUAL_POUND_INCHES, newtonMetres: '6.78' })}</p>
    </fieldset>
    <fieldset>
      <legend>${say('close-put-off')}</legend>
      ${rows(ROWS.putOff).map(
        (index) =>
          html`<div class="fields">
            <label
              >${say('close-put-off-what')}<select name="putOff${index}">
                <option value="">–</option>
                ${means.allServices().map((id) => html`<option value="${id}" ${text(`putOff${index}`) === id ? html`selected` : null}>${serviceName(id, means)}</option>`)}
              </select></label
            >
            <label
              >${say('do-because')}<input
                type="text"
                name="putOffBecause${index}"
                maxlength="200"
                value="${text(`putOffBecause${index}`)}"
            /></label>
          </div>`,
      )}
    </fieldset>
    ${photoField('photo', given.photos, say, true)}
    <p>
      <label>${say('close-note')}<textarea name="note" maxlength="1000">${text('note')}</textarea></label>
    </p>
    <p class="first"><button>${say('close-now')}</button></p>
  </form>`;
}

function odometerOf({ arrival, facts }: BookingRequest): number | undefined {
  const told = facts.find(({ key }) => key === 'odometerMiles')?.value;
  return arrival?.odometerMiles ?? (typeof told === 'number' ? told : undefined);
}

/** A file field; pictures that are kept already stand beside it and go along. */
function photoField(name: string, photos: KeptPhotos, say: Say, many = false): Html {
  const kept = photos[name] ?? [];
  return html`<p>
    <label
      >${say(many ? 'close-photos' : 'close-photo')}<input
        type="file"
        name="${name}"
        accept="image/*"
        ${many ? html`multiple` : null}
    /></label>
    ${kept.map((id) => html`<input type="hidden" name="kept-${name}" value="${id}" /><img src="/counter/picture/${id}" alt="${say('page-photo')}" width="120" />`)}
  </p>`;
}
