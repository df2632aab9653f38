import type { FactKey, Facts } from '../model/facts.ts';
import type { Intent, Symptom } from '../model/ids.ts';
import type { Question } from '../model/owner.ts';
import type { ReadResult } from '../model/reading.ts';
import { stateOf } from './chart.ts';
import { bare, type Commands } from './commands.ts';
import { atNamedUnit, listenToFleet } from './fleet.ts';
import { nameIn } from './name.ts';
import { isDanger, markUnknowable, record, recordsFrom, recordsOf, settleDoubt, withdraw } from './record.ts';
import { closeQuestion, symptomsOf, text, vehicleOf, withOwner, withTalk, type Scene } from './scene.ts';
import { dangersToWarn, followUpInHand, waitingForVin } from './situation.ts';

/** What the chart is told, after everything that was said has been recorded. */
export interface Listened {
  scene: Scene;
  signals: string[];
}

export const SIGNALS = [
  'DANGER',
  'STOP',
  'START',
  'HELP',
  'PERSON',
  'TAMPER',
  'PRICE',
  'START_OVER',
  'NEW_TRUCK',
  'MY_TRUCKS',
  'MY_APPOINTMENT',
  'MY_DATA',
  'STATUS',
  'LINK',
  'LANGUAGE',
  'FORGET',
  'CANCEL',
  'RESCHEDULE',
  'THANKS',
  'OPENED',
  'GREETED',
  'SCANNED',
  'LATE_PRESS',
  'UNREADABLE',
  'PHOTO',
  'NOT_UNDERSTOOD',
  'NONE_OF_THESE',
  'EDITED',
  'TOLD',
  'DOES_NOT_KNOW',
  'BOOK',
  'MILES',
  'SOLD',
  'SHOP_ACCEPTED',
  'SHOP_DECLINED',
  'SHOP_OFFERED',
  'SHOP_LISTED',
  'SHOP_MOVED',
  'SHOP_CANCELLED',
  'SHOP_PROGRESS',
  'SHOP_CALLS',
  'SHOP_CLOSED',
  'SHOP_SAYS',
  'SHOP_LENGTHENED',
  'SHOP_NOTED',
  'SHOP_ASKS_APPROVAL',
  'SHOP_RECORDED_APPROVAL',
  'SHOP_PHONED',
  'SHOP_ENTERED',
  'TIME_OFFER',
  'TIME_APPROVAL',
  'TIME_HOLD',
  'TIME_METAL',
  'ITEMS',
  'VIN_GIVEN',
  'FLEET_MILES',
  'TIME_UNANSWERED',
  'TIME_ODOMETER',
  'TIME_SERVICE',
  'TIME_APPOINTMENT',
  'TIME_LEAK',
  'TIME_PUT_OFF',
  'UNREACHABLE',
  'YES',
  'NO',
  'UNCLEAR',
  'CONTINUE',
  'TRUCK_CHOSEN',
  'CALL',
  'TEXT',
  'WANTED_TIME',
  'REST',
  'LATER',
  'SLOT',
  'MORE',
  'OTHER_DAY',
  'CONTACT',
  'PHONE',
  'ROUGHLY',
  'SKIP',
] as const;

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

const INTENT_SIGNALS: Partial<Record<Intent, string>> = {
  'opt-in': 'START',
  person: 'PERSON',
  help: 'HELP',
  tamper: 'TAMPER',
  cancel: 'CANCEL',
  reschedule: 'RESCHEDULE',
};

/** Questions whose answer is taken as it was typed. */
const FREE_TEXT = new Set(['name', 'phone', 'tow-details']);

/** "1 and 3", "only 2": some of the items that were found, by number. */
const ITEM_LIST =
  /^(?:(?:only|just|yes|to|number|items?|solo|sí|si|a)[\s,]+)*\d{1,2}(?:\s*(?:,|and|&|y|\+|\s)\s*\d{1,2})*\.?$/i;

/** Questions whose number is an odometer value. */
const ODOMETER_QUESTIONS = new Set(['odometer-check', 'odometer-first', 'doubt:odometerMiles']);

