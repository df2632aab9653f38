import { factsOf, type FactKey, type FactRecord } from '../../model/facts.ts';
import type { Symptom } from '../../model/ids.ts';
import type { Vehicle } from '../../model/owner.ts';
import { doubtOf, nextQuestion } from '../situation.ts';
import {
  ask,
  factValue,
  language,
  options,
  reply,
  text,
  vehicleOf,
  withFile,
  withTalk,
  type Action,
  type Scene,
} from '../scene.ts';
import { forgetMatter, otherYearOfVin } from '../record.ts';
import { numberWords, truckName } from '../words.ts';

/** Gathering the facts: one question at a time, in the order in which they could change the advice. */
export const writeUp: Record<string, Action> = {
  openMatter(scene) {
    const { matter } = scene.file.conversation;
    return matter ? scene : withTalk(scene, { matter: { openedAt: scene.now, words: [], photos: [] } });
  },

  greet(scene) {
    const { shop } = scene.tools;
    if (scene.file.conversation.greeted) return reply(scene, text(scene, 'greet-again', { shop: shop.name }));
    const greeting = text(scene, 'greet', { shop: shop.name, phone: shop.phone });
    return withTalk(reply(scene, greeting), { greeted: true });
  },

  /** Says back what was read, so that a misreading is seen at once. */
  acknowledge(scene) {
    const introduced = introduce(scene);
    const said = (introduced.heard.read ? readBack(introduced) : []).join(', ');
    return said === '' ? introduced : reply(introduced, text(introduced, 'read-back', { facts: said }));
  },

  askNext(scene) {
    const name = nextQuestion(scene);
    const question = name === undefined ? undefined : scene.tools.questions.byName.get(name);
    if (!name || !question) return ask(scene, 'anything', text(scene, 'ask-anything'), []);
    const truck = truckName(scene, vehicleOf(scene));
    const body = [text(scene, question.text, { truck }), question.hint && text(scene, question.hint)];
    const choices = question.options.map((option) => ({ id: option.id, label: text(scene, option.text) }));
    const unknown = name === 'symptoms' ? [] : [{ id: 'dont-know', label: text(scene, 'option-dont-know') }];
    return ask(scene, name, body.filter(Boolean).join('\n'), [...choices, ...unknown]);
  },

  askHint(scene) {
    const [hint] = scene.file.conversation.hints;
    if (!hint) return scene;
    const asked = text(scene, 'ask-hint', { symptom: text(scene, `symptom-${hint}`) });
    return ask(
      scene,
      `hint:${hint}`,
      asked,
      options(scene, ['yes', 'option-yes'], ['no', 'option-no'], ['unsure', 'option-not-sure']),
    );
  },

  askDoubt(scene) {
    const doubt = doubtOf(vehicleOf(scene));
    if (!doubt) return scene;
    const perhaps = alternative(scene, doubt);
    const value = typeof doubt.value === 'boolean' ? factLine(scene, doubt) : valueWords(scene, doubt.key, doubt.value);
    const because = doubtReason(scene, doubt);
    const asked = text(scene, 'ask-doubt', { value, words: doubt.words ?? value, because });
    const more = perhaps === undefined ? [] : [{ id: `v-${perhaps}`, label: valueWords(scene, doubt.key, perhaps) }];
    return ask(scene, `doubt:${doubt.key}`, asked, [
      ...more,
      ...options(scene, ['yes', 'option-yes'], ['no', 'option-no'], ['dont-know', 'option-dont-know']),
    ]);
  },

  askTruck(scene) {
    const active = scene.file.vehicles.filter(({ state }) => state === 'active');
    const trucks = active.map((vehicle) => ({ id: vehicle.id, label: truckName(scene, vehicle) }));
    const other = { id: 'new', label: text(scene, 'option-other-truck') };
    return ask(introduce(scene), 'truck', text(scene, 'ask-truck'), [...trucks, other]);
  },

  startOver(scene) {
    const vehicle = vehicleOf(scene);
    const kept =
      vehicle && vehicle.records.length === 0
        ? { ...vehicle, facts: [], unknowable: [] }
        : vehicle && forgetMatter(vehicle);
    const vehicles = scene.file.vehicles.map((other) => (kept && other.id === kept.id ? kept : other));
    const cleared = withTalk(withFile(scene, { vehicles }), CLEARED);
    return reply(cleared, text(scene, 'started-over'));
  },

  newTruck(scene) {
    const vehicle = {
      state: 'active' as const,
      facts: scene.file.conversation.pending,
      unknowable: [],
      readings: [],
      records: [],
    };
    const id = `truck-${scene.event.id}.n`;
    const vehicles = [...scene.file.vehicles, { ...vehicle, id, createdAt: scene.now }];
    const fresh = withTalk(withFile(scene, { vehicles }), { ...CLEARED, vehicleId: id });
    return reply(introduce(fresh), text(scene, 'new-truck'));
  },

  repeatQuestion(scene) {
    const { question } = scene.file.conversation;
    if (!question || scene.need) return scene;
    const label = repeated(scene, question.about);
    if (label === undefined) return scene;
    const again = question.options.map((option) => ({ ...option }));
    return ask(scene, question.about, label, again, question.about === 'phone' ? { askContact: true } : {});
  },

  sayWhereWeWere(scene) {
    const truck = truckName(scene, vehicleOf(scene));
    return reply(scene, text(scene, 'where-we-were', { truck }));
  },

  offerGuesses(scene) {
    const guesses = (scene.heard.read?.offers ?? []).slice(0, 3);
    const counted = withTalk(introduce(scene), { notUnderstood: scene.file.conversation.notUnderstood + 1 });
    const { question } = scene.file.conversation;
    const isAnswer = isAboutAnswer(question?.about);
    if (guesses.length === 0 || isAnswer) {
      const said = isAnswer ? text(scene, 'not-understood-answer') : text(scene, 'not-understood');
      return writeUp.repeatQuestion!(reply(counted, said));
    }
    const offered = guesses.map((id: Symptom) => ({ id: `g-${id}`, label: text(scene, `symptom-${id}`) }));
    const none = { id: 'none', label: text(scene, 'option-none-of-these') };
    return ask(counted, 'guess', text(scene, 'offer-guesses'), [...offered, none]);
  },

  sayCorrected(scene) {
    const said = readBack(scene).join(', ');
    return reply(scene, said === '' ? text(scene, 'corrected-plain') : text(scene, 'corrected', { facts: said }));
  },

  sayPhotoKept: (scene) => reply(introduce(scene), text(scene, 'photo-kept')),

  sayUnreadable(scene) {
    const what = scene.event.kind === 'unreadable' ? scene.event.what : 'other';
    const id =
      what === 'voice' || what === 'location' || what === 'document' || what === 'photo'
        ? `unreadable-${what}`
        : 'unreadable-other';
    return reply(scene, text(scene, id));
  },

  sayAlreadyAnswered(scene) {
    const earlier = scene.file.conversation.answered.find(({ id }) => id === scene.heard.option);
    const said = earlier
      ? text(scene, 'already-answered', { answer: earlier.recorded })
      : text(scene, 'button-too-old');
    return writeUp.repeatQuestion!(reply(scene, said));
  },
};

