import type { FollowUp } from '../../model/owner.ts';
import { language, reply, text, truckFor, withFollowUp, type Action, type Scene } from '../scene.ts';
import { dayWords, numberWords } from '../words.ts';

/** What an owner of several trucks does in one go. */
export const fleet: Record<string, Action> = {
  /** One answer to a whole list, a line each; the odometer questions that it answers are not put again. */
  sayFleetMiles(scene) {
    const listed = scene.heard.fleet ?? [];
    const lines = listed.map(({ unit, miles, vehicleId, because }) => {
      const values = { unit, miles: numberWords(miles, language(scene)) };
      if (because === 'unknown') return text(scene, 'fleet-unknown', values);
      if (because !== undefined) return text(scene, 'fleet-doubtful', { ...values, because });
      const vehicle = truckFor(scene, vehicleId);
      const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
      if (!outlook) return text(scene, 'fleet-noted', values);
      return text(scene, 'fleet-noted-next', {
        ...values,
        services: outlook.services.map((id) => scene.tools.serviceName(id, language(scene))).join(', '),
        due: numberWords(outlook.dueMiles, language(scene)),
        when:
          outlook.dueDate.p50 === null ? text(scene, 'over-ten-years') : dayWords(outlook.dueDate.p50, language(scene)),
      });
    });
    const taken = listed.flatMap(({ vehicleId, because }) => (vehicleId && because === undefined ? [vehicleId] : []));
    return reply(answered(scene, taken), [text(scene, 'fleet-head'), ...lines].join('\n'));
  },
};

function answered(scene: Scene, vehicleIds: readonly string[]): Scene {
  const open = scene.file.followUps.filter(
    ({ kind, state, vehicleId, attempts }) =>
      kind === 'odometer-check' && state === 'waiting' && attempts > 0 && vehicleIds.includes(vehicleId ?? ''),
  );
  return open.reduce<Scene>((next, due) => {
    const closed: FollowUp = {
      ...due,
      state: 'answered',
      log: [...due.log, { at: scene.now, what: 'answered-in-list' }],
    };
    return withFollowUp(next, closed);
  }, scene);
}
