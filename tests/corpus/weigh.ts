import type { Symptom } from '../../src/core/model/ids.ts';
import { evidenceOfWish, read, type Lexicon } from '../../src/core/understand/read.ts';
import { readComplaints } from '../../src/core/understand/complaints/mod.ts';
import { ALWAYS, type Signs } from '../../src/core/understand/opinion/weighing.ts';
import { wishSigns } from '../../src/core/understand/opinion/wish.ts';
import { readMessage } from '../../src/core/understand/text.ts';
import type { CorpusLine } from './score.ts';

/** What speaks for something in one message, and whether it was so. */
export interface Case {
  signs: Signs;
  holds: boolean;
}

/** The signs of every symptom that something speaks for in an opening, with its label. */
export function symptomCases(line: CorpusLine, lexicon: Lexicon): Case[] {
  if (line.mayBeUnsure?.includes('symptoms')) return [];
  const told = new Set(line.facts['symptoms'] as Symptom[] | undefined);
  const { weighed } = readComplaints(readMessage(line.text), {}, lexicon.complaints);
  return [...weighed].map(([symptom, { signs }]) => ({ signs, holds: told.has(symptom) }));
}

/** The signs of every intent of an opening, with its label. */
export function intentCases(line: CorpusLine, lexicon: Lexicon): Case[] {
  const right = line.intentAny ?? (line.facts['intent'] === undefined ? [] : [line.facts['intent']]);
  const message = readMessage(line.text);
  const { wishes, symptoms, ask, intentIsPlain } = readComplaints(message, {}, lexicon.complaints);
  if (!wishes || intentIsPlain || right.length === 0) return [];
  // As the patterns read it: nothing is weighed yet.
  const unweighed = { ...lexicon, complaints: { ...lexicon.complaints, weighing: undefined } };
  const evidence = evidenceOfWish(
    read({ text: line.text }, unweighed),
    wishes,
    symptoms.length + ask.length > 0,
    message,
  );
  return [...wishSigns(evidence)].map(([intent, signs]) => ({ signs, holds: right.includes(intent) }));
}

const SEEN_IN = 5;
const PENALTY = 0.33;
const ROUNDS = 60;

/**
 * What each sign weighs, in log-odds: one logistic regression with an L2 penalty, fitted by Newton's method, so that the
 * same cases always give the same weights. A sign that is seen in fewer than five cases says nothing.
 */
export function weightsOf(
  cases: readonly Case[],
  { seen = SEEN_IN, penalty = PENALTY }: { seen?: number; penalty?: number } = {},
): Map<string, number> {
  const counts = new Map<string, number>();
  for (const { signs } of cases) for (const sign of signs.keys()) counts.set(sign, (counts.get(sign) ?? 0) + 1);
  const names = [
    ALWAYS,
    ...[...counts]
      .filter(([, count]) => count >= seen)
      .map(([sign]) => sign)
      .sort(),
  ];
  const index = new Map(names.map((name, at) => [name, at]));
  const rows = cases.map(({ signs, holds }) => ({
    at: [0, ...[...signs.keys()].flatMap((sign) => index.get(sign) ?? [])],
    by: [1, ...[...signs].flatMap(([sign, strength]) => (index.has(sign) ? [strength] : []))],
    holds: holds ? 1 : 0,
  }));
  const weights = new Float64Array(names.length);
  for (let round = 0; round < ROUNDS; round++) {
    const slope = names.map((_, at) => (at === 0 ? 0 : penalty * (weights[at] as number)));
    const curve = names.map((_, at) => names.map((__, other) => (at === other ? (at === 0 ? 1e-6 : penalty) : 0)));
    for (const { at, by, holds } of rows) {
      const z = at.reduce((sum, place, i) => sum + (weights[place] as number) * (by[i] as number), 0);
      const chance = 1 / (1 + Math.exp(-z));
      const bend = Math.max(chance * (1 - chance), 1e-6);
      at.forEach((place, i) => {
        slope[place] = (slope[place] as number) + (chance - holds) * (by[i] as number);
        const line = curve[place] as number[];
        at.forEach((other, j) => {
          line[other] = (line[other] as number) + bend * (by[i] as number) * (by[j] as number);
        });
      });
    }
    const step = solved(curve, slope);
    step.forEach((by, at) => {
      weights[at] = (weights[at] as number) - by;
    });
    if (Math.max(...step.map(Math.abs)) < 1e-6) break;
  }
  return new Map(names.map((name, at) => [name, weights[at] as number]));
}

/** Solves a symmetric positive system by elimination. */
function solved(matrix: number[][], right: readonly number[]): number[] {
  const rows = matrix.map((row, at) => [...row, right[at] as number]);
  const size = rows.length;
  for (let at = 0; at < size; at++) {
    const pivot = rows[at] as number[];
    for (let below = at + 1; below < size; below++) {
      const row = rows[below] as number[];
      const factor = (row[at] as number) / (pivot[at] as number);
      if (factor === 0) continue;
      for (let column = at; column <= size; column++)
        row[column] = (row[column] as number) - factor * (pivot[column] as number);
    }
  }
  const answer = new Array<number>(size).fill(0);
  for (let at = size - 1; at >= 0; at--) {
    const row = rows[at] as number[];
    let rest = row[size] as number;
    for (let column = at + 1; column < size; column++) rest -= (row[column] as number) * (answer[column] as number);
    answer[at] = rest / (row[at] as number);
  }
  return answer;
}