const CLEARED = {
  question: null,
  matter: null,
  offered: [],
  offersPassed: 0,
  chosen: null,
  wantedTime: undefined,
  services: [],
  pending: [],
  warned: [],
  hints: [],
  requestId: undefined,
  followUpId: undefined,
  notUnderstood: 0,
} as const satisfies object as unknown as Partial<Scene['file']['conversation']>;

/** The assistant says once that it is one, and how to reach a person. */
export function introduce(scene: Scene): Scene {
  if (scene.file.conversation.greeted) return scene;
  const { name, phone } = scene.tools.shop;
  return withTalk(reply(scene, text(scene, 'introduce', { shop: name, phone })), { greeted: true });
}

const isAboutAnswer = (about: string | undefined): boolean =>
  about !== undefined && !['symptoms', 'guess', 'anything'].includes(about);

function readBack(scene: Scene): string[] {
  const vehicle = vehicleOf(scene);
  const { read } = scene.heard;
  if (!read) return [];
  const told = new Set(Object.keys(read.facts));
  const ofVin = vehicle?.facts.some(({ key, source }) => key === 'modelYear' && source === 'vin');
  if (told.has('vin') && ofVin) told.add('modelYear');
  const shown = SHOWN.filter((key) => told.has(key) && vehicle?.facts.some((fact) => fact.key === key && fact.sure));
  return shown.flatMap((key) => {
    const value = vehicle?.facts.find((fact) => fact.key === key)?.value;
    if (value === undefined || (Array.isArray(value) && value.length === 0)) return [];
    return [factWords(scene, key, value)];
  });
}

const SHOWN: readonly FactKey[] = [
  'modelYear',
  'engineLitres',
  'odometerMiles',
  'symptoms',
  'troubleCodes',
  'vin',
  'milesPerYear',
  'lastFuelFilterMiles',
];

function factWords(scene: Scene, key: FactKey, value: FactRecord['value']): string {
  if (key === 'symptoms') return (value as Symptom[]).map((id) => text(scene, `symptom-${id}`)).join(', ');
  if (key === 'engineLitres')
    return text(scene, 'value-litres', { litres: numberWords(Number(value), language(scene)) });
  if (key === 'milesPerYear')
    return text(scene, 'value-miles-a-year', { miles: numberWords(Number(value), language(scene)) });
  if (key === 'lastFuelFilterMiles')
    return text(scene, 'value-last-filter', { miles: numberWords(Number(value), language(scene)) });
  return valueWords(scene, key, value);
}

