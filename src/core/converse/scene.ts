import type { PlanReason } from '../model/follow-up-log.ts';
import type { FluentVariable } from '@fluent/bundle';
import type { AdviceInFull, Estimate } from '../model/advice.ts';
import type { Slot, SlotsAnswer } from '../model/booking.ts';
import type { FactKey, FactRecord, Facts } from '../model/facts.ts';
import type { Language, ServiceId, Symptom } from '../model/ids.ts';
import type {
  ApprovalWay,
  BookingRequest,
  Conversation,
  FollowUp,
  OwnerFile,
  Question,
  Reading,
  Vehicle,
} from '../model/owner.ts';
import type { ReadResult, WantedTime } from '../model/reading.ts';
import type { Shop } from '../model/shop.ts';
import type { Instant, IsoDate } from '../model/time.ts';
import type { Button, Effect, InboxEvent, Need, Reply, StaffAction } from '../model/turn.ts';
import type { ListedMiles } from './fleet.ts';
import type { Questions } from './questions.ts';

/** What falls due on one truck, as the follow-up stage sees it. Dates are days in the owner's zone. */
export interface Outlook {
  services: ServiceId[];
  dueMiles: number;
  /** Median and 10 to 90 % dates; null where over ten years out. */
  dueDate: { p10: IsoDate | null; p50: IsoDate | null; p90: IsoDate | null };
  milesToday: { p10: number; p50: number; p90: number };
  probabilityDue: number;
  /** The day to ask the odometer again, and the day to offer the service. */
  next: { ask: IsoDate | null; offer: IsoDate | null };
  /** Why that comes next, for the log; `phone` where offers stay unanswered and the shop takes over. */
  because: PlanReason;
  /** The day that an offer is for. */
  dueOn: IsoDate | null;
}

/** What happens to a request: the staff's actions that change it, and the owner's own. */
export type RequestChange =
  | Exclude<
      Extract<StaffAction, { requestId: string }>,
      { do: 'list-times' | 'call' | 'close' | 'record-approval' | 'phoned' }
    >
  | { do: 'close'; revision: number; services: readonly ServiceId[] }
  | { do: 'phoned'; revision?: number }
  | {
      do: 'approval';
      revision?: number;
      answer: 'yes' | 'no' | 'in-part';
      items: number[];
      who: string;
      how: ApprovalWay;
      recordedBy?: string;
    }
  | { do: 'take-time' }
  | { do: 'choose-time'; slot: Slot }
  | { do: 'cancel' };

/** What the owner's own calendar is told of an appointment. */
export type CalendarWord = 'created' | 'moved' | 'cancelled';

