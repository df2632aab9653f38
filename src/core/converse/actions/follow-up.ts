import { DateTime } from 'luxon';
import type { FollowUpEntry, FollowUpEvent } from '../../model/follow-up-log.ts';
import { REQUEST_FOLLOW_UPS, type FollowUp, type Vehicle } from '../../model/owner.ts';
import type { WantedTime } from '../../model/reading.ts';
import type { IsoDate } from '../../model/time.ts';
import { REPEATED } from '../fleet-due.ts';
import { followUpInHand } from '../situation.ts';
import { record, recordsFrom } from '../record.ts';
import {
  ask,
  closeQuestion,
  effect,
  language,
  options,
  reply,
  staffText,
  text,
  truckFor,
  vehicleOf,
  withFollowUp,
  withTalk,
  withVehicle,
  type Action,
  type Outlook,
  type Scene,
} from '../scene.ts';
import { dateRange, instantWords, numberWords, truckName } from '../words.ts';

/** What the shop owes an owner later: the odometer question, the offer, the reminder, the check after the work. */
export const followUp: Record<string, Action> = {
  /** Consent is asked once there is something to remind of, with the wording that is kept. */
  askConsent(scene) {
    const wording = text(scene, 'ask-consent', { shop: scene.tools.shop.name });
    return ask(scene, 'consent', wording, options(scene, ['yes', 'option-consent-yes'], ['no', 'option-consent-no']));
  },

  /** Nothing is to be done: the complaint in hand is settled. */
  endMatter: (scene) => withTalk(scene, { matter: null }),

  giveConsent(scene) {
    const wording = text(scene, 'ask-consent', { shop: scene.tools.shop.name });
    const { optedOutAt: _ended, ...owner } = scene.file.owner;
    const agreed = { ...scene, file: { ...scene.file, owner: { ...owner, consent: { at: scene.now, wording } } } };
    const how = owner.channel === 'telegram' ? 'consent-given' : 'consent-given-no-reach';
    return reply(
      closeQuestion(agreed, text(scene, 'option-consent-yes')),
      text(scene, how, { phone: scene.tools.shop.phone }),
    );
  },

  refuseConsent: (scene) =>
    reply(closeQuestion(scene, text(scene, 'option-consent-no')), text(scene, 'consent-refused')),

  askOdometer(scene) {
    const due = followUpInHand(scene);
    const vehicle = truckFor(scene, due?.vehicleId);
    if (!due || !vehicle) return scene;
    const inHand = withTalk(scene, { vehicleId: vehicle.id, followUpId: due.id });
    const guess = guessOf(inHand, vehicle);
    const values = {
      truck: truckName(scene, vehicle),
      guess: guess === null ? '' : numberWords(guess, language(scene)),
      shop: scene.tools.shop.name,
    };
    const body = text(scene, guess === null ? 'ask-odometer-check-plain' : 'ask-odometer-check', values);
    const choices = options(
      scene,
      ['later', 'option-later'],
      ['sold', 'option-sold'],
      ['stop', 'option-stop-reminders'],
    );
    const roughly = guess === null ? [] : options(scene, ['roughly', 'option-roughly']);
    return asked(ask(inHand, 'odometer-check', body, [...roughly, ...choices], { unasked: true }), due);
  },

  /** The owner scanned the label at the filter; a question that was due for this truck is answered with it. */
  askScannedOdometer(scene) {
    const vehicle = vehicleOf(scene);
    const due = scene.file.followUps.find(
      ({ kind, state, vehicleId, dueAt }) =>
        kind === 'odometer-check' &&
        vehicleId === vehicle?.id &&
        (state === 'sent' || (state === 'waiting' && dueAt <= scene.now)),
    );
    const asked = text(scene, 'again-odometer', { truck: truckName(scene, vehicle) });
    const choices = options(scene, ['later', 'option-later'], ['sold', 'option-sold']);
    return ask(withTalk(scene, { followUpId: due?.id }), 'odometer-check', asked, choices);
  },

  askOdometerAgain: (scene) =>
    ask(
      scene,
      'odometer-check',
      text(scene, 'again-odometer', { truck: truckName(scene, vehicleOf(scene)) }),
      options(scene, ['later', 'option-later'], ['sold', 'option-sold']),
    ),

  /** The reading was taken: what it means for the next service, and when the next question comes. */
  sayOutlook(scene) {
    const read = scene;
    const vehicle = vehicleOf(read);
    const guess = read.heard.option === 'roughly' && vehicle ? guessOf(read, vehicle) : null;
    const answered = closeFollowUp(
      closeQuestion(read, read.heard.text ?? ''),
      guess === null ? { what: 'answered' } : { what: 'answered-roughly', guess },
    );
    const outlook = vehicle && read.tools.outlook(vehicle, read.today);
    const odometer = vehicle?.readings.at(-1)?.miles;
    if (!vehicle || !outlook) {
      return reply(
        answered,
        odometer === undefined
          ? text(read, 'noted')
          : text(read, 'noted-miles', { miles: numberWords(odometer, language(read)) }),
      );
    }
    const miles = guess ?? odometer ?? outlook.milesToday.p50;
    const values = {
      miles: numberWords(miles, language(read)),
      services: names(read, outlook.services),
      dueMiles: numberWords(outlook.dueMiles, language(read)),
      left: numberWords(Math.abs(outlook.dueMiles - miles), language(read)),
      when: dateRange(read, outlook.dueDate),
    };
    const [ahead, overdue] =
      guess === null ? ['outlook', 'outlook-overdue'] : ['outlook-guess', 'outlook-guess-overdue'];
    const said = text(read, outlook.dueMiles <= miles ? overdue! : ahead!, values);
    return withForecast(reply(answered, said), vehicle);
  },

  offerService(scene) {
    const due = followUpInHand(scene);
    const vehicle = truckFor(scene, due?.vehicleId) ?? vehicleOf(scene);
    const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
    if (!vehicle || !outlook) return scene;
    const inHand = withTalk(scene, {
      vehicleId: vehicle.id,
      services: outlook.services,
      ...(due && { followUpId: due.id }),
      ...(outlook.dueOn && { wantedTime: weekFrom(outlook.dueOn) }),
    });
    const values = {
      truck: truckName(scene, vehicle),
      services: names(scene, outlook.services),
      dueMiles: numberWords(outlook.dueMiles, language(scene)),
      when: dateRange(scene, outlook.dueDate),
      shop: scene.tools.shop.name,
    };
    const unasked = scene.event.kind === 'time';
    const choices = options(scene, ['yes', 'option-see-times'], ['later', 'option-later'], ['sold', 'option-sold']);
    const offered = ask(
      inHand,
      'service-offer',
      text(scene, hasPassed(outlook, scene.today) ? 'offer-service-passed' : 'offer-service', values),
      choices,
      unasked ? { unasked: true } : {},
    );
    return due && unasked ? asked(offered, due) : offered;
  },

  /** The offer is taken: it is not repeated while a time is chosen. */
  takeOffer: (scene) => closeFollowUp(scene, { what: 'answered-taken-up' }),

  /** A number that is read now finds the right week; it can be skipped. */
  askOdometerFirst(scene) {
    const { followUpId } = scene.file.conversation;
    const taken = withTalk(followUp.takeOffer!(scene), { followUpId });
    const body = text(scene, 'ask-odometer-first', { truck: truckName(scene, vehicleOf(scene)) });
    return ask(taken, 'odometer-first', body, options(scene, ['skip', 'option-skip-odometer']));
  },

  /** The times that are offered are those about the day that the new reading speaks for. */
  takeBestDay(scene) {
    const vehicle = vehicleOf(scene);
    const day = vehicle && scene.tools.bookingDay(vehicle, scene.today);
    const read = withTalk(closeQuestion(scene, scene.heard.text ?? ''), { followUpId: undefined });
    return day ? withTalk(read, { wantedTime: weekFrom(day) }) : read;
  },

  skipReading: (scene) => withTalk(closeQuestion(scene, scene.heard.text ?? ''), { followUpId: undefined }),

  sayTooEarly(scene) {
    const vehicle = vehicleOf(scene);
    const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
    const read = withTalk(closeQuestion(scene, scene.heard.text ?? ''), {
      followUpId: undefined,
      services: [],
      wantedTime: undefined,
    });
    const miles = vehicle?.readings.at(-1)?.miles;
    if (!outlook || miles === undefined) return reply(read, text(scene, 'noted'));
    const values = {
      miles: numberWords(miles, language(scene)),
      services: names(scene, outlook.services),
      left: numberWords(Math.max(0, outlook.dueMiles - miles), language(scene)),
    };
    return withForecast(reply(read, text(scene, 'too-early', values)), vehicle);
  },

  closeTruck: (scene) => closed(scene, 'sold'),

  closeScrapped: (scene) => closed(scene, 'scrapped'),

  /** Not now: outside the hours, too soon after the last one, a question or a booking open, or not wanted at all. */
  putOffFollowUp(scene) {
    const due = followUpInHand(scene);
    if (!due) return scene;
    const { owner } = scene.file;
    if (owner.optedOutAt) return withFollowUp(scene, logged(scene, { ...due, state: 'closed' }, 'opted-out'));
    if (owner.unreachableSince)
      return withFollowUp(scene, logged(scene, { ...due, state: 'call-list' }, 'unreachable'));
    if (!owner.consent && due.kind !== 'appointment-reminder')
      return withFollowUp(scene, logged(scene, { ...due, state: 'closed' }, 'no-consent'));
    if (truckFor(scene, due.vehicleId)?.state !== 'active')
      return withFollowUp(scene, logged(scene, { ...due, state: 'closed' }, 'truck-gone'));
    const limited = due.kind === 'appointment-reminder' ? { ...scene.file, unaskedAt: [] } : scene.file;
    const allowed = scene.tools.nextAllowed(limited, scene.now);
    const busy = allowed <= scene.now;
    const dueAt = busy ? scene.tools.nextAllowed(limited, inDays(scene, 1)) : allowed;
    return withFollowUp(scene, logged(scene, { ...due, dueAt }, busy ? 'not-yet-busy' : 'not-yet-limits'));
  },

  sayAppointmentTomorrow(scene) {
    const due = followUpInHand(scene);
    const request = scene.file.requests.find(({ id }) => id === due?.requestId);
    if (!due) return scene;
    const done = withFollowUp(scene, logged(scene, { ...due, state: 'sent', attempts: due.attempts + 1 }, 'sent'));
    if (!request?.slot || request.state !== 'accepted' || request.slot.start < scene.now.slice(0, 10)) {
      return withFollowUp(scene, logged(scene, { ...due, state: 'closed' }, 'no-appointment'));
    }
    const vehicle = truckFor(scene, request.vehicleId);
    const time = instantWords(new Date(request.slot.start).toISOString(), scene.tools.shop.zone, language(scene));
    const day = new Date(request.slot.start).toISOString() <= scene.now ? null : dayOf(scene, request.slot.start);
    if (day === null) return withFollowUp(scene, logged(scene, { ...due, state: 'closed' }, 'too-late'));
    const body = text(scene, day === dayOf(scene, scene.now) ? 'appointment-today' : 'appointment-tomorrow', {
      truck: truckName(scene, vehicle),
      time,
      address: scene.tools.shop.address,
      phone: scene.tools.shop.phone,
    });
    // It belongs to the appointment that the owner made, and takes nothing from what may be written unasked.
    return reply(done, body);
  },

  askLeak(scene) {
    const due = followUpInHand(scene);
    if (!due) return scene;
    const inHand = withTalk(scene, { vehicleId: due.vehicleId ?? null, followUpId: due.id });
    const body = text(scene, 'ask-leak', {
      truck: truckName(scene, truckFor(scene, due.vehicleId)),
      shop: scene.tools.shop.name,
    });
    const question = ask(inHand, 'leak', body, options(scene, ['yes', 'option-leak-yes'], ['no', 'option-leak-no']), {
      unasked: true,
    });
    return withFollowUp(question, logged(scene, { ...due, state: 'sent', attempts: due.attempts + 1 }, 'sent'));
  },

  recordLeak: (scene) =>
    record(
      closeQuestion(scene, text(scene, 'option-leak-yes')),
      recordsFrom(scene, { symptoms: ['fuel-leak'] }, scene.heard.text ?? ''),
    ),

  sayGladNoLeak: (scene) =>
    reply(
      withTalk(closeQuestion(scene, text(scene, 'option-leak-no')), { followUpId: undefined }),
      text(scene, 'glad-no-leak'),
    ),

  /** Who cannot be reached is phoned by the shop instead. */
  toCallList(scene) {
    const open = scene.file.followUps.filter(
      ({ state, kind }) => (state === 'waiting' || state === 'sent') && !REQUEST_FOLLOW_UPS.includes(kind),
    );
    const listed = open.reduce(
      (next, due) => withFollowUp(next, logged(next, { ...due, state: 'call-list' }, 'unreachable')),
      scene,
    );
    return scene.file.requests.some(({ state }) => state === 'requested' || state === 'accepted')
      ? reply(listed, staffText(scene, 'staff-unreachable', { phone: scene.file.owner.phone ?? '' }), { to: 'staff' })
      : listed;
  },
};

