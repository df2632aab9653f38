import { DateTime } from 'luxon';
import type { Range } from '../model/advice.ts';
import type { Slot } from '../model/booking.ts';
import { factsOf } from '../model/facts.ts';
import type { Language } from '../model/ids.ts';
import type { Vehicle } from '../model/owner.ts';
import type { Instant, IsoDate, Zone } from '../model/time.ts';
import { language, staffText, text, type Scene } from './scene.ts';

const LOCALES: Record<Language, string> = { en: 'en-US', es: 'es-US' };

/** "2017 6.7 L V8 diesel", from what is known; a plain word where nothing is. */
export function truckName(scene: Scene, vehicle: Vehicle | undefined, forStaff = false): string {
  const facts = factsOf(vehicle?.facts ?? []);
  const engine = [
    facts.engineLitres && `${facts.engineLitres.toFixed(1)} L`,
    facts.cylinders && `${facts.layout ?? ''}${facts.cylinders}`,
  ].filter(Boolean);
  const known = [facts.modelYear, ...engine].filter(Boolean).join(' ');
  const say = forStaff ? staffText : text;
  const [unknown, named] = forStaff ? ['truck-unknown-shop', 'truck-known-shop'] : ['truck-unknown', 'truck-known'];
  const truck = known === '' ? say(scene, unknown) : say(scene, named, { truck: known });
  const unit = vehicle?.papers?.unit;
  // Trucks of one fleet are often alike; their number tells them apart.
  return unit === undefined ? truck : say(scene, 'truck-unit', { truck, unit });
}

/** "Thursday, November 5, 9:00 AM" in the zone that the slot was written in. */
export function slotWords(slot: Slot | { start: string }, language: Language): string {
  const start = DateTime.fromISO(slot.start, { setZone: true }).setLocale(LOCALES[language]);
  return `${start.toLocaleString({ weekday: 'long', month: 'long', day: 'numeric' })}, ${start.toLocaleString(DateTime.TIME_SIMPLE)}`;
}

export function instantWords(instant: Instant, zone: Zone, language: Language): string {
  return slotWords({ start: DateTime.fromISO(instant, { zone }).toISO() ?? instant }, language);
}

export function dayWords(date: IsoDate, language: Language): string {
  return DateTime.fromISO(date, { zone: 'utc' })
    .setLocale(LOCALES[language])
    .toLocaleString({ month: 'long', day: 'numeric', year: 'numeric' });
}

const NUMBERS: Record<Language, Intl.NumberFormat> = {
  en: new Intl.NumberFormat(LOCALES.en, { maximumFractionDigits: 1 }),
  es: new Intl.NumberFormat(LOCALES.es, { maximumFractionDigits: 1 }),
};

export const numberWords = (value: number, language: Language): string => NUMBERS[language].format(value);

export const moneyWords = (range: Range, language: Language): string => {
  const money = new Intl.NumberFormat('en-US', { style: 'currency', currency: 'USD', maximumFractionDigits: 0 });
  const [low, high] = [money.format(range.low), money.format(range.high)];
  return low === high ? low : `${low} ${language === 'es' ? 'a' : 'to'} ${high}`;
};

export const hoursWords = (range: Range, language: Language): string => {
  const [low, high] = [numberWords(range.low, language), numberWords(range.high, language)];
  return low === high ? low : `${low} ${language === 'es' ? 'a' : 'to'} ${high}`;
};

/** When something falls due, as a range in words. */
export function dateRange(scene: Scene, dates: { p10: IsoDate | null; p90: IsoDate | null }): string {
  const say = (date: string | null) =>
    date === null ? text(scene, 'over-ten-years') : dayWords(date, language(scene));
  if (dates.p10 !== null && dates.p10 === dates.p90) return say(dates.p10);
  return text(scene, 'date-range', { from: say(dates.p10), to: say(dates.p90) });
}
