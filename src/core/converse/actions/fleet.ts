import type { FollowUpEvent } from '../../model/follow-up-log.ts';
import type { FollowUp, Vehicle } from '../../model/owner.ts';
import { fleetDue, REPEATED } from '../fleet-due.ts';
import {
  ask,
  closeQuestion,
  language,
  reply,
  text,
  truckFor,
  withFollowUp,
  type Action,
  type Scene,
} from '../scene.ts';
import { dateRange, dayWords, numberWords, truckName } from '../words.ts';
import { asked, guessOf, inDays } from './follow-up.ts';
import { LATER_DAYS } from './put-off.ts';

/** Buttons for trucks whose service is due, under one message; more trucks are named and taken one after another. */
const MOST_TRUCKS = 6;

/** What an owner of several trucks does in one go. */
export const fleet: Record<string, Action> = {
  /** One message gathers what falls due on all trucks: a line each, answered by a list, with a button for each service. */
  askFleet(scene) {
    const due = fleetDue(scene);
    const lines = due.flatMap((one) => {
      const vehicle = truckFor(scene, one.vehicleId);
      return vehicle ? [digestLine(scene, vehicle, one.kind)] : [];
    });
    const services = due.filter(({ kind }) => kind !== 'odometer-check').flatMap(({ vehicleId }) => vehicleId ?? []);
    const body = [
      text(scene, 'fleet-digest', { shop: scene.tools.shop.name }),
      ...lines,
      '',
      text(scene, 'fleet-digest-how', example(scene)),
    ].join('\n');
    const choices = [
      ...timesFor(scene, services),
      { id: 'later', label: text(scene, 'option-later') },
      { id: 'stop', label: text(scene, 'option-stop-reminders') },
    ];
    return due.reduce(asked, ask(scene, 'fleet', body, choices, { unasked: true }));
  },

  /** One answer to a whole list, a line each; what it answers is not asked again. */
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
    const noted = answered(scene, taken);
    const body = [text(scene, 'fleet-head'), ...lines].join('\n');
    const { question } = scene.file.conversation;
    if (question?.about !== 'fleet') return reply(noted, body);
    const settled = closeQuestion(noted, scene.heard.text ?? '');
    const dueNow = settled.file.vehicles.filter((vehicle) => isDueNow(settled, vehicle)).map(({ id }) => id);
    if (dueNow.length === 0) return reply(settled, body);
    const choices = [...timesFor(settled, dueNow), { id: 'later', label: text(scene, 'option-later') }];
    return ask(settled, 'fleet', [body, '', text(scene, 'fleet-due-now')].join('\n'), choices);
  },

  /** Not now: what the message gathered comes again later, all of it together. */
  sayFleetLater(scene) {
    const sent = scene.file.followUps.filter(({ kind, state }) => state === 'sent' && REPEATED.includes(kind));
    const postponed = sent.reduce<Scene>(
      (next, due) =>
        withFollowUp(next, {
          ...due,
          state: 'waiting',
          dueAt: inDays(scene, LATER_DAYS),
          log: [...due.log, { at: scene.now, what: 'answered-later' }],
        }),
      closeQuestion(scene, text(scene, 'option-later')),
    );
    return reply(postponed, text(scene, 'later-fine'));
  },
};

function digestLine(scene: Scene, vehicle: Vehicle, kind: FollowUp['kind']): string {
  const guess = guessOf(scene, vehicle);
  const outlook = scene.tools.outlook(vehicle, scene.today);
  const truck = unitOr(scene, vehicle);
  if (kind === 'odometer-check' || !outlook) {
    return guess === null
      ? text(scene, 'fleet-digest-miles-plain', { truck })
      : text(scene, 'fleet-digest-miles', { truck, guess: numberWords(guess, language(scene)) });
  }
  return text(scene, 'fleet-digest-due', {
    truck,
    services: outlook.services.map((id) => scene.tools.serviceName(id, language(scene))).join(', '),
    due: numberWords(outlook.dueMiles, language(scene)),
    when: dateRange(scene, outlook.dueDate),
  });
}

const unitOr = (scene: Scene, vehicle: Vehicle): string =>
  vehicle.papers?.unit === undefined
    ? truckName(scene, vehicle)
    : text(scene, 'fleet-unit', { unit: vehicle.papers.unit });

/** Two of the owner's own units, so that the example can be copied. */
function example(scene: Scene): Record<string, string> {
  const units = fleetDue(scene).flatMap(({ vehicleId }) => truckFor(scene, vehicleId)?.papers?.unit ?? []);
  const own = [...new Set([...units, ...scene.file.vehicles.flatMap(({ papers }) => papers?.unit ?? [])])];
  return { one: own[0] ?? '', other: own[1] ?? '' };
}

const timesFor = (scene: Scene, vehicleIds: readonly string[]): { id: string; label: string }[] =>
  vehicleIds.slice(0, MOST_TRUCKS).flatMap((id) => {
    const vehicle = truckFor(scene, id);
    return vehicle
      ? [{ id: `t-${id}`, label: text(scene, 'option-fleet-times', { truck: unitOr(scene, vehicle) }) }]
      : [];
  });

function isDueNow(scene: Scene, vehicle: Vehicle): boolean {
  const open = scene.file.requests.some(({ vehicleId, state }) => vehicleId === vehicle.id && state !== 'closed');
  if (open) return false;
  const { offer } = scene.tools.outlook(vehicle, scene.today)?.next ?? {};
  return typeof offer === 'string' && offer <= scene.today;
}

function answered(scene: Scene, vehicleIds: readonly string[]): Scene {
  const what: FollowUpEvent = 'answered-in-list';
  return scene.file.followUps
    .filter(
      ({ kind, state, vehicleId, attempts }) =>
        vehicleIds.includes(vehicleId ?? '') &&
        ((REPEATED.includes(kind) && state === 'sent') ||
          (kind === 'odometer-check' && state === 'waiting' && attempts > 0)),
    )
    .reduce<Scene>(
      (next, due) => withFollowUp(next, { ...due, state: 'answered', log: [...due.log, { at: scene.now, what }] }),
      scene,
    );
}
