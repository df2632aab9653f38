import type { FollowUpEvent } from '../../model/follow-up-log.ts';
import type { FollowUp, Vehicle } from '../../model/owner.ts';
import {
  closeQuestion,
  language,
  newId,
  reply,
  text,
  vehicleOf,
  withFollowUp,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { followUpInHand } from '../situation.ts';
import { dayWords } from '../words.ts';
import { closeFollowUp, inDays, logged } from './follow-up.ts';

export const LATER_DAYS = 14;
const PUT_OFF_AT_MOST_DAYS = 30;

/** An offer that is put off comes again when the truck is as likely due as not, after two weeks to a month. */
function putOffDays(scene: Scene, vehicle: Vehicle | undefined): number {
  const due = vehicle && scene.tools.outlook(vehicle, scene.today)?.dueDate.p50;
  if (!due) return PUT_OFF_AT_MOST_DAYS;
  const days = (Date.parse(due) - Date.parse(scene.today)) / 86_400_000;
  return Math.min(PUT_OFF_AT_MOST_DAYS, Math.max(LATER_DAYS, days));
}

const postponed = (scene: Scene, due: FollowUp, days: number, what: FollowUpEvent): FollowUp =>
  logged(scene, { ...due, state: 'waiting', dueAt: inDays(scene, days) }, what);

/** What an owner may put off: the odometer question for two weeks, an offer until the truck is likely due. */
export const putOff: Record<string, Action> = {
  sayLater(scene) {
    const due = followUpInHand(scene);
    const kept = closeQuestion(scene, text(scene, 'option-later'));
    const later = due ? withFollowUp(kept, postponed(scene, due, LATER_DAYS, 'answered-later')) : kept;
    return reply(withTalk(later, { followUpId: undefined }), text(scene, 'later-fine'));
  },

  putOffService(scene) {
    const kept = closeFollowUp(closeQuestion(scene, text(scene, 'option-later')), { what: 'answered-put-off' });
    const vehicle = vehicleOf(kept);
    const again = inDays(scene, putOffDays(scene, vehicle));
    const [id, named] = newId(kept);
    const offer: FollowUp = {
      id: `f-${id}`,
      kind: 'put-off',
      vehicleId: vehicle?.id,
      dueAt: again,
      state: 'waiting',
      services: scene.file.conversation.services,
      attempts: 0,
      log: [{ at: scene.now, what: 'put-off' }],
    };
    const later = vehicle ? withFollowUp(named, offer) : named;
    const when = dayWords(again.slice(0, 10), language(scene));
    const { phone } = scene.tools.shop;
    const said = scene.file.owner.consent
      ? text(scene, 'service-put-off', { when, phone })
      : text(scene, 'not-now', { phone });
    return reply(withTalk(later, { services: [], matter: null }), said);
  },
};
