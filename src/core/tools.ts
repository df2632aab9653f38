import { parsePhoneNumberFromString, type CountryCode } from 'libphonenumber-js/max';
import { DateTime } from 'luxon';
import { advise } from './advise/mod.ts';
import { estimate } from './advise/estimate.ts';
import { labourOf } from './advise/services-cost.ts';
import { serviceText } from './advise/services.ts';
import { modelYearFromVin } from './advise/vehicles-vin.ts';
import { yearsBuilt } from './advise/wording.ts';
import { familiesFor } from './advise/vehicles.ts';
import { answerBy, calendarFile, changeRequest, findSlots, isFree, type HoursOf } from './book/mod.ts';
import type { Tools } from './converse/mod.ts';
import type { Flows } from './flows.ts';
import { confirmReading, gate, nextAllowed } from './follow-up/mod.ts';
import { holdOf, type Taken } from './model/booking.ts';
import { factsOf } from './model/facts.ts';
import type { OwnerFile, Reading } from './model/owner.ts';
import type { Askable, ReadRequest } from './model/reading.ts';
import type { Instant, IsoDate } from './model/time.ts';
import type { Known } from './model/turn.ts';
import { bookingDay, outlookFor } from './outlook.ts';
import { forecastPictureFor } from './shop-view.ts';
import { read } from './understand/read.ts';

/** Bay hours of services for a truck: the upper end of the bundle, so that a job does not run into the next one. */
export const hoursOfServices =
  (flows: Flows): HoursOf =>
  (services, facts) =>
    labourOf(services, familiesFor(facts, flows.advice.vehicles), flows.services).bundle.labourHours.high;

/** Joins the stages for one turn: the conversation gets the others as functions over values. */
export function toolsFor(flows: Flows, known: Known, now: Instant): Tools {
  const { shop, texts, talk } = flows;
  const today = dayIn(now, shop.zone);
  const ownHold = holdOf(known.file.owner.id);
  const othersIn = (taken: readonly Taken[], leaveOut: string | undefined): Taken[] =>
    taken.filter(({ holder }) => holder === undefined || (holder !== ownHold && holder !== leaveOut));
  return {
    shop,
    questions: talk.questions,
    say: texts.say,
    advise: (facts, language) => advise(facts, flows.advice, language, today),
    estimate: (facts, services, language) => estimate(facts, services, flows.services, language),
    serviceName: (id, language) => serviceText(id, flows.services, language).name,
    slots(request) {
      const { diary } = known;
      if (!diary) return { need: 'diary', from: today, to: daysAfter(today, shop.booking.horizonDays + 14) };
      const language = known.file.owner.language;
      const booked = othersIn(diary.taken, request.leaveOut);
      return findSlots(
        { ...request, now: request.at, booked },
        { shop, texts, language, hoursOf: hoursOfServices(flows) },
      );
    },
    taken: (slot, leaveOut) => known.diary !== undefined && !isFree(slot, othersIn(known.diary.taken, leaveOut)),
    answerBy: (at) => answerBy(at, shop),
    partsLeadDays: (services) => Math.max(0, ...services.map((id) => shop.booking.partsLeadDays[id] ?? 0)),
    change(request, action, by, at) {
      const changed = changeRequest(request, action, by, at, shop);
      if (changed.ok) {
        return { ok: true, request: changed.request, ...(changed.calendar && { calendar: changed.calendar }) };
      }
      const { text, values, services = [] } = changed.because;
      const names = services.map((id) => serviceText(id, flows.services, 'en').name).join(', ');
      return { ok: false, because: texts.say('en', text, { ...values, services: names }) };
    },
    calendarFile(request, change, at, language) {
      const work = request.services.map((id) => serviceText(id, flows.services, language).name).join(', ');
      const moved = change === 'created' && request.calendarSequence > 1 ? 'moved' : change;
      return calendarFile(request, moved, work, { shop, texts, language, at }) ?? '';
    },
    outlook: (vehicle, day, followUps = known.file.followUps) => outlookFor(vehicle, followUps, flows, day),
    forecastPicture: (vehicle, outlook, day, language) => forecastPictureFor(vehicle, outlook, flows, day, language),
    bookingDay: (vehicle, day) => bookingDay(vehicle, flows, day),
    confirmReading(vehicle, reading) {
      const { modelYear, milesPerYear } = factsOf(vehicle.facts);
      const { outcome, dropped } = confirmReading(
        vehicle.readings,
        reading,
        { modelYear, milesPerYear },
        flows.parameters,
      );
      const wrong = ({ date, miles }: Reading) => dropped.some((one) => one.date === date && one.miles === miles);
      return [
        ...vehicle.readings.filter((one) => !wrong(one)),
        { ...reading, ...(outcome === 'new-cluster' && { clusterReset: true }) },
      ];
    },
    gate(vehicle, miles, date) {
      const facts = factsOf(vehicle.facts);
      const answer = gate(
        vehicle.readings,
        { date, miles },
        { modelYear: facts.modelYear, milesPerYear: facts.milesPerYear },
        flows.parameters,
      );
      if (answer.verdict === 'plausible') return { plausible: true };
      const last = vehicle.readings.at(-1);
      const language = known.file.owner.language;
      const days = last ? Math.round((Date.parse(date) - Date.parse(last.date)) / 86_400_000) : 0;
      const because = texts.say(language, `gate-${answer.because}`, {
        miles: miles - (last?.miles ?? 0),
        last: last?.miles ?? 0,
        days,
      });
      const perhaps = answer.alternatives[0]?.miles;
      return { plausible: false, because, ...(perhaps !== undefined && { perhaps }) };
    },
    nextAllowed: (file, from) =>
      nextAllowed(from, file.owner.zone, shop.followUp.between, file.unaskedAt, shop.followUp) ?? NEVER,
    read(text, { asked, vehicle, today: day }) {
      const last = vehicle?.readings.at(-1);
      const request: ReadRequest = {
        text,
        today: day,
        ...(asked && { asked: asked as Askable }),
        ...(last && { lastOdometerMiles: last.miles, lastReadingDate: last.date }),
      };
      return read(request, flows.lexicon);
    },
    yearsOfEngine(facts) {
      const engine = flows.advice.engines.classOf(facts);
      return flows.advice.engines.yearFits(facts) ? undefined : yearsBuilt(engine.families);
    },
    yearOfVin: (vin) => modelYearFromVin(vin, { latest: Number(today.slice(0, 4)) + 1 }),
    phone(text) {
      const number = parsePhoneNumberFromString(text, shop.region.country as CountryCode);
      return number?.isPossible() ? number.formatNational() : null;
    },
  };
}

const NEVER: Instant = '9999-12-31T00:00:00.000Z';

export const dayIn = (instant: Instant, zone: string): IsoDate =>
  DateTime.fromISO(instant, { zone }).toISODate() ?? instant.slice(0, 10);

const daysAfter = (date: IsoDate, days: number): IsoDate =>
  DateTime.fromISO(date, { zone: 'utc' }).plus({ days }).toISODate() ?? date;

/** The day on which something was said, by the owner's own clock: wording such as "tomorrow" resolves against it. */
export const ownersDay = (file: OwnerFile, at: Instant): IsoDate => dayIn(at, file.owner.zone);
