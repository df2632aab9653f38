import type { Kysely } from 'kysely';
import type { Database } from './schema.ts';
import type { ForecastView } from './types.ts';

type Db = Kysely<Database>;

/** A database takes only so many parameters in one statement. */
const AT_ONCE = 500;

/** The latest forecasts that were logged, each with all readings of its truck. */
export async function forecastsOf(db: Db, limit: number): Promise<ForecastView[]> {
  const logged = await db.selectFrom('forecast_log').selectAll().orderBy('at', 'desc').limit(limit).execute();
  const readings = await readingsOf(db, [...new Set(logged.map(({ vehicle_id }) => vehicle_id))]);
  return logged.map(({ vehicle_id: vehicleId, at, due_miles: dueMiles, p10, p50, p90 }) => ({
    ...{ vehicleId, at, dueMiles, p10, p50, p90 },
    readings: readings.get(vehicleId) ?? [],
  }));
}

/** The readings of trucks, in the order in which they were taken. */
async function readingsOf(db: Db, vehicleIds: string[]): Promise<Map<string, ForecastView['readings']>> {
  const found = new Map<string, ForecastView['readings']>();
  for (let from = 0; from < vehicleIds.length; from += AT_ONCE) {
    const rows = await db
      .selectFrom('readings')
      .select(['vehicle_id', 'date', 'miles', 'cluster_reset'])
      .where('vehicle_id', 'in', vehicleIds.slice(from, from + AT_ONCE))
      .orderBy('vehicle_id')
      .orderBy('ordinal')
      .execute();
    for (const { vehicle_id, date, miles, cluster_reset } of rows) {
      found.set(vehicle_id, [...(found.get(vehicle_id) ?? []), { date, miles, clusterReset: cluster_reset === 1 }]);
    }
  }
  return found;
}
