import type { LifeOutcome, RangeHeld } from './life.ts';
import { ratioOf, type Measured } from './statistics.ts';

/** What a run came to. Shares and rates are plain numbers; `standardErrors` holds those of the same names. */
export type Measures = Record<string, number | Record<string, number>>;

const YEAR = 365.25;
/** Days about the day on which a service is due by time within which it counts as due by time. */
const DAYS_ABOUT = 14;

/** The measures of a run over independent owners: the truck, not the service, is what was drawn at random. */
export function measuresOfRun(all: readonly LifeOutcome[]): Measures {
  const faithful = all.filter((one) => one.faithful);
  const share = (holds: (service: LifeOutcome['services'][number]) => boolean, of = all) =>
    ratioOf(of.map(({ services }) => [services.filter(holds).length, services.length]));
  const isNear = ({ milesLate }: LifeOutcome['services'][number]) => Math.abs(milesLate) <= 1000;
  /** Early by its miles, because the time of its interval was over. */
  const isDueByTime = ({ milesLate, daysLate = -Infinity }: LifeOutcome['services'][number]) =>
    milesLate < -1000 && Math.abs(daysLate) <= DAYS_ABOUT;
  const isLate = ({ milesLate }: LifeOutcome['services'][number]) => milesLate > 1500;
  const aYear = (of: (outcome: LifeOutcome) => number) => ratioOf(all.map((one) => [of(one), one.days / YEAR]));
  const sum = (of: (outcome: LifeOutcome) => number) => all.reduce((total, one) => total + of(one), 0);
  const ranges = (mark: RangeHeld['mark'], where: RangeHeld['held'], least = 0, most = Infinity) =>
    ratioOf(
      all.map((one) => {
        const some = one.ranges.filter(
          (range) => range.mark === mark && range.readings >= least && range.readings <= most,
        );
        return [some.filter(({ held }) => held === where).length, some.length];
      }),
    );
  const unasked = ({ messages }: LifeOutcome) =>
    messages['odometer-check'] + messages['service-offer'] + messages['leak-check'];
  const measured: Record<string, Measured> = {
    messagesPerVehicleYear: aYear(unasked),
    offeredWithin1000Miles: share(isNear),
    offeredOver1500MilesLate: share(isLate),
    offeredOver1000MilesEarly: share(({ milesLate }) => milesLate < -1000),
    offeredEarlyAsDueByTime: share(isDueByTime),
    faithfulOver1000MilesEarly: share(({ milesLate }) => milesLate < -1000, faithful),
    faithfulEarlyAsDueByTime: share(isDueByTime, faithful),
    neverServed: share(({ done }) => !done),
    faithfulWithin1000Miles: share(isNear, faithful),
    faithfulOver1500MilesLate: share(isLate, faithful),
    // At random days for a random mark: the times and the marks know nothing of the policy.
    intervalCoverage: ranges('random', 'within'),
    intervalTruthBefore: ranges('random', 'early'),
    intervalTruthAfter: ranges('random', 'late'),
    intervalCoverageOneReading: ranges('random', 'within', 1, 1),
    intervalCoverageTwoReadings: ranges('random', 'within', 2, 2),
    intervalCoverageThreeToFourReadings: ranges('random', 'within', 3, 4),
    intervalCoverageFiveReadingsOrMore: ranges('random', 'within', 5),
    // For the truck's own mark, which lies a whole interval ahead for most of the time.
    ownMarkCoverage: ranges('own', 'within'),
    ownMarkTruthBefore: ranges('own', 'early'),
    ownMarkTruthAfter: ranges('own', 'late'),
    ownMarkCoverageOneReading: ranges('own', 'within', 1, 1),
    ownMarkCoverageTwoReadings: ranges('own', 'within', 2, 2),
    ownMarkCoverageThreeReadingsOrMore: ranges('own', 'within', 3),
    questionsAnswered: ratioOf(all.map(({ answers, messages }) => [answers, messages['odometer-check']])),
  };
  const values = (pick: (measure: Measured) => number) =>
    Object.fromEntries(Object.entries(measured).map(([name, measure]) => [name, round(pick(measure))]));
  return {
    vehicleYears: round(sum(({ days }) => days) / YEAR),
    ...values(({ value }) => value),
    messagesByKindPerVehicleYear: {
      questions: round(aYear(({ messages }) => messages['odometer-check']).value),
      offers: round(aYear(({ messages }) => messages['service-offer']).value),
      checksAfterWork: round(aYear(({ messages }) => messages['leak-check']).value),
      appointmentsTheDayBefore: round(aYear(({ messages }) => messages.appointment).value),
    },
    services: sum(({ services }) => services.length),
    bookings: sum(({ bookings }) => bookings),
    noShows: sum(({ noShows }) => noShows),
    // Less than all of them where the first talk got stuck: then the other figures say little.
    ownersAgreed: round(sum(({ agreed }) => Number(agreed)) / all.length),
    duplicatesSent: sum(({ duplicates }) => duplicates),
    followUpsLost: sum(({ lost }) => lost),
    messagesOutsideHours: sum(({ outsideHours }) => outsideHours),
    messagesAfterOptOut: sum(({ afterOptOut }) => afterOptOut),
    readingsTold: sum(({ readings }) => readings.told),
    readingsKeptAsTold: sum(({ readings }) => readings.asTold),
    standardErrors: values(({ standardError }) => standardError),
  };
}

const round = (value: number): number => Math.round(value * 10_000) / 10_000;
