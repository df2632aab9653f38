import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addDays, dateOfDay, dayNumber, daysBetween } from '../../../src/core/follow-up/days.ts';
import { paceAt, type Pace } from '../../../src/core/follow-up/pace.ts';
import { PARAMETERS } from '../../../src/core/follow-up/parameters.ts';
import {
  CLOSER_TO_DUE,
  dayToBook,
  PLAIN_POLICY,
  planFromPace,
  planNext,
  type VehicleState,
} from '../../../src/core/follow-up/policy.ts';
import { daysQuantile, probabilityAtMost } from '../../../src/core/follow-up/predict.ts';
import { dayAfterSeasonDays } from '../../../src/core/follow-up/season.ts';
import { compileFollowUp } from '../../../src/core/follow-up/settings.ts';

/** Readings every 60 days at a steady pace, the last one today. */
const steady = (milesPerDay: number, today: string, count = 6): VehicleState['readings'] =>
  Array.from({ length: count }, (_, index) => ({
    date: addDays(today, -60 * (count - 1 - index)),
    miles: 100_000 - 60 * milesPerDay * (count - 1 - index),
  }));
const TODAY = '2026-05-02';
const state = (milesPerDay: number, miles: number, more: Partial<VehicleState> = {}): VehicleState => ({
  readings: steady(milesPerDay, TODAY),
  dueMiles: 100_000 + miles,
  modelYear: 2017,
  milesPerYear: milesPerDay * 365,
  ...more,
});

describe('the plain rule, step by step', () => {
  const plan = (miles: number, more: Partial<VehicleState> = {}, today = TODAY) =>
    planNext(state(35, miles, more), PLAIN_POLICY, today);

  it('asks today where there is no reading', () => {
    expect(planNext({ readings: [], dueMiles: 119_000 }, PLAIN_POLICY, TODAY)).toMatchObject({
      ask: TODAY,
      offer: null,
      because: 'no-reading',
    });
  });

  it('offers now what is passed or due within the lead time', () => {
    for (const miles of [-2_000, 0, 200]) {
      expect(plan(miles)).toMatchObject({ ask: null, offer: TODAY, because: 'due-within-lead' });
    }
  });

  it('offers in the same conversation what is near and sure, for a day within the margin', () => {
    const near = plan(900);
    expect(near).toMatchObject({ ask: null, offer: TODAY, because: 'sure-and-near' });
    expect(daysBetween(TODAY, near.dueOn ?? '')).toBeGreaterThanOrEqual(10);
    expect(daysBetween(TODAY, near.dueOn ?? '')).toBeLessThan(35);
  });

  it('asks at the 12 % date less twenty days where it is not sure', () => {
    const far = planFromPace(belief(35), { dueMiles: 112_000 }, PLAIN_POLICY, TODAY);
    expect(far).toMatchObject({ offer: null, because: 'not-sure-enough' });
    const days = daysQuantile(belief(35), 12_000, 0.12, 4000) ?? 0;
    expect(far.ask).toBe(addDays(dateOfDay(dayAfterSeasonDays(dayNumber(TODAY), days, PARAMETERS)), -20));
  });

  it.each([
    ['not sooner than 21 days after the last message', 2_300, 1, 21],
    ['not later than 300 days after it', 60_000, 6, 300],
  ])('asks %s', (_case, miles, count, days) => {
    const next = plan(miles, { readings: steady(35, TODAY, count) });
    expect(next.because).toBe('not-sure-enough');
    expect(daysBetween(TODAY, next.ask ?? '')).toBe(days);
  });

  it('offers instead of asking where an answer would come too late to help', () => {
    const fast = state(150, 3_000, { readings: steady(150, TODAY, 1) });
    const soon = planNext(fast, PLAIN_POLICY, TODAY);
    expect(soon.because).toBe('due-before-an-answer-helps');
    expect(daysBetween(TODAY, soon.offer ?? '')).toBeLessThan(21);
  });

  it('repeats an unanswered question twice at steps of four days, then lets the forecast speak', () => {
    const asked = '2026-08-01';
    for (const unanswered of [1, 2]) {
      expect(plan(12_000, { lastMessage: asked, unanswered }, '2026-08-02')).toMatchObject({
        ask: '2026-08-05',
        because: 'unanswered',
      });
    }
    const silent = plan(12_000, { lastMessage: asked, unanswered: 3 }, '2026-08-02');
    expect(silent.because).toBe('silent');
    expect(daysBetween(asked, silent.ask ?? '')).toBeGreaterThan(21);
    expect(plan(5_000, { lastMessage: asked, unanswered: 3 }, '2026-08-20')).toMatchObject({
      because: 'silent',
      ask: null,
    });
  });

  it('takes what is due by time for due on that day, however little is driven', () => {
    const parked = plan(15_000, { dueBy: '2026-05-30' });
    expect(parked).toMatchObject({ ask: null, offer: TODAY, dueOn: '2026-05-30' });
    expect(plan(15_000, { dueBy: '2026-12-01' })).toMatchObject({ offer: '2026-11-21', because: 'sure-enough' });
    // A date that the mileage may well outrun does not stand in for a question.
    expect(plan(15_000, { dueBy: '2027-08-01' }).because).toBe('not-sure-enough');
  });

  it('brings a mark that was set before a new instrument along, and leaves a later one alone', () => {
    const readings = [...steady(35, TODAY), { date: '2026-06-01', miles: 500, clusterReset: true }];
    const before = planNext(state(35, 1_500, { readings, dueSetOn: '2025-01-01' }), PLAIN_POLICY, '2026-06-01');
    expect(before.offer).toBe('2026-06-01');
    const after = planNext(
      { ...state(35, 0, { readings }), dueMiles: 22_500, dueSetOn: '2026-06-01' },
      PLAIN_POLICY,
      '2026-06-01',
    );
    expect(after.ask).not.toBeNull();
  });
});

