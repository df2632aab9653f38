import type { BookingRequest, ServiceRecord, Vehicle } from '../model/owner.ts';
import { newtonMetres } from '../model/units.ts';
import { recordPicture } from './record-picture.ts';
import { language, reply, text, truckFor, type Scene } from './scene.ts';
import { dayWords, numberWords, truckName } from './words.ts';

/** Sends the service record of closed work to the owner, in words and as a picture, with the pictures that were taken. */
export function sendServiceRecord(scene: Scene, done: BookingRequest): Scene {
  const vehicle = truckFor(scene, done.vehicleId);
  const entry = vehicle?.records.at(-1);
  if (!vehicle || !entry) return scene;
  const head = text(scene, 'record-head', {
    truck: truckName(scene, vehicle),
    date: dayWords(entry.date, language(scene)),
    miles: numberWords(entry.odometerMiles, language(scene)),
  });
  const lines = recordLines(scene, entry);
  const next = nextWords(scene, vehicle);
  const photos = [...entry.findings.flatMap(({ photos: taken = [] }) => taken), ...(entry.photos ?? [])];
  return reply(scene, [head, ...lines, ...(next === undefined ? [] : [next])].join('\n'), {
    attachment: {
      name: `service-record-${entry.date}.svg`,
      mediaType: 'image/svg+xml',
      content: recordPicture({ shop: scene.tools.shop.name, head, lines, ...(next !== undefined && { next }) }),
    },
    ...(photos.length > 0 && { photos }),
  });
}

function recordLines(scene: Scene, entry: ServiceRecord): string[] {
  const service = (id: ServiceRecord['services'][number]) => scene.tools.serviceName(id, language(scene));
  return [
    ...entry.services.map((id) => text(scene, 'record-service', { service: service(id) })),
    ...entry.findings.map(({ service: id, finding, place, note }) =>
      text(scene, 'record-finding', {
        service: place ? text(scene, `place-${place}`) : service(id),
        finding: text(scene, `finding-${finding}`),
        note: note ?? '',
      }),
    ),
    ...(entry.parts ?? []).map(({ name, lot }) => {
      const words = lot ? text(scene, 'record-part-lot', { name, lot }) : text(scene, 'record-part', { name });
      return `– ${words}`;
    }),
    ...(entry.torques ?? []).map(({ place, poundInches }) => {
      const values = { place, poundInches, newtonMetres: newtonMetres(poundInches) };
      return `– ${text(scene, 'record-torque', values)}`;
    }),
    ...entry.putOff.map(({ service: id, because }) => text(scene, 'record-put-off', { service: service(id), because })),
    ...(entry.note ? [`– ${entry.note}`] : []),
    ...(looksForLeaks(scene, entry) ? [text(scene, 'record-look-for-leaks')] : []),
  ].map((line) => line.trimEnd());
}

/** The fuel filter was opened, and nobody will ask later whether it is dry. */
function looksForLeaks(scene: Scene, { services }: ServiceRecord): boolean {
  const asked = scene.tools.shop.followUp.leakCheckAfter;
  return services.includes('fuel-filter-service') && !services.some((service) => asked.includes(service));
}

function nextWords(scene: Scene, vehicle: Vehicle): string | undefined {
  const outlook = scene.tools.outlook(vehicle, scene.today);
  if (!outlook) return undefined;
  return text(scene, 'record-next', {
    services: outlook.services.map((id) => scene.tools.serviceName(id, language(scene))).join(', '),
    miles: numberWords(outlook.dueMiles, language(scene)),
  });
}
