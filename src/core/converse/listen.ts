import type { Question } from '../model/owner.ts';
import type { ReadResult } from '../model/reading.ts';
import type { Instant } from '../model/time.ts';
import { closeFollowUp } from './actions/follow-up.ts';
import { button, choose, chooseTruck } from './choose.ts';
import { bare, type Commands } from './commands.ts';
import { atNamedUnit, listenToFleet } from './fleet.ts';
import { isComplaint, saysMore, signalOf, truckByWords } from './meaning.ts';
import { FREE_TEXT, ODOMETER_QUESTIONS } from './questions.ts';
import { recordAll } from './record-said.ts';
import { isDanger, withdraw } from './record.ts';
import { vehicleOf, withOwner, withTalk, type Scene } from './scene.ts';
import type { Listened } from './signals.ts';
import { dangersToWarn } from './situation.ts';

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
  if (question?.about === 'approval' && kept.tools.questions.itemList.test(said.trim())) {
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
  const command = commandIn(commands(said), kept, question, read);
  if (question && command === 'ROUGHLY') return choose(kept, question, 'roughly', said);
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
  const free = signal === 'TOLD' && isComplaint(read) ? leaveFollowUp(told, read) : told;
  const calm = signal === 'NOT_UNDERSTOOD' ? free : withTalk(free, { notUnderstood: 0 });
  return { scene: aboutTruck ? withWords(calm, messageRef, said) : calm, signals: [signal] };
}

/** A complaint takes the place of what the shop asked; a number that came with it has answered that. */
const leaveFollowUp = (scene: Scene, { facts }: ReadResult): Scene =>
  facts.odometerMiles === undefined
    ? withTalk(scene, { followUpId: undefined })
    : closeFollowUp(scene, { what: 'answered' });

/** Days after which a matter that nothing is asked about is no longer what the owner writes about. */
const MATTER_DAYS = 14;
const isOver = (openedAt: Instant, now: Instant): boolean =>
  Date.parse(now) - Date.parse(openedAt) > MATTER_DAYS * 86_400_000;

const GONE: readonly string[] = ['SOLD', 'SCRAPPED', 'MOVED_AWAY'];
/** What the shop asks and an owner may put off. */
const CAN_WAIT: readonly string[] = ['odometer-check', 'service-offer', 'odometer-first', 'fleet'];
/** What the shop asks of itself, later: an answer may be that the truck, or its owner, is gone. */
const ASKED_LATER: readonly string[] = ['odometer-check', 'service-offer', 'odometer-first', 'fleet', 'leak'];

/**
 * "About right" answers our guess of the odometer, and "busy, later" what the shop asked of itself, where nothing else is
 * said with it; that a truck is gone is heard where no other matter is in hand.
 */
function commandIn(
  command: string | undefined,
  { file, now }: Scene,
  question: Question | null,
  read: ReadResult,
): string | undefined {
  if (command === 'ROUGHLY') return question?.about === 'odometer-check' ? command : undefined;
  // "It is on fire, stop asking" is about the fire.
  if (command === 'STOP')
    return [...(read.facts.symptoms ?? []), ...(read.ask ?? [])].some(isDanger) ? undefined : command;
  if (command === 'DONE') return CAN_WAIT.includes(question?.about ?? '') && !saysMore(read) ? command : undefined;
  if (command === 'LATER') return CAN_WAIT.includes(question?.about ?? '') && !saysMore(read) ? command : undefined;
  if (command === undefined || !GONE.includes(command)) return command;
  const { matter } = file.conversation;
  const free = question === null && (matter === null || isOver(matter.openedAt, now));
  return free || ASKED_LATER.includes(question?.about ?? '') ? command : undefined;
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
