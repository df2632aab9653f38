import { accuracyOf, casesOf, lossRatio, withBestSpread, type Case, type Forecaster } from './accuracy.ts';
import { isFaithful } from './people.ts';
import { remind, type Method, type ReminderRules, type TruckOutcome } from './reminders.ts';
import { ratioOf, type Measured } from './statistics.ts';
import { arrival, type World } from './world.ts';

/** How well a method's services meet their mark, by true miles at the day of the service, and what it costs. */
export interface ReminderMeasures {
  method: string;
  trucks: number;
  services: number;
  within1000: Measured;
  over1500Late: Measured;
  over1000Early: Measured;
  neverDone: Measured;
  messagesPerVehicleYear: Measured;
  answered: Measured;
}

/** Which owners a figure is about. */
export type Selection = (outcome: TruckOutcome) => boolean;

/** Owners who answer at least half of the questions and do not haul heavy loads. */
export const FAITHFUL: Selection = ({ owner }) => isFaithful(owner);

export function measuresOf(method: string, all: readonly TruckOutcome[], of: Selection = () => true): ReminderMeasures {
  const outcomes = all.filter(of);
  const share = (holds: (service: TruckOutcome['services'][number]) => boolean) =>
    ratioOf(outcomes.map(({ services }) => [services.filter(holds).length, services.length] as const));
  return {
    method,
    trucks: outcomes.length,
    services: outcomes.reduce((sum, { services }) => sum + services.length, 0),
    within1000: share(({ milesLate }) => Math.abs(milesLate) <= 1000),
    over1500Late: share(({ milesLate }) => milesLate > 1500),
    over1000Early: share(({ milesLate }) => milesLate < -1000),
    neverDone: share(({ done }) => !done),
    messagesPerVehicleYear: ratioOf(outcomes.map(({ questions, offers, days }) => [questions + offers, days / 365.25])),
    answered: ratioOf(outcomes.map(({ answers, questions }) => [answers, questions])),
  };
}

/** Runs each method over the same owners with the same dice. */
export function compareReminders(
  world: World,
  seed: string | number,
  vehicles: number,
  methods: readonly Method[],
  rules: ReminderRules,
): Map<string, TruckOutcome[]> {
  const outcomes = new Map<string, TruckOutcome[]>(methods.map(({ name }) => [name, []]));
  for (let index = 0; index < vehicles; index++) {
    for (const method of methods) {
      const { owner, start } = arrival(world, seed, index);
      outcomes.get(method.name)?.push(remind(owner, start, method, rules));
    }
  }
  return outcomes;
}

/** The difference of one method's share to another's on the same owners, with the paired standard error. */
export function pairedDifference(
  one: readonly TruckOutcome[],
  other: readonly TruckOutcome[],
  holds: (service: TruckOutcome['services'][number]) => boolean,
): Measured {
  const share = (outcomes: readonly TruckOutcome[]) =>
    ratioOf(outcomes.map(({ services }) => [services.filter(holds).length, services.length] as const)).value;
  const total = (outcomes: readonly TruckOutcome[]) => outcomes.reduce((sum, { services }) => sum + services.length, 0);
  const first = share(one);
  const second = share(other);
  const weights = [total(one), total(other)] as const;
  const effects = one.map((outcome, index) => {
    const partner = other[index]?.services ?? [];
    const own = outcome.services;
    const a = (own.filter(holds).length - first * own.length) / weights[0];
    const b = (partner.filter(holds).length - second * partner.length) / weights[1];
    return a - b;
  });
  return { value: first - second, standardError: Math.sqrt(effects.reduce((sum, effect) => sum + effect ** 2, 0)) };
}

/** Forecasts at random times over many owners, and the losses against each other. */
export function compareForecasts(
  world: World,
  seed: string | number,
  vehicles: number,
  judge: Pick<Method, 'suspicious' | 'confirmed'>,
  forecasters: readonly Forecaster[],
) {
  const cases: Case[] = [];
  for (let index = 0; index < vehicles; index++) {
    const { owner, start } = arrival(world, seed, index);
    cases.push(...casesOf(owner, index, start, judge, forecasters));
  }
  return {
    accuracies: accuracyOf(cases, forecasters),
    /** Loss of the first forecaster over each other one: as it stands, and given the best constant spread. */
    ratios: forecasters.slice(1).map((other, index) => {
      const at = index + 1;
      const first = (item: Case) => item.days[0] ?? ([1, 1, 1] as const);
      const asItStands = (item: Case) => item.days[at] ?? ([1, 1, 1] as const);
      return {
        against: other.name,
        asItStands: lossRatio(cases, first, asItStands),
        withBestSpread: lossRatio(cases, first, withBestSpread(cases, at)),
      };
    }),
  };
}
