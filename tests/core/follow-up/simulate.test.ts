import { describe, expect, it } from 'vitest';
import { lastTwoPace, leastSquaresPace, yearlyCalendar } from '../../../src/cli/simulate/baselines.ts';
import { Driving, HARD_WORLD } from '../../../src/cli/simulate/driving.ts';
import { PEOPLE, type SimulatedOwner } from '../../../src/cli/simulate/people.ts';
import { randomFor } from '../../../src/cli/simulate/random.ts';
import { dayAfter, remind, type Method, type TruckSeen } from '../../../src/cli/simulate/reminders.ts';
import { pinball, ratioOf, sampleQuantile } from '../../../src/cli/simulate/statistics.ts';
import { compareReminders, measuresOf } from '../../../src/cli/simulate/study.ts';
import { arrival, WORLDS } from '../../../src/cli/simulate/world.ts';
import { readingWords } from '../../../src/cli/simulate/words.ts';
import { CLOSER_TO_DUE } from '../../../src/core/follow-up/mod.ts';
import { judge, telltale } from '../../bench/telltale-method.ts';

const rules = { years: 3, noticeDays: 2, intervalMiles: 22_000, offers: 'all-taken', perYear: Infinity } as const;
const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;

describe('repeatable chance', () => {
  it('draws the same for the same name and other things for another', () => {
    const draw = (...name: (string | number)[]) => {
      const random = randomFor(...name);
      return [random.uniform(), random.normal(), random.gamma(0.4), random.integer(0, 999)];
    };
    expect(draw('seed', 7)).toEqual(draw('seed', 7));
    expect(draw('seed', 7)).not.toEqual(draw('seed', 8));
    expect(draw('seed', 71)).not.toEqual(draw('seed7', 1));
  });

  it.each([
    ['uniform', 0.5, 1 / 12, () => randomFor('u')],
    ['normal', 0, 1, () => randomFor('n')],
    ['exponential', 2, 4, () => randomFor('e')],
    ['gamma', 1, 1 / 1.5, () => randomFor('g')],
    ['small gamma', 1, 1 / 0.3, () => randomFor('s')],
    ['beta', 0.65, (3.9 * 2.1) / (36 * 7), () => randomFor('b')],
  ] as const)('has the mean and the variance of its law: %s', (law, expected, variance, make) => {
    const random = make();
    const draw = {
      uniform: () => random.uniform(),
      normal: () => random.normal(),
      exponential: () => random.exponential(2),
      gamma: () => random.gamma(1.5),
      'small gamma': () => random.gamma(0.3),
      beta: () => random.beta(3.9, 2.1),
    }[law];
    const sample = Array.from({ length: 40_000 }, draw);
    const average = mean(sample);
    expect(Math.abs(average - expected)).toBeLessThan(5 * Math.sqrt(variance / sample.length));
    expect(mean(sample.map((value) => (value - average) ** 2)) / variance).toBeCloseTo(1, 0.9);
  });
});

describe('a made-up truck', () => {
  it('never runs backwards, and its world has the mileage that it is said to have', () => {
    const yearly = Array.from({ length: 300 }, (_, index) => {
      const truck = new Driving(HARD_WORLD, 1, 'mileage', index);
      for (let day = 1; day <= 730; day++) {
        expect(truck.odometerAt(day)).toBeGreaterThanOrEqual(truck.odometerAt(day - 1));
      }
      return (truck.odometerAt(730) - truck.odometerAt(0)) / 2;
    });
    // The share-weighted median of the four uses lies between the daily 12,500 and the working 20,000.
    expect(sampleQuantile(yearly, 0.5)).toBeGreaterThan(10_500);
    expect(sampleQuantile(yearly, 0.5)).toBeLessThan(15_500);
  });

  it('finds the day on which a mark is reached', () => {
    const truck = new Driving(HARD_WORLD, 1, 'mark', 3);
    const mark = truck.startMiles + 5_000;
    const day = truck.dayReaching(mark, 5_000) ?? 0;
    expect(truck.odometerAt(day)).toBeGreaterThanOrEqual(mark);
    expect(truck.odometerAt(day - 1)).toBeLessThan(mark);
    expect(truck.dayReaching(mark, 3)).toBeNull();
  });

  it('is the same whether it is looked at early or late', () => {
    const early = new Driving(HARD_WORLD, 1, 'same', 5);
    early.odometerAt(10);
    const late = new Driving(HARD_WORLD, 1, 'same', 5);
    expect(late.odometerAt(400)).toBe(early.odometerAt(400));
    expect(late.odometerAt(10)).toBe(early.odometerAt(10));
  });
});

