import { factsOf, type Facts } from '../model/facts.ts';
import type { ServiceId } from '../model/ids.ts';
import type { ServiceRecord, Vehicle } from '../model/owner.ts';
import type { IsoDate } from '../model/time.ts';
import { addMonths } from './days.ts';

/** How often a service comes round; whatever comes first counts. Miles, calendar months. */
export interface ServiceInterval {
  service: ServiceId;
  everyMiles?: number | undefined;
  /** Every so many oil changes, at the owner's own oil interval where it is known. */
  everyOilChanges?: number | undefined;
  everyMonths?: number | undefined;
  /** Odometer of the first time, where the service was never done. */
  firstAtMiles?: number | undefined;
  /** Done once in the truck's life (or since the pump was changed). */
  once?: boolean | undefined;
  /** Other services whose work includes this one, so that they start its interval too. */
  includedIn?: readonly ServiceId[] | undefined;
}

export interface DueService {
  service: ServiceId;
  /** Odometer at which it is due; null where only time counts. */
  miles: number | null;
  /** The day on which it is due by time; null where only miles count. */
  date: IsoDate | null;
  /** Which rule set the mark in miles. */
  because: 'miles' | 'oil-changes' | 'months' | 'first-time';
  /** What the interval counts from. */
  since: { miles: number | null; date: IsoDate | null };
}

interface LastDone {
  miles: number | null;
  date: IsoDate | null;
}

/**
 * Which services fall due at which odometer (or by which day), from the service records and what the owner told. A
 * service of which nobody knows when it was last done is left out: that is a matter of the talk, not of the clock.
 */
export function dueMilesOf(
  vehicle: Pick<Vehicle, 'facts' | 'records'>,
  intervals: readonly ServiceInterval[],
): DueService[] {
  const facts = factsOf(vehicle.facts);
  const oilInterval = intervals.find((interval) => interval.service === 'oil-service')?.everyMiles;
  return intervals
    .flatMap((interval) => dueOf(interval, facts, vehicle.records, facts.oilChangeIntervalMiles ?? oilInterval) ?? [])
    .sort((one, other) => (one.miles ?? Infinity) - (other.miles ?? Infinity));
}

function dueOf(
  interval: ServiceInterval,
  facts: Facts,
  records: readonly ServiceRecord[],
  oilInterval: number | undefined,
): DueService | null {
  const last = lastDone(interval, facts, records);
  if (interval.once && (last || doneForGood(interval.service, facts))) return null;
  if (!last) {
    if (interval.firstAtMiles === undefined || firstTimeUnknown(interval.service, facts)) return null;
    const since = facts.pumpFittedAtMiles ?? 0;
    const fromPump = interval.service === 'pump-protection-kit' ? since : 0;
    return {
      service: interval.service,
      miles: fromPump + interval.firstAtMiles,
      date: null,
      because: 'first-time',
      since: { miles: fromPump, date: null },
    };
  }
  const byMiles = own(interval, facts);
  const byOil =
    interval.everyOilChanges !== undefined && oilInterval !== undefined
      ? interval.everyOilChanges * oilInterval
      : undefined;
  const step = Math.min(byMiles ?? Infinity, byOil ?? Infinity);
  const miles = last.miles !== null && Number.isFinite(step) ? last.miles + step : null;
  const date =
    last.date !== null && interval.everyMonths !== undefined ? addMonths(last.date, interval.everyMonths) : null;
  if (miles === null && date === null) return null;
  const because = miles === null ? 'months' : step === byMiles ? 'miles' : 'oil-changes';
  return { service: interval.service, miles, date, because, since: last };
}

/** The owner's own oil interval goes before the family's. */
function own(interval: ServiceInterval, facts: Facts): number | undefined {
  return interval.service === 'oil-service'
    ? (facts.oilChangeIntervalMiles ?? interval.everyMiles)
    : interval.everyMiles;
}

function lastDone(interval: ServiceInterval, facts: Facts, records: readonly ServiceRecord[]): LastDone | null {
  const counts = new Set<ServiceId>([interval.service, ...(interval.includedIn ?? [])]);
  const done = records
    .filter((record) => record.services.some((service) => counts.has(service)))
    .sort((one, other) => one.date.localeCompare(other.date) || one.odometerMiles - other.odometerMiles)
    .at(-1);
  const told = toldBefore(interval.service, facts);
  if (!done) return told;
  if (told && told.miles !== null && told.miles > done.odometerMiles) return told;
  return { miles: done.odometerMiles, date: done.date };
}

function toldBefore(service: ServiceId, facts: Facts): LastDone | null {
  const unsure = new Set(facts.unsure ?? []);
  switch (service) {
    case 'fuel-filter-service':
      if (facts.lastFuelFilterMiles === undefined || unsure.has('lastFuelFilterMiles')) return null;
      return { miles: facts.lastFuelFilterMiles, date: facts.lastFuelFilterDate ?? null };
    case 'oil-service':
      if (facts.lastOilChangeMiles === undefined || unsure.has('lastOilChangeMiles')) return null;
      return { miles: facts.lastOilChangeMiles, date: null };
    default:
      return null;
  }
}

function doneForGood(service: ServiceId, facts: Facts): boolean {
  if (service === 'pump-protection-kit') return facts.pumpProtected === true || facts.pumpReplaced === true;
  return false;
}

/** The breather's first mark counts only while it is the one from the factory. */
function firstTimeUnknown(service: ServiceId, facts: Facts): boolean {
  if (service === 'crankcase-breather-filter') return facts.breatherOriginal !== true;
  return false;
}
