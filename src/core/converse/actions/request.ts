import type { FollowUpEvent } from '../../model/follow-up-log.ts';
import { FOLLOW_UP_KINDS, type BookingRequest, type FollowUp } from '../../model/owner.ts';
import { staffActionData, type TappedAction } from '../../model/staff-data.ts';
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
  type CalendarWord,
  type Scene,
} from '../scene.ts';
import { instantWords, slotWords, truckName } from '../words.ts';
import { requestSheet } from './request-sheet.ts';
import { slotChosen } from '../slot-chosen.ts';
import { sendWords, servicesFor } from './times.ts';

/** Sending, moving and cancelling a booking request. */
export const request: Record<string, Action> = {
  sendRequest(scene) {
    const vehicle = vehicleOf(scene);
    if (!vehicle) return scene;
    const [number, next] = newId(scene);
    const services = servicesFor(scene);
    const { chosen, matter, wantedTime } = scene.file.conversation;
    const { owner, conversation } = scene.file;
    const agreed =
      (scene.heard.question ?? conversation.question)?.about === 'send' && services.length > 0
        ? { at: scene.now, who: owner.name ?? staffText(scene, 'the-owner'), wording: sendWords(scene) }
        : undefined;
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
      ...(agreed && { agreed }),
    };
    const kept = awaitAnswer(withRequest(closeQuestion(next, text(scene, 'option-send')), sent), sent);
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
    const before = closeFollowUps(
      withRequest(closeQuestion(scene, slotWords(slot, language(scene))), moved),
      open.id,
      'request-moved',
    );
    const kept = awaitAnswer(withTalk(before, { requestId: undefined, offered: [], chosen: null }), moved);
    const told = reply(
      kept,
      text(scene, 'move-sent', { time: slotWords(slot, language(scene)), answerBy: byWhen(scene, moved.answerBy) }),
      // What stood in the owner's calendar stands no more until the shop agrees.
      changed.calendar === 'cancelled'
        ? { attachment: calendar(scene, { ...moved, slot: open.slot }, 'cancelled') }
        : {},
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
      'request-cancelled',
    );
    const told = reply(withTalk(kept, { requestId: undefined }), text(scene, 'cancelled'), {
      ...(changed.calendar === 'cancelled' && { attachment: calendar(scene, cancelled, 'cancelled') }),
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

export const calendar = (scene: Scene, of: BookingRequest, change: CalendarWord) => ({
  name: 'appointment.ics',
  mediaType: 'text/calendar',
  content: scene.tools.calendarFile(of, change, scene.now, language(scene)),
});

/** By when the shop is to answer stands in the diary of what is owed: after it, staff are reminded. */
function awaitAnswer(scene: Scene, asked: BookingRequest): Scene {
  const [id, next] = newId(scene);
  return withFollowUp(next, {
    id: `f-${id}`,
    kind: 'request-unanswered',
    vehicleId: asked.vehicleId,
    requestId: asked.id,
    dueAt: asked.answerBy,
    state: 'waiting',
    services: asked.services,
    attempts: 0,
    log: [{ at: scene.now, what: 'request-sent' }],
  });
}

/** The staff's own buttons under a request, as its state wants them, each with the revision it was shown for. */
export function staffButtons(scene: Scene, of: BookingRequest): Button[] {
  const head = { requestId: of.id, revision: of.revision };
  const button = (label: string, action: TappedAction): Button => ({
    label: staffText(scene, label),
    data: staffActionData(action),
  });
  const another = button('staff-other-time', { do: 'list-times', ...head });
  const call = button('staff-call', { do: 'call', ...head });
  switch (of.state) {
    case 'requested':
      return [
        ...(of.slot ? [button('staff-accept', { do: 'accept', ...head })] : []),
        another,
        button('staff-decline', { do: 'decline', because: 'full', ...head }),
        button('staff-decline-work', { do: 'decline', because: 'not-ours', ...head }),
        call,
      ];
    case 'other-time':
      return [another, call];
    case 'accepted':
      return [
        button('staff-arrive', { do: 'arrive', ...head }),
        button('staff-missed', { do: 'no-show', ...head }),
        another,
      ];
    case 'no-show':
      return [button('staff-arrive', { do: 'arrive', ...head }), call];
    case 'arrived':
      return [button('staff-start', { do: 'start-work', ...head })];
    case 'in-work':
    case 'awaiting-approval':
    case 'declined':
    case 'cancelled':
    case 'closed':
      return [];
    default:
      return of.state satisfies never;
  }
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

export function closeFollowUps(
  scene: Scene,
  requestId: string,
  why: FollowUpEvent,
  kinds: readonly FollowUp['kind'][] = FOLLOW_UP_KINDS,
): Scene {
  return scene.file.followUps
    .filter(
      (followUp) => followUp.requestId === requestId && followUp.state === 'waiting' && kinds.includes(followUp.kind),
    )
    .reduce(
      (next, followUp) =>
        withFollowUp(next, { ...followUp, state: 'closed', log: [...followUp.log, { at: scene.now, what: why }] }),
      scene,
    );
}
