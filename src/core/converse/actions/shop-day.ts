import type { BookingRequest, FollowUp } from '../../model/owner.ts';
import { newId, reply, staffText, text, withFollowUp, withTalk, type Action, type Scene } from '../scene.ts';
import { slotWords, truckName } from '../words.ts';
import { calendar, closeFollowUps, slotOr, staffTruck, toStaff, truck } from './request.ts';
import { aboutParts, remindBefore, requestInHand, tellStaff } from './shop.ts';

/** What happens to a job on its day: the truck comes, the work takes longer, somebody walks in. */
export const shopDay: Record<string, Action> = {
  noteProgress(scene) {
    const at = requestInHand(scene);
    if (!at) return scene;
    const id = at.state === 'arrived' && !at.slot ? 'staff-arrived-no-bay' : `staff-${at.state}`;
    const noted = tellStaff(closeFollowUps(scene, at.id, 'request-went-on'), at, id);
    const values = { truck: truckName(scene, truck(scene, at)), phone: scene.tools.shop.phone };
    switch (at.state) {
      case 'arrived':
        return reply(noted, text(scene, at.arrival ? 'arrived-with-facts' : 'arrived', arrivalValues(scene, at)));
      case 'in-work':
        return reply(noted, text(scene, 'in-work', values));
      case 'no-show':
        return reply(noted, text(scene, 'missed-you', values));
      default:
        return noted;
    }
  },

  /** What was taken down at arrival is read back to the owner once, so that both sides hold the same. */
  sayArrivalNoted(scene) {
    const at = requestInHand(scene);
    if (!at?.arrival) return scene;
    return tellStaff(reply(scene, text(scene, 'arrival-noted', arrivalValues(scene, at))), at, 'staff-arrival-noted');
  },

  sayLengthened(scene) {
    const longer = requestInHand(scene);
    if (!longer?.slot) return scene;
    const values = {
      truck: truckName(scene, truck(scene, longer)),
      until: slotWords({ start: longer.slot.end }, scene.file.owner.language),
      phone: scene.tools.shop.phone,
    };
    const told = reply(scene, text(scene, 'lengthened', values), {
      ...(scene.heard.calendar && { attachment: calendar(scene, longer, 'moved') }),
    });
    const by = scene.event.kind === 'staff' ? scene.event.by.name : '';
    const note = staffText(scene, 'staff-lengthened', {
      truck: staffTruck(scene, longer),
      until: slotWords({ start: longer.slot.end }, 'en'),
      by,
    });
    return reply(told, note, { to: 'staff', requestId: longer.id });
  },

  /** Entered by the shop itself: nobody has to accept it, and there may be no chat to write to. */
  sayEntered(scene) {
    const entered = requestInHand(scene);
    if (!entered) return scene;
    const values = {
      truck: truckName(scene, truck(scene, entered)),
      time: slotOr(scene, entered),
      address: scene.tools.shop.address,
    };
    const done = withTalk(scene, { requestId: undefined });
    if (entered.state !== 'accepted') return tellStaff(done, entered, 'staff-entered');
    const told = reply(done, text(scene, 'accepted', values), { attachment: calendar(scene, entered, 'created') });
    return aboutParts(tellStaff(remindBefore(told, entered), entered, 'staff-entered'), entered);
  },

  /** The owner has not answered the other time that the shop offered: a person asks. */
  escalateOffer(scene) {
    const due = scene.event.kind === 'time' ? dueOf(scene, scene.event.followUpId) : undefined;
    if (!due) return scene;
    const request = scene.file.requests.find(({ id }) => id === due.requestId);
    const log: FollowUp['log'] = [...due.log, { at: scene.now, what: 'staff-told' }];
    const closed = withFollowUp(scene, { ...due, state: 'closed', attempts: due.attempts + 1, log });
    if (request?.state !== 'other-time') return closed;
    const note = staffText(scene, 'staff-offer-unanswered', {
      truck: staffTruck(scene, request),
      time: slotOr(scene, request, true),
      phone: scene.file.owner.phone ?? staffText(scene, 'no-phone'),
    });
    return toStaff(closed, request, note);
  },
};

const dueOf = (scene: Scene, id: string): FollowUp | undefined =>
  scene.file.followUps.find((followUp) => followUp.id === id);

/** The offered time stays taken for the owner; after a day without an answer staff hear of it. */
const OFFER_HOURS = 24;

export function awaitTaking(scene: Scene, offered: BookingRequest): Scene {
  const [id, next] = newId(scene);
  return withFollowUp(next, {
    id: `f-${id}`,
    kind: 'offer-unanswered',
    vehicleId: offered.vehicleId,
    requestId: offered.id,
    dueAt: new Date(Date.parse(scene.now) + OFFER_HOURS * 3_600_000).toISOString(),
    state: 'waiting',
    services: offered.services,
    attempts: 0,
    log: [{ at: scene.now, what: 'other-time-offered' }],
  });
}

/** The lines of what was taken down at arrival, without those that were not. */
function arrivalValues(scene: Scene, { arrival }: BookingRequest): Record<string, string> {
  const lines: string[] = [];
  const add = (id: string, values: Record<string, string | number>) => void lines.push(text(scene, id, values));
  if (arrival?.odometerMiles !== undefined) add('arrival-miles', { miles: arrival.odometerMiles });
  if (arrival?.damage !== undefined)
    add(arrival.damage === '' ? 'arrival-no-damage' : 'arrival-damage', { what: arrival.damage });
  if (arrival?.keys) add('arrival-keys', { where: arrival.keys });
  if (arrival?.diagnosisLimit) {
    const { dollars, signedBy } = arrival.diagnosisLimit;
    add('arrival-limit', { dollars, name: signedBy });
  }
  if (arrival?.oldPartsWanted !== undefined) {
    add(arrival.oldPartsWanted ? 'arrival-parts-kept' : 'arrival-parts-gone', {});
  }
  return { facts: lines.join('\n') };
}
