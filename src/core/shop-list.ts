import { parsePhoneNumberFromString, type CountryCode } from 'libphonenumber-js';
import { DateTime } from 'luxon';
import { readTruckList, type ListedTruck, type ListReading } from './book/mod.ts';
import type { Flows } from './flows.ts';
import { factsOf, type FactKey, type FactRecord } from './model/facts.ts';
import type { Vehicle } from './model/owner.ts';
import type { Instant, IsoDate } from './model/time.ts';
import { isVin } from './understand/values/vin.ts';

/** Reads a shop's own list of trucks: which rows are sound, and what is wrong with every other one. Nothing is kept. */
export function readShopList(text: string, today: IsoDate, flows: Flows): ListReading {
  return readTruckList(text, today, {
    vinIsSound: isVin,
    phone(written) {
      const number = parsePhoneNumberFromString(written, flows.shop.region.country as CountryCode);
      return number?.isPossible() ? number.formatNational() : null;
    },
  });
}

/**
 * A row as a truck of the shop, every fact from the shop and sure. The list's own note and unit number stay readable on
 * the truck's page. `id` names everything that belongs to it.
 */
export function truckFromList(row: ListedTruck, id: string, at: Instant): Vehicle {
  const fact = (key: FactKey, value: FactRecord['value'], day?: IsoDate): FactRecord => ({
    key,
    value,
    source: 'staff',
    sure: true,
    at: day === undefined ? at : noon(day),
  });
  const { reading, lastService, unit } = row;
  const told = Object.entries(row.facts) as [FactKey, FactRecord['value']][];
  const readings = [
    ...(lastService ? [{ miles: lastService.miles, date: lastService.date }] : []),
    ...(reading && reading.date !== lastService?.date ? [reading] : []),
  ].sort((one, other) => one.date.localeCompare(other.date));
  const last = readings.at(-1);
  return {
    id,
    state: 'active',
    ...(unit !== undefined && { papers: { unit } }),
    facts: [
      ...told.map(([key, value]) => fact(key, value)),
      ...fromService(row).map(([key, value]) => fact(key, value)),
      ...(last ? [fact('odometerMiles', last.miles, last.date)] : []),
    ],
    unknowable: [],
    readings: readings.map(({ miles, date }, index) => ({
      id: `reading-${id}-${index}`,
      miles,
      date,
      source: 'staff',
    })),
    records: lastService
      ? [
          {
            id: `record-${id}`,
            date: lastService.date,
            odometerMiles: lastService.miles,
            services: lastService.services,
            findings: [],
            putOff: [],
            ...(row.note !== undefined && { note: row.note }),
            closedBy: 'list',
          },
        ]
      : [],
    createdAt: at,
  };
}

/** What the last service settles, where the list does not say so itself. */
function fromService({ facts, lastService }: ListedTruck): [FactKey, FactRecord['value']][] {
  if (!lastService) return [];
  const { services, miles, date } = lastService;
  const settled: [FactKey, FactRecord['value']][] = [];
  if (services.includes('pump-protection-kit')) settled.push(['pumpProtected', true]);
  if (services.some((id) => FILTER_WORK.includes(id)))
    settled.push(['lastFuelFilterMiles', miles], ['lastFuelFilterDate', date]);
  if (services.includes('oil-service')) settled.push(['lastOilChangeMiles', miles]);
  return settled.filter(([key]) => !(key in facts));
}

const FILTER_WORK = ['pump-protection-kit', 'fuel-filter-service', 'fuel-system-replacement'];

const noon = (day: IsoDate): Instant =>
  DateTime.fromISO(`${day}T12:00:00`, { zone: 'utc' }).toISO() ?? `${day}T12:00:00.000Z`;

/** Under what names a truck can be told from the others of one shop: its VIN, or its owner and unit, year and engine. */
export function namesOfTruck(
  owner: { name?: string; phone?: string },
  vehicle: Pick<Vehicle, 'facts' | 'papers'>,
): string[] {
  const { vin, modelYear, engineLitres } = factsOf(vehicle.facts);
  if (vin !== undefined) return [`vin ${vin}`];
  const who = (owner.phone ?? owner.name ?? '').replaceAll(/\s/g, '').toLowerCase();
  const what = vehicle.papers?.unit ?? `${modelYear ?? ''}-${engineLitres ?? ''}`;
  return [`${who} ${what.toLowerCase()}`];
}
