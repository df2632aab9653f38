import type { BookingRequest, FollowUp } from '../../model/owner.ts';
import { staffActionData } from '../../model/staff-data.ts';
import type { Button } from '../../model/turn.ts';
import { factsForAdvice, openRequest } from '../situation.ts';
import {
  ask,
  closeQuestion,
  language,
  newId,
  options,
  reply,
  staffText,
  text,
  vehicleOf,
  withFollowUp,
  withRequest,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { instantWords, slotWords, truckName } from '../words.ts';
import { requestSheet } from './request-sheet.ts';
import { servicesFor, slotChosen } from './times.ts';

/** Sending, moving and cancelling a booking request. */
export const request: Record<string, Action> = {
  sendRequest(scene) {
    const vehicle = vehicleOf(scene);
    if (!vehicle) return scene;
    const [number, next] = newId(scene);
    const services = servicesFor(scene);
    const { chosen, matter, wantedTime } = scene.file.conversation;
    const sent: BookingRequest = {
      id: `r-${number}`,
      vehicleId: vehicle.id,
      state: 'requested',
      revision: 1,
      createdAt: scene.now,
      answerBy: scene.tools.answerBy(scene.now),
      services,
      slot: chosen,
      ...(wantedTime && { wantedTime }),
      complaint: (matter?.words ?? []).map(({ text: words }) => words),
      facts: vehicle.facts,
      advice: scene.tools.advise(factsForAdvice(vehicle, scene.today), 'en'),
      estimate: scene.tools.estimate(factsForAdvice(vehicle, scene.today), services, 'en'),
      photos: matter?.photos ?? [],
      history: [{ at: scene.now, by: 'owner', what: 'requested' }],
      calendarSequence: 0,
    };
    const [followUpId, after] = newId(next);
    const unanswered: FollowUp = {
      id: `f-${followUpId}`,
      kind: 'request-unanswered',
      vehicleId: vehicle.id,
      requestId: sent.id,
      dueAt: sent.answerBy,
      state: 'waiting',
      services,
      attempts: 0,
      log: [{ at: scene.now, what: 'request sent' }],
    };
    const kept = withFollowUp(withRequest(closeQuestion(after, text(scene, 'option-send')), sent), unanswered);
    const closed = endMatter(kept);
    const told = reply(
      closed,
      text(scene, 'request-sent', { answerBy: byWhen(scene, sent.answerBy), phone: scene.tools.shop.phone }),
    );
    return toStaff(told, sent, requestSheet(scene, sent));
  },

  startMove(scene) {
    const open = openRequest(scene);
    return open ? withTalk(scene, { requestId: open.id, services: open.services, vehicleId: open.vehicleId }) : scene;
  },

  /** A move is a wish until the shop agrees: the request goes back to "requested" with the new time. */
  sendMove(scene) {
    const open = scene.file.requests.find(({ id }) => id === scene.file.conversation.requestId);
    const slot = slotChosen(scene);
    if (!open || !slot) return scene;
    const changed = scene.tools.change(open, { do: 'choose-time', slot }, 'owner', scene.now);
    if (!changed.ok) return reply(scene, text(scene, 'no-appointment'));
    const moved = changed.request;
    const kept = withRequest(closeQuestion(scene, slotWords(slot, language(scene))), moved);
    const told = reply(
      withTalk(kept, { requestId: undefined, offered: [], chosen: null }),
      text(scene, 'move-sent', { time: slotWords(slot, language(scene)), answerBy: byWhen(scene, moved.answerBy) }),
    );
    const note = staffText(scene, 'staff-move-wanted', {
      truck: staffTruck(scene, moved),
      time: slotWords(slot, 'en'),
    });
    return toStaff(told, moved, note);
  },

  askCancel(scene) {
    const open = openRequest(scene);
    if (!open) return scene;
    const values = { truck: truckName(scene, truck(scene, open)), time: slotOr(scene, open) };
    return ask(
      withTalk(scene, { requestId: open.id }),
      'cancel',
      text(scene, 'ask-cancel', values),
      options(scene, ['yes', 'option-cancel-it'], ['no', 'option-keep-it']),
    );
  },

  cancelRequest(scene) {
    const open = scene.file.requests.find(({ id }) => id === scene.file.conversation.requestId);
    if (!open) return reply(scene, text(scene, 'no-appointment'));
    const changed = scene.tools.change(open, { do: 'cancel' }, 'owner', scene.now);
    if (!changed.ok) return reply(scene, text(scene, 'cannot-cancel', { phone: scene.tools.shop.phone }));
    const cancelled = changed.request;
    const kept = closeFollowUps(
      withRequest(closeQuestion(scene, text(scene, 'option-cancel-it')), cancelled),
      open.id,
      'cancelled by the owner',
    );
    const wasBooked = open.state === 'accepted' && open.slot !== null;
    const told = reply(withTalk(kept, { requestId: undefined }), text(scene, 'cancelled'), {
      ...(wasBooked && { attachment: calendar(scene, cancelled, 'cancelled') }),
    });
    return reply(
      told,
      staffText(scene, 'staff-cancelled', { truck: staffTruck(scene, open), time: slotOr(scene, open, true) }),
      {
        to: 'staff',
        requestId: open.id,
      },
    );
  },

  keepRequest: (scene) =>
    reply(closeQuestion(withTalk(scene, { requestId: undefined }), text(scene, 'option-keep-it')), text(scene, 'kept')),

  sayNoAppointment: (scene) => reply(scene, text(scene, 'no-appointment')),

  sayAppointment(scene) {
    const open = openRequest(scene);
    if (!open) return reply(scene, text(scene, 'no-appointment'));
    const id =
      open.state === 'accepted'
        ? 'appointment-booked'
        : open.state === 'requested'
          ? 'appointment-requested'
          : 'appointment-underway';
    const values = {
      truck: truckName(scene, truck(scene, open)),
      time: slotOr(scene, open),
      phone: scene.tools.shop.phone,
    };
    return reply(scene, text(scene, id, values));
  },

  tellShopOfEdit(scene) {
    const open = openRequest(scene);
    if (!open || !scene.heard.text) return scene;
    const note = staffText(scene, 'staff-edited', { truck: staffTruck(scene, open), words: scene.heard.text });
    return reply(scene, note, { to: 'staff', requestId: open.id });
  },
};

export const truck = (scene: Scene, { vehicleId }: BookingRequest) =>
  scene.file.vehicles.find(({ id }) => id === vehicleId);

export const staffTruck = (scene: Scene, of: BookingRequest): string => truckName(scene, truck(scene, of), true);

export const slotOr = (scene: Scene, { slot }: BookingRequest, forStaff = false): string => {
  if (slot) return slotWords(slot, forStaff ? 'en' : language(scene));
  return forStaff ? staffText(scene, 'time-open') : text(scene, 'time-open');
};

const byWhen = (scene: Scene, instant: string): string => instantWords(instant, scene.tools.shop.zone, language(scene));

export const calendar = (scene: Scene, of: BookingRequest, change: 'created' | 'cancelled') => ({
  name: 'appointment.ics',
  mediaType: 'text/calendar',
  content: scene.tools.calendarFile(of, change, scene.now, language(scene)),
});

/** The staff's own buttons under a request, each with the revision it was shown for. */
export function staffButtons(scene: Scene, of: BookingRequest): Button[] {
  const head = { requestId: of.id, revision: of.revision };
  return [
    { label: staffText(scene, 'staff-accept'), data: staffActionData({ do: 'accept', ...head }) },
    { label: staffText(scene, 'staff-other-time'), data: staffActionData({ do: 'list-times', ...head }) },
    { label: staffText(scene, 'staff-decline'), data: staffActionData({ do: 'decline', because: 'full', ...head }) },
    { label: staffText(scene, 'staff-call'), data: staffActionData({ do: 'call', ...head }) },
  ];
}

export const toStaff = (scene: Scene, of: BookingRequest, body: string): Scene =>
  reply(scene, body, { to: 'staff', requestId: of.id, buttons: staffButtons(scene, of), photos: of.photos });

/** The matter in hand is with the shop now; the truck's lasting facts stay. */
export function endMatter(scene: Scene): Scene {
  return withTalk(scene, {
    matter: null,
    offered: [],
    offersPassed: 0,
    chosen: null,
    wantedTime: undefined,
    services: [],
    warned: [],
    hints: [],
    requestId: undefined,
    followUpId: undefined,
    question: null,
  });
}

export function closeFollowUps(scene: Scene, requestId: string, why: string): Scene {
  return scene.file.followUps
    .filter((followUp) => followUp.requestId === requestId && followUp.state === 'waiting')
    .reduce(
      (next, followUp) =>
        withFollowUp(next, { ...followUp, state: 'closed', log: [...followUp.log, { at: scene.now, what: why }] }),
      scene,
    );
}
