import { dieselOnly, familiesFor } from './advise/vehicles.ts';
import { labourOf } from './advise/services-cost.ts';
import { findSlots, slotAt } from './book/mod.ts';
import type { Outlook } from './converse/mod.ts';
import { forecastCurve, forecastPicture } from './follow-up/mod.ts';
import type { Flows } from './flows.ts';
import type { Slot, SlotsAnswer, Taken } from './model/booking.ts';
import { factsOf, type FactRecord, type Facts } from './model/facts.ts';
import type { Language, ServiceId } from './model/ids.ts';
import type { BookingRequest, Vehicle } from './model/owner.ts';
import type { Instant, IsoDate } from './model/time.ts';

/** Engine family, pump and fitting data of a truck as the shop reads them, a line for each family it may be. */
export function familyWords(records: readonly FactRecord[], flows: Flows): string[] {
  const facts = factsOf(records);
  if (facts.engineLitres === undefined && facts.modelYear === undefined && facts.engineFamily === undefined) return [];
  const families = dieselOnly(familiesFor(facts, flows.advice.vehicles));
  if (families.length === 0 || families.length > 6) return [];
  const say = (id: string, values: Record<string, string | number> = {}) => flows.texts.say('en', id, values);
  return families.map((family) => {
    const years = `${family.years.from}–${family.years.to ?? ''}`;
    const engine = `${family.litres.toFixed(1)} L ${family.layout}${family.cylinders}`;
    const pump = say(`pump-${family.fuelSystem.design}`);
    const line = say(family.fuelSystem.certain ? 'family-line' : 'family-line-unsure', { engine, years, pump });
    if (!family.kit) return line;
    const kit = say('family-kit', {
      low: family.kit.labourHours.low,
      high: family.kit.labourHours.high,
      bracket: family.kit.bracket,
      fitting: say(family.kit.extraReturnFitting ? 'option-yes' : 'option-no'),
    });
    return `${line} ${kit}`;
  });
}

/** The next free times for a request, what the owner wanted first. */
export function timesFor(request: BookingRequest, booked: Taken[], flows: Flows, now: Instant): SlotsAnswer {
  const { shop, texts } = flows;
  const facts = factsOf(request.facts);
  const hoursOf = () =>
    labourOf(request.services, familiesFor(facts, flows.advice.vehicles), flows.services).bundle.labourHours.high;
  const wanted = request.wantedTime ? { wantedTime: request.wantedTime } : {};
  const others = booked.filter(({ holder }) => holder !== request.id);
  return findSlots({ now, services: request.services, facts, booked: others, ...wanted }, { shop, texts, hoursOf });
}

/**
 * The slot at a time that somebody of the shop named, for some work on a truck: as long as the work takes, in a bay that
 * can take it (in `bay` where given), with a technician who can do it. Undefined where that time is not free.
 */
export function slotNamed(
  { start, services, facts, bay }: { start: string; services: ServiceId[]; facts: Facts; bay?: string },
  booked: Taken[],
  flows: Flows,
  now: Instant,
): Slot | undefined {
  const { shop, texts } = flows;
  const hoursOf = () =>
    labourOf(services, familiesFor(facts, flows.advice.vehicles), flows.services).bundle.labourHours.high;
  return slotAt({ now, services, facts, booked }, start, { shop, texts, hoursOf }, bay);
}

/** A truck's mileage with its forecast up to what falls due next, as an SVG picture with the shop's words. */
export function forecastPictureFor(
  vehicle: Pick<Vehicle, 'facts' | 'readings'>,
  outlook: Pick<Outlook, 'dueMiles' | 'dueDate' | 'milesToday'>,
  flows: Flows,
  today: IsoDate,
  language: Language = 'en',
): string {
  const { modelYear, milesPerYear } = factsOf(vehicle.facts);
  const curve = forecastCurve({
    readings: vehicle.readings.map(({ date, miles }) => ({ date, miles })),
    today,
    dueMiles: outlook.dueMiles,
    ...(modelYear !== undefined && { modelYear }),
    ...(milesPerYear !== undefined && milesPerYear > 0 && { milesPerYear }),
  });
  const say = (id: string, values: Record<string, string | number> = {}) => flows.texts.say(language, id, values);
  return forecastPicture(curve, {
    title: say('picture-title'),
    description: say('picture-description', {
      miles: outlook.milesToday.p50,
      due: outlook.dueMiles,
      from: outlook.dueDate.p10 ?? '–',
      to: outlook.dueDate.p90 ?? '–',
    }),
    due: say('picture-due', { due: outlook.dueMiles }),
    today: say('picture-today'),
    miles: (miles) => MILES.format(miles),
    day: (date) => DAYS[language].format(new Date(`${date}T12:00:00Z`)),
  });
}

const MILES = new Intl.NumberFormat('en-US');
const dayFormat = (locale: string) =>
  new Intl.DateTimeFormat(locale, { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' });
const DAYS: Record<Language, Intl.DateTimeFormat> = { en: dayFormat('en-US'), es: dayFormat('es-US') };
