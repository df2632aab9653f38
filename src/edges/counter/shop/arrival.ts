import { z } from 'zod';
import type { ArrivalNote, BookingRequest } from '../../../core/mod.ts';
import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { line } from './parts.ts';
import { milesField, money } from './words.ts';

const optional = z
  .string()
  .trim()
  .max(300)
  .optional()
  .transform((text) => text || undefined);

const Form = z
  .object({
    odometerMiles: milesField.optional(),
    damage: optional,
    keys: optional,
    limit: z
      .union([z.literal('').transform(() => undefined), z.coerce.number().int().min(0).max(1_000_000)])
      .optional(),
    signedBy: optional,
    oldParts: z.enum(['', 'yes', 'no']).optional(),
  })
  // A limit that nobody signed is none.
  .refine(({ limit, signedBy }) => (limit === undefined) === (signedBy === undefined));

/** What is taken down when the truck comes in. Everything may be left open. */
export function arrivalForm(request: BookingRequest, means: Means, fields: Html, to: string): Html {
  const say = sayIn(means);
  const { arrival } = request;
  const parts = arrival?.oldPartsWanted;
  return html`<form class="fields" method="post" action="${to}" enctype="multipart/form-data">
    ${fields}
    <label
      >${say('close-odometer')}<input
        type="text"
        inputmode="numeric"
        name="odometerMiles"
        maxlength="12"
        value="${arrival?.odometerMiles}"
    /></label>
    <label>${say('arrival-photo')}<input type="file" name="odometer" accept="image/*" /></label>
    <label
      >${say('arrival-field-damage')}<input type="text" name="damage" maxlength="300" value="${arrival?.damage}"
    /></label>
    <label
      >${say('arrival-field-keys')}<input type="text" name="keys" maxlength="300" value="${arrival?.keys}"
    /></label>
    <label
      >${say('arrival-field-limit')}<input
        type="number"
        name="limit"
        min="0"
        step="1"
        value="${arrival?.diagnosisLimit?.dollars}"
    /></label>
    <label
      >${say('arrival-signed')}<input
        type="text"
        name="signedBy"
        maxlength="120"
        value="${arrival?.diagnosisLimit?.signedBy}"
    /></label>
    <label
      >${say('arrival-old-parts')}<select name="oldParts">
        <option value="">${say('arrival-not-asked')}</option>
        <option value="yes" ${parts === true ? html`selected` : null}>${say('arrival-parts-yes')}</option>
        <option value="no" ${parts === false ? html`selected` : null}>${say('arrival-parts-no')}</option>
      </select></label
    >
    <button>${say('arrival-keep')}</button>
  </form>`;
}

/** A form as a note; undefined where something in it is wrong. */
export function arrivalOf(body: unknown, photo: string | undefined): ArrivalNote | undefined {
  const form = Form.safeParse(body);
  if (!form.success) return undefined;
  const { odometerMiles, damage, keys, limit, signedBy, oldParts } = form.data;
  return {
    ...(odometerMiles !== undefined && { odometerMiles }),
    ...(photo !== undefined && { odometerPhoto: photo }),
    ...(damage !== undefined && { damage }),
    ...(keys !== undefined && { keys }),
    ...(limit !== undefined && signedBy !== undefined && { diagnosisLimit: { dollars: limit, signedBy } }),
    ...(oldParts && { oldPartsWanted: oldParts === 'yes' }),
  };
}

export function arrivalLines({ arrival }: BookingRequest, means: Means): Html | null {
  if (!arrival) return null;
  const say = sayIn(means);
  const { odometerMiles, odometerPhoto, damage, keys, diagnosisLimit, oldPartsWanted, by } = arrival;
  const rows = [
    odometerMiles === undefined ? null : say('arrival-said-odometer', { miles: odometerMiles }),
    damage === undefined ? null : say('arrival-said-damage', { damage }),
    keys === undefined ? null : say('arrival-said-keys', { keys }),
    diagnosisLimit
      ? say('arrival-said-limit', { dollars: money(diagnosisLimit.dollars), name: diagnosisLimit.signedBy })
      : null,
    oldPartsWanted === undefined ? null : say(oldPartsWanted ? 'arrival-parts-yes' : 'arrival-parts-no'),
    say('arrival-said-by', { name: by }),
  ].filter((row) => row !== null);
  return line(
    say('sheet-arrival'),
    html`<ul>
        ${rows.map((row) => html`<li>${row}</li>`)}
      </ul>
      ${
        odometerPhoto
          ? html`<p class="pictures">
              <a href="/counter/picture/${odometerPhoto}"
                ><img src="/counter/picture/${odometerPhoto}" alt="${say('arrival-photo')}"
              /></a>
            </p>`
          : null
      }`,
  );
}