/** Even the latest day that is likely is over. */
const hasPassed = ({ dueDate: { p90 } }: Outlook, today: IsoDate): boolean => p90 !== null && p90 <= today;

export const names = (scene: Scene, services: readonly Parameters<Scene['tools']['serviceName']>[0][]): string =>
  services.map((id) => scene.tools.serviceName(id, language(scene))).join(', ');

/** Our guess of the odometer, rounded as a person would say it; none where there is no reading. */
export function guessOf(scene: Scene, vehicle: Vehicle): number | null {
  const outlook = scene.tools.outlook(vehicle, scene.today);
  return outlook ? Math.round(outlook.milesToday.p50 / 100) * 100 : null;
}

/** Times are looked for from the day on that the service is due, not from today. */
const weekFrom = (date: string): WantedTime => ({
  from: date,
  to: new Date(Date.parse(date) + 6 * 86_400_000).toISOString().slice(0, 10),
  part: 'any',
});

const dayOf = (scene: Scene, instant: string): string =>
  DateTime.fromISO(instant).setZone(scene.tools.shop.zone).toISODate() ?? instant.slice(0, 10);

export const logged = (scene: Scene, due: FollowUp, what: FollowUpEvent): FollowUp => ({
  ...due,
  log: [...due.log, { at: scene.now, what }],
});

