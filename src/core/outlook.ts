import { advise } from './advise/mod.ts';
import { dieselOnly, familiesFor, fuelFilterMiles } from './advise/vehicles.ts';
import type { Outlook } from './converse/mod.ts';
import { dueMilesOf, forecast, planNext, type DueService, type ServiceInterval } from './follow-up/mod.ts';
import type { Flows } from './flows.ts';
import { factsOf, type Facts } from './model/facts.ts';
import type { ServiceId } from './model/ids.ts';
import type { FollowUp, Vehicle } from './model/owner.ts';
import type { IsoDate } from './model/time.ts';

/** Services due within so many miles of the first one are named in one message. */
const TOGETHER_MILES = 1500;

/** What falls due on one truck and when to ask or offer, joined from the vehicle's family, its records and the forecast. */
export function outlookFor(
  vehicle: Vehicle,
  followUps: readonly FollowUp[],
  flows: Flows,
  today: IsoDate,
): Outlook | null {
  if (vehicle.state !== 'active' || vehicle.readings.length === 0) return null;
  const facts = factsOf(vehicle.facts);
  const due = [...dueMilesOf(vehicle, intervalsOf(facts, flows)), ...firstTimes(facts, vehicle, flows, today)].filter(
    (service): service is DueService & { miles: number } => service.miles !== null,
  );
  const first = due.reduce((least, { miles }) => Math.min(least, miles), Infinity);
  if (!Number.isFinite(first)) return null;
  const together = due.filter(({ miles }) => miles <= first + TOGETHER_MILES);
  const dueBy = together.flatMap(({ date }) => date ?? []).sort()[0];
  const unasked = unaskedAbout(vehicle, followUps);
  const known = {
    readings: vehicle.readings,
    dueMiles: first,
    ...(facts.modelYear !== undefined && { modelYear: facts.modelYear }),
    ...(facts.milesPerYear !== undefined && facts.milesPerYear > 0 && { milesPerYear: facts.milesPerYear }),
  };
  const seen = forecast(
    { ...known, readings: vehicle.readings.map(({ date, miles }) => ({ date, miles })), today },
    flows.policy,
  );
  const dueSetOn = due.find(({ miles }) => miles === first)?.since.date ?? undefined;
  const plan = planNext({ ...known, dueBy, dueSetOn, ...unasked }, flows.policy, today);
  return {
    services: together.map(({ service }) => service),
    dueMiles: first,
    dueDate: seen.dueDate,
    milesToday: seen.milesToday,
    probabilityDue: seen.probabilityDue,
    next: { ask: plan.ask, offer: plan.offer },
    dueOn: plan.dueOn,
  };
}

/** When one service falls due again on a truck, whatever else is due before it; null where nobody knows the last time. */
export function dueAgain(vehicle: Vehicle, service: ServiceId, flows: Flows): DueService | null {
  const due = dueMilesOf(vehicle, intervalsOf(factsOf(vehicle.facts), flows));
  return due.find((one) => one.service === service) ?? null;
}

function unaskedAbout(
  vehicle: Vehicle,
  followUps: readonly FollowUp[],
): { lastMessage?: IsoDate; unanswered?: number } {
  const reading =
    vehicle.readings
      .map(({ date }) => date)
      .sort()
      .at(-1) ?? '';
  const asked = followUps.filter(({ vehicleId, kind }) => vehicleId === vehicle.id && kind === 'odometer-check');
  const sent = asked.flatMap(({ log }) =>
    log.filter(({ what }) => what.startsWith('sent')).map(({ at }) => at.slice(0, 10)),
  );
  const since = sent.filter((date) => date > reading).sort();
  const lastMessage = since.at(-1);
  const open = asked.some(({ state }) => state === 'waiting' || state === 'sent') ? since.length : 0;
  return { ...(lastMessage && { lastMessage }), ...(open > 0 && { unanswered: open }) };
}

/** How often each service comes round for this truck; where several engine families are possible, the soonest counts. */
function intervalsOf(facts: Facts, flows: Flows): ServiceInterval[] {
  const families = dieselOnly(familiesFor(facts, flows.advice.vehicles));
  if (families.length === 0) return [];
  const least = (values: readonly (number | undefined)[]): number | undefined => {
    const known = values.filter((value) => value !== undefined);
    return known.length === 0 ? undefined : Math.min(...known);
  };
  const breather = least(
    families.map((family) => (family.breather.fitted === 'no' ? undefined : family.breather.miles)),
  );
  return [
    {
      service: 'fuel-filter-service',
      everyMiles: least(families.map((family) => fuelFilterMiles(family, facts.oilChangeIntervalMiles))),
      everyMonths: least(families.map((family) => family.fuelFilter.months)),
      includedIn: ['pump-protection-kit', 'fuel-system-replacement'],
    },
    {
      service: 'oil-service',
      everyMiles: least(families.map((family) => family.oil.miles)),
      everyMonths: least(families.map((family) => family.oil.months)),
    },
    ...(breather === undefined
      ? []
      : [{ service: 'crankcase-breather-filter' as const, everyMiles: breather, firstAtMiles: breather }]),
  ];
}

/** Preventive work that the rule book names a mileage for and that was never done, the protection kit first of all. */
function firstTimes(facts: Facts, vehicle: Vehicle, flows: Flows, today: IsoDate): DueService[] {
  const advised = advise({ ...facts, symptoms: [] }, flows.advice, 'en', today);
  const done = new Set(vehicle.records.flatMap(({ services }) => services));
  return advised.dueAt
    .filter(({ id }) => id === 'pump-protection-kit' && !done.has(id))
    .map(({ id, miles }) => ({
      service: id,
      miles,
      date: null,
      because: 'first-time',
      since: { miles: null, date: null },
    }));
}