/** The other stages as functions over values: the conversation imports none of them. */
export interface Tools {
  shop: Shop;
  questions: Questions;
  say(language: Language, id: string, values?: Record<string, FluentVariable>): string;
  advise(facts: Facts, language: Language): AdviceInFull;
  estimate(facts: Facts, services: ServiceId[], language: Language): Estimate;
  serviceName(id: ServiceId, language: Language): string;
  slots(request: {
    services: ServiceId[];
    facts: Facts;
    wantedTime?: WantedTime;
    skip?: number;
    at: string;
    /** The request whose own time is free for it. */
    leaveOut?: string;
  }): SlotsAnswer | Need;
  /**
   * Whether the diary that was loaded holds the slot for somebody else than the owner's own hold and the request that
   * is left out; false where no diary was loaded.
   */
  taken(slot: Slot, leaveOut?: string): boolean;
  answerBy(now: Instant): Instant;
  /** One change of a request's state or time, or why it is refused, in words for the staff. */
  change(
    request: BookingRequest,
    action: RequestChange,
    by: string,
    at: Instant,
  ): { ok: true; request: BookingRequest; calendar?: CalendarWord } | { ok: false; because: string };
  calendarFile(request: BookingRequest, change: CalendarWord, at: Instant, language: Language): string;
  /** Working days until the parts of some services are there; 0 where none are waited for. */
  partsLeadDays(services: readonly ServiceId[]): number;
  /** `followUps` as they are now; those at the start of the turn where absent. */
  outlook(vehicle: Vehicle, today: IsoDate, followUps?: readonly FollowUp[]): Outlook | null;
  /** The truck's mileage and forecast as an SVG picture, with its words beside it for those who do not see it. */
  forecastPicture(vehicle: Vehicle, outlook: Outlook, today: IsoDate, language: Language): string;
  /** The day to look for times on, after a reading that came with the answer to an offer; null: it is too early. */
  bookingDay(vehicle: Vehicle, today: IsoDate): IsoDate | null;
  /** The truck's readings after the owner has stood by a doubtful one; the last of them is the new one. */
  confirmReading(vehicle: Vehicle, reading: Reading): Reading[];
  /** Whether a new odometer value fits the earlier readings. */
  gate(
    vehicle: Vehicle,
    miles: number,
    date: IsoDate,
  ): { plausible: true } | { plausible: false; because: string; perhaps?: number };
  /** The first instant, not before `from`, at which an unasked message may go out. */
  nextAllowed(file: OwnerFile, from: Instant): Instant;
  read(text: string, context: { asked?: string; vehicle?: Vehicle; today: IsoDate }): ReadResult;
  phone(text: string): string | null;
  /** The model years of the engine as told, where the one that was told is none of them. */
  yearsOfEngine(facts: Facts): string | undefined;
  /** The model year that a VIN gives, with the other one that its letter can mean; undefined where it gives none. */
  yearOfVin(vin: string): { modelYear: number; otherYear?: number } | undefined;
}

/** What was heard in this event, after reading. */
export interface Heard {
  text?: string;
  read?: ReadResult;
  /** The option that was chosen, by button or by its label. */
  option?: string;
  /** The question that the option or text answers. */
  question?: Question;
  /** Odometers of several trucks that were told in one go. */
  fleet?: ListedMiles[];
  /** What the owner's calendar is to be told, and the request as it stood there before. */
  calendar?: { change: CalendarWord; before: BookingRequest };
}

/** One turn under way: the owner's file so far, and what has been said. Actions map a scene to a scene. */
export interface Scene {
  file: OwnerFile;
  event: InboxEvent;
  now: Instant;
  today: IsoDate;
  token?: string;
  heard: Heard;
  replies: readonly Reply[];
  effects: readonly Effect[];
  trace: readonly string[];
  need?: Need;
  ordinal: number;
  tools: Tools;
}

export type Action = (scene: Scene) => Scene;

export const language = (scene: Scene): Language => scene.file.owner.language;

export const text = (scene: Scene, id: string, values?: Record<string, FluentVariable>): string =>
  scene.tools.say(language(scene), id, values);

/** A text in the shop's own language, for the staff chat. */
export const staffText = (scene: Scene, id: string, values?: Record<string, FluentVariable>): string =>
  scene.tools.say('en', id, values);

export function newId(scene: Scene): [string, Scene] {
  return [`${scene.event.id}.${scene.ordinal}`, { ...scene, ordinal: scene.ordinal + 1 }];
}

export function reply(scene: Scene, body: string, more: Partial<Reply> = {}): Scene {
  const message: Reply = { to: 'owner', text: body, buttons: [], ...more };
  return { ...scene, replies: [...scene.replies, message] };
}

export function effect(scene: Scene, ...effects: Effect[]): Scene {
  return { ...scene, effects: [...scene.effects, ...effects] };
}

export function withFile(scene: Scene, change: Partial<OwnerFile>): Scene {
  return { ...scene, file: { ...scene.file, ...change } };
}

export function withOwner(scene: Scene, change: Partial<OwnerFile['owner']>): Scene {
  return withFile(scene, { owner: { ...scene.file.owner, ...change } });
}

export function withTalk(scene: Scene, change: Partial<Conversation>): Scene {
  return withFile(scene, { conversation: { ...scene.file.conversation, ...change } });
}