/** "protection kit fitted: no": what the fact is, and its value. */
export const factLine = (scene: Scene, { key, value }: Pick<FactRecord, 'key' | 'value'>): string =>
  text(scene, 'fact-line', {
    name: text(scene, `fact-${key.toLowerCase()}`),
    value: valueWords(scene, key, value) || text(scene, 'value-none'),
  });

/** A value as an owner would say it. */
export function valueWords(scene: Scene, key: FactKey, value: FactRecord['value']): string {
  switch (key) {
    case 'odometerMiles':
    case 'lastFuelFilterMiles':
    case 'lastOilChangeMiles':
      return text(scene, 'value-miles', { miles: numberWords(Number(value), language(scene)) });
    case 'symptoms':
      return (value as Symptom[]).map((id) => text(scene, `symptom-${id}`)).join(', ');
    case 'engineLitres':
      return text(scene, 'value-litres', { litres: numberWords(Number(value), language(scene)) });
    default:
      if (typeof value === 'boolean') return text(scene, value ? 'option-yes' : 'option-no');
      if (Array.isArray(value)) return value.length === 0 ? text(scene, 'value-none') : value.join(', ');
      return String(value);
  }
}

function alternative(scene: Scene, doubt: FactRecord): number | undefined {
  const told = scene.heard.read?.doubts?.find(({ key }) => key === doubt.key)?.perhaps;
  if (told !== undefined && told !== doubt.value) return told;
  const vehicle = vehicleOf(scene);
  const ofVin = vehicle && yearOfVinAgainst(scene, vehicle, doubt);
  if (ofVin !== undefined) return ofVin;
  if (isYearOfVin(doubt)) return vehicle && scene.tools.yearOfVin(factValue(vehicle, 'vin') ?? '')?.otherYear;
  if (doubt.key !== 'odometerMiles' || !vehicle || typeof doubt.value !== 'number') return undefined;
  const gate = scene.tools.gate(vehicle, doubt.value, scene.today);
  return gate.plausible || gate.perhaps === doubt.value ? undefined : gate.perhaps;
}

/** The model year that the truck's VIN gives, where it speaks against the one in doubt. */
function yearOfVinAgainst(scene: Scene, vehicle: Vehicle, { key, source, value }: FactRecord): number | undefined {
  const vin = factValue(vehicle, 'vin');
  if (key !== 'modelYear' || source === 'vin' || vin === undefined) return undefined;
  return otherYearOfVin(scene, vin, Number(value));
}

const isYearOfVin = ({ key, source }: FactRecord): boolean => key === 'modelYear' && source === 'vin';

function doubtReason(scene: Scene, doubt: FactRecord): string {
  const vehicle = vehicleOf(scene);
  if (isYearOfVin(doubt)) return `${text(scene, 'doubt-vin-year')} `;
  const ofVin = vehicle && yearOfVinAgainst(scene, vehicle, doubt);
  if (ofVin !== undefined) return `${text(scene, 'doubt-year-vin', { year: String(ofVin) })} `;
  if (doubt.key === 'modelYear' && vehicle) {
    const sure = vehicle.facts.map((fact) => (fact === doubt ? { ...fact, sure: true } : fact));
    const years = scene.tools.yearsOfEngine(factsOf(sure));
    return years === undefined ? '' : `${text(scene, 'doubt-year-engine', { years })} `;
  }
  if (doubt.key !== 'odometerMiles' || !vehicle || typeof doubt.value !== 'number') return '';
  const gate = scene.tools.gate(vehicle, doubt.value, scene.today);
  return gate.plausible ? '' : `${gate.because} `;
}

function repeated(scene: Scene, about: string): string | undefined {
  const question = scene.tools.questions.byName.get(about);
  const truck = truckName(scene, vehicleOf(scene));
  if (question) return text(scene, question.text, { truck });
  if (about.startsWith('hint:')) return text(scene, 'ask-hint', { symptom: text(scene, `symptom-${about.slice(5)}`) });
  const id = REPEATED[about];
  return id && text(scene, id, { truck });
}

/** The short form in which an open question is put again. */
const REPEATED: Record<string, string> = {
  tow: 'again-tow',
  'tow-details': 'again-tow-details',
  advice: 'again-advice',
  time: 'again-time',
  name: 'ask-name',
  phone: 'ask-phone',
  callback: 'ask-callback',
  send: 'again-send',
  consent: 'again-consent',
  'odometer-check': 'again-odometer',
  'service-offer': 'again-service-offer',
  leak: 'again-leak',
  truck: 'ask-truck',
  'other-time': 'again-other-time',
  approval: 'again-approval',
};
