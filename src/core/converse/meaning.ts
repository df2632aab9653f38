import type { Intent } from '../model/ids.ts';
import type { Question } from '../model/owner.ts';
import type { ReadResult } from '../model/reading.ts';
import { stateOf } from './chart.ts';
import { nameIn } from './name.ts';
import { FREE_TEXT, ODOMETER_QUESTIONS, TIME_QUESTIONS } from './questions.ts';
import { noComplaint } from './record-said.ts';
import { vehicleOf, type Scene } from './scene.ts';
import { followUpInHand, waitingForVin } from './situation.ts';

const INTENT_SIGNALS: Partial<Record<Intent, string>> = {
  'opt-in': 'START',
  person: 'PERSON',
  help: 'HELP',
  tamper: 'TAMPER',
  cancel: 'CANCEL',
  reschedule: 'RESCHEDULE',
};

/** What a text means at this point of the talk, when what it says has been kept: the signal for the chart. */
export function signalOf(scene: Scene, read: ReadResult, question: Question | null, said: string): string {
  const about = question?.about ?? '';
  const { facts } = read;
  const strong = facts.intent && INTENT_SIGNALS[facts.intent];
  if (strong && !(facts.intent === 'help' && FREE_TEXT.has(about))) return strong;
  if ((about === 'phone' || about === 'callback') && scene.tools.phone(said)) return 'PHONE';
  if (about === 'phone' && (facts.answer === 'no' || read.doesNotKnow)) return 'NO';
  if (about === 'name') {
    if (nameIn(said, scene.tools.questions.nameLeads) === undefined) return 'NOT_UNDERSTOOD';
    return scene.tools.phone(said) ? 'PHONE' : 'TEXT';
  }
  if (FREE_TEXT.has(about)) return read.doesNotKnow && about === 'tow-details' ? 'DOES_NOT_KNOW' : 'TEXT';
  // Whoever complains beside the number asked for wants that looked into: the complaint goes before what is due.
  if (ODOMETER_QUESTIONS.has(about) && isComplaint(read)) return 'TOLD';
  if (facts.odometerMiles !== undefined && (ODOMETER_QUESTIONS.has(about) || isBareMileage(scene, read))) {
    return awaitsMiles(scene) || isBareMileage(scene, read) ? 'MILES' : 'TOLD';
  }
  if (facts.wantedTime && TIME_QUESTIONS.has(about)) {
    return slotMeant(scene) ? 'SLOT' : 'WANTED_TIME';
  }
  if (facts.intent === 'book') return 'BOOK';
  if (facts.intent === 'price') return 'PRICE';
  if (about.startsWith('doubt:') || about.startsWith('hint:')) {
    if (facts.answer || Object.keys(facts).length > 0) {
      if (about !== 'doubt:odometerMiles' || !awaitsMiles(scene)) return 'CONTINUE';
      return facts.answer === 'no' ? 'NO' : 'MILES';
    }
  }
  if (about === 'truck') return truckByWords(scene, said) ? 'TRUCK_CHOSEN' : hasFacts(read) ? 'TOLD' : 'NOT_UNDERSTOOD';
  if (isWantedVin(scene, read)) return 'VIN_GIVEN';
  if (hasFacts(read) || noComplaint(scene, read, question).length > 0) return 'TOLD';
  if (read.doesNotKnow && read.doesNotKnow.length > 0) return 'DOES_NOT_KNOW';
  if (facts.answer === 'yes') return 'YES';
  if (facts.answer === 'no') return 'NO';
  if ((read.ask ?? []).length > 0) return 'TOLD';
  if (facts.intent === 'service') return 'TOLD';
  if (question && scene.tools.questions.byName.has(about) && facts.answer === 'unclear') return 'DOES_NOT_KNOW';
  if (facts.answer === 'unclear' && stateOf(scene.file.conversation.position ?? nowhere) === 'choosingTime')
    return 'UNCLEAR';
  return 'NOT_UNDERSTOOD';
}

/** An odometer value is waited for, whether the clock, a label or the owner brought the question up. */
export function awaitsMiles(scene: Scene): boolean {
  const state = stateOf(scene.file.conversation.position ?? nowhere);
  return followUpInHand(scene) !== undefined || state === 'odometer' || state === 'readingFirst';
}

const nowhere = { flow: '', version: 0, snapshot: { value: '' } };

const hasFacts = (read: ReadResult): boolean =>
  Object.keys(read.facts).some((key) => !['intent', 'unsure', 'answer', 'wantedTime'].includes(key));

/** A fact of the truck, a complaint, or a day that would suit was said. */
export const saysMore = (read: ReadResult): boolean =>
  hasFacts(read) || isComplaint(read) || read.facts.wantedTime !== undefined;

/** Something that is wrong with the truck was said, or hinted at. */
export const isComplaint = ({ facts, ask = [] }: ReadResult): boolean =>
  (facts.symptoms ?? []).length > 0 || (facts.troubleCodes ?? []).length > 0 || ask.length > 0;

/** Nothing but the VIN, while parts of a booked job wait for it. */
function isWantedVin(scene: Scene, { facts }: ReadResult): boolean {
  const said = Object.keys(facts).filter((key) => !['intent', 'answer', 'modelYear'].includes(key));
  return said.length === 1 && facts.vin !== undefined && waitingForVin(scene) !== undefined;
}

/** A mileage out of the blue, with no complaint beside it, from an owner whose truck we know. */
function isBareMileage(scene: Scene, read: ReadResult): boolean {
  const { conversation } = scene.file;
  const others = Object.keys(read.facts).filter((key) => !['odometerMiles', 'unsure', 'intent'].includes(key));
  const known = vehicleOf(scene)?.records.length ?? 0;
  return others.length === 0 && read.facts.odometerMiles !== undefined && conversation.matter === null && known > 0;
}

/** The one offered time that the wanted day (and half of it) leaves. */
function slotMeant(scene: Scene): boolean {
  const { offered, wantedTime } = scene.file.conversation;
  if (!wantedTime || !('date' in wantedTime)) return false;
  const fitting = offered.filter(({ start }) => {
    const half = Number(start.slice(11, 13)) < 12 ? 'morning' : 'afternoon';
    return start.startsWith(wantedTime.date) && (wantedTime.part === 'any' || wantedTime.part === half);
  });
  return fitting.length === 1;
}

/** A truck named in words: "the 2017", "the 6.7". */
export function truckByWords(scene: Scene, said: string): string | undefined {
  const numbers = new Set(said.match(/\d+(?:\.\d)?/g) ?? []);
  const fitting = scene.file.vehicles.filter(
    ({ facts, state }) =>
      state === 'active' &&
      facts.some(({ key, value }) => ['modelYear', 'engineLitres'].includes(key) && numbers.has(String(value))),
  );
  return fitting.length === 1 ? fitting[0]?.id : undefined;
}