export const inDays = (scene: Scene, days: number): string =>
  new Date(Date.parse(scene.now) + days * 86_400_000).toISOString();

/** Sent: the plan says whether and when it comes again, until it is answered. */
export function asked(scene: Scene, due: FollowUp): Scene {
  const attempts = due.attempts + 1;
  const sent = withFollowUp(scene, logged(scene, { ...due, attempts, state: 'sent' }, 'sent'));
  return withForecast(sent, truckFor(sent, due.vehicleId));
}

/** What is foretold is kept, so that it can be held against what comes. */
export function withForecast(scene: Scene, vehicle: Vehicle | undefined): Scene {
  const outlook = vehicle && scene.tools.outlook(vehicle, scene.today);
  if (!vehicle || !outlook) return scene;
  const { dueMiles, dueDate } = outlook;
  return effect(scene, { do: 'log-forecast', vehicleId: vehicle.id, at: scene.now, dueMiles, ...dueDate });
}

/** Ends the follow-up in hand, and with an answer all that was sent about its truck before it. */
export function closeFollowUp(scene: Scene, answer: Omit<FollowUpEntry, 'at'>): Scene {
  const { followUpId } = scene.file.conversation;
  const due = scene.file.followUps.find(({ id }) => id === followUpId);
  const kept = withTalk(scene, { followUpId: undefined });
  if (!due) return kept;
  const log = [...due.log, { at: kept.now, ...answer }];
  const ended = withFollowUp(kept, { ...due, state: 'answered', log });
  return scene.file.followUps
    .filter(
      (one) => one !== due && one.vehicleId === due.vehicleId && one.state === 'sent' && REPEATED.includes(one.kind),
    )
    .reduce(
      (next, one) => withFollowUp(next, logged(next, { ...one, state: 'answered' }, 'answered-with-later')),
      ended,
    );
}

/** The truck in hand is gone for good: nothing more is asked about it, and what stands with the shop stays. */
function closed(scene: Scene, state: 'sold' | 'scrapped'): Scene {
  const { question, vehicleId } = scene.file.conversation;
  const active = scene.file.vehicles.filter((one) => one.state === 'active');
  const named =
    scene.heard.question?.vehicleId ?? question?.vehicleId ?? (active.length === 1 ? active[0]?.id : vehicleId);
  const vehicle = truckFor(scene, named ?? undefined);
  if (!vehicle) return reply(scene, text(scene, 'which-sold'));
  const sold = withVehicle(scene, { ...vehicle, state });

  const ended = sold.file.followUps
    .filter(
      ({ vehicleId, state, kind }) =>
        vehicleId === vehicle.id && state === 'waiting' && !REQUEST_FOLLOW_UPS.includes(kind),
    )
    .reduce((next, due) => withFollowUp(next, logged(next, { ...due, state: 'closed' }, 'truck-gone')), sold);
  const kept = withTalk(closeQuestion(ended, text(scene, 'option-sold')), {
    vehicleId: null,
    followUpId: undefined,
    matter: null,
  });
  return reply(kept, text(scene, 'truck-closed', { truck: truckName(scene, vehicle) }));
}