describe('made-up owners', () => {
  const owners = Array.from({ length: 600 }, (_, index) => arrival(WORLDS.hard, 'owners', index).owner);
  const share = (holds: (owner: SimulatedOwner) => boolean) => owners.filter(holds).length / owners.length;

  it('answer, state their mileage, and misread as often as they are said to', () => {
    expect(share((owner) => owner.answerDelay(0) !== null)).toBeCloseTo(3.9 / 6, 1);
    expect(share((owner) => owner.statedMilesPerYear !== undefined)).toBeCloseTo(0.6, 1);
    expect(share((owner) => owner.serviceAtIntake)).toBeCloseTo(0.5, 1);
    const told = owners.flatMap((owner) => Array.from({ length: 10 }, (_, ordinal) => owner.tellReading(100, ordinal)));
    expect(told.filter(({ wrong }) => wrong !== null).length / told.length).toBeCloseTo(PEOPLE.wrongReading, 2);
  });

  it('answer within two weeks', () => {
    const delays = owners.flatMap((owner) => owner.answerDelay(1) ?? []);
    expect(Math.min(...delays)).toBe(0);
    expect(Math.max(...delays)).toBeLessThanOrEqual(14);
  });

  it('mend a misread number when they look again', () => {
    const wrong = owners.flatMap((owner, ordinal) => {
      const told = owner.tellReading(200, ordinal);
      return told.wrong ? [{ owner, ordinal, told }] : [];
    });
    const mended = wrong.filter(({ owner, ordinal, told }) => {
      const again = owner.lookAgain(200, ordinal, told);
      return Math.abs(again.miles - owner.shownOn(200)) <= 500;
    });
    expect(wrong.length).toBeGreaterThan(3);
    expect(mended.length / wrong.length).toBeGreaterThan(0.6);
  });

  it('write a number in words that still say it', () => {
    for (const miles of [97_000, 98_400, 118_412]) {
      for (let index = 0; index < 40; index++) {
        const text = readingWords(miles, 'words', index);
        const [, digits = '', thousands] = /([\d.,]+)(k)?/.exec(text) ?? [];
        expect(Number(digits.replaceAll(',', '')) * (thousands ? 1000 : 1)).toBeCloseTo(miles, 6);
      }
    }
  });
});