function belief(milesPerDay: number): Pace {
  const readings = steady(milesPerDay, TODAY);
  const last = readings.at(-1);
  const pace = paceAt(
    dayNumber(last?.date ?? ''),
    last?.miles ?? 0,
    { modelYear: 2017, milesPerYear: 365 * milesPerDay },
    PARAMETERS,
  );
  return { ...pace, weight: 120, miles: 120 * milesPerDay };
}

describe('the setting that stays close to the mark', () => {
  const gap = (milesPerDay: number): number => {
    const pace = belief(milesPerDay);
    const plan = planFromPace(
      pace,
      { dueMiles: 103_600 },
      { ...CLOSER_TO_DUE, sureEnough: 0.99, offerQuantile: 0.9, offerInstead: PLAIN_POLICY.offerInstead },
      TODAY,
    );
    return daysBetween(TODAY, plan.ask ?? TODAY);
  };

  it('leaves slow trucks longer in peace than fast ones, whose distance between messages goes by miles', () => {
    expect(gap(15)).toBeGreaterThanOrEqual(CLOSER_TO_DUE.askAfter.laterDays);
    // A mile gap of 1,250 at 100 miles a day and a little more, as the season has it.
    expect(gap(100)).toBeLessThan(15);
    expect(gap(100)).toBeGreaterThanOrEqual(CLOSER_TO_DUE.askAfter.soonestDays);
  });

  it('has one step or the other, never before today, for every truck and every history of silence', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5, max: 150, noNaN: true }),
        fc.integer({ min: -5_000, max: 40_000 }),
        fc.integer({ min: 0, max: 5 }),
        fc.integer({ min: 0, max: 500 }),
        (milesPerDay, miles, unanswered, days) => {
          const today = addDays(TODAY, days);
          const lastMessage = unanswered > 0 ? addDays(TODAY, Math.floor(days / 2)) : TODAY;
          const plan = planNext(state(milesPerDay, miles, { lastMessage, unanswered }), CLOSER_TO_DUE, today);
          expect((plan.ask === null) !== (plan.offer === null)).toBe(true);
          expect((plan.ask ?? plan.offer ?? '') >= today).toBe(true);
          if (plan.offer) expect((plan.dueOn ?? '') >= addDays(plan.offer, CLOSER_TO_DUE.noticeDays)).toBe(true);
          if (plan.ask && unanswered > 0) expect(daysBetween(lastMessage, plan.ask)).toBeGreaterThanOrEqual(4);
        },
      ),
      { numRuns: 200 },
    );
  });
});