/** Hears one thing that an owner did on a channel. */
export function listen(scene: Scene, commands: Commands): Listened {
  const { event } = scene;
  switch (event.kind) {
    case 'message':
      return message(withLanguage(heardAt(scene), event.language), event.text, event.messageRef, commands);
    case 'edit': {
      const before = withdraw(heardAt(scene), event.messageRef);
      // It is read as what it was: an answer to nothing that was asked since.
      const { question } = before.file.conversation;
      const read = message(withTalk(before, { question: null }), event.text, event.messageRef, commands);
      const after = withTalk(read.scene, { question });
      return dangersToWarn(after).length > 0
        ? { scene: after, signals: ['DANGER'] }
        : { scene: after, signals: ['EDITED'] };
    }
    case 'button':
      return button(heardAt(scene), event.data);
    case 'contact':
      return contact(heardAt(scene), event.phone, event.name);
    case 'unreadable':
      return { scene: heardAt(scene), signals: ['UNREADABLE'] };
    case 'opened':
      return opened(heardAt(scene), event.payload);
    case 'unreachable':
      return { scene: withOwner(scene, { unreachableSince: scene.now }), signals: ['UNREACHABLE'] };
    case 'staff':
    case 'time':
      return { scene, signals: [] };
  }
}

/** Whoever writes can be reached again. */
function heardAt(scene: Scene): Scene {
  const { unreachableSince, ...owner } = scene.file.owner;
  const reachable = unreachableSince ? { ...scene, file: { ...scene.file, owner } } : scene;
  return withTalk(reachable, { lastHeardAt: scene.now });
}

function withLanguage(scene: Scene, offered: string | undefined): Scene {
  const { greeted } = scene.file.conversation;
  return !greeted && offered?.startsWith('es') ? withOwner(scene, { language: 'es' }) : scene;
}

function message(scene: Scene, said: string, messageRef: string, commands: Commands): Listened {
  const photos = scene.event.kind === 'message' ? (scene.event.photos ?? []) : [];
  const album = scene.event.kind === 'message' ? scene.event.album : undefined;
  const pictured = photos.length > 0 ? keepPhotos(scene, photos) : scene;
  const kept = album === undefined ? pictured : withTalk(pictured, { lastAlbum: album });
  if (said.trim() === '') {
    // Of pictures that were sent together only the first is answered.
    const isMore = album !== undefined && album === scene.file.conversation.lastAlbum;
    return { scene: kept, signals: isMore ? [] : [photos.length > 0 ? 'PHOTO' : 'UNREADABLE'] };
  }

  const { question } = kept.file.conversation;
  const byLabel = question?.options.find(({ label }) => bare(label) === bare(said));
  if (question && byLabel) return choose(kept, question, byLabel.id, said);
  if (question?.about === 'approval' && ITEM_LIST.test(said.trim())) {
    return { scene: { ...kept, heard: { text: said, question } }, signals: ['ITEMS'] };
  }
  const listed = listenToFleet(kept, said, messageRef);
  if (listed) return listed;
  return readMessage(atNamedUnit(kept, said), said, messageRef, commands);
}

function readMessage(kept: Scene, said: string, messageRef: string, commands: Commands): Listened {
  const { question } = kept.file.conversation;
  const plain = question && plainAnswer(kept, question, said);
  if (question && plain) return choose(kept, question, plain, said);

  const read = kept.tools.read(said, {
    ...(question && { asked: askedAs(kept, question) }),
    ...(vehicleOf(kept) && { vehicle: vehicleOf(kept) }),
    today: kept.today,
  });
  const spoken = inLanguage(kept, said, read);
  const heard: Scene = { ...spoken, heard: { text: said, read, ...(question && { question }) } };
  const command = commands(said);
  const told = command ? heard : recordAll(heard, read, messageRef, question);
  const before: string[] = isOptOut(read, said) || command === 'STOP' ? ['STOP'] : [];
  if (dangersToWarn(told).length > 0)
    return { scene: withWords(told, messageRef, said), signals: [...before, 'DANGER'] };
  if (before.length > 0) return { scene: told, signals: before };
  if (command) return { scene: told, signals: [command] };
  const signal = signalOf(told, read, question, said);
  if (signal === 'TRUCK_CHOSEN') return chooseTruck(told, truckByWords(told, said) ?? 'new');
  const aboutTruck =
    ['TOLD', 'BOOK', 'PRICE', 'TEXT', 'NOT_UNDERSTOOD'].includes(signal) && !FREE_TEXT.has(question?.about ?? '');
  const calm = signal === 'NOT_UNDERSTOOD' ? told : withTalk(told, { notUnderstood: 0 });
  return { scene: aboutTruck ? withWords(calm, messageRef, said) : calm, signals: [signal] };
}

