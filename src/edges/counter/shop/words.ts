import { DateTime } from 'luxon';
import { z } from 'zod';
import {
  daySheet,
  factsOf,
  type BookingRequest,
  type FactRecord,
  type ServiceId,
  type Slot,
  type Outlook,
  type Vehicle,
} from '../../../core/mod.ts';
import type { Means } from '../means.ts';

const number = new Intl.NumberFormat('en-US', { maximumFractionDigits: 1 });

/** A range in words; its two ends once where they are the same. */
export const range = ({ low, high }: { low: number; high: number }, words: (value: number) => string): string =>
  low === high ? words(low) : `${words(low)} – ${words(high)}`;

export const money = (dollars: number): string => `$${number.format(dollars)}`;

/** An odometer as it is typed: "97,400"; nothing where the field is empty. */
export const milesField = z
  .string()
  .transform((text) => text.replace(/[,\s]/g, ''))
  .pipe(
    z.union([
      z.literal('').transform(() => undefined),
      z
        .string()
        .regex(/^\d{1,7}$/)
        .transform(Number)
        .pipe(z.number().max(5_000_000)),
    ]),
  );

export const miles = (value: number): string => `${number.format(value)} mi`;

/** A calendar day in words, such as "Nov 5, 2026". */
export const day = (date: string): string => DateTime.fromISO(date).setLocale('en-US').toFormat('LLL d, yyyy');

/** Today on the shop's calendar. */
export const shopDay = (means: Means): string =>
  DateTime.fromISO(means.now(), { zone: means.flows.shop.zone }).toISODate() ?? '';

const LONGEST_REST = 14;

/** Today, or the next day on which the shop works where it does not work today. */
export function workDay(means: Means): string {
  const today = shopDay(means);
  for (let days = 0; days < LONGEST_REST; days++) {
    const date = DateTime.fromISO(today).plus({ days }).toISODate() ?? today;
    if (daySheet([], date, means.flows.shop, []).work.length > 0) return date;
  }
  return today;
}

export const when = (instant: string, means: Means): string =>
  DateTime.fromISO(instant, { zone: means.flows.shop.zone }).setLocale('en-US').toFormat('ccc LLL d, h:mm a');

export const slotWhen = (slot: Slot | null, means: Means): string =>
  slot ? `${when(slot.start, means)} – ${endWhen(slot, means)}` : means.flows.texts.say('en', 'time-open');

/** The end with its day only where that is another one. */
function endWhen(slot: Slot, means: Means): string {
  const [start, end] = [slot.start, slot.end].map((at) => DateTime.fromISO(at, { zone: means.flows.shop.zone }));
  return start && end?.hasSame(start, 'day') ? end.setLocale('en-US').toFormat('h:mm a') : when(slot.end, means);
}

export const bayName = (id: string, means: Means): string =>
  means.flows.shop.bays.find((bay) => bay.id === id)?.name ?? id;

export const serviceName = (id: ServiceId, means: Means): string => means.serviceName(id);

export function truckWords(vehicle: Pick<Vehicle, 'facts'> | undefined, means: Means): string {
  const facts = factsOf(vehicle?.facts ?? []);
  const engine = [
    facts.engineLitres && `${facts.engineLitres.toFixed(1)} L`,
    facts.cylinders && `${facts.layout ?? ''}${facts.cylinders}`,
    facts.fuel,
  ];
  return [facts.modelYear, ...engine].filter(Boolean).join(' ') || means.flows.texts.say('en', 'counter-truck-unknown');
}

/** Year and engine without the fuel, where there is little room. */
export const shortTruck = (request: BookingRequest, means: Means): string =>
  truckWords({ facts: request.facts.filter(({ key }) => key !== 'fuel') }, means);

export const requestTruck = (request: BookingRequest, means: Means): string => truckWords(request, means);

export function factWords(fact: FactRecord, means: Means): string {
  const { value } = fact;
  if (typeof value === 'boolean') return means.flows.texts.say('en', value ? 'option-yes' : 'option-no');
  if (fact.key === 'symptoms' || fact.key === 'deniedSymptoms')
    return (
      (value as string[]).map((id) => means.flows.texts.say('en', `symptom-${id}`)).join(', ') ||
      means.flows.texts.say('en', 'value-none')
    );
  if (typeof value === 'number') return /miles/i.test(fact.key) ? miles(value) : String(value);
  return Array.isArray(value) ? value.join(', ') || means.flows.texts.say('en', 'value-none') : value;
}

/** Whether the odometer most likely stands beyond what is due. */
export const isOverdue = (outlook: Outlook): boolean => outlook.milesToday.p50 >= outlook.dueMiles;
