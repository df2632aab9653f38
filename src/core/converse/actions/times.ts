import type { ServiceId } from '../../model/ids.ts';
import { factsForAdvice } from '../situation.ts';
import { slotChosen } from '../slot-chosen.ts';
import {
  ask,
  closeQuestion,
  language,
  options,
  reply,
  staffText,
  text,
  vehicleOf,
  withOwner,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { nameIn } from '../name.ts';
import { slotWords, truckName } from '../words.ts';
import { adviceFor, estimateLine, servicesOf } from './advice.ts';

/** Offering times, and the two things the shop must know to book: a name and a number. */
export const times: Record<string, Action> = {
  offerTimes: (scene) => offer(withTalk(scene, { offersPassed: 0 })),

  offerMoreTimes: (scene) => offer(withTalk(scene, { offersPassed: scene.file.conversation.offersPassed + 3 })),

  askWantedTime: (scene) =>
    ask(scene, 'time', text(scene, 'ask-wanted-time'), options(scene, ['no', 'option-not-now'])),

  keepSlot: (scene) => withTalk(closeQuestion(scene, scene.heard.text ?? ''), { chosen: slotChosen(scene) }),

  saySlotTaken: (scene) => withTalk(reply(scene, text(scene, 'slot-taken')), { chosen: null }),

  chooseEarliest(scene) {
    const services = servicesFor(scene);
    const answer = timesFor(scene, services, 0);
    if ('need' in answer) return { ...scene, need: answer };
    return withTalk(scene, { chosen: answer.slots[0] ?? null, offered: answer.slots, services });
  },

  askName: (scene) => ask(scene, 'name', text(scene, 'ask-name'), []),

  keepName(scene) {
    const said = scene.heard.text ?? '';
    const name = nameIn(said, scene.tools.questions.nameLeads);
    if (name === undefined) return scene;
    const phone = scene.tools.phone(said);
    return closeQuestion(withOwner(scene, { name, ...(phone && { phone }) }), name);
  },

  askPhone: (scene) =>
    ask(scene, 'phone', text(scene, 'ask-phone'), options(scene, ['no', 'option-answer-here']), { askContact: true }),

  /** No number is given: the shop answers in the chat. */
  skipPhone: (scene) => closeQuestion(scene, text(scene, 'option-answer-here')),

  askCallback: (scene) =>
    ask(scene, 'callback', text(scene, 'ask-callback'), options(scene, ['no', 'option-no-call']), { askContact: true }),

  /** The number that a person at the shop was to be given. */
  passNumberOn(scene) {
    const phone = scene.file.owner.phone ?? '';
    const note = staffText(scene, 'staff-number', {
      name: scene.file.owner.name ?? staffText(scene, 'no-name'),
      phone,
    });
    return reply(reply(scene, text(scene, 'number-passed-on')), note, { to: 'staff' });
  },

  keepPhone(scene) {
    const phone = scene.tools.phone(scene.heard.text ?? '');
    return phone ? closeQuestion(withOwner(scene, { phone }), text(scene, 'words-number')) : scene;
  },

  keepContact: (scene) => closeQuestion(scene, text(scene, 'words-number')),

  sayPhoneUnclear: (scene) => reply(scene, text(scene, 'phone-unclear')),

  askSend(scene) {
    const { name = '', phone = text(scene, 'no-phone') } = scene.file.owner;
    return ask(
      scene,
      'send',
      text(scene, 'ask-send', { words: sendWords(scene), name, phone }),
      options(scene, ['yes', 'option-send'], ['no', 'option-other-time']),
    );
  },
};

/** What is asked of the shop, with the estimate that sending it authorises; no contact stands in it. */
export function sendWords(scene: Scene): string {
  const { chosen } = scene.file.conversation;
  const services = servicesFor(scene);
  return text(scene, services.length > 0 ? 'send-words' : 'send-words-unpriced', {
    truck: truckName(scene, vehicleOf(scene)),
    services: services.map((id) => scene.tools.serviceName(id, language(scene))).join(', '),
    time: chosen ? slotWords(chosen, language(scene)) : text(scene, 'time-open'),
    estimate: services.length > 0 ? estimateLine(scene, services) : '',
  });
}

/** What the times are for: what was chosen in this matter, else what is advised now. */
export function servicesFor(scene: Scene): ServiceId[] {
  const { services } = scene.file.conversation;
  return services.length > 0 ? services : servicesOf(adviceFor(scene));
}

function timesFor(scene: Scene, services: ServiceId[], skip: number) {
  const { wantedTime, requestId } = scene.file.conversation;
  const facts = factsForAdvice(vehicleOf(scene), scene.today);
  return scene.tools.slots({
    services,
    facts,
    skip,
    at: scene.now,
    ...(wantedTime && { wantedTime }),
    ...(requestId && { leaveOut: requestId }),
  });
}

function offer(scene: Scene): Scene {
  const services = servicesFor(scene);
  const answer = timesFor(scene, services, scene.file.conversation.offersPassed);
  if ('need' in answer) return { ...scene, need: answer };
  const kept = withTalk(scene, { offered: answer.slots, services, chosen: null });
  if (answer.slots.length === 0) {
    const said = text(kept, 'no-times', { because: answer.earliestBecause, phone: kept.tools.shop.phone });
    return ask(
      kept,
      'time',
      said,
      options(kept, ['other', 'option-other-day'], ['person', 'option-person'], ['no', 'option-not-now']),
    );
  }
  const missed = kept.file.conversation.wantedTime !== undefined && answer.wantedMet === false;
  const body = [
    missed ? text(kept, 'wanted-not-free') : text(kept, 'offer-times'),
    answer.wantedMet === true ? '' : answer.earliestBecause,
  ];
  const slots = answer.slots.map((slot, index) => ({ id: `s${index}`, label: slotWords(slot, language(kept)) }));
  const more = options(kept, ['more', 'option-more-times'], ['other', 'option-other-day'], ['no', 'option-not-now']);
  return ask(kept, 'time', body.filter((line) => line !== '').join('\n'), [...slots, ...more]);
}