/** A bare yes or no is the option of that name, whatever else the word might mean elsewhere. */
function plainAnswer(scene: Scene, { options, about }: Question, said: string): string | undefined {
  // "No, 98400" says more than no.
  if (bare(said).split(' ').length > 2 || /\d/.test(said) || FREE_TEXT.has(about)) return undefined;
  const read = scene.tools.read(said, { asked: 'confirm', today: scene.today });
  const { answer, intent } = read.facts;
  if ((intent !== undefined && intent !== 'opt-out') || isOptOut(read, said) || (answer !== 'yes' && answer !== 'no'))
    return undefined;
  const wanted = answer === 'yes' ? ['yes'] : ['no', 'none', 'nothing'];
  const meant = options.find(({ id }) => wanted.includes(id))?.id;
  if (meant || answer === 'yes' || !scene.tools.questions.byName.has(about)) return meant;
  return options.find(({ id }) => id === 'dont-know')?.id;
}

/** A bare "no" answers a question or leads to one; it never ends the messages. */
const isOptOut = (read: ReadResult, said: string): boolean => read.facts.intent === 'opt-out' && bare(said) !== 'no';

function recordAll(scene: Scene, read: ReadResult, messageRef: string, question: Question | null): Scene {
  const dangers = (read.facts.symptoms ?? []).some(isDanger);
  if (question && FREE_TEXT.has(question.about) && question.about !== 'tow-details' && !dangers) return scene;
  let told = record(scene, [...answersTo(scene, read, question, messageRef), ...noComplaint(scene, read, question)]);
  // "No, 98,400" has said it all: what was in doubt is replaced already.
  const replaced =
    read.facts.answer === 'no' && Object.keys(read.facts).some((key) => `doubt:${key}` === question?.about);
  if (question?.about.startsWith('doubt:') && read.facts.answer && !replaced) {
    told = settle(told, question.about.slice(6) as FactKey, read.facts.answer);
  }
  if (question?.about.startsWith('hint:') && read.facts.answer) {
    told = settleHint(told, question.about.slice(5) as Symptom, read.facts.answer);
  }
  if (read.facts.wantedTime && !read.facts.unsure?.includes('wantedTime')) {
    told = withTalk(told, { wantedTime: read.facts.wantedTime });
  }
  const unknown = (read.doesNotKnow ?? []).flatMap((key) => keysOf(scene, key, question));
  if (unknown.length > 0) told = markUnknowable(told, unknown);
  const present = symptomsOf(vehicleOf(told));
  const denied = read.facts.deniedSymptoms ?? [];
  const hints = [...new Set([...told.file.conversation.hints, ...(read.ask ?? [])])]
    .filter((id) => !present.includes(id) && !denied.includes(id))
    .sort((a, b) => Number(isDanger(b)) - Number(isDanger(a)))
    .slice(0, 3);
  const cleared =
    question?.about.startsWith('hint:') && read.facts.answer
      ? hints.filter((id) => `hint:${id}` !== question.about)
      : hints;
  return withTalk(told, { hints: cleared });
}

/** The records of a text; for a yes or no question the fact it asks for, for a bare number the fact it was asked for. */
function answersTo(scene: Scene, read: ReadResult, question: Question | null, messageRef: string) {
  const records = recordsOf(scene, read, messageRef);
  const asked = question && scene.tools.questions.byName.get(question.about);
  if (!asked) return records;
  const fact = asked.facts[0];
  if (!fact) return records;
  if (records.some(({ key }) => key === fact)) return records;
  const yesNo = asked.options.find(({ id }) => id === read.facts.answer);
  if (yesNo?.sets) return [...records, ...recordsFrom(scene, yesNo.sets, scene.heard.text ?? '')];
  return records.map((entry) =>
    entry.key === asked.asked && !asked.facts.includes(entry.key) ? { ...entry, key: fact } : entry,
  );
}

