import type { BookingRequest, FollowUp } from '../../model/owner.ts';
import type { ServiceId } from '../../model/ids.ts';
import { staffActionData } from '../../model/staff-data.ts';
import { factsForAdvice } from '../situation.ts';
import {
  ask,
  effect,
  language,
  newId,
  options,
  reply,
  staffText,
  text,
  withFollowUp,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { sendServiceRecord } from '../service-record.ts';
import { moneyWords, truckName } from '../words.ts';
import { closeFollowUps, staffTruck, truck } from './request.ts';
import { requestInHand } from './shop.ts';

/** What the system and its guard cost are told together: the kit goes with the new pump. */
const REPLACEMENT: ServiceId[] = ['fuel-system-replacement', 'pump-protection-kit'];

/** Metal in the fuel: a person phones before the assistant writes, so that nobody reads it alone and drives on. */
export const metal: Record<string, Action> = {
  sayPhonedBefore: (scene) => effect(scene, { do: 'answer-staff', text: staffText(scene, 'staff-phoned-before') }),

  sayMetalNews(scene) {
    const due = scene.event.kind === 'time' ? scene.event.followUpId : undefined;
    const followUp = scene.file.followUps.find(({ id }) => id === due);
    const request = scene.file.requests.find(({ id }) => id === followUp?.requestId) ?? requestInHand(scene);
    if (!request) return scene;
    const waiting = scene.file.followUps.some(
      ({ kind, requestId, state }) => kind === 'metal-news' && requestId === request.id && state === 'waiting',
    );
    if (!waiting) return scene;
    const late = scene.event.kind === 'time';
    const closed = closeFollowUps(scene, request.id, late ? 'metal-written-late' : 'staff-phoned', ['metal-news']);
    const vehicle = truck(scene, request);
    const facts = factsForAdvice(vehicle, scene.today);
    const { total } = scene.tools.estimate(facts, REPLACEMENT, language(scene));
    const record = sendServiceRecord(closed, request);
    const inHand = withTalk(record, {
      vehicleId: request.vehicleId,
      services: REPLACEMENT,
      matter: scene.file.conversation.matter ?? { openedAt: scene.now, words: [], photos: [] },
    });
    const asked = ask(
      inHand,
      'advice',
      text(scene, 'metal-news', {
        opening: text(scene, late ? 'metal-late' : 'metal-phoned'),
        truck: truckName(scene, vehicle),
        total: moneyWords(total, language(scene)),
        phone: scene.tools.shop.phone,
      }),
      options(scene, ['yes', 'option-see-times'], ['person', 'option-person'], ['no', 'option-not-now']),
    );
    const note = staffText(scene, late ? 'staff-metal-written-late' : 'staff-metal-written', {
      truck: staffTruck(scene, request),
      phone: scene.file.owner.phone ?? staffText(scene, 'no-phone'),
    });
    return reply(asked, note, { to: 'staff', requestId: request.id });
  },
};

/** Staff are told to phone, with the button that says they did; after the stated delay the assistant writes anyway. */
export function awaitPhoneCall(scene: Scene, done: BookingRequest): Scene {
  const { metalWriteAfterHours } = scene.tools.shop.booking;
  const dueAt = new Date(Date.parse(scene.now) + metalWriteAfterHours * 3_600_000).toISOString();
  const [id, next] = newId(scene);
  const news: FollowUp = {
    id: `f-${id}`,
    kind: 'metal-news',
    vehicleId: done.vehicleId,
    requestId: done.id,
    dueAt,
    state: 'waiting',
    services: REPLACEMENT,
    attempts: 0,
    log: [{ at: scene.now, what: 'metal-found' }],
  };
  const note = staffText(scene, 'staff-metal-phone', {
    truck: staffTruck(scene, done),
    phone: scene.file.owner.phone ?? staffText(scene, 'no-phone'),
    hours: metalWriteAfterHours,
  });
  const phoned = staffActionData({ do: 'phoned', requestId: done.id, revision: done.revision });
  return reply(withFollowUp(next, news), note, {
    to: 'staff',
    requestId: done.id,
    buttons: [{ label: staffText(scene, 'staff-phoned'), data: phoned }],
  });
}
