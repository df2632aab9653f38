import type { AdviceInFull } from '../model/advice.ts';
import { SERVICES, type ServiceId } from '../model/ids.ts';
import { holds, rank, type Decision } from './decide.ts';
import type { EngineReach } from './engine-reach.ts';
import type { Target } from './targets.ts';
import { samplesOf } from './samples.ts';
import { UNTOLD, type Situation } from './situation.ts';

const isService = (id: Target['id']): id is ServiceId => (SERVICES as readonly string[]).includes(id);

/**
 * Odometer values at which services that are not advised now become due, all else being as it is: the first bound of
 * the service's rules above the present odometer at which one of them holds.
 */
export function dueMiles(targets: readonly Target[], s: Situation, decision: Decision, reach: EngineReach) {
  const due: AdviceInFull['dueAt'] = [];
  if (s.odometerMiles === UNTOLD) return due;
  for (const target of targets) {
    const planned = target.rules.filter(({ urgency }) => urgency !== undefined && rank(urgency) === rank('planned'));
    if (planned.length === 0 || !isService(target.id) || decision.services.has(target.id)) continue;
    const later = samplesOf('odometerMiles', s, target.outlook, reach)
      .map((sample) => sample.odometerMiles ?? 0)
      .filter((miles) => miles > s.odometerMiles)
      .sort((a, b) => a - b);
    const then = { ...s };
    const miles = later.find((odometerMiles) => {
      then.odometerMiles = odometerMiles;
      return planned.some((rule) => holds(rule, then));
    });
    if (miles !== undefined) due.push({ id: target.id, miles });
  }
  return due;
}
