import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { compileShop, type SlotsMeans } from '../../../src/core/book/mod.ts';
import type { SlotsRequest } from '../../../src/core/model/booking.ts';
import type { FlowFile } from '../../../src/core/model/checked.ts';
import type { Shop } from '../../../src/core/model/shop.ts';
import { compileTexts, type Texts } from '../../../src/core/model/texts.ts';

const root = resolve(import.meta.dirname, '../../..');
export const flowFile = (path: string): FlowFile => ({ path, text: readFileSync(join(root, path), 'utf8') });

export const shopFile = flowFile('flows/shop.yaml');

function demoShop(): Shop {
  const checked = compileShop([shopFile]);
  if (!checked.ok) throw new Error(JSON.stringify(checked.findings));
  return checked.value;
}

function bookingTexts(): Texts {
  const checked = compileTexts(['en', 'es'].map((language) => flowFile(`flows/texts/booking.${language}.ftl`)));
  if (!checked.ok) throw new Error(JSON.stringify(checked.findings));
  return checked.value;
}

export const shop = demoShop();
export const texts = bookingTexts();

type Changes = Partial<Omit<Shop, 'booking'>> & { booking?: Partial<Shop['booking']> };

/** The demo shop with some things changed, as a new object with a calendar of its own. */
export const shopWith = (changes: Changes): Shop => ({
  ...shop,
  ...changes,
  booking: { ...shop.booking, ...changes.booking },
});

export const meansFor = (of: Shop, hours = 2): SlotsMeans => ({ shop: of, texts, hoursOf: () => hours });

export const asking = (changes: Partial<SlotsRequest> = {}): SlotsRequest => ({
  // A Monday, 09:00 by the shop's clock.
  now: '2026-11-02T09:00:00-07:00',
  services: ['scan-diagnosis'],
  facts: {},
  ...changes,
});
