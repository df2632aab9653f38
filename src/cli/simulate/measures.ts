import type { LifeOutcome } from './life.ts';
import { ratioOf, type Measured } from './statistics.ts';

/** What a run came to. Shares and rates are plain numbers; `standardErrors` holds those of the same names. */
export type Measures = Record<string, number | Record<string, number>>;

const YEAR = 365.25;

/** The measures of a run over independent owners: the truck, not the service, is what was drawn at random. */
export function measuresOfRun(all: readonly LifeOutcome[]): Measures {
  const share = (holds: (service: LifeOutcome['services'][number]) => boolean) =>
    ratioOf(all.map(({ services }) => [services.filter(holds).length, services.length]));
  const aYear = (of: (outcome: LifeOutcome) => number) => ratioOf(all.map((one) => [of(one), one.days / YEAR]));
  const sum = (of: (outcome: LifeOutcome) => number) => all.reduce((total, one) => total + of(one), 0);
  const held = (which: (readings: number) => boolean) =>
    ratioOf(
      all.map(({ ranges }) => {
        const some = ranges.filter(({ readings }) => which(readings));
        return [some.filter((one) => one.held).length, some.length];
      }),
    );
  const unasked = ({ messages }: LifeOutcome) =>
    messages['odometer-check'] + messages['service-offer'] + messages['leak-check'];
  const measured: Record<string, Measured> = {
    messagesPerVehicleYear: aYear(unasked),
    offeredWithin1000Miles: share(({ milesLate }) => Math.abs(milesLate) <= 1000),
    offeredOver1500MilesLate: share(({ milesLate }) => milesLate > 1500),
    offeredOver1000MilesEarly: share(({ milesLate }) => milesLate < -1000),
    neverServed: share(({ done }) => !done),
    intervalCoverage: held(() => true),
    intervalCoverageOneReading: held((readings) => readings === 1),
    intervalCoverageTwoReadings: held((readings) => readings === 2),
    intervalCoverageThreeReadingsOrMore: held((readings) => readings >= 3),
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