/** "Nothing wrong" anywhere, or a plain "no" to the question what is wrong, is the whole complaint: none. */
function noComplaint(scene: Scene, read: ReadResult, question: Question | null) {
  const said = bare(scene.heard.text ?? '');
  const asked = question?.about === 'symptoms';
  if (read.facts.symptoms || (read.ask ?? []).length > 0) return [];
  if (symptomsOf(vehicleOf(scene)).length > 0 && !asked) return [];
  const none = scene.tools.questions.byName.get('symptoms')?.options.find(({ id }) => id === 'nothing');
  const phrase = none?.phrases.map(bare).find((words) => ` ${said} `.includes(` ${words} `));
  if (phrase !== undefined) return recordsFrom(scene, { symptoms: [] }, phrase);
  if (!asked) return [];
  const { answer } = scene.tools.read(scene.heard.text ?? '', { asked: 'confirm', today: scene.today }).facts;
  return answer === 'no' || said === 'none' || said === 'nothing' ? recordsFrom(scene, { symptoms: [] }, said) : [];
}

/** What the owner cannot tell: the facts of the question that was asked, else those that were named. */
function keysOf(scene: Scene, key: FactKey | 'engine', question: Question | null): readonly FactKey[] {
  const asked = question && scene.tools.questions.byName.get(question.about);
  if (asked?.asked === key) return asked.facts;
  return key === 'engine' ? (scene.tools.questions.byName.get('engine')?.facts ?? []) : [key];
}

function settle(scene: Scene, key: FactKey, answer: 'yes' | 'no' | 'unclear'): Scene {
  if (answer === 'unclear') return scene;
  return settleDoubt(scene, key, answer === 'yes');
}

function settleHint(scene: Scene, symptom: Symptom, answer: 'yes' | 'no' | 'unclear'): Scene {
  const hints = scene.file.conversation.hints.filter((id) => id !== symptom);
  const next = withTalk(scene, { hints });
  const present = answer === 'yes' || (answer === 'unclear' && isDanger(symptom));
  if (present) return record(next, recordsFrom(scene, { symptoms: [symptom] }, scene.heard.text ?? ''));
  return answer === 'no'
    ? record(next, recordsFrom(scene, { deniedSymptoms: [symptom] }, scene.heard.text ?? ''))
    : next;
}