describe('the study', () => {
  it('gives the same object for the same seed, byte for byte, and another for another', () => {
    const run = (seed: string) => {
      const methods = [telltale('closer-to-due', CLOSER_TO_DUE), yearlyCalendar(judge, 10)];
      const outcomes = compareReminders(WORLDS.hard, seed, 12, methods, rules);
      return JSON.stringify([...outcomes].map(([name, list]) => measuresOf(name, list)));
    };
    expect(run('one')).toBe(run('one'));
    expect(run('one')).not.toBe(run('two'));
  });

  it('meets every method with the same trucks', () => {
    const methods = [telltale('closer-to-due', CLOSER_TO_DUE), yearlyCalendar(judge, 10)];
    const [own = [], calendar = []] = [...compareReminders(WORLDS.hard, 'pairs', 8, methods, rules).values()];
    own.forEach((outcome, index) => {
      expect(outcome.owner.driving.odometerAt(1000)).toBe(calendar[index]?.owner.driving.odometerAt(1000));
    });
  });

  it('counts a truck that was driven past its mark without a service as late and never done', () => {
    const silent: Method = { ...judge, name: 'silent', next: () => ({ ask: null, offer: null, dueOn: null }) };
    const { owner, start } = arrival(WORLDS.hard, 'late', 1);
    const outcome = remind(owner, start, silent, { ...rules, years: 8 });
    expect(outcome.services).toHaveLength(1);
    expect(outcome.services[0]).toMatchObject({ done: false });
    expect(outcome.services[0]?.milesLate).toBeGreaterThan(1500);
  });

  it('serves on the mark where a method knows the truth', () => {
    const { owner, start } = arrival(WORLDS.hard, 'oracle', 4);
    const oracle: Method = {
      ...judge,
      name: 'oracle',
      next: (seen, today) => {
        const shown = (day: number) => owner.shownOn(day);
        let day = dayAfter(start, today);
        while (shown(day) < seen.dueMiles) day += 1;
        const due = new Date(Date.parse(start) + day * 86_400_000).toISOString().slice(0, 10);
        const offer = new Date(Date.parse(due) - 10 * 86_400_000).toISOString().slice(0, 10);
        return { ask: null, offer: offer < today ? today : offer, dueOn: due };
      },
    };
    const outcome = remind(owner, start, oracle, { ...rules, years: 6 });
    expect(outcome.services.length).toBeGreaterThan(1);
    for (const service of outcome.services) expect(Math.abs(service.milesLate)).toBeLessThan(400);
    expect(outcome.questions).toBe(0);
  });

  it('keeps the shop’s cap a year', () => {
    const nosy: Method = { ...judge, name: 'nosy', next: (_seen, today) => ({ ask: today, offer: null, dueOn: null }) };
    const { owner, start } = arrival(WORLDS.hard, 'cap', 2);
    const outcome = remind(owner, start, nosy, { ...rules, years: 1.9, perYear: 6 });
    expect(outcome.questions).toBe(12);
  });
});

describe('the measures', () => {
  it('give a ratio the standard error of the trucks it was drawn from', () => {
    // Two of four hold on two trucks: by hand, residuals ±1 about ½ of 2, so √(2 · 2 / 1) / 4.
    expect(
      ratioOf([
        [2, 2],
        [0, 2],
      ]),
    ).toEqual({ value: 0.5, standardError: Math.sqrt((2 * 2) / 1) / 4 });
    expect(ratioOf([]).value).toBe(0);
  });

  it('know pinball losses and sample quantiles', () => {
    expect(pinball(3, 5, 0.9)).toBeCloseTo(1.8, 12);
    expect(pinball(5, 3, 0.9)).toBeCloseTo(0.2, 12);
    expect(sampleQuantile([4, 1, 3, 2], 0.5)).toBe(2.5);
  });

  it('draw straight lines as textbooks do', () => {
    const seen = {
      readings: [],
      modelYear: 2017,
      milesPerYear: 10_000,
      dueMiles: 0,
      lastService: '',
      lastMessage: '',
      unanswered: 0,
      asked: 0,
      answered: 0,
    } satisfies TruckSeen;
    const readings = [
      { date: '2026-01-01', miles: 90_000 },
      { date: '2026-01-11', miles: 90_200 },
      { date: '2026-01-21', miles: 90_700 },
    ];
    expect(lastTwoPace({ ...seen, readings })).toBe(50);
    // Least squares of 0, 200, 700 on 0, 10, 20: slope Σ(x − 10)(y − 300) / Σ(x − 10)² = 7000 / 200.
    expect(leastSquaresPace({ ...seen, readings })).toBe(35);
    expect(lastTwoPace({ ...seen, readings: readings.slice(0, 1) })).toBeCloseTo(10_000 / 365.25, 12);
  });
});
