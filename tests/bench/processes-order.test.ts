import { expect, it } from 'vitest';
import { violationsIn, type OwnersRows } from './processes.bench.ts';

const ANSWERS = ['which year?', 'which engine?'];
const sound: OwnersRows = { updates: [4, 9], doneAt: ['…01Z', '…02Z'], answers: ANSWERS };

it.each<[string, Partial<OwnersRows>, [number, number, number]]>([
  ['all in order', {}, [0, 0, 0]],
  ['two turns of one commit', { doneAt: ['…01Z', '…01Z'] }, [0, 0, 0]],
  ['taken in the other way round', { updates: [9, 4] }, [1, 0, 0]],
  ['one message taken in twice', { updates: [4, 9, 9] }, [1, 0, 0]],
  ['one message lost', { updates: [4] }, [1, 0, 0]],
  ['the later one run first', { doneAt: ['…02Z', '…01Z'] }, [0, 1, 0]],
  ['answered as if the second had come first', { answers: [...ANSWERS].reverse() }, [0, 0, 1]],
  ['an answer twice', { answers: [...ANSWERS, 'which engine?'] }, [0, 0, 1]],
])('the bench of several processes counts %s', (_what, changed, [takenIn, ran, answered]) => {
  const rows = new Map([['1001', { ...sound, ...changed }]]);
  expect(violationsIn(rows, new Map([['1001', [4, 9]]]), ANSWERS)).toEqual({ takenIn, ran, answered });
});

it('the bench of several processes counts an owner of whom nothing is there', () => {
  expect(violationsIn(new Map(), new Map([['1001', [4]]]), ANSWERS)).toEqual({ takenIn: 1, ran: 0, answered: 1 });
});
