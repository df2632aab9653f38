import { html, type Html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { scroll } from './parts.ts';

const percent = (share: number | undefined): string => (share === undefined ? '–' : `${Math.round(share * 100)} %`);

/** How the forecasts that were made have met what came. */
export async function forecastsPage(means: Means): Promise<Html> {
  const say = sayIn(means);
  const rows = await means.calibration();
  const all = rows.find(({ group }) => group === 'all');
  const heads = ['readings', 'answered', 'waiting', 'early', 'within', 'late', 'error'];
  return html`<p>${say('forecasts-how')}</p>
    ${all && all.answered > 0 ? null : html`<p>${say('forecasts-none', { waiting: all?.waiting ?? 0 })}</p>`}
    ${scroll(
      say('forecasts-title'),
      html`<table class="figures">
        <thead>
          <tr>
            ${heads.map((id) => html`<th scope="col">${say(`forecasts-${id}`)}</th>`)}
          </tr>
        </thead>
        <tbody>
          ${rows.map(
            (row) =>
              html`<tr>
                <th scope="row">${row.group === 'all' ? say('forecasts-all') : row.group}</th>
                <td>${row.answered}</td>
                <td>${row.waiting}</td>
                <td>${percent(row.early)}</td>
                <td>${percent(row.within)}</td>
                <td>${percent(row.late)}</td>
                <td>${row.standardError === undefined ? '–' : `± ${Math.round(row.standardError * 100)} %`}</td>
              </tr>`,
          )}
        </tbody>
      </table>`,
    )}`;
}
