import type { FactKey, Facts } from '../model/facts.ts';
import type { Symptom } from '../model/ids.ts';
import type { Question } from '../model/owner.ts';
import { awaitsMiles } from './meaning.ts';
import { settleHint } from './record-said.ts';
import { markUnknowable, record, recordsFrom, settleDoubt } from './record.ts';
import { closeQuestion, text, withTalk, type Scene } from './scene.ts';
import type { Listened } from './signals.ts';
import { dangersToWarn } from './situation.ts';

const OPTION_SIGNALS: Record<string, string> = {
  yes: 'YES',
  no: 'NO',
  call: 'CALL',
  person: 'PERSON',
  rest: 'REST',
  more: 'MORE',
  other: 'OTHER_DAY',
  later: 'LATER',
  sold: 'SOLD',
  stop: 'STOP',
  roughly: 'ROUGHLY',
  skip: 'SKIP',
  none: 'NONE_OF_THESE',
  'dont-know': 'DOES_NOT_KNOW',
  price: 'PRICE',
};

/** A tap on a button; one of an earlier question is late. */
export function button(scene: Scene, data: string): Listened {
  const [kind, id, option] = data.split(':');
  const { question } = scene.file.conversation;
  if (kind !== 'q' || !id || !option) return { scene, signals: ['UNREADABLE'] };
  if (question?.id !== id) return { scene: { ...scene, heard: { option: id } }, signals: ['LATE_PRESS'] };
  const chosen = question.options.find((other) => other.id === option);
  return chosen ? choose(scene, question, option, chosen.label) : { scene, signals: ['LATE_PRESS'] };
}

/** An option was chosen, by a tap or by its label. */
export function choose(scene: Scene, question: Question, option: string, label: string): Listened {
  const heard = closeQuestion({ ...scene, heard: { text: label, option, question } }, label);
  const { about } = question;
  const calm = withTalk(heard, { notUnderstood: 0 });
  const asked = calm.tools.questions.byName.get(about);
  if (asked) {
    if (option === 'dont-know') return { scene: markUnknowable(calm, asked.facts), signals: ['DOES_NOT_KNOW'] };
    const sets: Partial<Facts> = asked.options.find(({ id }) => id === option)?.sets ?? {};
    const told = record(calm, recordsFrom(calm, sets, label));
    return { scene: told, signals: [dangersToWarn(told).length > 0 ? 'DANGER' : 'TOLD'] };
  }
  if (about.startsWith('doubt:')) return chooseDoubt(calm, about.slice(6) as FactKey, option);
  if (about.startsWith('hint:')) {
    const answer = option === 'yes' || option === 'no' ? option : 'unclear';
    const told = settleHint(calm, about.slice(5) as Symptom, answer);
    return { scene: told, signals: [dangersToWarn(told).length > 0 ? 'DANGER' : 'CONTINUE'] };
  }
  if (about === 'guess' && option.startsWith('g-')) {
    const told = record(calm, recordsFrom(calm, { symptoms: [option.slice(2) as Symptom] }, label));
    return { scene: told, signals: [dangersToWarn(told).length > 0 ? 'DANGER' : 'TOLD'] };
  }
  if (about === 'truck') return chooseTruck(calm, option);
  if (about === 'fleet' && option.startsWith('t-')) return chooseOfFleet(calm, option.slice(2));
  if (about === 'approval' && /^i\d+$/.test(option)) return { scene: calm, signals: ['ITEMS'] };
  if (about === 'time' && option.startsWith('s')) return { scene: calm, signals: ['SLOT'] };
  return { scene: calm, signals: [OPTION_SIGNALS[option] ?? 'NOT_UNDERSTOOD'] };
}

/** Of a fleet's message one truck is taken up: the talk, and what was sent about it, is in hand. */
function chooseOfFleet(scene: Scene, vehicleId: string): Listened {
  const sent = scene.file.followUps.findLast((one) => one.vehicleId === vehicleId && one.state === 'sent');
  return { scene: withTalk(scene, { vehicleId, followUpId: sent?.id }), signals: ['BOOK'] };
}

function chooseDoubt(scene: Scene, key: FactKey, option: string): Listened {
  const awaited = key === 'odometerMiles' && awaitsMiles(scene);
  const signal = awaited ? (option === 'no' ? 'NO' : 'MILES') : 'CONTINUE';
  if (option === 'dont-know') {
    const dropped = settleDoubt(scene, key, false);
    return awaited
      ? { scene: dropped, signals: ['DOES_NOT_KNOW'] }
      : { scene: markUnknowable(dropped, [key]), signals: ['CONTINUE'] };
  }
  if (option.startsWith('v-')) {
    const value = Number(option.slice(2));
    const dropped = settleDoubt(scene, key, false);
    return {
      scene: record(dropped, recordsFrom(scene, { [key]: value }, text(scene, 'words-tapped'))),
      signals: [signal],
    };
  }
  return { scene: settleDoubt(scene, key, option === 'yes'), signals: [signal] };
}

/** The talk is about that truck now, and what was said before it was named belongs to it. */
export function chooseTruck(scene: Scene, option: string): Listened {
  const { pending } = scene.file.conversation;
  if (option === 'new') {
    return { scene: withTalk(scene, { vehicleId: null }), signals: ['NEW_TRUCK'] };
  }
  const chosen = withTalk(scene, { vehicleId: option, pending: [] });
  return { scene: record(chosen, pending), signals: ['TRUCK_CHOSEN'] };
}
