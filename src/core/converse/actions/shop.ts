import { DateTime } from 'luxon';
import { FOLLOW_UP_KINDS, type BookingRequest, type FollowUp, type ServiceRecord } from '../../model/owner.ts';
import { staffActionData } from '../../model/staff-data.ts';
import { factsForAdvice, waitingForVin } from '../situation.ts';
import {
  ask,
  closeQuestion,
  newId,
  options,
  reply,
  staffText,
  text,
  truckFor,
  withFollowUp,
  withRequest,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { sendServiceRecord } from '../service-record.ts';
import { slotWords, truckName } from '../words.ts';
import { awaitPhoneCall } from './metal.ts';
import { calendar, closeFollowUps, slotOr, staffButtons, staffTruck, toStaff, truck } from './request.ts';
import { awaitTaking } from './shop-day.ts';

/** What the shop decides reaches the owner once, in words; and the other way round. */
export const shop: Record<string, Action> = {
  sayAccepted(scene) {
    const accepted = requestInHand(scene);
    if (!accepted) return scene;
    const kept = closeFollowUps(scene, accepted.id, 'request-accepted');
    const values = {
      truck: truckName(scene, truck(scene, accepted)),
      time: slotOr(scene, accepted),
      address: scene.tools.shop.address,
    };
    const told = reply(kept, text(scene, 'accepted', values), {
      ...(accepted.slot && { attachment: calendar(scene, accepted, 'created') }),
    });
    return aboutParts(tellStaff(remindBefore(told, accepted), accepted, 'staff-accepted'), accepted);
  },

  sayDeclined(scene) {
    const declined = requestInHand(scene);
    if (!declined) return scene;
    const kept = closeFollowUps(scene, declined.id, 'request-declined');
    const said = scene.heard.text ?? '';
    const reason = said === '' ? 'full' : said;
    const because = DECLINE_REASONS.includes(reason) ? text(scene, `because-${reason}`) : reason;
    const told = reply(kept, text(scene, 'declined', { because, phone: scene.tools.shop.phone }));
    return tellStaff(told, declined, 'staff-declined');
  },

  /** The free times, each a button that offers it to the owner. */
  listTimesForShop(scene) {
    const action = scene.event.kind === 'staff' ? scene.event.action : undefined;
    const asked =
      action && 'requestId' in action ? scene.file.requests.find(({ id }) => id === action.requestId) : undefined;
    if (!asked) return scene;
    const vehicle = truckFor(scene, asked.vehicleId);
    const answer = scene.tools.slots({
      services: asked.services,
      facts: factsForAdvice(vehicle, scene.today),
      at: scene.now,
      leaveOut: asked.id,
      ...(asked.wantedTime && { wantedTime: asked.wantedTime }),
    });
    if ('need' in answer) return { ...scene, need: answer };
    const others = answer.slots.filter(({ bay, start }) => bay !== asked.slot?.bay || start !== asked.slot.start);
    const buttons = others.map((slot) => ({
      label: slotWords(slot, 'en'),
      data: staffActionData({ do: 'offer-time', requestId: asked.id, revision: asked.revision, slot }),
    }));
    const body = staffText(scene, 'staff-times', { truck: staffTruck(scene, asked) });
    return reply(scene, body, { to: 'staff', requestId: asked.id, buttons });
  },

  askOtherTime(scene) {
    const offered = requestInHand(scene);
    if (!offered?.slot) return scene;
    const values = { truck: truckName(scene, truck(scene, offered)), time: slotOr(scene, offered) };
    const asked = ask(
      withTalk(scene, { requestId: offered.id, services: offered.services, vehicleId: offered.vehicleId }),
      'other-time',
      text(scene, 'ask-other-time', values),
      options(scene, ['yes', 'option-take-it'], ['no', 'option-other-day']),
    );
    const before = scene.heard.calendar?.before;
    const told = before
      ? reply(asked, text(scene, 'calendar-withdrawn'), {
          attachment: calendar(scene, { ...offered, slot: before.slot }, 'cancelled'),
        })
      : asked;
    const open = awaitTaking(closeFollowUps(told, offered.id, 'other-time-offered'), offered);
    return tellStaff(open, offered, 'staff-offered');
  },

  /** The shop offered it and the owner takes it: booked, with nothing left to accept. */
  takeOtherTime(scene) {
    const offered = scene.file.requests.find(({ id }) => id === scene.file.conversation.requestId);
    if (!offered) return scene;
    const changed = scene.tools.change(offered, { do: 'take-time' }, 'owner', scene.now);
    if (!changed.ok) return reply(scene, text(scene, 'no-appointment'));
    const booked = changed.request;
    const closed = closeFollowUps(closeQuestion(scene, text(scene, 'option-take-it')), booked.id, 'other-time-taken');
    const kept = withTalk(withRequest(closed, booked), {
      requestId: undefined,
      matter: null,
      services: [],
    });
    const values = {
      truck: truckName(scene, truck(scene, booked)),
      time: slotOr(scene, booked),
      address: scene.tools.shop.address,
    };
    const told = reply(kept, text(scene, 'accepted', values), { attachment: calendar(scene, booked, 'created') });
    const note = staffText(scene, 'staff-owner-took', {
      truck: staffTruck(scene, booked),
      time: slotOr(scene, booked, true),
    });
    const buttons = staffButtons(scene, booked);
    return aboutParts(reply(remindBefore(told, booked), note, { to: 'staff', requestId: booked.id, buttons }), booked);
  },

  /** The offered time is given back; the owner chooses anew, and the shop is asked again. */
  refuseOtherTime: (scene) => closeQuestion(scene, text(scene, 'option-other-day')),

  sayMoved(scene) {
    const moved = requestInHand(scene);
    if (!moved) return scene;
    const values = {
      truck: truckName(scene, truck(scene, moved)),
      time: slotOr(scene, moved),
      phone: scene.tools.shop.phone,
    };
    const told = reply(scene, text(scene, 'moved-by-shop', values), {
      ...(scene.heard.calendar && { attachment: calendar(scene, moved, 'moved') }),
    });
    const stands = moved.state === 'accepted';
    const closed = closeFollowUps(told, moved.id, 'request-moved', stands ? FOLLOW_UP_KINDS : ['appointment-reminder']);
    return tellStaff(stands ? remindBefore(closed, moved) : closed, moved, 'staff-moved');
  },

  sayCancelledByShop(scene) {
    const cancelled = requestInHand(scene);
    if (!cancelled) return scene;
    const because = scene.heard.text ?? '';
    const told = reply(scene, text(scene, 'cancelled-by-shop', { because, phone: scene.tools.shop.phone }), {
      ...(scene.heard.calendar && { attachment: calendar(scene, cancelled, 'cancelled') }),
    });
    return tellStaff(closeFollowUps(told, cancelled.id, 'request-cancelled'), cancelled, 'staff-shop-cancelled');
  },

  sayShopCalls(scene) {
    const called = requestInHand(scene);
    if (!called) return scene;
    return tellStaff(
      reply(scene, text(scene, 'shop-calls', { phone: scene.tools.shop.phone })),
      called,
      'staff-calling',
    );
  },

  /** The service record goes to the owner, unless metal was found: then a person phones before the assistant writes. */
  sayClosed(scene) {
    const done = requestInHand(scene);
    const entry = truck(scene, done ?? ({ vehicleId: '' } as BookingRequest))?.records.at(-1);
    if (!done || !entry) return scene;
    const kept = closeFollowUps(scene, done.id, 'request-closed');
    const checked = leakCheckAfter(kept, done);
    if (entry.findings.some(({ finding }) => finding === 'metal') && !replaced(entry))
      return awaitPhoneCall(checked, done);
    const id = scene.file.owner.unreachableSince ? 'staff-closed-no-chat' : 'staff-closed';
    return tellStaff(sendServiceRecord(checked, done), done, id);
  },

  /** The parts of a booked job waited for the VIN: now they can be ordered. */
  sayVinKept(scene) {
    const booked = waitingForVin(scene);
    return booked ? aboutParts(reply(scene, text(scene, 'vin-kept')), booked) : scene;
  },

  sayFromShop: (scene) =>
    reply(scene, text(scene, 'from-shop', { shop: scene.tools.shop.name, words: scene.heard.text ?? '' })),

  /** Nobody answered the request in time: first the staff are told, then the owner, honestly. */
  escalate(scene) {
    const followUp =
      scene.event.kind === 'time'
        ? scene.file.followUps.find(({ id }) => scene.event.kind === 'time' && id === scene.event.followUpId)
        : undefined;
    const open = scene.file.requests.find(({ id }) => id === followUp?.requestId);
    if (!followUp || !open || open.state !== 'requested') {
      return followUp
        ? withFollowUp(scene, {
            ...followUp,
            state: 'closed',
            log: [...followUp.log, { at: scene.now, what: 'answered-in-time' }],
          })
        : scene;
    }
    const name = { truck: staffTruck(scene, open), time: slotOr(scene, open, true) };
    if (followUp.attempts === 0) {
      const again = new Date(Date.parse(scene.now) + 2 * 3_600_000).toISOString();
      const kept = withFollowUp(scene, {
        ...followUp,
        attempts: 1,
        dueAt: again,
        log: [...followUp.log, { at: scene.now, what: 'staff-reminded' }],
      });
      return toStaff(kept, open, staffText(scene, 'staff-unanswered', name));
    }
    const log: FollowUp['log'] = [...followUp.log, { at: scene.now, what: 'owner-told' }];
    const kept = withFollowUp(scene, { ...followUp, attempts: followUp.attempts + 1, state: 'closed', log });
    const told = reply(kept, text(scene, 'unanswered', { phone: scene.tools.shop.phone }));
    return toStaff(told, open, staffText(scene, 'staff-unanswered-told', name));
  },
};

/**
 * Parts that take days are ordered by the VIN, and not before it is certain: the shop hears to order or to wait, the
 * owner is asked for the VIN.
 */
export function aboutParts(scene: Scene, booked: BookingRequest): Scene {
  const days = scene.tools.partsLeadDays(booked.services);
  if (days === 0) return scene;
  const vin = truck(scene, booked)?.facts.find(({ key, sure }) => key === 'vin' && sure);
  const values = { truck: staffTruck(scene, booked), days };
  const more = { to: 'staff' as const, requestId: booked.id };
  if (vin) return reply(scene, staffText(scene, 'staff-parts-order', { ...values, vin: String(vin.value) }), more);
  return reply(reply(scene, staffText(scene, 'staff-parts-wait', values), more), text(scene, 'vin-wanted'));
}

/** Reasons that stand on a button; any other is the shop's own words. */
const DECLINE_REASONS = ['full', 'not-ours'];

/** The request that this event is about. */
export function requestInHand(scene: Scene): BookingRequest | undefined {
  const { event, file } = scene;
  const id =
    event.kind === 'staff' && 'requestId' in event.action ? event.action.requestId : file.conversation.requestId;
  return file.requests.find((other) => other.id === id);
}

/** What the owner has to hear from the shop. */
const NEWS = ['staff-accepted', 'staff-declined', 'staff-offered', 'staff-moved', 'staff-shop-cancelled'];

export function tellStaff(scene: Scene, of: BookingRequest, textId: string): Scene {
  const by = scene.event.kind === 'staff' ? scene.event.by.name : '';
  const phone = scene.file.owner.phone ?? staffText(scene, 'no-phone');
  const note = staffText(scene, textId, {
    truck: staffTruck(scene, of),
    time: slotOr(scene, of, true),
    by,
    phone,
  });
  // Who has no chat hears nothing of it unless a person says it.
  const unheard =
    scene.file.owner.unreachableSince && NEWS.includes(textId)
      ? `\n${staffText(scene, 'staff-no-chat', { phone })}`
      : '';
  return reply(scene, `${note}${unheard}`, { to: 'staff', requestId: of.id, buttons: staffButtons(scene, of) });
}

/** The day before at four in the afternoon, on the shop's clock; an hour before where that has passed. */
export function remindBefore(scene: Scene, booked: BookingRequest): Scene {
  if (!booked.slot) return scene;
  const start = DateTime.fromISO(booked.slot.start, { zone: scene.tools.shop.zone });
  const eve = start.minus({ days: 1 }).set({ hour: 16, minute: 0, second: 0, millisecond: 0 });
  const dueAt = eve.toUTC().toISO() ?? scene.now;
  if (dueAt <= scene.now) return scene;
  const [id, next] = newId(scene);
  const followUp: FollowUp = {
    id: `f-${id}`,
    kind: 'appointment-reminder',
    vehicleId: booked.vehicleId,
    requestId: booked.id,
    dueAt,
    state: 'waiting',
    services: booked.services,
    attempts: 0,
    log: [{ at: scene.now, what: 'appointment-made' }],
  };
  return withFollowUp(next, followUp);
}

/** Some days after work on the fuel system the owner is asked whether anything leaks or smells. */
function leakCheckAfter(scene: Scene, done: BookingRequest): Scene {
  const entry = truck(scene, done)?.records.at(-1);
  if (!entry?.services.some((service) => scene.tools.shop.followUp.leakCheckAfter.includes(service))) return scene;
  const [id, next] = newId(scene);
  const dueAt = new Date(
    Date.parse(scene.now) + scene.tools.shop.followUp.leakCheckAfterDays * 86_400_000,
  ).toISOString();
  return withFollowUp(next, {
    id: `f-${id}`,
    kind: 'leak-check',
    vehicleId: done.vehicleId,
    dueAt,
    state: 'waiting',
    services: ['leak-recheck'],
    attempts: 0,
    log: [{ at: scene.now, what: 'work-closed' }],
  });
}

const replaced = ({ services }: ServiceRecord): boolean => services.includes('fuel-system-replacement');