describe('owners who do not answer', () => {
  const silent = (milesPerDay: number, more: Partial<VehicleState> = {}, policy = CLOSER_TO_DUE) =>
    planNext(state(milesPerDay, 12_000, { lastMessage: '2026-05-10', unanswered: 1, ...more }), policy, '2026-05-11')
      .because;

  it.each([
    ['asks an owner of whom nothing is known again', 35, {}, 'unanswered'],
    ['asks one who mostly answers again', 35, { asked: 8, answered: 5 }, 'unanswered'],
    ['lets a heavy user be, whose offer is near anyway', 150, {}, 'silent'],
  ] as const)('%s', (_case, milesPerDay, more, because) => {
    expect(silent(milesPerDay, more)).toBe(because);
  });

  it('lets one be who hardly ever answers, where the setting says so', () => {
    const sparing = { ...CLOSER_TO_DUE, repeatFromShare: 0.4 };
    expect(silent(35, { asked: 8, answered: 1 }, sparing)).toBe('silent');
    expect(silent(35, { asked: 8, answered: 5 }, sparing)).toBe('unanswered');
  });

  it('repeats an offer after a week and after two more, then leaves it to the telephone', () => {
    const last = '2026-05-02';
    const after = (unanswered: number) =>
      planNext(state(35, 300, { offers: { unanswered, last } }), CLOSER_TO_DUE, last);
    expect(after(1)).toMatchObject({ offer: '2026-05-09', because: 'offer-unanswered' });
    expect(after(2)).toMatchObject({ offer: '2026-05-16', because: 'offer-unanswered' });
    expect(after(3)).toMatchObject({ offer: null, ask: null, because: 'phone' });
  });
});

describe('a reading that comes with the answer to an offer', () => {
  it('gives the day that is likeliest to be on time', () => {
    const best = dayToBook(state(35, 1_200), CLOSER_TO_DUE, TODAY);
    expect(best?.onTime).toBeGreaterThan(0.9);
    expect(daysBetween(TODAY, best?.day ?? '')).toBeGreaterThanOrEqual(CLOSER_TO_DUE.noticeDays);
    expect(daysBetween(TODAY, best?.day ?? '')).toBeLessThan(45);
    // No day within three weeks either way does better.
    const pace = belief(35);
    const chance = (day: number) => probabilityAtMost(pace, day, 2_200) - probabilityAtMost(pace, day, 200);
    const at = daysBetween(TODAY, best?.day ?? '');
    for (const other of [at - 15, at - 8, at + 8, at + 15]) expect(chance(at)).toBeGreaterThan(chance(other) - 0.01);
  });

  it('puts the booking off where the truck is far from its mark after all', () => {
    expect(dayToBook(state(35, 9_000), CLOSER_TO_DUE, TODAY)).toBeNull();
  });

  it('takes the first possible day where the mark is passed', () => {
    expect(dayToBook(state(35, -500), CLOSER_TO_DUE, TODAY)?.day).toBe(addDays(TODAY, CLOSER_TO_DUE.noticeDays));
  });

  it('says nothing without a reading', () => {
    expect(dayToBook({ readings: [], dueMiles: 119_000 }, CLOSER_TO_DUE, TODAY)).toBeNull();
  });
});

describe('flows/follow-up.yaml', () => {
  const path = 'flows/follow-up.yaml';
  const text = readFileSync(join(import.meta.dirname, '../../..', path), 'utf8');
  const findings = (changed: string) => {
    const checked = compileFollowUp([{ path, text: changed }]);
    return checked.ok ? [] : checked.findings;
  };

  it('holds both settings, the closer one as the code has it', () => {
    const checked = compileFollowUp([{ path, text }]);
    expect(checked.ok && checked.value.policies['closer-to-due']).toEqual(CLOSER_TO_DUE);
    expect(checked.ok && Object.keys(checked.value.policies)).toEqual(['closer-to-due', 'fewer-messages']);
  });

  it.each([
    ['a chance above one', 'sureEnough: 0.85', 'sureEnough: 85', /sureEnough/],
    ['a misspelt key', 'askLeadDays: 19\n    askAfter: #', 'askLeedDays: 19\n    askAfter: #', /ask/],
    ['days that fall', 'soonestDays: 11', 'soonestDays: 50', /must not fall/],
    ['a setting that is missing', '  fewer-messages:', '  fewer-message:', /fewer-message/],
    ['a refit on a handful of trucks', 'minimumTrucks: 60', 'minimumTrucks: 5', /20 trucks/],
  ])('refuses %s with its line', (_case, from, to, message) => {
    expect(text).toContain(from);
    const found = findings(text.replace(from, to));
    expect(found.length).toBeGreaterThan(0);
    expect(found.map((finding) => finding.message).join(' ')).toMatch(message);
    expect(found.every(({ line }) => line > 1)).toBe(true);
  });

  it('says that the file is missing', () => {
    expect(compileFollowUp([])).toMatchObject({ ok: false, findings: [{ file: path, line: 1 }] });
  });
});