function signalOf(scene: Scene, read: ReadResult, question: Question | null, said: string): string {
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
  if (facts.odometerMiles !== undefined && (ODOMETER_QUESTIONS.has(about) || isBareMileage(scene, read))) {
    return awaitsMiles(scene) || isBareMileage(scene, read) ? 'MILES' : 'TOLD';
  }
  if (facts.wantedTime && ['time', 'advice', 'service-offer', 'other-time', 'send'].includes(about)) {
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
function awaitsMiles(scene: Scene): boolean {
  const state = stateOf(scene.file.conversation.position ?? nowhere);
  return followUpInHand(scene) !== undefined || state === 'odometer' || state === 'readingFirst';
}

const nowhere = { flow: '', version: 0, snapshot: { value: '' } };

const hasFacts = (read: ReadResult): boolean =>
  Object.keys(read.facts).some((key) => !['intent', 'unsure', 'answer', 'wantedTime'].includes(key));

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

function askedAs(scene: Scene, question: Question): string {
  const { about } = question;
  const known = scene.tools.questions.askedAs(about);
  if (known) return known;
  if (ODOMETER_QUESTIONS.has(about)) return about.startsWith('odometer-') ? 'odometerMiles' : 'confirm';
  return ['time', 'advice', 'service-offer', 'other-time'].includes(about) && !looksLikeYesOrNo(scene)
    ? 'wantedTime'
    : 'confirm';
}

/** "yes" to an offer of times is an answer; anything longer is read as a time first. */
function looksLikeYesOrNo(scene: Scene): boolean {
  if (scene.event.kind !== 'message') return true;
  const { answer } = scene.tools.read(scene.event.text, { asked: 'confirm', today: scene.today }).facts;
  const wanted = scene.tools.read(scene.event.text, { asked: 'wantedTime', today: scene.today }).facts.wantedTime;
  return (answer === 'yes' || answer === 'no') && wanted === undefined;
}

function inLanguage(scene: Scene, said: string, read: ReadResult): Scene {
  const words = said.match(/\p{L}{2,}/gu)?.length ?? 0;
  const first = !scene.file.conversation.greeted && words >= 1 && read.language === 'es';
  return (words >= 3 || first) && read.language !== scene.file.owner.language
    ? withOwner(scene, { language: read.language })
    : scene;
}

/** The owner's own words about the matter in hand reach the shop as they were typed. */
function withWords(scene: Scene, messageRef: string, said: string): Scene {
  const matter = scene.file.conversation.matter ?? { openedAt: scene.now, words: [], photos: [] };
  const words = [...matter.words.filter((other) => other.messageRef !== messageRef), { messageRef, text: said }];
  return withTalk(scene, { matter: { ...matter, words: words.slice(-30) } });
}

function keepPhotos(scene: Scene, photos: readonly string[]): Scene {
  const matter = scene.file.conversation.matter ?? { openedAt: scene.now, words: [], photos: [] };
  return withTalk(scene, { matter: { ...matter, photos: [...matter.photos, ...photos].slice(-12) } });
}

function button(scene: Scene, data: string): Listened {
  const [kind, id, option] = data.split(':');
  const { question } = scene.file.conversation;
  if (kind !== 'q' || !id || !option) return { scene, signals: ['UNREADABLE'] };
  if (question?.id !== id) return { scene: { ...scene, heard: { option: id } }, signals: ['LATE_PRESS'] };
  const chosen = question.options.find((other) => other.id === option);
  return chosen ? choose(scene, question, option, chosen.label) : { scene, signals: ['LATE_PRESS'] };
}

/** An option was chosen, by a tap or by its label. */
function choose(scene: Scene, question: Question, option: string, label: string): Listened {
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
  if (about === 'approval' && /^i\d+$/.test(option)) return { scene: calm, signals: ['ITEMS'] };
  if (about === 'time' && option.startsWith('s')) return { scene: calm, signals: ['SLOT'] };
  return { scene: calm, signals: [OPTION_SIGNALS[option] ?? 'NOT_UNDERSTOOD'] };
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

function chooseTruck(scene: Scene, option: string): Listened {
  const { pending } = scene.file.conversation;
  if (option === 'new') {
    return { scene: withTalk(scene, { vehicleId: null }), signals: ['NEW_TRUCK'] };
  }
  const chosen = withTalk(scene, { vehicleId: option, pending: [] });
  return { scene: record(chosen, pending), signals: ['TRUCK_CHOSEN'] };
}

/** A truck named in words: "the 2017", "the 6.7". */
function truckByWords(scene: Scene, said: string): string | undefined {
  const numbers = new Set(said.match(/\d+(?:\.\d)?/g) ?? []);
  const fitting = scene.file.vehicles.filter(
    ({ facts, state }) =>
      state === 'active' &&
      facts.some(({ key, value }) => ['modelYear', 'engineLitres'].includes(key) && numbers.has(String(value))),
  );
  return fitting.length === 1 ? fitting[0]?.id : undefined;
}

function contact(scene: Scene, phone: string, name: string | undefined): Listened {
  const number = scene.tools.phone(phone);
  if (!number) return { scene, signals: ['TEXT'] };
  const known = withOwner(scene, { phone: number, ...(name && !scene.file.owner.name && { name }) });
  return { scene: known, signals: ['CONTACT'] };
}

/** A link or a QR label may name a truck's question; it carries no right to see anything. */
function opened(scene: Scene, payload: string | undefined): Listened {
  const own = scene.file.vehicles.find(
    ({ id, state }) => state === 'active' && payload === `odometer-${id}`.replace(/[^A-Za-z0-9_-]/g, '_'),
  );
  return own ? { scene: withTalk(scene, { vehicleId: own.id }), signals: ['SCANNED'] } : { scene, signals: ['OPENED'] };
}
