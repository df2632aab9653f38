import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import { DateTime } from 'luxon';
import { calendarFeed, csvOf, factsOf, writeTruckList, type ListedTruck } from '../../../core/mod.ts';
import type { VehicleView } from '../../store/types.ts';
import type { Means } from '../means.ts';
import { sayIn } from './frame.ts';
import { bayName, requestTruck, serviceName } from './words.ts';

const PAGE = 500;

export async function everyTruck(means: Means): Promise<VehicleView[]> {
  const all: VehicleView[] = [];
  for (;;) {
    const some = await means.store.views.vehicles(PAGE, all.at(-1)?.vehicle.id);
    all.push(...some);
    if (some.length < PAGE) return all;
  }
}

/** All trucks in the form that the shop's list import reads. */
export async function trucksCsv(means: Means): Promise<string> {
  const trucks = await everyTruck(means);
  return writeTruckList(trucks.map(({ vehicle, owner }, index) => listed(index, owner, vehicle)));
}

function listed(index: number, owner: VehicleView['owner'], vehicle: VehicleView['vehicle']): ListedTruck {
  const reading = vehicle.readings.at(-1);
  const last = vehicle.records.at(-1);
  return {
    line: index + 2,
    owner: owner.name ?? '',
    ...(owner.phone && { phone: owner.phone }),
    facts: factsOf(vehicle.facts),
    ...(reading && { reading: { miles: reading.miles, date: reading.date } }),
    ...(last && { lastService: { services: last.services, date: last.date, miles: last.odometerMiles } }),
  };
}

const RECORD_COLUMNS = ['truck', 'vin', 'owner', 'date', 'odometerMiles', 'services', 'findings', 'putOff', 'closedBy'];

/** All service records, a row each. */
export async function recordsCsv(means: Means): Promise<string> {
  const rows = (await everyTruck(means)).flatMap(({ vehicle, owner }) =>
    vehicle.records.map((record) => [
      vehicle.id,
      factsOf(vehicle.facts).vin,
      owner.name,
      record.date,
      record.odometerMiles,
      record.services.join(' '),
      record.findings.map(({ service, finding }) => `${service}: ${finding}`).join('; '),
      record.putOff.map(({ service, because }) => `${service}: ${because}`).join('; '),
      record.closedBy,
    ]),
  );
  return csvOf(RECORD_COLUMNS, rows);
}

const FEED_SETTING = 'calendar-feed';
const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');

/** Makes a new address for the calendar feed; the one before it stops working. Only its hash is kept. */
export async function newFeedAddress(means: Means): Promise<string> {
  const secret = randomBytes(32).toString('base64url');
  await means.store.transaction((tx) => tx.saveSetting(FEED_SETTING, hashOf(secret)));
  return `${means.address()}/counter/feed/${secret}.ics`;
}

/** The shop's appointments of the past month and the year ahead as a calendar, for whoever holds its address. */
export async function feed(means: Means, secret: string): Promise<string | undefined> {
  const kept = await means.store.transaction((tx) => tx.setting(FEED_SETTING));
  const given = hashOf(secret.replace(/\.ics$/, ''));
  if (typeof kept !== 'string' || kept.length !== given.length) return undefined;
  if (!timingSafeEqual(Buffer.from(kept), Buffer.from(given))) return undefined;
  const say = sayIn(means);
  const now = DateTime.fromISO(means.now()).toUTC();
  const booked = await means.store.views.booked(
    now.minus({ days: 31 }).toISO() ?? '',
    now.plus({ days: 366 }).toISO() ?? '',
  );
  return calendarFeed(
    booked.map(({ request, owner }) => ({
      request,
      summary: `${requestTruck(request, means)}, ${request.slot ? bayName(request.slot.bay, means) : ''}`,
      description: [
        owner.name ?? say('no-name'),
        owner.phone ?? say('no-phone'),
        request.services.map((id) => serviceName(id, means)).join(', '),
        say(`state-${request.state}`),
      ].join('\n'),
    })),
    { shop: means.flows.shop, texts: means.flows.texts, language: 'en', at: means.now() },
  );
}
