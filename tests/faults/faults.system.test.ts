import { beforeAll, describe, expect, it } from 'vitest';
import { runFaults, summary, type FaultsOutcome } from './faults.ts';

const KILLS = 25;

describe(`the program, killed ${KILLS} times while several people talk with it`, () => {
  let outcome: FaultsOutcome;
  beforeAll(async () => {
    outcome = await runFaults({ kills: KILLS, seed: 20_261_102 }, () => {});
    process.stderr.write(`${summary(outcome)}\n`);
  }, 900_000);

  it('was really killed, at all kinds of moments, while people talked', () => {
    expect(outcome.kills).toBe(KILLS);
    expect(Object.keys(outcome.moments).length).toBeGreaterThan(3);
    expect(outcome.people).toBeGreaterThan(4);
    expect(outcome.messages).toBeGreaterThan(10 * outcome.people);
  });

  it('leaves no message without an answer', () => {
    expect(outcome.findings.unanswered).toEqual([]);
    expect(outcome.findings.lost).toEqual([]);
  });

  it('does nothing twice: one request, one acceptance, one record for each person', () => {
    expect(outcome.findings.twice).toEqual([]);
  });

  it('repeats a message only where a kill fell between sending and marking, and keeps the order of each chat', () => {
    expect(outcome.findings.repeatedOutside).toEqual([]);
    expect(outcome.findings.outOfOrder).toEqual([]);
  });

  it('leaves nothing half written', () => {
    expect(outcome.findings.torn).toEqual([]);
  });

  it('never ends by itself', () => {
    expect(outcome.ownEnds).toEqual([]);
  });
});
