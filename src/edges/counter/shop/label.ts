import qr from 'qrcode';
import type { VehicleView } from '../../store/types.ts';
import { Html, html } from '../html.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { day, miles, truckWords } from './words.ts';

const FILTER_WORK = ['fuel-filter-service', 'pump-protection-kit', 'fuel-system-replacement'];

/** What the code on a filter label opens: the chat at this truck's odometer question. It carries no right to see anything. */
export const labelAddress = (means: Means, { owner, vehicle }: VehicleView): string =>
  means.chatLink(owner, `odometer-${vehicle.id.replace(/[^\w-]/g, '_')}`);

/**
 * The label for the filter housing: when and at which odometer the filter was changed, when it is next, and a QR code.
 * It says nothing of the owner. Without a filter change on record there is nothing to label.
 */
export async function labelPage(view: VehicleView, means: Means): Promise<Html> {
  const say = sayIn(means);
  const { vehicle } = view;
  const record = vehicle.records.findLast(({ services }) => services.some((id) => FILTER_WORK.includes(id)));
  if (!record) return html`<p>${say('label-nothing')}</p>`;
  const due = means.filterDue(vehicle);
  const next = [due?.miles ? miles(due.miles) : null, due?.date ? day(due.date) : null].filter((part) => part !== null);
  // Level M reads with 15 % of the code soiled; four modules of margin are the standard's quiet zone (ISO/IEC 18004).
  const code = await qr.toString(labelAddress(means, view), {
    type: 'svg',
    errorCorrectionLevel: 'M',
    margin: 4,
    color: { dark: '#000000', light: '#ffffff' },
  });
  return html`<p class="small not-printed">${say('label-how')}</p>
    <section class="label" aria-label="${say('label-title')}">
      <div class="code" role="img" aria-label="${say('label-code')}">${new Html(code)}</div>
      <div>
        <p><strong>${say('label-title')}</strong></p>
        <p>${truckWords(vehicle, means)}</p>
        <p>${say('label-changed', { date: day(record.date) })} ${miles(record.odometerMiles)}</p>
        <p>
          <strong
            >${next.length > 0 ? say('label-next', { due: next.join(say('label-or')), parts: next.length }) : say('label-next-ask')}</strong
          >
        </p>
        <p>${say('label-scan')}</p>
        <p>${means.flows.shop.name}, ${means.flows.shop.phone}</p>
      </div>
    </section>`;
}