export function withVehicle(scene: Scene, vehicle: Vehicle): Scene {
  const others = scene.file.vehicles.some(({ id }) => id === vehicle.id);
  const vehicles = others
    ? scene.file.vehicles.map((other) => (other.id === vehicle.id ? vehicle : other))
    : [...scene.file.vehicles, vehicle];
  return withFile(scene, { vehicles });
}

export function withRequest(scene: Scene, request: BookingRequest): Scene {
  const known = scene.file.requests.some(({ id }) => id === request.id);
  const requests = known
    ? scene.file.requests.map((other) => (other.id === request.id ? request : other))
    : [...scene.file.requests, request];
  return withFile(scene, { requests });
}

export function withFollowUp(scene: Scene, followUp: FollowUp): Scene {
  const known = scene.file.followUps.some(({ id }) => id === followUp.id);
  const followUps = known
    ? scene.file.followUps.map((other) => (other.id === followUp.id ? followUp : other))
    : [...scene.file.followUps, followUp];
  return withFile(scene, { followUps });
}

/** The truck that the conversation is about, if it is clear which. */
export function vehicleOf(scene: Scene): Vehicle | undefined {
  const { conversation, vehicles } = scene.file;
  return vehicles.find(({ id }) => id === conversation.vehicleId);
}

export const truckFor = (scene: Scene, vehicleId: string | undefined): Vehicle | undefined =>
  scene.file.vehicles.find(({ id }) => id === vehicleId);

/** The truck that the conversation is about; a new one where there is none yet. */
export function withVehicleAtHand(scene: Scene): [Vehicle, Scene] {
  const known = vehicleOf(scene);
  if (known) return [known, scene];
  const [id, next] = newId(scene);
  const vehicle: Vehicle = {
    id: `truck-${id}`,
    state: 'active',
    facts: scene.file.conversation.pending,
    unknowable: [],
    readings: [],
    records: [],
    createdAt: scene.now,
  };
  return [vehicle, withTalk(withVehicle(next, vehicle), { vehicleId: vehicle.id, pending: [] })];
}

/** Asks one question and keeps it open. The buttons carry question and option, so that each is answered once. */
export function ask(
  scene: Scene,
  about: string,
  body: string,
  options: readonly { id: string; label: string }[],
  more: Partial<Reply> = {},
): Scene {
  const [id, next] = newId(scene);
  const vehicleId = scene.file.conversation.vehicleId;
  const question: Question = {
    id,
    about,
    ...(vehicleId && { vehicleId }),
    askedAt: scene.now,
    options: options.map(({ id: option, label }) => ({ id: option, label })),
  };
  const buttons: Button[] = options.map((option) => ({ label: option.label, data: `q:${id}:${option.id}` }));
  return reply(withTalk(next, { question }), body, { buttons, ...more });
}

/** Options from text ids, in the owner's language. */
export const options = (scene: Scene, ...pairs: [id: string, textId: string][]): { id: string; label: string }[] =>
  pairs.map(([id, textId]) => ({ id, label: text(scene, textId) }));

export function closeQuestion(scene: Scene, recorded: string): Scene {
  const { question, answered } = scene.file.conversation;
  if (!question) return scene;
  const entry = { id: question.id, about: question.about, recorded };
  return withTalk(scene, { question: null, answered: [...answered, entry].slice(-20) });
}

/** Stores facts of a vehicle; a later value of the same key replaces the earlier one, lists of symptoms grow. */
export function recordFacts(vehicle: Vehicle, records: readonly FactRecord[]): Vehicle {
  let facts = vehicle.facts;
  let unknowable = vehicle.unknowable;
  for (const record of records) {
    facts = [...facts.filter(({ key }) => key !== record.key), record];
    unknowable = unknowable.filter((key) => key !== record.key);
  }
  return { ...vehicle, facts, unknowable };
}

export function factValue<K extends FactKey>(vehicle: Vehicle, key: K): Facts[K] | undefined {
  return vehicle.facts.find((record) => record.key === key)?.value as Facts[K] | undefined;
}

export const symptomsOf = (vehicle: Vehicle | undefined): Symptom[] =>
  (vehicle && factValue(vehicle, 'symptoms')) ?? [];
