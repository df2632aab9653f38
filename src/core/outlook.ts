import { advise } from './advise/mod.ts';
import { dieselOnly, familiesFor, fuelFilterMiles } from './advise/vehicles.ts';
import type { Outlook } from './converse/mod.ts';
import {
  dayToBook,
  dueMilesOf,
  foresee,
  type DueService,
  type Parameters,
  type ServiceInterval,
  type VehicleState,
} from './follow-up/mod.ts';
import type { Flows } from './flows.ts';
import { factsOf, type Facts } from './model/facts.ts';
import type { ServiceId } from './model/ids.ts';
import { isAnswer, type FollowUpEntry } from './model/follow-up-log.ts';
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
  parameters: Parameters = flows.parameters,
): Outlook | null {
  const due = dueOn(vehicle, flows, today);
  if (!due) return null;
  const state = { ...due.state, ...heardAbout(vehicle, followUps) };
  const seen = foresee(state, flows.policy, today, parameters);
  return {
    services: due.services,
    dueMiles: state.dueMiles,
    dueDate: seen.dueDate,
    milesToday: seen.milesToday,
    probabilityDue: seen.probabilityDue,
    next: { ask: seen.plan.ask, offer: seen.plan.offer },
    because: seen.plan.because,
    dueOn: seen.plan.dueOn,
  };
}

/**
 * The day to look for times on, for an owner who takes up an offer and has just told the odometer; null where the truck
 * is too far from its mark for any day to be likely enough, so that the next question serves better.
 */
export function bookingDay(
  vehicle: Vehicle,
  flows: Flows,
  today: IsoDate,
  parameters: Parameters = flows.parameters,
): IsoDate | null {
  const due = dueOn(vehicle, flows, today);
  return due ? (dayToBook(due.state, flows.policy, today, parameters)?.day ?? null) : null;
}

/** What falls due first on a truck, what falls due together with it, and all that the forecast needs to know. */
function dueOn(
  vehicle: Vehicle,
  flows: Flows,
  today: IsoDate,
): { services: ServiceId[]; state: VehicleState } | undefined {
  if (vehicle.state !== 'active' || vehicle.readings.length === 0) return undefined;
  const facts = factsOf(vehicle.facts);
  const due = [...dueMilesOf(vehicle, intervalsOf(facts, flows)), ...firstTimes(facts, vehicle, flows, today)].filter(
    (service): service is DueService & { miles: number } => service.miles !== null,
  );
  const first = due.reduce((least, { miles }) => Math.min(least, miles), Infinity);
  if (!Number.isFinite(first)) return undefined;
  const together = due.filter(({ miles }) => miles <= first + TOGETHER_MILES);
  const state: VehicleState = {
    readings: vehicle.readings,
    dueMiles: first,
    dueSetOn: due.find(({ miles }) => miles === first)?.since.date ?? undefined,
    dueBy: together.flatMap(({ date }) => date ?? []).sort()[0],
    ...(facts.modelYear !== undefined && { modelYear: facts.modelYear }),
    ...(facts.milesPerYear !== undefined && facts.milesPerYear > 0 && { milesPerYear: facts.milesPerYear }),
  };
  return { services: together.map(({ service }) => service), state };
}

/** When one service falls due again on a truck, whatever else is due before it; null where nobody knows the last time. */
export function dueAgain(vehicle: Vehicle, service: ServiceId, flows: Flows): DueService | null {
  const due = dueMilesOf(vehicle, intervalsOf(factsOf(vehicle.facts), flows));
  return due.find((one) => one.service === service) ?? null;
}

const OFFERS: readonly FollowUp['kind'][] = ['service-due', 'put-off'];

/** What was written about a truck, and what the owner has not answered yet. */
function heardAbout(
  vehicle: Vehicle,
  followUps: readonly FollowUp[],
): Pick<VehicleState, 'lastMessage' | 'unanswered' | 'offers' | 'asked' | 'answered'> {
  const reading = vehicle.readings.reduce((last, { date }) => (date > last ? date : last), '');
  const about = followUps.filter(
    ({ vehicleId, kind }) => vehicleId === vehicle.id && (kind === 'odometer-check' || OFFERS.includes(kind)),
  );
  const isSent = ({ what }: FollowUpEntry) => what === 'sent';
  const days = (which: readonly FollowUp[], holds: (entry: FollowUpEntry) => boolean) =>
    which
      .flatMap(({ log }) => log.filter(holds).map(({ at }) => at.slice(0, 10)))
      .filter((date) => date > reading)
      .sort();
  const open = about.filter(({ state }) => state === 'sent');
  const questions = days(
    open.filter(({ kind }) => kind === 'odometer-check'),
    isSent,
  );
  const offers = days(
    open.filter(({ kind }) => kind !== 'odometer-check'),
    isSent,
  );
  const lastMessage = days(about, (entry) => isSent(entry) || isAnswer(entry)).at(-1);
  const last = offers.at(-1);
  const asked = about.filter(({ kind, log }) => kind === 'odometer-check' && log.some(isSent));
  return {
    asked: asked.length,
    // Several questions that are open together have one answer.
    answered: asked.filter(({ log }) => log.slice(-1).some(isAnswer)).length,
    ...(lastMessage && { lastMessage }),
    ...(questions.length > 0 && { unanswered: questions.length }),
    ...(last && { offers: { unanswered: offers.length, last } }),
  };
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

/** Work that the rule book names a mileage for, or advises by now, and that was never done, as far as is known. */
function firstTimes(facts: Facts, vehicle: Vehicle, flows: Flows, today: IsoDate): DueService[] {
  const done = new Set(vehicle.records.flatMap(({ services }) => services));
  const open = new Set<ServiceId>();
  if (!done.has('pump-protection-kit') && facts.pumpProtected !== true && facts.pumpReplaced !== true)
    open.add('pump-protection-kit');
  const known = dueMilesOf(vehicle, intervalsOf(facts, flows)).some(({ service }) => service === 'fuel-filter-service');
  if (!known) open.add('fuel-filter-service');
  if (open.size === 0) return [];
  const advised = advise({ ...facts, symptoms: [] }, flows.advice, 'en', today);
  const { odometerMiles } = facts;
  const overdue = odometerMiles === undefined ? [] : advised.services.map(({ id }) => ({ id, miles: odometerMiles }));
  return [...overdue, ...advised.dueAt]
    .filter(({ id }) => open.has(id))
    .map(({ id, miles }) => ({
      service: id,
      miles,
      date: null,
      because: 'first-time',
      since: { miles: null, date: null },
    }));
}
